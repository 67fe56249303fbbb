"""Days: months that end, leap years, and when so many games will have been played."""

from __future__ import annotations

from datetime import date

import pytest
from a_bag import HOUSE, MIREL, PRIORS, START, ball, folded, log, new, nights, sanded
from hypothesis import given
from hypothesis import strategies as st

from arsenal.plan import Due, Work, upkeep
from arsenal.plan.pace import add_months, after_games


@pytest.mark.parametrize(
    ("on", "months", "then"),
    [(date(2024, 2, 29), 6, date(2024, 8, 29)), (date(2023, 8, 31), 6, date(2024, 2, 29)),
     (date(2024, 8, 31), 6, date(2025, 2, 28)), (date(2024, 2, 29), 12, date(2025, 2, 28)),
     (date(2026, 12, 31), 1, date(2027, 1, 31)), (date(2028, 1, 31), 1, date(2028, 2, 29))],
)  # fmt: skip
def test_months_end_on_a_day_that_exists(on: date, months: int, then: date) -> None:
    assert add_months(on, months) == then


def test_a_ball_resurfaced_at_the_end_of_august_is_due_on_the_leap_day() -> None:
    done = date(2027, 8, 31)
    entries = log(1, new(done), sanded(done, 500.0, 1000.0, 2000.0), *nights(date(2027, 9, 1), 4, 3.0))

    def resurfacing(today: date) -> tuple[date | None, Due]:
        bag = [folded(ball(), entries, today)]
        jobs = upkeep(MIREL, bag, HOUSE, PRIORS, today=today, games_a_week=1.0, draws=5)
        job = next(j for j in jobs if j.work is Work.RESURFACE)
        return job.by, job.due

    assert resurfacing(date(2028, 2, 28)) == (date(2028, 2, 29), Due.SOON)
    assert resurfacing(date(2028, 2, 29)) == (date(2028, 2, 29), Due.DUE)


@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)), st.integers(0, 60))
def test_adding_months_never_overshoots_the_month(on: date, months: int) -> None:
    then = add_months(on, months)
    assert (then.year - on.year) * 12 + then.month - on.month == months
    assert then.day <= on.day


@given(st.floats(0.0, 200.0), st.floats(0.0, 60.0))
def test_fewer_games_left_never_come_later(games: float, pace: float) -> None:
    sooner, later = after_games(START, 0.5 * games, pace), after_games(START, games, pace)
    assert later is None or (sooner is not None and sooner <= later)


def test_no_pace_means_no_day_and_nothing_left_means_today() -> None:
    assert after_games(START, 5.0, 0.0) is None
    assert after_games(START, float("inf"), 5.0) is None
    assert after_games(START, 0.0, 0.0) == START
