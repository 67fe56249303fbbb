"""What a bowler's practice shots have taught: the one place that gives it to orders, sheets and plans.

A file without practice shots is not looked at any further. A bare word for a shot (`Saw`) is left out: nobody wrote
down which line it was on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

from arsenal.acts.kept import digest
from arsenal.acts.shop import PRACTICE, Shop
from arsenal.motion import MODEL_VERSION
from arsenal.order.records import Order, OrderRow, Remark
from arsenal.order.stamps import ball_told
from arsenal.practice import from_log, posterior, straight, taught, tonight
from arsenal.practice.cases import Case, Cases, cases_of, surface_told, told_of
from arsenal.practice.posterior import LEARN_VERSION, Posterior
from arsenal.surface.folding import FOLD_VERSION
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Entry, Kind
from arsenal.trade.errors import KnownError
from arsenal.trade.factors import BallFactors, LaneFactors
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Scatter

Progress = Callable[[float], None]


@dataclass(frozen=True, slots=True)
class Known:
    """What a shot is reckoned with: bowler, lane and priors as practice has left them, and what it taught of balls."""

    bowler: Person
    lane: Lane
    priors: Priors
    balls: tuple[BallFactors, ...] = ()
    tonight: LaneFactors | None = None
    """What the day's shots have shown of the lane; None where nobody has thrown on it."""

    @property
    def taught(self) -> dict[int, BallFactors]:
        """By ball."""
        return {of.ball_id: of for of in self.balls}

    @property
    def key(self) -> Hashable:
        """Two that are alike reckon alike under the same priors."""
        return self.bowler, self.lane, self.balls, self.tonight


@dataclass(frozen=True, slots=True)
class Lesson:
    """What all practice shots of a bowler come to: kept in the file, so that a start need not learn it again."""

    balls: tuple[BallFactors, ...]
    lanes: tuple[tuple[int, date, LaneFactors], ...]
    """Of each outing its lane and day, in the order they were."""
    scatter: tuple[tuple[int, Estimate], ...]
    odd_balls: tuple[tuple[int, Finding], ...]
    odd_outings: tuple[tuple[int, date, Finding], ...]
    findings: tuple[Finding, ...]


NOTHING = Cases((), ())
NO_LESSON = Lesson((), (), (), (), (), ())


def practice_of(shop: Shop, bowler_id: int) -> Cases:
    """Every practice shot of the bowler's balls that can be learned from, and what was said of the others."""
    own = [ball for ball in map(shop.ball, shop.practised()) if ball.owner_id == bowler_id]
    if not own:
        return NOTHING

    def make() -> Cases:
        logs = _logs(shop, [ball.id for ball in own])
        people = {person.id: person for person in shop.people()}
        found = from_log.trials(
            {ball.id: [e for e in logs[ball.id] if e.kind in (*PRACTICE, Kind.UNDO)] for ball in own},
            {ball.id: ball.owner_id for ball in shop.balls() if ball.owner_id is not None},
            {p.id: p.usual_lane_id for p in people.values() if p.usual_lane_id is not None},
            {p.id: p.style for p in people.values() if p.style is not None},
        )  # fmt: skip
        balls, learned = {i: shop.ball(i) for i in logs}, {i: shop.learned(i) for i in logs}
        made = cases_of(found.trials, balls, logs, shop.lanes(), people, shop.priors, learned)
        return Cases(made.cases, (*found.findings, *made.findings))

    return shop.latest(("practice", bowler_id), shop.revision, make)


def _logs(shop: Shop, ball_ids: Sequence[int]) -> dict[int, tuple[Entry, ...]]:
    """The logs of these balls and of those they were compared with."""
    shop.read_ahead(shop.ball(i) for i in ball_ids)
    logs = {i: shop.entries(i) for i in ball_ids}
    known = {ball.id for ball in shop.balls()}
    said = {e.payload.other_ball_id for log in logs.values() for e in log if isinstance(e.payload, Compared)}
    return logs | {i: shop.entries(i) for i in said & known - logs.keys()}


def posterior_of(shop: Shop, bowler_id: int, progress: Progress | None = None) -> Posterior | None:
    """What is believed of balls, finishes and lanes after all of the bowler's practice shots; None without one.

    `progress` hears from 0 to 1 while it is worked out, and may raise to stop it.
    """
    cases = practice_of(shop, bowler_id).cases
    if not cases:
        return None

    def make() -> Posterior | None:
        # where one of them cannot be thrown the others still teach
        found = _learned(shop, cases, progress)
        return found or _learned(shop, straight.throwable(cases, shop.priors), progress)

    return shop.latest(("posterior", bowler_id), _told(shop, bowler_id), make)


def _learned(shop: Shop, cases: Sequence[Case], progress: Progress | None) -> Posterior | None:
    try:
        return posterior.learn(cases, shop.priors, progress=progress or (lambda _: None))
    except KnownError:
        return None


def _told(shop: Shop, bowler_id: int) -> str:
    """A hash over everything that is learned from."""

    def make() -> str:
        cases = practice_of(shop, bowler_id).cases
        lanes = {t.lane.id: t.lane for case in cases for t in case.thrown}
        shots = [(case.trial, [told_of(t) for t in case.thrown]) for case in cases]
        return digest(LEARN_VERSION, MODEL_VERSION, FOLD_VERSION, shop.priors, lanes, shots)

    return shop.latest(("told", bowler_id), shop.revision, make)


def lesson_of(shop: Shop, bowler_id: int, day: date | None = None) -> Lesson | None:
    """What the bowler's practice comes to, his balls on the finishes they have now, or had at the end of `day`. None
    without a shot.
    """
    if not practice_of(shop, bowler_id).cases:
        return None
    had = shop.held(bowler_id, until=day)
    key = f"practice:{_told(shop, bowler_id)}:{digest([(ball_told(*of), surface_told(of[1])) for of in had])}"

    def make() -> Lesson:
        found, every = posterior_of(shop, bowler_id), practice_of(shop, bowler_id).cases
        learned = {case.trial.seq for case in found.cases} if found else set()
        out = tuple(_left_out(case) for case in every if case.trial.seq not in learned)
        return replace(NO_LESSON, findings=out) if found is None else _lesson(found, had, out)

    return shop.remembered(key, lambda: shop.kept.get(key, Lesson, make))


def _left_out(case: Case) -> Finding:
    text = f"The practice shot of {days.day_and_year(case.trial.on)} is on a line or of a release that cannot be."
    return Finding(
        "trial.cannot-be", f"{text} It is kept, and nothing is learned from it.", Weight.WARN, case.trial.seq
    )


def _lesson(found: Posterior, had: Sequence[tuple[Ball, SurfaceState]], out: tuple[Finding, ...]) -> Lesson:
    trials = {case.thrown[0].outing: case.trial for case in found.cases}
    seen = ((trial, taught.lane_of(found, key)) for key, trial in trials.items())
    odd = ((trial, taught.odd_outings(found, trial.lane_id, trial.on)) for trial in trials.values())
    return Lesson(
        tuple(taught.every(found, had).values()),
        tuple((trial.lane_id, trial.on, lane) for trial, lane in seen if lane is not None),
        tuple(found.scatter.items()), tuple(taught.wrong_balls(found).items()),
        tuple((trial.lane_id, trial.on, _spoken(said, found)) for trial, told in odd for said in told),
        (*out, *taught.findings(found)),
    )  # fmt: skip


def _spoken(said: Finding, found: Posterior) -> Finding:
    """With the outing told by its lane and day instead of its key."""
    text = said.sentence
    for case in found.cases:
        of = f"{case.thrown[0].lane.name} on {days.weekday_and_day(case.trial.on)}"
        text = text.replace(case.thrown[0].outing, of)
    return replace(said, sentence=text)


def taught_of(shop: Shop, bowler_id: int, day: date | None = None) -> Mapping[int, BallFactors]:
    """What practice has taught of each of the bowler's balls on the finish it has now, or had at the end of `day`.
    Empty without a shot.
    """
    lesson = lesson_of(shop, bowler_id, day)
    return {of.ball_id: of for of in lesson.balls} if lesson else {}


def outing_of(shop: Shop, bowler_id: int, lane_id: int, day: date | None = None) -> LaneFactors | None:
    """What the lane was like that `day` (today), where shots were logged on it then; None where none were."""
    lesson, on = lesson_of(shop, bowler_id), day or shop.today()
    seen = [lane for at, when, lane in lesson.lanes if (at, when) == (lane_id, on)] if lesson else []
    return seen[-1] if seen else None


def scatter_of(shop: Shop, bowler_id: int) -> Estimate | None:
    """What is believed of ln of how far the bowler scatters against what was said; None without a shot of his."""
    lesson = lesson_of(shop, bowler_id)
    return dict(lesson.scatter).get(bowler_id) if lesson else None


def as_thrown(shop: Shop, bowler: Person) -> Person:
    """The bowler with the scatter his own shots have shown, at the middle of what is believed of it."""
    wider = scatter_of(shop, bowler.id)
    if wider is None or bowler.style is None:
        return bowler
    by = math.exp(wider.mean)
    scatter = Scatter(*(by * getattr(bowler.style.scatter, part.name) for part in fields(Scatter)))
    return replace(bowler, style=replace(bowler.style, scatter=scatter))


def known(shop: Shop, bowler: Person, lane: Lane, day: date | None = None) -> Known:
    """Bowler and lane as practice has left them at the end of `day` (today). Without a practice shot they are as they
    were given.
    """
    balls = tuple(taught_of(shop, bowler.id, day).values())
    seen = outing_of(shop, bowler.id, lane.id, day) if balls else None
    on, priors = tonight.as_seen(lane, shop.priors, seen) if seen else (lane, shop.priors)
    return Known(as_thrown(shop, bowler), on, priors, balls, seen)


def usual(shop: Shop, bowler: Person, lane: Lane) -> Known:
    """The same of a lane as it usually is, whatever the day's shots have shown of it."""
    return Known(as_thrown(shop, bowler), lane, shop.priors, tuple(taught_of(shop, bowler.id).values()))


def remarked(found: Order, of: Known) -> Order:
    """The order with a remark that says so where it was reckoned on the lane as the day's shots have shown it."""
    if of.tonight is None:
        return found
    shots, film, sd = of.tonight.shots, of.tonight.mean[0], of.tonight.sd(0)
    title = f"The lane as {shots} shot{'s' if shots > 1 else ''} of the day {'have' if shots > 1 else 'has'} shown it"
    more = f"{100.0 * abs(math.expm1(film)):.0f} ± {100.0 * sd:.0f} %"
    detail = f"It plays like {more} {'more' if film > 0.0 else 'less'} oil than it was said to hold."
    if abs(film) < 0.5 * sd:
        detail = f"It plays as it was said to, ± {100.0 * sd:.0f} % of its oil."
    return replace(found, remarks=(Remark("lane", title, detail), *found.remarks))


def with_findings(shop: Shop, found: Order) -> Order:
    """The order with what practice finds odd beside the balls and the lane it speaks of."""
    lesson = lesson_of(shop, found.bowler_id)
    if lesson is None:
        return found
    odd, here = dict(lesson.odd_balls), (found.lane_id, shop.today())
    lanes = [said for lane_id, on, said in lesson.odd_outings if (lane_id, on) == here]
    if not odd and not lanes:
        return found

    def beside(rows: tuple[OrderRow, ...]) -> tuple[OrderRow, ...]:
        return tuple(
            replace(row, findings=(*row.findings, odd[row.ball.id])) if row.ball.id in odd else row for row in rows
        )

    return replace(
        found, rows=beside(found.rows), spares=beside(found.spares), findings=(*found.findings, *lanes)
    )  # fmt: skip


def findings_of(shop: Shop, bowler_id: int) -> tuple[Finding, ...]:
    """What is odd: shots that cannot be learned from, outings and balls that nothing explains."""
    lesson = lesson_of(shop, bowler_id)
    return (*practice_of(shop, bowler_id).findings, *(lesson.findings if lesson else ()))
