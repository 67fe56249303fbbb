"""Forms of what is played and when there is time for work: what they keep, and what they refuse under the field."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from on_worker import read
from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget

from arsenal.acts.shop import Shop
from arsenal.desk.dialogs.bowler import open_bowler
from arsenal.desk.dialogs.fields import read_clock
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep.league_form import LeagueDialog, open_league
from arsenal.desk.upkeep.repeats import days_ahead
from arsenal.desk.upkeep.slot_form import SlotDialog, open_slot
from arsenal.trade.calendar import League, Place, Repeats, Slot

HOSTILE = '<b>House</b> & <img src="file:///etc/hostname"> league'


def league_form(qtbot, ground: Shared, window: QWidget, league: League | None = None) -> LeagueDialog:
    open_league(ground, window, 1, league)
    qtbot.waitUntil(lambda: bool(window.findChildren(LeagueDialog)))
    return window.findChildren(LeagueDialog)[-1]


def slot_form(qtbot, ground: Shared, window: QWidget, bowler_id: int | None = 1) -> SlotDialog:
    open_slot(ground, window, bowler_id)
    qtbot.waitUntil(lambda: bool(window.findChildren(SlotDialog)))
    return window.findChildren(SlotDialog)[-1]


def test_a_league_is_kept_with_its_day_hour_balls_and_the_date_it_skips(qtbot, window, ground) -> None:
    form = league_form(qtbot, ground, window)
    form.name.line.setText(HOSTILE)
    form.games.edit.setText("4")
    form.starts.line.setText("7 pm")
    form.when.first_day.setDate(QDate(2027, 1, 5))
    form.balls.picked.emit(2)
    skipped = date(2027, 1, 19)
    form.when.without.picked.emit(skipped)
    with qtbot.waitSignal(ground.kept):
        QTest.keyClick(form, Qt.Key.Key_Return)
    kept = read(qtbot, ground, lambda shop: shop.every(League))[0]
    assert kept.name == HOSTILE
    assert (kept.games, kept.starts, kept.repeats) == (4.0, time(19, 0), Repeats.WEEKLY)
    assert kept.first_on == date(2027, 1, 5)
    assert kept.ball_ids == (2,)
    assert kept.skipped == (skipped,)


def test_no_games_no_name_and_no_time_of_day_are_each_said_under_their_field(qtbot, window, ground) -> None:
    form = league_form(qtbot, ground, window)
    form.games.edit.setText("0")
    form.starts.line.setText("25:10")
    form.when.ends.put(True)
    form.when.ends.picked.emit(True)
    form.when.last_day.setDate(form.when.first_day.date().addDays(-7))
    form.keep()
    assert "needs a name" in form.name.sentence.text()
    assert "0.5 to 30" in form.games.sentence.text()
    assert "25:10" in form.starts.sentence.text()
    assert "before the first" in form.when.last_field.sentence.text()
    assert form.name.line.hasFocus() or form.focusWidget() is form.name.line
    assert form.name.line.accessibleDescription() == form.name.sentence.text()
    assert read(qtbot, ground, lambda shop: shop.every(League)) == ()
    form.close()


def test_a_slot_of_no_minutes_is_refused_under_its_field_and_nothing_is_kept(qtbot, window, ground) -> None:
    form = slot_form(qtbot, ground, window)
    form.minutes.edit.setText("0")
    form.keep()
    assert "Minutes of work is 5 to 720 min" in form.minutes.sentence.text()
    assert read(qtbot, ground, lambda shop: shop.every(Slot)) == ()
    form.close()


def test_time_at_the_bench_is_the_shops_with_spinner_and_heat(qtbot, window, ground) -> None:
    form = slot_form(qtbot, ground, window, None)
    assert form.heated.isVisible()
    form.heated.edit.setText("4")
    form.minutes.edit.setText("120")
    with qtbot.waitSignal(ground.kept):
        form.keep()
    kept = read(qtbot, ground, lambda shop: shop.every(Slot))[0]
    assert kept.bowler_id is None
    assert kept.place is Place.BENCH
    assert (kept.minutes, kept.spinner, kept.heat, kept.heat_places) == (120.0, True, True, 4)


def test_without_heat_nobody_is_asked_how_many_balls_it_takes(qtbot, window, ground) -> None:
    form = slot_form(qtbot, ground, window)
    assert not form.heated.isVisible()
    form.tools.picked.emit("heat")
    assert form.heated.isVisible()
    assert "heat cabinet" in form.tools.accessibleName()
    form.close()


def test_a_league_that_is_over_is_taken_away_and_one_undo_brings_it_back(qtbot, window, ground) -> None:
    from arsenal.acts import calendar_records, undo  # noqa: PLC0415 - beside their only use

    def add(shop: Shop) -> object:
        return calendar_records.keep_league(shop, League(0, 1, "House league", shop.today()))

    read(qtbot, ground, add)
    league = read(qtbot, ground, lambda shop: shop.every(League))[0]
    form = league_form(qtbot, ground, window, league)
    with qtbot.waitSignal(ground.kept):
        form._remove()
    assert read(qtbot, ground, lambda shop: shop.every(League)) == ()
    read(qtbot, ground, undo.undo)
    assert read(qtbot, ground, lambda shop: shop.every(League)) == (league,)


def test_the_keyboard_alone_reaches_every_field_and_each_has_a_name(qtbot, window, ground) -> None:
    form = league_form(qtbot, ground, window)
    seen: list[QWidget] = []
    for _ in range(40):
        now = form.focusWidget()
        if now in seen:
            break
        if now is not None:
            seen.append(now)
        QTest.keyClick(form, Qt.Key.Key_Tab)
    assert form.name.line in seen
    assert form.games.edit in seen
    assert form.keep_button in seen
    for widget in seen:
        face = QAccessible.queryAccessibleInterface(widget)
        assert face.text(QAccessible.Text.Name), type(widget).__name__
    assert not any(isinstance(w, QLineEdit) and not w.accessibleName() for w in seen)
    form.close()


@pytest.mark.parametrize(
    ("text", "at"),
    [("19:00", time(19)), ("19.30", time(19, 30)), ("7 pm", time(19)), ("12 am", time(0)), ("9", time(9)),
     ("24:00", None), ("7:75", None), ("13 pm", None), ("later", None)],
)  # fmt: skip
def test_a_clock_time_is_read_as_people_write_it(text: str, at: time | None) -> None:
    assert read_clock(text) == at


def test_the_days_offered_to_be_left_out_are_those_it_falls_on() -> None:
    first, today = date(2028, 2, 1), date(2028, 2, 20)
    weekly = days_ahead(first, Repeats.WEEKLY, None, today, most=3)
    assert weekly == [date(2028, 2, 22), date(2028, 2, 29), date(2028, 3, 7)]  # a leap day among them
    every_second = days_ahead(first, Repeats.FORTNIGHTLY, date(2028, 3, 1), today)
    assert every_second == [date(2028, 2, 29)]
    assert days_ahead(first, Repeats.ONCE, None, today) == []


def test_consent_to_reminders_is_kept_with_its_day_and_a_minor_needs_a_guardian(qtbot, window, ground) -> None:
    dialog = open_bowler(ground, window)
    dialog.name.setText("Tansy Birk")
    contact = dialog.contact
    contact.phone.setText("000 1234")
    contact.agreed.put(True)
    contact.agreed.picked.emit(True)
    assert contact.agreed_on.isVisible()
    contact.age.put(True)
    contact.age.picked.emit(True)
    dialog.keep()
    assert "guardian" in dialog.trouble.text()
    contact.guardian.setText("Ansel Birk, 000 1235")
    contact.agreed_on.setDate(contact.agreed_on.maximumDate().addDays(-3))
    with qtbot.waitSignal(ground.kept):
        dialog.keep()
    today = read(qtbot, ground, lambda shop: shop.today())
    kept = read(qtbot, ground, lambda shop: next(p for p in shop.people() if p.name == "Tansy Birk"))
    assert kept.reminders_consented_on == today - timedelta(days=3)
    assert (kept.phone, kept.minor, kept.guardian) == ("000 1234", True, "Ansel Birk, 000 1235")


def test_nobody_agrees_to_reminders_by_being_added(qtbot, window, ground) -> None:
    dialog = open_bowler(ground, window)
    dialog.name.setText("Orrin Vale")
    with qtbot.waitSignal(ground.kept):
        dialog.keep()
    kept = read(qtbot, ground, lambda shop: next(p for p in shop.people() if p.name == "Orrin Vale"))
    assert kept.reminders_consented_on is None
    assert not kept.minor
