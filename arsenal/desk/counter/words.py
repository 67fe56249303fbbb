"""Words of the Counter: times, standings, what a row says to a screen reader."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from arsenal.trade import days

if TYPE_CHECKING:
    from collections.abc import Sequence

    from arsenal.acts.bench_queue import Load, Waiting
    from arsenal.acts.counter_views import TicketRow

HOUR = 60.0
STANDINGS = {
    "in": "in, not begun", "on the bench": "on the bench", "ready": "ready", "handed over": "handed over",
    "called off": "called off", "half written": "parked",
}  # fmt: skip


def when(at: datetime, now: datetime, *, short: bool = False) -> str:
    """“today 18:30” and “Thu 12:00” in `short`, else “Thu 26 Nov, 12:00”; with its year where that is another."""
    local = at.astimezone(now.tzinfo)
    if short and local.date() == now.date():
        return f"today {local:%H:%M}"
    if short and 0 < (local.date() - now.date()).days < 7:
        return f"{days.weekday(local)} {local:%H:%M}"
    day = days.weekday_and_day(local)
    year = f" {local.year}" if local.year != now.year else ""
    return f"{day}{year}, {local:%H:%M}"


def promise(at: datetime | None, now: datetime, *, late: bool) -> str:
    """“late, today 17:30”, “today 18:30”, “no promise”."""
    if at is None:
        return "no promise"
    said = when(at, now, short=True)
    return f"late, {said}" if late else said


def bench(load: Load, now: datetime) -> str:
    """“Bench is full until Wed 25 Nov, 16:00”; out of its hours also when it opens."""
    full = load.minutes > 0
    if load.opens is None:
        return f"Bench is full until {when(load.full_until, now)}" if full else "The bench is free"
    said = f"Bench opens {when(load.opens, now)}"
    if not full:
        return said
    end = load.full_until.astimezone(now.tzinfo)
    same = end.date() == load.opens.astimezone(now.tzinfo).date()
    return f"{said}, full until {f'{end:%H:%M}' if same else when(end, now)}"


def bench_reckoned(load: Load) -> str:
    """What that is reckoned from."""
    waits = f"{round(load.minutes)} min of work" if load.minutes < HOUR else f"{load.minutes / HOUR:.1f} h of work"
    told = "counted through the bench’s hours as they are written down."
    if load.assumed:
        told = f"counted through {load.assumed}, since no bench hours are written down."
    return f"{waits} waits, {told}"


def minutes(value: float) -> str:
    """“14 min”; “½ day” and days for what waits or cools."""
    if value < 240:
        return f"{round(value)} min"
    return "½ day" if value < 720 else f"{max(1, round(value / 1440))} d"


def count(number: int, what: str) -> str:
    """“1 ball”, “2 balls”."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def balls(names: Sequence[str]) -> str:
    """“Paper Moth”, “Paper Moth and Gate Nine”, “Paper Moth and 2 more”."""
    shown = [name or "a ball" for name in names]
    if not shown:
        return "no ball yet"
    if len(shown) < 3:
        return " and ".join(shown)
    return f"{shown[0]} and {len(shown) - 1} more"


def spoken_ticket(row: TicketRow, now: datetime) -> str:
    """A ticket in a list, to a screen reader."""
    said = promise(row.promised_at, now, late=row.late)
    return ", ".join(part for part in (f"ticket {row.number}", row.who, row.balls, row.waits_for or said) if part)


def spoken_waiting(row: Waiting, now: datetime) -> str:
    """A job that waits, to a screen reader."""
    said = promise(row.promised_at, now, late=row.late)
    begun = "begun" if row.begun else ""
    parts = (f"ticket {row.ticket}", row.what, row.service, said, minutes(row.minutes), begun)
    return ", ".join(part for part in parts if part)
