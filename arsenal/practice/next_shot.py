"""The next shot worth throwing: the one after which what was asked would be least in doubt.

Expected fall of the doubt from the same straight lines (linear-Gaussian design: how sure one will be does not depend on
what will be seen). A test that sands nothing comes before one that does: sanding takes time and cannot be undone. A
sanded ball is judged by the order as it is after the work: that is the one to be known in competition.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice import model, straight
from arsenal.practice.asked_of import Asks, Question
from arsenal.practice.candidates import Candidate
from arsenal.practice.carried import Believed, carried
from arsenal.practice.cases import Case, Thrown
from arsenal.practice.model import Layout
from arsenal.practice.taught import FIRST_READ, LANDING
from arsenal.trade.errors import KnownError
from arsenal.trade.priors import Priors
from arsenal.trade.trial import Sighting, Trial
from arsenal.trade.units import BOARD_M, FOOT_M

TODAY = "the next shot"
WORTH, WORTH_IN_ALL = 0.05, 0.1
"""A: a test that would take less off the doubt is not worth asking for: boards or feet of one thing asked, boards over
all balls of an order.
"""
READ = np.array([LANDING, FIRST_READ])
"""What anybody can note of one shot."""
UNREADABLE_VAR = 1e6
"""Square metres: a mark that no path of a throw has tells nothing."""
THE_ORDER = Question()


@dataclass(frozen=True, slots=True)
class WorthThrowing:
    """A test, and the doubt of what was asked without it and after it: one sd, boards, or feet for what a pad does.

    Of an order it is the mean over the balls, each against the benchmark; of a sanded ball the order after the work.
    """

    candidate: Candidate
    before: float
    after: float
    at: float
    """What is believed of it now: how far two balls are apart, how much later a pad makes a ball read, how much higher
    the lane lets the benchmark end than it was said to; 0 for an order."""
    now: float
    """The doubt of it as things stand, without the work."""

    @property
    def fall(self) -> float:
        """What the test would take off."""
        return self.before - self.after

    @property
    def a_minute(self) -> float:
        """What it would take off for each minute it costs."""
        return self.fall / self.candidate.minutes


@dataclass(frozen=True, slots=True)
class Lines:
    """A belief with the straight lines of throws by their place: marks (k, 6), slopes (k, 6, D), noise."""

    cases: tuple[Case, ...]
    where: Layout
    mean: Floats
    cov: Floats
    lines: model.Straight
    throws: tuple[Thrown, ...]
    place: dict[int, int]
    """The row of each throw by its identity: states are long to compare."""

    @staticmethod
    def of(found: Believed | None, throws: Sequence[Thrown], priors: Priors) -> Lines:
        """All `throws` about what is believed: one batch a lane."""
        distinct = {id(t): t for t in throws}
        row = {t: i for i, t in enumerate(dict.fromkeys(distinct.values()))}
        made = [_case(i, t) for t, i in row.items()]
        cases = (*(found.cases if found is not None else ()), *made)
        where = model.layout(cases, priors)
        mean, cov = carried(found, where)
        lines = straight.straight(made, where, mean, priors)
        return Lines(cases, where, mean, cov, lines, tuple(distinct.values()), {i: row[t] for i, t in distinct.items()})

    def row(self, t: Thrown) -> int:
        """Where a throw stands in `lines`."""
        at = self.place.get(id(t))
        return self.place[id(next(one for one in self.throws if one == t))] if at is None else at

    def slope(self, t: Thrown, mark: int) -> Floats:
        """How one mark of a throw answers to the unknowns (D,)."""
        return np.asarray(self.lines.slope[self.row(t), mark])

    def at(self, t: Thrown, mark: int) -> float:
        """One mark of a throw as it is believed."""
        return float(self.lines.at[self.row(t), mark])

    def noted(self, throws: Sequence[Thrown]) -> tuple[Floats, Floats]:
        """Slopes (k, D) and noise (k, k) of everything that would be noted of these throws."""
        rows = [self.row(t) for t in throws]
        slope = np.concatenate([self.lines.slope[i][READ] for i in rows])
        noise = np.zeros((2 * len(rows), 2 * len(rows)))
        for k, i in enumerate(rows):
            own = self.lines.noise[i][np.ix_(READ, READ)].copy()
            own[np.diag_indices(2)] += (1.0 - self.lines.readable[i][READ]) * UNREADABLE_VAR
            noise[2 * k : 2 * k + 2, 2 * k : 2 * k + 2] = own
        return slope, noise

    def after(self, throws: Sequence[Thrown]) -> Lines:
        """The belief once these were thrown and noted, whatever they show."""
        return replace(self, cov=after_seeing(self.cov, *self.noted(throws)))


def next_shots(
    found: Believed | None, owned: Sequence[Thrown], benchmark_id: int | None, tests: Sequence[Candidate],
    priors: Priors, *, question: Question = THE_ORDER, worth: float | None = None,
) -> tuple[WorthThrowing, ...]:  # fmt: skip
    """`tests` worth making, best first: those that sand nothing, then the others; each by what it gives a minute.

    `owned` are the balls as they are on the lane in question; throws of one outing share its lane. Raises KnownError
    with fewer than two balls for a question about more, or for one about a ball or a work that is not there.
    """
    setting = Setting.of(found, owned, benchmark_id, tests, priors, question)
    told = [setting.worth(test) for test in tests]
    least = setting.least if worth is None else worth
    return ranked(chosen([one for one in told if one is not None], least))


def chosen(told: Sequence[WorthThrowing], least: float) -> list[WorthThrowing]:
    """What is worth a shot, without work that takes more than it must, and without oily shots where a wiped one would
    tell as much.
    """
    return gentlest([one for one in rather_wiped(told, least) if one.fall >= least])


def rather_wiped(told: Sequence[WorthThrowing], least: float) -> list[WorthThrowing]:
    """How much oil an unwiped ball carries is not looked for, so its shot must clearly give more than a wiped one."""
    wiped = {w.candidate.ball_ids: w.fall for w in told if w.candidate.wiped and not w.candidate.sands}
    return [w for w in told if w.candidate.wiped or w.fall >= wiped.get(w.candidate.ball_ids, 0.0) + least]


def gentlest(told: Sequence[WorthThrowing]) -> list[WorthThrowing]:
    """Of work on one ball only that which roughens it the least: step down gradually, looking after each step (common
    practice, no source).
    """
    least: dict[int, float] = {}
    for one in told:
        if one.candidate.sands:
            ball_id, ln_ra = one.candidate.ball_id, one.candidate.left.state.ln_ra_m.mean
            least[ball_id] = min(ln_ra, least.get(ball_id, ln_ra))
    return [
        one
        for one in told
        if not one.candidate.sands or one.candidate.left.state.ln_ra_m.mean <= least[one.candidate.ball_id]
    ]


def ranked(told: Sequence[WorthThrowing]) -> tuple[WorthThrowing, ...]:
    """Unsanded first, then by the fall a minute; ties by work and ball, so that the same set gives the same list."""

    def place(one: WorthThrowing) -> tuple[bool, float, bool, float, tuple[int, ...]]:
        test = one.candidate
        return test.sands, -round(one.a_minute, 6), not test.wiped, test.minutes, test.ball_ids

    return tuple(sorted(told, key=place))


@dataclass(frozen=True, slots=True)
class Setting:
    """What tests are judged by: the balls as they are, the question, the lines of all that may be thrown."""

    owned: tuple[Thrown, ...]
    benchmark_id: int | None
    question: Question
    lines: Lines
    asked_after: Thrown | None
    """For what a pad does: the ball after it."""

    @staticmethod
    def of(
        found: Believed | None, owned: Sequence[Thrown], benchmark_id: int | None, tests: Sequence[Candidate],
        priors: Priors, question: Question,
    ) -> Setting:  # fmt: skip
        """Raises KnownError as `next_shots` does."""
        after = _checked(owned, tests, question)
        throws = [*owned, *(t for test in tests for t in test.throws)]
        return Setting(tuple(owned), benchmark_id, question, Lines.of(found, throws, priors), after)

    def after(self, throws: Sequence[Thrown]) -> Setting:
        """Once these were thrown and noted."""
        return replace(self, lines=self.lines.after(throws))

    @property
    def least(self) -> float:
        """A fall that is worth a shot."""
        return WORTH_IN_ALL / max(len(self.owned) - 1, 1) if self.question.asks is Asks.ORDER else WORTH

    def doubt(self) -> float:
        """Of what is asked, as things stand."""
        return doubt(self.asked(), self.lines.cov) / self.unit_m

    def worth(self, test: Candidate) -> WorthThrowing | None:
        """What `test` would give; None where it has nothing to say of the question."""
        asks = self.question.asks
        if test.sands and (asks is Asks.LANE or (asks is Asks.PAD and test.left != self.asked_after)):
            return None
        if test.sands and asks is Asks.ORDER and test.ball_id == self.benchmark_id:
            return None  # A: everything is measured against it, so it is left as it is
        asked = self.asked(test if test.sands else None)
        before, after = falls(asked, self.lines.cov, *self.lines.noted(test.throws))
        now = self.doubt() if test.sands else before / self.unit_m
        return WorthThrowing(test, before / self.unit_m, after / self.unit_m, self._at(), now)

    @property
    def unit_m(self) -> float:
        """What the doubt is told in: feet for what a pad does, else boards."""
        return FOOT_M if self.question.asks is Asks.PAD else BOARD_M

    def asked(self, sanded: Candidate | None = None) -> Floats:
        """What is asked, as rows over the unknowns; with one ball sanded, of the set as it is then."""
        q, lines = self.question, self.lines
        if self.asked_after is not None:
            now = self._of(self.asked_after.ball.id, None)
            return (lines.slope(self.asked_after, FIRST_READ) - lines.slope(now, FIRST_READ))[None, :]
        row = {t.ball.id: lines.slope(self._of(t.ball.id, sanded), LANDING) for t in self.owned}
        if q.asks is Asks.TWO_BALLS and q.ball_id is not None and q.other_ball_id is not None:
            return (row[q.ball_id] - row[q.other_ball_id])[None, :]
        zero = row.get(self.benchmark_id or 0)
        if q.asks is Asks.LANE:
            lane, at = np.zeros(lines.where.size), lines.where.outing(self.owned[0].outing)
            lane[at] = (zero if zero is not None else next(iter(row.values())))[at]
            return lane[None, :]
        middle = np.mean(list(row.values()), axis=0) if zero is None else zero
        return np.stack([r - middle for ball, r in row.items() if ball != self.benchmark_id])

    def _of(self, ball_id: int, sanded: Candidate | None) -> Thrown:
        if sanded is not None and sanded.ball_id == ball_id:
            return sanded.left
        return next(t for t in self.owned if t.ball.id == ball_id)

    def _at(self) -> float:
        """What is believed of it now."""
        q, lines = self.question, self.lines
        if self.asked_after is not None:
            now = self._of(self.asked_after.ball.id, None)
            return (lines.at(self.asked_after, FIRST_READ) - lines.at(now, FIRST_READ)) / self.unit_m
        if q.asks is Asks.TWO_BALLS and q.ball_id is not None and q.other_ball_id is not None:
            a, b = self._of(q.ball_id, None), self._of(q.other_ball_id, None)
            return (lines.at(a, LANDING) - lines.at(b, LANDING)) / self.unit_m
        return float(self.asked()[0] @ lines.mean) / self.unit_m if q.asks is Asks.LANE else 0.0


def _checked(owned: Sequence[Thrown], tests: Sequence[Candidate], question: Question) -> Thrown | None:
    """The ball after the work that is asked about; None where none is. Raises KnownError."""
    ids = {t.ball.id for t in owned}
    if len(ids) < 2 and question.asks in (Asks.ORDER, Asks.TWO_BALLS):
        raise KnownError("With one ball there is no order to be in doubt of.", next_step="Choose two balls or more.")
    if not ids or not {i for i in (question.ball_id, question.other_ball_id) if i is not None} <= ids:
        raise KnownError("That ball is not in the bag.", next_step="Choose a ball of the bag.")
    if question.asks is not Asks.PAD:
        return None
    after = next((t.left for t in tests if _is_it(t, question)), None)
    if after is None:
        raise KnownError(
            "That work makes the ball no coarser, or its pad is not in stock.", next_step="Choose another pad."
        )
    return after


def _is_it(test: Candidate, question: Question) -> bool:
    return test.ball_id == question.ball_id and test.recipe is not None and test.recipe == question.recipe


def _case(seq: int, t: Thrown) -> Case:
    return Case(Trial(seq, t.ball.id, 0, t.lane.id, date.min, t.outing, Sighting()), (t,))


def doubt(asked: Floats, cov: Floats) -> float:
    """One sd of each thing asked for, the mean of them, metres."""
    return float(np.sqrt(np.maximum(((asked @ cov) * asked).sum(axis=1), 0.0)).mean())


def falls(asked: Floats, cov: Floats, slope: Floats, noise: Floats) -> tuple[float, float]:
    """`doubt` before and after one more sighting, without the whole covariance after it."""
    across = cov @ slope.T
    var = ((asked @ cov) * asked).sum(axis=1)
    met = asked @ across
    less = (met * np.linalg.solve(slope @ across + noise, met.T).T).sum(axis=1)
    before, after = (float(np.sqrt(np.maximum(v, 0.0)).mean()) for v in (var, var - less))
    return before, after


def after_seeing(cov: Floats, slope: Floats, noise: Floats) -> Floats:
    """Covariance after one more sighting, whatever it shows: Σ − ΣJᵀ(JΣJᵀ + R)⁻¹JΣ."""
    across = cov @ slope.T
    return np.asarray(cov - across @ np.linalg.solve(slope @ across + noise, across.T))


def here(owned: Sequence[Thrown], outing: str = TODAY) -> tuple[Thrown, ...]:
    """The balls as thrown in one outing."""
    return tuple(replace(t, outing=outing) for t in owned)
