"""Upkeep: every kind of work on every ball, how near it is, why, and by when at the bowler's usual pace."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta

from arsenal.order.shot import shared_shot
from arsenal.plan import care_jobs, surface_jobs
from arsenal.plan.context import Context
from arsenal.plan.intervals import DEFAULT_INTERVALS, Intervals
from arsenal.plan.losses import Loss, losses
from arsenal.plan.pace import weekly
from arsenal.plan.records import Due, Job
from arsenal.surface.state import Holder, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors

WEEK_DAYS = 7
WORKS: tuple[Callable[[Context], Job | None], ...] = (
    care_jobs.wipe, care_jobs.clean, surface_jobs.refresh, surface_jobs.resurface, care_jobs.deep_oil,
    care_jobs.inspect,
)  # fmt: skip
URGENCY = {Due.OVER: 0, Due.DUE: 1, Due.SOON: 2, Due.FINE: 3}


def upkeep(
    bowler: Person, set: Sequence[tuple[Ball, SurfaceState]], usual_lane: Lane | None, priors: Priors, *,  # noqa: A002
    today: date, games_a_week: float, until: date | None = None, intervals: Intervals = DEFAULT_INTERVALS,
    entries_by_ball: Mapping[int, Sequence[Entry]] | None = None, seed: int = 1, draws: int = 100,
    lost: Mapping[int, Loss] | None = None, taught: Mapping[int, BallFactors] = {},
) -> tuple[Job, ...]:  # fmt: skip
    """Jobs for every ball still in the bag, the most pressing first, then by day.

    Boards lost are computed on `usual_lane` with the bowler's release; without either the intervals alone decide.
    “Soon” is by `until` (a week from `today` where None). `entries_by_ball` gives each ball its own pace and counts
    its sessions; without it the balls share the bowler's games evenly. `lost` are losses reckoned already, `taught`
    what practice shots have taught of balls, by id. Raises OutOfRange for an impossible lane.
    """
    owned = [(ball, state) for ball, state in set if state.holder is Holder.OWNED]
    known = _losses(bowler, owned, usual_lane, priors, seed, draws, taught) if lost is None else lost
    pace = weekly([ball for ball, _ in owned], games_a_week, today, entries_by_ball)
    made: list[Job] = []
    for ball, state in owned:
        context = Context(
            ball=ball, state=state, loss=known.get(ball.id),
            entries=None if entries_by_ball is None else entries_by_ball.get(ball.id, ()),
            games_a_week=pace[ball.id], today=today, until=until or today + timedelta(days=WEEK_DAYS),
            intervals=intervals, priors=priors,
        )  # fmt: skip
        made += [job for work in WORKS if (job := work(context)) is not None]
    return tuple(sorted(made, key=_pressing))


def _pressing(job: Job) -> tuple[int, date, float, int]:
    return URGENCY[job.due], job.by or date.max, -job.share, job.ball_id


def _losses(
    bowler: Person, owned: Sequence[tuple[Ball, SurfaceState]], lane: Lane | None, priors: Priors, seed: int,
    draws: int, taught: Mapping[int, BallFactors],
) -> dict[int, Loss]:  # fmt: skip
    """Losses of the strike balls; a spare ball is thrown straight, its boards on a strike line say nothing."""
    strikes = [(ball, state) for ball, state in owned if not ball.spare]
    if bowler.style is None or lane is None or not strikes:
        return {}
    return losses(shared_shot(bowler, lane, priors, line=None, seed=seed, draws=draws, taught=taught), strikes)
