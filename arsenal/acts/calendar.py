"""The upkeep calendar: what is played, which time there is for work, the plan, its weeks, and a job done or moved.

Plans never write to the log. A job that is done is logged by the same entry as on the Bench.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta, tzinfo

from arsenal.acts import logging, upkeep
from arsenal.acts import moved as said
from arsenal.acts.calendar_file import calendar_file, save_calendar_file
from arsenal.acts.calendar_inputs import Progress
from arsenal.acts.calendar_plan import (
    WEEKS_BOWLER,
    WEEKS_SHOP,
    changed_since,
    last_kept,
    plan_upkeep,
    stored,
)
from arsenal.acts.calendar_records import (
    clock_remark,
    clock_remarks,
    keep_league,
    keep_slot,
    remove_league,
    remove_slot,
    skip_league,
    skip_slot,
)
from arsenal.acts.calendar_views import Moved, SeasonView, UpkeepPlan, WeekView, WorkItem
from arsenal.acts.calendar_weeks import season_of, week_of
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, Meaning
from arsenal.plan.records import Job
from arsenal.trade.calendar import League, Slot
from arsenal.trade.errors import KnownError

__all__ = [
    "calendar_file", "changed_since", "clock_remark", "clock_remarks", "done", "done_meaning", "jobs_of",
    "keep_league", "keep_slot", "last_kept", "leagues", "leave_out", "move", "moved", "plan_upkeep", "put_back",
    "remove_league", "remove_slot", "save_calendar_file", "season", "skip_league", "skip_slot", "slots", "stored",
    "this_monday", "week",
]  # fmt: skip


def leagues(shop: Shop, bowler_id: int | None = None) -> tuple[League, ...]:
    """What a bowler plays regularly; everybody's with None."""
    return tuple(league for league in shop.every(League) if bowler_id in (None, league.bowler_id))


def slots(shop: Shop, bowler_id: int | None = None) -> tuple[Slot, ...]:
    """A bowler's time for work; the shop bench's with None."""
    return tuple(slot for slot in shop.every(Slot) if slot.bowler_id == bowler_id)


def week(
    shop: Shop, bowler_id: int | None, monday: date, *, progress: Progress | None = None, zone: tzinfo | None = None
) -> WeekView:  # fmt: skip
    """A week of a bowler, or of the shop's bench with None, as it stands now: the plan kept last with what moved since
    (`plan_id` is its number), or where none was kept a plan nobody has kept yet (`plan_id` 0). Writes nothing. Raises
    NotFound, OutOfRange for a week farther than a plan goes.
    """
    usual = WEEKS_BOWLER if bowler_id is not None else WEEKS_SHOP
    far = (monday - shop.today()).days // 7 + 2
    plan = _now(shop, bowler_id, max(usual, far), progress)
    return week_of(shop, plan, monday, zone)


def season(
    shop: Shop, bowler_id: int | None, weeks: int = WEEKS_BOWLER, *, progress: Progress | None = None
) -> SeasonView:  # fmt: skip
    """So many weeks from this one on, as `week`."""
    return season_of(shop, _now(shop, bowler_id, weeks, progress), weeks)


def _now(shop: Shop, bowler_id: int | None, weeks: int, progress: Progress | None) -> UpkeepPlan:
    kept = last_kept(shop, bowler_id)
    plan = plan_upkeep(shop, bowler_id, weeks=weeks, keep=False, progress=progress)
    return replace(plan, id=kept.id) if kept is not None else plan


def moved(shop: Shop, bowler_id: int | None) -> tuple[Moved, ...]:
    """What stands elsewhere than in the plan kept last, and why."""
    return _now(shop, bowler_id, WEEKS_BOWLER if bowler_id is not None else WEEKS_SHOP, None).moved


def jobs_of(items: Sequence[WorkItem]) -> tuple[Job, ...]:
    """The jobs of these items. Raises KnownError for one that only comes again later."""
    later = next((item for item in items if item.job is None), None)
    if later is not None:
        raise KnownError(
            f"{later.ball}, {later.work} comes again only after the one before it is done.",
            next_step="Choose the first one.",
        )
    return tuple(item.job for item in items if item.job is not None)


def done_meaning(shop: Shop, items: Sequence[WorkItem], on: date | None = None) -> Meaning:
    """What “done” would log for these items together, today or on an earlier day; `problem` says what cannot be."""
    each = [upkeep.as_planned(shop, job, on) for job in jobs_of(items)]
    wrong = next((meaning for meaning in each if meaning.problem), None)
    if wrong is not None:
        return wrong
    return logging.meaning_of(shop, tuple(draft for meaning in each for draft in meaning.drafts))


def done(shop: Shop, items: Sequence[WorkItem], on: date | None = None, initiator: str = "desk") -> Changes:
    """Log them as planned, today or on an earlier day, in one act. Raises KnownError for what cannot be logged so."""
    meaning = done_meaning(shop, items, on)
    if meaning.problem:
        raise KnownError(meaning.problem)
    return logging.keep(shop, meaning.drafts, initiator)


def move(shop: Shop, items: Sequence[WorkItem], to: date, initiator: str = "desk") -> Changes:
    """Another day for these items; the plan honours it. Raises KnownError for a day that is over."""
    return said.move(shop, jobs_of(items), to, initiator)


def leave_out(shop: Shop, items: Sequence[WorkItem], initiator: str = "desk") -> Changes:
    """Leave them out until that work is done or takes its next round."""
    return said.leave_out(shop, jobs_of(items), initiator)


def put_back(shop: Shop, items: Sequence[WorkItem], initiator: str = "desk") -> Changes:
    """Plan them again as the state asks for it."""
    return said.put_back(shop, jobs_of(items), initiator)


def this_monday(shop: Shop) -> date:
    """Of the week that today lies in."""
    today = shop.today()
    return today - timedelta(days=today.weekday())
