"""Days that repeat and clocks that change, against the recurrence rules and zones of python-dateutil."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil import rrule, tz
from hypothesis import example, given
from hypothesis import strategies as st

from arsenal.plan.occurrences import days_of, local
from arsenal.trade.calendar import Repeats

DAYS = st.dates(date(2023, 1, 1), date(2033, 12, 31))
INTERVAL = {Repeats.WEEKLY: 1, Repeats.FORTNIGHTLY: 2}


@given(DAYS, st.sampled_from(list(INTERVAL)), DAYS, st.integers(0, 120), st.none() | DAYS)
@example(date(2024, 2, 29), Repeats.WEEKLY, date(2028, 2, 1), 60, None)  # over the next leap day
@example(date(2026, 12, 31), Repeats.FORTNIGHTLY, date(2026, 12, 31), 30, None)  # over the end of a year of 53 weeks
def test_days_that_repeat_are_those_of_the_calendar_rule(
    first: date, repeats: Repeats, since: date, length: int, last: date | None
) -> None:
    until = since + timedelta(days=length)
    rule = rrule.rrule(
        rrule.WEEKLY, interval=INTERVAL[repeats], dtstart=datetime.combine(first, time()),
        until=datetime.combine(min(until, last) if last else until, time()),
    )  # fmt: skip
    expected = tuple(at.date() for at in rule if at.date() >= since)
    assert days_of(first, repeats, since, until, last_on=last) == expected


def test_a_thing_that_is_once_falls_on_its_day_alone_and_days_left_out_stay_out() -> None:
    on = date(2028, 2, 29)
    assert days_of(on, Repeats.ONCE, on, on) == (on,)
    assert days_of(on, Repeats.ONCE, on + timedelta(days=1), date(2029, 3, 1)) == ()
    weekly = days_of(date(2026, 12, 1), Repeats.WEEKLY, date(2026, 12, 1), date(2026, 12, 31),
                     skipped=(date(2026, 12, 29), date(2026, 12, 8)))  # fmt: skip
    assert weekly == (date(2026, 12, 1), date(2026, 12, 15), date(2026, 12, 22))


ZONES = ("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Africa/Casablanca", "UTC")


@given(st.dates(date(2024, 1, 1), date(2030, 12, 31)), st.times(), st.sampled_from(ZONES))
@example(date(2026, 10, 25), time(2, 30), "Europe/Berlin")
@example(date(2026, 3, 29), time(2, 30), "Europe/Berlin")
@example(date(2026, 4, 5), time(1, 45), "Australia/Lord_Howe")  # half an hour back
def test_a_clock_time_that_comes_twice_or_never_is_told(on: date, at: time, name: str) -> None:
    zone, other = ZoneInfo(name), tz.gettz(name)
    naive = datetime.combine(on, at)
    meant = local(on, at, zone)
    assert meant.twice == tz.datetime_ambiguous(naive, other)
    assert meant.never == (not tz.datetime_exists(naive, other))
    if not meant.never:
        assert meant.at.replace(tzinfo=None, fold=0) == naive
        assert meant.at.astimezone(UTC) == naive.replace(tzinfo=other).astimezone(UTC)
    else:
        assert meant.at == tz.resolve_imaginary(naive.replace(tzinfo=other))


@pytest.mark.parametrize(("on", "at", "utc"), [
    (date(2026, 10, 25), time(2, 30), datetime(2026, 10, 25, 0, 30, tzinfo=UTC)),  # the first of the two
    (date(2026, 3, 29), time(2, 30), datetime(2026, 3, 29, 1, 30, tzinfo=UTC)),  # 3:30 by the new clock
])  # fmt: skip
def test_worked_by_hand_in_berlin(on: date, at: time, utc: datetime) -> None:
    assert local(on, at, ZoneInfo("Europe/Berlin")).at.astimezone(UTC) == utc
