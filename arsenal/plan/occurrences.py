"""The days on which something that repeats falls, and what a local clock time means on a day the clocks change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from arsenal.trade.calendar import Repeats

STEP_DAYS = {Repeats.WEEKLY: 7, Repeats.FORTNIGHTLY: 14}


def days_of(
    first_on: date, repeats: Repeats, since: date, until: date, *, last_on: date | None = None,
    skipped: tuple[date, ...] = (),
) -> tuple[date, ...]:  # fmt: skip
    """The days from `since` to `until`, both counted, on which it falls. Weeks are counted in days, so that leap days
    and the ends of years need no rule of their own.
    """
    end = until if last_on is None else min(until, last_on)
    step = STEP_DAYS.get(repeats)
    if step is None:
        found = [first_on] if since <= first_on <= end else []
    else:
        skip = max(0, -((first_on - since).days // step))
        found = []
        on = first_on + timedelta(days=step * skip)
        while on <= end:
            found.append(on)
            on += timedelta(days=step)
    return tuple(day for day in found if day >= since and day not in skipped)


@dataclass(frozen=True, slots=True)
class Local:
    """A local clock time on a day, as a moment; `twice` where it comes twice that day (the first is meant), `never`
    where the clocks jump over it (as much later as they jump).
    """

    at: datetime
    twice: bool = False
    never: bool = False


def local(on: date, at: time, zone: tzinfo | None = None) -> Local:
    """What `at` means on that day in `zone` (None: this machine's)."""
    naive = datetime.combine(on, at.replace(tzinfo=None, fold=0))
    first, second = _aware(naive, zone), _aware(naive.replace(fold=1), zone)
    if first.utcoffset() == second.utcoffset():
        return Local(first)
    back = first.astimezone(UTC).astimezone(zone)
    jumped = back.replace(tzinfo=None, fold=0) != naive
    return Local(back, never=True) if jumped else Local(first, twice=True)


def _aware(naive: datetime, zone: tzinfo | None) -> datetime:
    return naive.astimezone() if zone is None else naive.replace(tzinfo=zone)
