"""The plan of a practice: which balls to throw, how often, at which finish, for so many shots or minutes.

Greedy over the same expected falls as the next shot (how sure one will be does not depend on what will be seen, so a
plan can be made beforehand). Whatever sands nothing comes first; then each ball only ever goes coarser.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from arsenal.practice.asked_of import Asks, Question
from arsenal.practice.candidates import SHOT_MIN, Candidate, after_use, candidates_of, grit_of, in_stock, sanded
from arsenal.practice.carried import Believed
from arsenal.practice.cases import Thrown
from arsenal.practice.next_shot import THE_ORDER, Setting, WorthThrowing, chosen, ranked
from arsenal.trade.errors import OutOfRange
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.priors import Priors

UNSANDED_SHARE = 0.6
"""A: of the time there is, so much at most goes to balls as they are where a pad is worth trying."""
AFTER_WORK_SHOTS = 2
"""A: a pad that was worth its minutes is looked at with two shots; one alone may be an odd one."""
MOST_WORK = 2
"""A: no practice takes more off one ball than two steps."""
MOST_SHOTS, MOST_MINUTES = 200, 600.0


@dataclass(frozen=True, slots=True)
class Planned:
    """One line: so many shots of one test's balls, and why."""

    candidate: Candidate
    shots: int
    why: str

    @property
    def minutes(self) -> float:
        """Work and shots."""
        return self.candidate.work_min + SHOT_MIN * self.shots


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """Lines in the order to throw them; `sentence` says what is left out and why, empty where nothing is."""

    lines: tuple[Planned, ...]
    sentence: str
    before: float
    """Doubt of what is asked as things stand, and after all of the plan; boards, or feet for what a pad does."""
    after: float

    @property
    def shots(self) -> int:
        """All of them."""
        return sum(line.shots for line in self.lines)

    @property
    def minutes(self) -> float:
        """Work and shots."""
        return sum(line.minutes for line in self.lines)


@dataclass(frozen=True, slots=True)
class Limits:
    """How much there is to spend. `minutes` and `shots` None for no such limit; one of them must be there."""

    shots: int | None = None
    minutes: float | None = None
    ban_min: float | None = None
    """Minutes until competition begins; the plan ends before."""
    pads_allowed: bool = True

    def checked(self) -> Limits:
        """Raises OutOfRange for what no practice has."""
        if self.shots is not None and not 1 <= self.shots <= MOST_SHOTS:
            raise OutOfRange("shots", self.shots, f"between 1 and {MOST_SHOTS}")
        if self.minutes is not None and not 1.0 <= self.minutes <= MOST_MINUTES:
            raise OutOfRange("minutes", f"{self.minutes:g}", f"between 1 and {MOST_MINUTES:.0f}")
        return self if self.shots is not None or self.minutes is not None else replace(self, shots=10)

    @property
    def most_min(self) -> float | None:
        """Minutes that may be spent."""
        told = [m for m in (self.minutes, self.ban_min) if m is not None]
        return min(told) if told else None


@dataclass
class _Spending:
    """What is spent of the limits while a plan is made."""

    limits: Limits
    shots: int = 0
    minutes: float = 0.0
    picks: list[Candidate] = field(default_factory=list)

    def holds(self, test: Candidate, share: float = 1.0) -> bool:
        shots, most = self.shots + len(test.throws), self.limits.most_min
        in_shots = self.limits.shots is None or shots <= share * self.limits.shots
        return in_shots and (most is None or self.minutes + test.minutes <= share * most + 1e-9)

    def take(self, test: Candidate) -> None:
        self.shots += len(test.throws)
        self.minutes += test.minutes
        self.picks.append(test)


def plan_practice(
    found: Believed | None, owned: Sequence[Thrown], benchmark_id: int | None, recipes: Sequence[Recipe],
    pads: Mapping[int, Pad], priors: Priors, limits: Limits, *, question: Question = THE_ORDER,
    left: Sequence[Thrown] | None = None,
) -> SessionPlan:  # fmt: skip
    """A plan within `limits`. Raises KnownError as `next_shots` does, OutOfRange for limits no practice has."""
    limits = limits.checked()
    usable = [r for r in recipes if limits.pads_allowed and in_stock(r, pads, priors)]
    tests = candidates_of(owned, usable, pads, priors, left=left, jumps=question.asks is Asks.PAD)
    setting = Setting.of(found, owned, benchmark_id, tests, priors, question)
    return _Maker(setting, tests, usable, dict(pads), priors, _Spending(limits)).made()


@dataclass
class _Maker:
    """One plan in the making: what would be believed by now, the balls as they would be, the pads as worn by then."""

    setting: Setting
    tests: tuple[Candidate, ...]
    recipes: list[Recipe]
    pads: dict[int, Pad]
    priors: Priors
    spent: _Spending

    def made(self) -> SessionPlan:
        before = self.setting.doubt()
        if self.setting.asked_after is not None:
            self._before_and_after()
        else:
            self._throw(UNSANDED_SHARE if self._best(sanding=True) is not None else 1.0)
            self._sand()
            self._throw(1.0)
        lines = lines_of(self.spent.picks, self.setting.benchmark_id, self.setting.question)
        return SessionPlan(lines, self._sentence(lines), before, self.setting.doubt())

    def _best(self, *, sanding: bool, share: float = 1.0) -> WorthThrowing | None:
        """The test most worth making that still fits."""
        fit = [t for t in self.tests if t.sands == sanding and self.spent.holds(_looked_at(t), share)]
        told = [self.setting.worth(test) for test in fit]
        least = self.setting.least
        order = ranked(chosen([one for one in told if one is not None], least))
        return order[0] if order else None

    def _throw(self, share: float) -> None:
        """Tests of balls as they are, the best first, until none is worth a shot or the share is spent."""
        while (best := self._best(sanding=False, share=share)) is not None:
            self._take(best.candidate)

    def _take(self, test: Candidate) -> None:
        self.setting = self.setting.after(test.throws)
        self.spent.take(test)

    def _sand(self) -> None:
        """Work that is worth its minutes, one at a time; what was done to a ball stays on it."""
        while (best := self._best(sanding=True)) is not None:
            done = best.candidate
            self._take(done)
            again = replace(done, work_min=0.0)
            for _ in range(AFTER_WORK_SHOTS - 1):
                self._take(again)
            self._worked(done)

    def _worked(self, done: Candidate) -> None:
        """The ball is now as the work left it, and can only go coarser, with pads as worn as they are by then."""
        self.pads = after_use(self.pads, done.recipe.steps if done.recipe else ())
        owned = tuple(done.left if t.ball.id == done.ball_id else t for t in self.setting.owned)
        usable = [r for r in self.recipes if in_stock(r, self.pads, self.priors)]
        unsanded = [t for t in self.tests if not t.sands]
        more = [c for t in owned for c in sanded(t, usable, self.pads, self.priors)]
        self.tests = (*unsanded, *(c for c in more if self._goes_coarser(c)))
        s = self.setting
        self.setting = Setting.of(s.lines, owned, s.benchmark_id, self.tests, self.priors, s.question)

    def _goes_coarser(self, test: Candidate) -> bool:
        """Whether its last pad is coarser than every pad this plan has put on that ball, and those are few."""
        picked = [t.recipe for t in self.spent.picks if t.recipe is not None and t.ball_id == test.ball_id]
        done, grit = set(picked), grit_of(test.recipe.steps if test.recipe else ())
        return len(done) < MOST_WORK and all(grit < grit_of(one.steps) for one in done)

    def _before_and_after(self) -> None:
        """What a pad does: as many shots before it as after it, for as long as one more of each is worth throwing."""
        after = self.setting.asked_after
        work = next(t for t in self.tests if t.sands and t.left == after)
        plain = next(t for t in self.tests if not t.sands and t.wiped and t.ball_ids == work.ball_ids)
        both = replace(work, throws=(plain.thrown, work.left))
        while self.spent.holds(both):
            one = self.setting.worth(both)
            if one is None or one.fall < self.setting.least:
                return
            self._take(plain)
            self._take(replace(both, throws=(work.left,)))
            both = replace(both, work_min=0.0)

    def _sentence(self, lines: Sequence[Planned]) -> str:
        limits = self.spent.limits
        if limits.ban_min is not None and limits.ban_min < SHOT_MIN:
            return "The first scored ball falls before a shot could be thrown: there is no practice to plan."
        if not lines:
            return "No shot would teach as much as is worth throwing: what is asked is as sure as shots can make it."
        said = []
        over = f"before the first scored ball, in {limits.ban_min:.0f} min" if limits.ban_min is not None else ""
        if limits.shots is not None and self.spent.shots < limits.shots:
            if over and limits.most_min is not None and self.spent.minutes + 2.0 * SHOT_MIN > limits.most_min:
                said.append(f"{self.spent.shots} of {limits.shots} shots fit {over}.")
            else:
                said.append(f"After {self.spent.shots} of {limits.shots} shots no other would teach much.")
        if not any(line.candidate.sands for line in lines):
            said.append(self._unsanded())
        return " ".join(text for text in said if text)

    def _unsanded(self) -> str:
        if not self.spent.limits.pads_allowed:
            return "No pads now: a dry towel only."
        if not self.recipes:
            return "Nothing is sanded: no pad in stock still cuts."
        if not any(test.sands for test in self.tests):
            return "Nothing is sanded: no pad in stock makes a ball coarser."
        return ""


def _looked_at(test: Candidate) -> Candidate:
    """The test with as many shots as its work is worth."""
    return replace(test, throws=test.throws * AFTER_WORK_SHOTS) if test.sands else test


def lines_of(picks: Sequence[Candidate], benchmark_id: int | None, question: Question) -> tuple[Planned, ...]:
    """Picks of one kind gathered into lines: what sands nothing first, the benchmark ahead of it, then the work in the
    order it was picked.
    """
    worked = {test.ball_id for test in picks if test.sands}
    kinds: dict[tuple[object, ...], list[Candidate]] = {}
    for test in picks:
        kinds.setdefault((test.ball_ids, test.wiped, test.recipe, test.left if test.sands else None), []).append(test)
    first = [own for own in kinds.values() if not own[0].sands]
    first.sort(key=lambda own: own[0].ball_ids != (benchmark_id,))
    then = [own for own in kinds.values() if own[0].sands]
    return tuple(
        Planned(own[0], sum(len(t.throws) for t in own), _why(own[0], benchmark_id, question, worked))
        for own in (*first, *then)
    )


def _why(test: Candidate, benchmark_id: int | None, question: Question, worked: set[int]) -> str:
    if test.recipe is not None:
        return "what one pad does" if test.recipe.one_pad else f"what {label(test.recipe.steps)} does"
    if question.asks is Asks.LANE:
        return "what this lane does"
    if not test.wiped:
        return "what oil on it does"
    if len(test.ball_ids) > 1:
        both = "against the benchmark" if benchmark_id in test.ball_ids else "how far apart they are"
        return "are they one ball?" if question.asks is Asks.TWO_BALLS else both
    if test.ball_id == benchmark_id:
        return "fixes this lane"
    return "before any pad" if test.ball_id in worked else "its place in the order"


__all__ = ["Limits", "Planned", "SessionPlan", "plan_practice"]
