"""The job in hand, whether it was taken from the list, the week or the season."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import WorkItem
    from arsenal.desk.upkeep.rows import JobRow
    from arsenal.plan.records import Job


@dataclass(frozen=True, slots=True)
class InHand:
    """The jobs that Done, Another day and Leave out act on together."""

    jobs: tuple[Job, ...]
    words: str
    """“Rook Hollow, refresh 1000 h”."""
    day: date | None
    day_says: str = "Planned"
    """What that day is."""
    left_out: bool = False


def of_row(row: JobRow) -> InHand:
    """From the list."""
    words, says = f"{row.ball}, {row.work.lower()} {row.job.how}", "Moved to" if row.job.moved else "Due by"
    return InHand(row.alike or (row.job,), words, row.job.by, says, row.left_out)


def of_item(item: WorkItem) -> InHand | None:
    """From the week; None for a later round, which is only forecast."""
    if item.job is None:
        return None
    return InHand((item.job,), f"{item.ball}, {item.work} {item.how}", item.on)
