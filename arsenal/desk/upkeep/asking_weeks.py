"""What the weeks of the Upkeep room ask of the shop, on the worker's thread."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from arsenal.trade.calendar import Slot

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import (
        CustomerReminder,
        NotReminded,
        Relaxation,
        SeasonView,
        UpkeepPlan,
        WeekView,
    )
    from arsenal.acts.shop import Shop

FIVE = 5

# ruff: noqa: PLC0415 - what an act needs is heavy and loaded on the worker's thread


@dataclass(frozen=True, slots=True)
class Weeks:
    """The week or the season, whichever is in front."""

    today: date
    week: WeekView | None = None
    season: SeasonView | None = None
    bans: tuple[tuple[date, date], ...] = ()
    """Days without heavy work, first and last."""


Progress = Callable[[float], None]


def weeks(
    shop: Shop, bowler_id: int | None, monday: date | None, progress: Progress | None = None, *, season: bool
) -> Weeks:
    """As planned last, or as it would be planned now where nothing was."""
    from arsenal.acts import calendar

    first = monday or calendar.this_monday(shop)

    def make() -> Weeks:
        if season:
            made = calendar.season(shop, bowler_id, progress=progress)
            return Weeks(shop.today(), season=made, bans=bans(made))
        return Weeks(shop.today(), week=calendar.week(shop, bowler_id, first, progress=progress))

    kept, hour = calendar.last_kept(shop, bowler_id), shop.now().replace(minute=0, second=0, microsecond=0)
    key = ("upkeep weeks", shop.revision, hour, kept.id if kept else 0, bowler_id, first, season)
    return shop.remembered(key, make)


def bans(season: SeasonView) -> tuple[tuple[date, date], ...]:
    """The days before each event on which nothing heavy is done, first and last."""
    from arsenal.plan.fitting import Parameters

    heavy = timedelta(days=Parameters().heavy_days)
    return tuple((event.on - heavy, event.on) for event in season.events)


def plan(shop: Shop, bowler_id: int | None, progress: Progress | None = None) -> UpkeepPlan:
    """Plan anew and keep it."""
    from arsenal.acts import calendar

    return calendar.plan_upkeep(shop, bowler_id, progress=progress)


def write_calendar(shop: Shop, bowler_id: int | None, path: Path) -> str:
    """Write the calendar file, whole or not at all; what it holds, in words. Raises KnownError."""
    from arsenal.acts import calendar_file

    return calendar_file.save_calendar_file(shop, bowler_id, path).words


def to_remind(shop: Shop) -> tuple[tuple[CustomerReminder, ...], tuple[NotReminded, ...]]:
    """Customers who agreed to be reminded, with the text; and those with work due who are not to be written to."""
    from arsenal.acts import reminders

    return reminders.customers(shop)


def slot_to_widen(way: Relaxation, slots: tuple[Slot, ...]) -> Slot | None:
    """The slot whose minutes a relaxation speaks of, with as many more in whole fives; None where it is not known."""
    slot = next((slot for slot in slots if slot.id == way.slot_id), None)
    if slot is None:
        return None
    return replace(slot, minutes=float(math.ceil((slot.minutes + way.minutes) / FIVE) * FIVE))
