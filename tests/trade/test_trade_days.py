"""Days as they are said, held to the C library's own names for them."""

from __future__ import annotations

import locale
from collections.abc import Iterator
from datetime import date, timedelta

import pytest

from arsenal.trade import days

YEAR = [date(2028, 1, 1) + timedelta(days=n) for n in range(366)]


@pytest.fixture
def _english() -> Iterator[None]:
    before = locale.setlocale(locale.LC_TIME)
    locale.setlocale(locale.LC_TIME, "C")
    yield
    locale.setlocale(locale.LC_TIME, before)


@pytest.mark.usefixtures("_english")
def test_every_day_of_a_leap_year_is_said_as_the_c_library_says_it() -> None:
    for on in YEAR:
        assert days.weekday(on) == f"{on:%a}"
        assert days.month(on) == f"{on:%b}"
        assert days.day(on) == f"{on.day} {on:%b}"
        assert days.day_and_year(on) == f"{on.day} {on:%b %Y}"
        assert days.weekday_and_day(on) == f"{on:%a} {on.day} {on:%b}"
        assert days.in_full(on) == f"{on.day} {on:%B %Y}"
        assert days.WEEKDAYS[on.weekday()] == f"{on:%A}"


def test_the_year_is_said_only_where_it_is_another_one() -> None:
    on = date(2026, 3, 14)
    assert days.day_near(on, date(2026, 12, 31)) == "14 Mar"
    assert days.day_near(on, date(2027, 1, 1)) == "14 Mar 2026"
    assert days.weekday_near(on, date(2026, 12, 31)) == "Sat 14 Mar"
    assert days.weekday_near(on, date(2027, 1, 1)) == "14 Mar 2026"
