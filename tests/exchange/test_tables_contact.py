"""How to reach somebody, and whether he agreed to be reminded, through the tables and back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from arsenal.exchange import tables
from arsenal.trade.person import Person

TODAY = date(2026, 11, 24)
JUNI = Person(1, "Juni Halloran", "juni")
WORDS = st.text("ab +@=-0'\",;é", max_size=12).map(lambda text: " ".join(text.split()))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
@example("+1 555 0100", "@home", date(2024, 2, 29), True, "=SUM(1)")
@given(WORDS, WORDS, st.none() | st.dates(date(2020, 1, 1), TODAY), st.booleans(), WORDS)
def test_how_to_reach_somebody_comes_back_as_it_was(
    tmp_path: Path, phone: str, email: str, agreed: date | None, minor: bool, guardian: str
) -> None:
    kept = replace(
        JUNI, phone=phone, email=email, reminders_consented_on=agreed, minor=minor, guardian=guardian
    )  # fmt: skip
    files = tables.dump(tmp_path, (kept,), (), (), (), (), ())
    found = tables.load(files, today=TODAY)
    assert found.problems == ()
    assert [replace(person, id=1) for person in found.people] == [kept]


def test_a_day_to_come_on_which_nobody_can_have_agreed_yet_is_a_bad_cell(tmp_path: Path) -> None:
    path = tmp_path / "bowlers.csv"
    path.write_text("bowler,reminders_agreed\nJuni Halloran,2026-12-24\n", "utf-8")
    (problem,) = tables.load([path], today=TODAY).problems
    assert problem.field == "reminders_agreed"
