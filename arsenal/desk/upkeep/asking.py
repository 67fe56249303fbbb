"""What the Upkeep room asks of the shop, on the worker's thread."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from arsenal.trade.calendar import League, Slot
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Meaning, UpkeepSheet
    from arsenal.plan.records import Job


@dataclass(frozen=True, slots=True)
class Found:
    """The sheet, with what the sentence offers."""

    sheet: UpkeepSheet
    bowlers: tuple[Person, ...]
    boards: float
    first_read_ft: float
    leagues: tuple[League, ...] = ()
    """Of the bowler; of everybody where nobody is chosen."""
    slots: tuple[Slot, ...] = ()
    """The bowler's time for work; the bench's where nobody is chosen."""


def sheet(shop: Shop, bowler_id: int | None, until: date | None) -> Found:
    """The jobs of a bowler or of everybody."""
    from arsenal.acts import intervals, reading, upkeep  # noqa: PLC0415 - heavy

    lost = intervals.of_shop(shop)
    found = upkeep.upkeep(shop, bowler_id, until=until)
    leagues = tuple(one for one in shop.every(League) if bowler_id in (None, one.bowler_id))
    slots = tuple(one for one in shop.every(Slot) if one.bowler_id == bowler_id)
    return Found(found, reading.bowlers(shop), lost.boards, lost.first_read_ft, leagues, slots)


def planned(shop: Shop, jobs: Sequence[Job], on: date | None = None) -> Meaning:
    """What “done as planned” would log for these jobs together, today or on an earlier day."""
    from arsenal.acts import logging, upkeep  # noqa: PLC0415 - heavy

    each = [upkeep.as_planned(shop, job, on) for job in jobs]
    wrong = [meaning for meaning in each if meaning.problem]
    if wrong or len(each) == 1:
        return (wrong or each)[0]
    return logging.meaning_of(shop, tuple(draft for meaning in each for draft in meaning.drafts))


def keep_planned(shop: Shop, jobs: Sequence[Job], on: date | None = None) -> Changes:
    """Log them, today or on an earlier day. Raises KnownError for what cannot be logged as planned."""
    from arsenal.acts import logging  # noqa: PLC0415 - heavy

    if on is not None and on > shop.today():
        raise KnownError("That day is still to come.", next_step="Choose today or an earlier day.")
    meaning = planned(shop, jobs, on)
    if meaning.problem:
        raise KnownError(meaning.problem)
    return logging.keep(shop, meaning.drafts)


def leave_out(shop: Shop, jobs: Sequence[Job], *, back: bool) -> Changes:
    """Leave jobs out, or put them back, in one act."""
    from arsenal.acts import moved  # noqa: PLC0415 - heavy

    return moved.put_back(shop, jobs) if back else moved.leave_out(shop, jobs)


def move(shop: Shop, jobs: Sequence[Job], to: date) -> Changes:
    """Put jobs off to another day in one act."""
    from arsenal.acts import moved  # noqa: PLC0415 - heavy

    return moved.move(shop, jobs, to)


def pace(shop: Shop, bowler: Person, games_a_week: float) -> Changes:
    """Keep a bowler's usual pace."""
    from arsenal.acts import people  # noqa: PLC0415 - heavy

    return people.edit_bowler(shop, replace(bowler, games_a_week=games_a_week))


def lost(shop: Shop, boards: float, first_read_ft: float) -> Changes:
    """Keep how much lost counts as due."""
    from arsenal.acts import intervals  # noqa: PLC0415 - heavy

    chosen = intervals.chosen(shop)
    return intervals.choose(shop, replace(chosen, boards=boards, first_read_ft=first_read_ft))
