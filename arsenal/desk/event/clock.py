"""Time left in words, by a clock that is passed in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

Clock = Callable[[], datetime]
FAST, SLOW = 5_000, 30_000
"""Milliseconds between two looks at the clock, in the last hour and before."""


def system_clock() -> datetime:
    """Now, with the offset of this place."""
    return datetime.now().astimezone()


def left_words(until: datetime, now: datetime) -> str:
    """“3 days”, “5 h 10 min”, “12 min”, “under a minute”; empty once it is over."""
    left = until - now
    if left <= timedelta(0):
        return ""
    minutes = int(left / timedelta(minutes=1))
    if minutes >= 48 * 60:
        return f"{minutes // (24 * 60)} days"
    if minutes >= 60:
        return f"{minutes // 60} h {minutes % 60} min" if minutes % 60 else f"{minutes // 60} h"
    return f"{minutes} min" if minutes else "under a minute"


def ban_words(until: datetime | None, now: datetime) -> str:
    """“in 12 min” before the ban, “since 8:55” of the same day after it."""
    if until is None:
        return ""
    left = left_words(until, now)
    if left:
        return f"in {left}"
    local = until.astimezone(now.tzinfo)
    return f"since {local.hour}:{local.minute:02d}" if local.date() == now.date() else "over"


def next_look(until: datetime | None, now: datetime) -> int:
    """Milliseconds to the next look at the clock."""
    near = until is not None and timedelta(0) <= until - now < timedelta(hours=1)
    return FAST if near else SLOW
