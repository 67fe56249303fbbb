"""What is told now, and whom a shop may write to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from made_shop import NOW, TODAY, Clock

from arsenal.acts import calendar, logging, people, reminders
from arsenal.acts.calendar_views import CustomerReminder
from arsenal.acts.shop import Shop
from arsenal.trade.calendar import Slot

AGREED = date(2026, 1, 10)


@pytest.fixture
def fresh(shop: Shop) -> Shop:
    """Every ball played was resurfaced at the beginning of November; Rook and Jay are past their games since."""
    for ball in ("rook", "jay"):
        for line in ("500/1000 s 2026-11-01", "1000 h 2026-11-02"):
            logging.keep(shop, logging.read_line(shop, f"{ball} {line}", bowler_id=1).drafts)
    logging.keep(shop, logging.read_line(shop, "lantern 500/1000/2000 s 2026-11-01", bowler_id=2).drafts)
    return shop


def told(shop: Shop) -> list[str]:
    return [one.title for one in reminders.due(shop, 1)]


def test_what_is_due_is_told_with_why_and_how_long(fresh: Shop) -> None:
    one = next(r for r in reminders.due(fresh, 1) if "Rook" in r.title)
    assert one.title == "Rook Hollow: refresh 1000 h"
    assert one.text.startswith("Due now: ")
    assert "3 min." in one.text
    assert one.due_on <= TODAY
    assert one.job is not None


def test_work_is_told_on_the_day_it_is_planned_for_and_not_before(fresh: Shop, clock: Clock) -> None:
    calendar.keep_slot(fresh, Slot(0, 1, date(2026, 9, 3), 60.0, time(18), spinner=True))
    assert not any("Rook" in title for title in told(fresh))
    clock.at = NOW + timedelta(days=2) - timedelta(hours=3)
    assert any("Rook" in title for title in told(fresh))


def test_done_on_an_earlier_day_ends_it(fresh: Shop) -> None:
    rook = next(r for r in reminders.due(fresh, 1) if "Rook" in r.title)
    assert rook.job is not None
    plan = calendar.plan_upkeep(fresh, 1, keep=False)
    calendar.done(fresh, [i for i in plan.items if i.key == rook.key], TODAY - timedelta(days=1))
    assert rook.title not in told(fresh)


def test_what_was_moved_or_left_out_is_not_told(fresh: Shop) -> None:
    plan = calendar.plan_upkeep(fresh, 1, keep=False)
    rook = next(i for i in plan.items if i.ball == "Rook Hollow" and i.work == "refresh" and i.round == 0)
    calendar.move(fresh, (rook,), TODAY + timedelta(days=3))
    assert "Rook Hollow: refresh 1000 h" not in told(fresh)
    calendar.leave_out(fresh, (rook,))
    assert "Rook Hollow: refresh 1000 h" not in told(fresh)


def test_each_bowler_is_named_where_several_use_the_file(fresh: Shop) -> None:
    assert all("(" in one.title for one in reminders.due(fresh))


def agree(shop: Shop, **fields: object) -> None:
    people.edit_bowler(shop, replace(shop.person(1), **fields))  # type: ignore[arg-type]


def asked(shop: Shop) -> tuple[list[CustomerReminder], dict[str, str]]:
    texts, left = reminders.customers(shop)
    return list(texts), {one.name: one.why for one in left}


def test_nobody_is_written_to_who_has_not_agreed(fresh: Shop) -> None:
    agree(fresh, phone="555 0100")
    texts, left = asked(fresh)
    assert texts == []
    assert left == {"Mirel Oster": "no consent recorded"}


@pytest.mark.parametrize(("fields", "why"), [
    ({}, "no phone or e-mail"),
    ({"phone": "555 0100", "reminders_consented_on": TODAY + timedelta(days=1)}, "agreed only from Wed 25 Nov"),
    ({"phone": "555 0100", "minor": True}, "a minor with no guardian's contact"),
    ({"phone": "555 0100", "minor": True, "guardian": "Ama Halloran"}, "a minor with no guardian's contact"),
])  # fmt: skip
def test_why_somebody_is_not_written_to_is_said(fresh: Shop, fields: dict[str, object], why: str) -> None:
    agree(fresh, **{"reminders_consented_on": AGREED, **fields})
    texts, left = asked(fresh)
    assert (texts, left) == ([], {"Mirel Oster": why})


def test_who_agreed_gets_a_text_in_plain_words(fresh: Shop) -> None:
    agree(fresh, reminders_consented_on=AGREED, phone="555 0100", email="mirel@house.example")
    (one,) = asked(fresh)[0]
    assert (one.to, one.addressed_to, one.consented_on, one.balls) == (
        "555 0100", "Mirel Oster", AGREED, ("Rook Hollow", "Jay Quarry"),
    )  # fmt: skip
    lines = one.text.split("\n")
    assert lines[0] == "Hello Mirel Oster,"
    assert any(line.startswith("Rook Hollow: a refresh, one pad, is due (") for line in lines)
    assert lines[-1] == "If you want no more of these reminders, tell us and we stop."


def test_a_minor_is_never_written_to_only_the_guardian(fresh: Shop) -> None:
    agree(fresh, reminders_consented_on=AGREED, phone="555 0111", minor=True, guardian="Ama Halloran, +1 555 0100")
    (one,) = asked(fresh)[0]
    assert (one.to, one.addressed_to) == ("+1 555 0100", "Ama Halloran")
    assert "555 0111" not in one.text
    assert "balls of Mirel Oster" in one.text


def test_a_bowler_without_due_work_is_in_neither_list(fresh: Shop) -> None:
    agree(fresh, reminders_consented_on=AGREED, phone="555 0100")
    names = {one.name for one in reminders.customers(fresh)[0]} | {one.name for one in reminders.customers(fresh)[1]}
    assert "Tave Lund" not in names
