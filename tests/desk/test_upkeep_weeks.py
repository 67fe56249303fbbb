"""The week and the season of the Upkeep room: what stands on a day, what a plan says, and the keyboard alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
import upkeep_weeks as invented
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible, QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from arsenal.acts.calendar_views import Relaxation
from arsenal.desk.theme import look
from arsenal.desk.upkeep.notes import least_of, without_place
from arsenal.desk.upkeep.season_list import Axis
from arsenal.desk.upkeep.season_rows import BallLine, Loads, day_of
from arsenal.desk.upkeep.week_rows import WeekLine, lines_of, spoken
from arsenal.desk.upkeep.weeks_pane import SEASON, WEEK, WeeksPane


@pytest.fixture
def pane(qapp) -> Iterator[WeeksPane]:
    made = WeeksPane()
    made.resize(560, 620)
    made.show()
    made.show_week(invented.week(), owners=False)
    yield made
    made.close()
    made.deleteLater()


def lines(pane: WeeksPane) -> list[WeekLine]:
    return pane.week_list.rows_model.rows()


def line_of(pane: WeeksPane, ball: str) -> WeekLine:
    return next(line for line in lines(pane) if line.item is not None and line.item.ball == ball)


def test_each_day_begins_with_its_name_and_ends_with_a_line_below() -> None:
    found = lines_of(invented.week())
    assert [line.day.on for line in found if line.number == 0] == [
        invented.MONDAY + timedelta(days=n) for n in range(7)
    ]
    assert sum(line.last for line in found) == 7
    thursday = [line for line in found if line.day.short == "Thu"]
    assert [line.item.ball for line in thursday if line.item] == ["Quarry Song", "Umber Kestrel", "Tidewrack"]


def test_every_job_play_and_word_of_a_week_stands_on_some_line() -> None:
    week = invented.week()
    found = lines_of(week)
    work = [item for day in week.days for item in (*day.before, *day.after_work)]
    assert work == [line.item for line in found if line.item]
    assert [p for day in week.days for p in day.play] == [line.play for line in found if line.play]
    assert [a for day in week.days for a in day.after] == [line.after for line in found if line.after]
    assert all(not (line.after and line.after_work) for line in found)


def test_jobs_of_one_grain_in_one_slot_say_that_the_pad_is_out_already(pane: WeeksPane) -> None:
    assert not line_of(pane, "Quarry Song").same_pad
    assert line_of(pane, "Umber Kestrel").same_pad
    assert "same pad" in spoken(line_of(pane, "Umber Kestrel"))
    assert not line_of(pane, "Tidewrack").same_pad


def test_a_line_tells_a_screen_reader_its_day_work_play_and_what_is_odd(pane: WeeksPane) -> None:
    tuesday = spoken(line_of(pane, "Rook Hollow"))
    assert "today" in tuesday
    assert "refresh 1000 h" in tuesday
    assert "House league, 3 games, 19:00" in tuesday
    assert "Clean all played" in tuesday
    assert any("clocks go back" in spoken(line) for line in lines(pane) if line.day.short == "Wed")
    assert "resurface" not in spoken(lines(pane)[0])
    assert "nothing to do" in spoken(lines(pane)[0])
    face = QAccessible.queryAccessibleInterface(pane.week_list)
    assert face.text(QAccessible.Text.Name) == "The week"
    assert face.childCount() >= len(lines(pane))
    assert "Rook Hollow" in face.child(1).text(QAccessible.Text.Name)


def test_arrows_walk_the_lines_and_ask_for_the_week_before_and_after(pane: WeeksPane, qtbot) -> None:
    pane.week_list.setFocus()
    pane.week_list.choose(0)
    with qtbot.waitSignal(pane.item_chosen) as held:
        QTest.keyClick(pane.week_list, Qt.Key.Key_Down)
    assert held.args[0].ball == "Rook Hollow"
    with qtbot.waitSignal(pane.week_wanted) as wanted:
        QTest.keyClick(pane.week_list, Qt.Key.Key_Right)
    assert wanted.args[0] == invented.MONDAY + timedelta(weeks=1)
    with qtbot.waitSignal(pane.week_wanted) as wanted:
        QTest.keyClick(pane.week_list, Qt.Key.Key_Left)
    assert wanted.args[0] == invented.MONDAY - timedelta(weeks=1)
    with qtbot.waitSignal(pane.ball_opened) as opened:
        QTest.keyClick(pane.week_list, Qt.Key.Key_Return)
    assert opened.args[0] == 2


def test_the_job_in_hand_stays_in_hand_when_the_plan_is_made_again(pane: WeeksPane) -> None:
    pane.hold_job(4, "refresh")
    assert pane.item().ball == "Umber Kestrel"
    pane.show_week(invented.week(plan_id=9), owners=False)
    assert pane.item().ball == "Umber Kestrel"
    pane.hold_job(99, "refresh")
    assert pane.item().ball == "Umber Kestrel"


def test_planning_is_the_one_thing_to_do_until_there_is_a_plan(pane: WeeksPane) -> None:
    pane.show_week(invented.week(plan_id=0), owners=False)
    assert pane.plan_key.primary
    assert pane.plan_key.name() == "Plan the weeks"
    pane.show_week(invented.week(plan_id=1), owners=False)
    assert not pane.plan_key.primary
    assert pane.plan_key.name() == "Plan again"


def test_what_moved_is_a_quiet_list_and_what_has_no_place_names_the_least_that_helps(pane: WeeksPane, qtbot) -> None:
    assert pane.notes.isVisible()
    assert "because it cools" in pane.notes.lines.rows_model.rows()[0]
    assert not pane.notes.told.isVisible()
    pane.show_week(invented.week(unplaced=True), owners=False)
    assert "Bramble Vow, resurface" in pane.notes.told.text()
    assert pane.notes.ways[0].said.text() == "12 more minutes on Thu 26 Nov"
    assert pane.notes.ways[0].button.word() == "Change the time"
    assert not pane.notes.ways[1].isVisible()
    with qtbot.waitSignal(pane.notes.relax_wanted) as way:
        pane.notes.ways[0].button.click()
    assert way.args[0].kind == "minutes"
    pane.show_week(replace(invented.week(), moved=(), remarks=()), owners=False)
    assert not pane.notes.isVisible()


def test_the_season_has_a_line_for_the_weeks_and_one_for_each_ball(pane: WeeksPane) -> None:
    season = invented.season()
    pane.show_season(season, invented.TODAY, ())
    rows = pane.season_list.rows_model.rows()
    assert isinstance(rows[0], Loads)
    assert [row.row.ball for row in rows[1:]] == [row.ball for row in season.rows]
    for row in rows[1:]:
        days = [day_of(mark) for mark in row.marks]
        assert days == sorted(days)


def test_the_season_is_walked_mark_by_mark_and_each_says_what_it_is(pane: WeeksPane, qtbot) -> None:
    pane.show_season(invented.season(), invented.TODAY, ())
    assert pane.stack.currentIndex() == SEASON
    pane.season_list.setFocus()
    pane.season_list.choose_where(lambda row: isinstance(row, BallLine))
    first = pane.season_list.stop()
    QTest.keyClick(pane.season_list, Qt.Key.Key_Right)
    second = pane.season_list.stop()
    assert second.on > first.on
    assert pane.said.whole() == second.words
    assert pane.season_list.accessibleDescription() == second.words
    QTest.keyClick(pane.season_list, Qt.Key.Key_Down)
    assert abs((pane.season_list.stop().on - second.on).days) <= 14
    with qtbot.waitSignal(pane.week_wanted) as wanted:
        QTest.keyClick(pane.season_list, Qt.Key.Key_Return)
    assert wanted.args[0].weekday() == 0


def test_a_job_taken_in_hand_in_the_list_is_held_in_the_season_too(pane: WeeksPane) -> None:
    pane.show_season(invented.season(), invented.TODAY, ())
    pane.hold_job(1, "resurface")
    assert pane.season_list.in_hand().row.ball == "Quarry Song"
    assert pane.season_list.stop().mark.work == "resurface"


def test_every_mark_lies_within_the_axis_and_in_the_order_of_days() -> None:
    season = invented.season()
    axis = Axis(QRect(0, 0, 560, 40), season.first_on, season.last_on)
    places = [axis.x(season.first_on + timedelta(days=n)) for n in range(-3, 7 * 13 + 3)]
    assert places == sorted(places)
    assert places[0] == axis.left
    assert places[-1] == axis.right
    assert [monday.weekday() for monday in axis.mondays()] == [0] * len(axis.mondays())
    assert len(axis.mondays()) == 13


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_marks_of_the_season_stand_out_on_every_ground(pane: WeeksPane, scheme: str) -> None:
    look().set_both(scheme, 100)
    bans = ((invented.MONDAY + timedelta(days=2), invented.MONDAY + timedelta(days=5)),)
    pane.show_season(invented.season(), invented.TODAY, bans)
    image = pane.grab().toImage()
    seen = {QColor(image.pixel(x, y)).name() for x in range(image.width()) for y in range(54, 240)}
    for token in ("ink", "edge", "hand", "warn", "well"):
        assert look().color(token).name() in seen, token


@pytest.mark.parametrize("percent", [100, 125, 200])
def test_names_are_shown_as_they_stand_and_never_widen_the_pane(pane: WeeksPane, percent: int) -> None:
    look().set_both("light", percent)
    pane.show_week(invented.week(name=invented.HOSTILE), owners=False)
    assert any(invented.HOSTILE in spoken(line) for line in lines(pane))
    pane.show_season(invented.season(name=invented.HOSTILE), invented.TODAY, ())
    assert invented.HOSTILE in pane.season_heads.accessibleName()
    pane.resize(640, 900)
    pane.grab()
    assert pane.minimumSizeHint().width() <= 640


def test_everything_that_takes_the_focus_has_a_name(pane: WeeksPane) -> None:
    pane.show_week(invented.week(unplaced=True), owners=False)
    for stop in pane.findChildren(QWidget):
        if stop.focusPolicy() & Qt.FocusPolicy.TabFocus and stop.isVisible():
            face = QAccessible.queryAccessibleInterface(stop)
            assert face.text(QAccessible.Text.Name), type(stop).__name__


def test_another_week_asks_for_the_one_beside_it_by_button(pane: WeeksPane, qtbot) -> None:
    assert pane.stack.currentIndex() == WEEK
    with qtbot.waitSignal(pane.week_wanted) as wanted:
        pane.next.click()
    assert wanted.args[0] == invented.MONDAY + timedelta(weeks=1)
    with qtbot.waitSignal(pane.season_wanted) as season:
        pane.switch_key.click()
    assert season.args[0] is True


def test_minutes_missing_in_one_slot_are_asked_for_once_with_the_most_it_needs() -> None:
    ways = (Relaxation("minutes", "1 more", 5, 1.0), Relaxation("minutes", "3 more", 5, 3.0), Relaxation("pads", "pad"))
    assert [way.words for way in least_of(ways)] == ["3 more", "pad"]
    item = invented.item(1, "Quarry Song", "refresh", "1000 h", None)
    assert without_place((item, item)).startswith("Quarry Song, refresh: no time")
