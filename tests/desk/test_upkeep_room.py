"""The Upkeep room: done as planned, another day, leave out, and the week."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import time, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from upkeep_weeks import HOSTILE

from arsenal.acts import balls, calendar
from arsenal.acts.calendar_views import Relaxation
from arsenal.acts.logging import keep
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import reminders
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.desk.file_menu import FileMenu
from arsenal.desk.frame import focus_stops
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.desk.upkeep.another_day import AnotherDay, EarlierDay
from arsenal.desk.upkeep.interval_table import IntervalTable
from arsenal.desk.upkeep.league_form import LeagueDialog
from arsenal.desk.upkeep.room import UpkeepRoom, make
from arsenal.desk.upkeep.rows import Heading, JobRow, alarm_words, day_words
from arsenal.desk.upkeep.season_rows import BallLine
from arsenal.desk.upkeep.slot_form import SlotDialog
from arsenal.desk.upkeep.to_remind import ToRemind
from arsenal.desk.worker import Worker
from arsenal.order.records import Remark
from arsenal.trade import days
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.calendar import League, Slot
from arsenal.trade.entries import Draft, Kind, New, Played, Step, SurfaceWork
from arsenal.trade.errors import KnownError
from arsenal.trade.units import SHOTS_A_GAME


@pytest.fixture
def due_file(shop_file: Path) -> Path:
    """The shop with one ball that has done forty games on its finish."""
    with Shop.open(shop_file, settings=Settings(path=shop_file.parent / "none.json")) as shop:
        ball = next(b for b in shop.balls() if b.name == "Quarry Song")
        sanded = Draft(ball.id, Kind.SANDED, shop.today(), SurfaceWork((Step(number=1000),)))
        keep(shop, (sanded, Draft(ball.id, Kind.PLAYED, shop.today(), Played(40 * SHOTS_A_GAME))))
    return shop_file


@pytest.fixture
def room(qapp: QApplication, due_file: Path, settings: Settings, qtbot) -> Iterator[UpkeepRoom]:
    worker = Worker(lambda: Shop.open(due_file, settings=settings))
    shared = Shared(worker, settings)
    shared.bowler_id = 1
    made = make(shared)
    shared.kept.connect(made.refresh)
    made.resize(1366, 640)
    made.sentence_bar().setParent(made)
    made.show()
    made.enter()
    qtbot.waitUntil(lambda: bool(jobs(made)), timeout=20000)
    yield made
    worker.close()
    made.close()
    made.deleteLater()
    shared.deleteLater()


def jobs(room: UpkeepRoom) -> list[JobRow]:
    return [row for row in room.jobs.list.rows_model.rows() if isinstance(row, JobRow)]


def refresh_of(room: UpkeepRoom, ball: str = "Quarry Song") -> JobRow | None:
    return next((row for row in jobs(room) if row.ball == ball and row.work == "Refresh"), None)


def choose(room: UpkeepRoom, qtbot) -> None:
    room.jobs.list.choose_where(lambda r: isinstance(r, JobRow) and r.ball == "Quarry Song" and r.work == "Refresh")
    qtbot.waitUntil(lambda: "1000" in room.jobs.means.text(), timeout=10000)


def test_a_ball_far_over_its_finish_stands_under_now_with_its_reason(room: UpkeepRoom) -> None:
    rows = room.jobs.list.rows_model.rows()
    assert isinstance(rows[0], Heading)
    assert rows[0].title == "Now"
    row = refresh_of(room)
    assert row is not None
    assert row.mark in ("due", "over")
    assert row.why


def test_what_done_would_log_is_shown_with_its_caution_before_it_is_kept(room: UpkeepRoom, qtbot) -> None:
    choose(room, qtbot)
    assert "sanded" in room.jobs.means.text()
    assert "mask" in room.jobs.caution.text()


def test_done_as_planned_logs_and_takes_the_job_from_now(room: UpkeepRoom, qtbot) -> None:
    choose(room, qtbot)
    with qtbot.waitSignal(room.shared.kept, timeout=10000) as kept:
        room.jobs.done_key.click()
    assert "Quarry Song" in kept.args[0].sentence
    qtbot.waitUntil(lambda: (row := refresh_of(room)) is None or row.mark not in ("due", "over"), timeout=10000)
    assert room.jobs.in_hand() == jobs(room)[0], "the next job, not the next round of this one"


def test_leaving_out_and_putting_back_is_one_key(room: UpkeepRoom, qtbot) -> None:
    choose(room, qtbot)
    room.jobs.out_key.click()
    qtbot.waitUntil(lambda: (row := refresh_of(room)) is not None and row.left_out, timeout=10000)
    qtbot.waitUntil(lambda: room.jobs.out_key.name() == "Put back", timeout=10000)
    room.jobs.out_key.click()
    qtbot.waitUntil(lambda: (row := refresh_of(room)) is not None and not row.left_out, timeout=10000)


def test_another_day_moves_the_job_to_it(room: UpkeepRoom, qtbot) -> None:
    choose(room, qtbot)
    room.jobs.move_key.click()
    qtbot.waitUntil(lambda: bool(room.findChildren(AnotherDay)), timeout=10000)
    dialog = room.findChildren(AnotherDay)[0]
    dialog.day.setDate(dialog.day.minimumDate().addDays(4))
    dialog.keep()
    qtbot.waitUntil(lambda: (row := refresh_of(room)) is not None and "moved" in row.why, timeout=10000)


def test_the_interval_table_refuses_a_cell_it_cannot_read(room: UpkeepRoom, qtbot) -> None:
    room._bar._table()
    qtbot.waitUntil(lambda: bool(room.findChildren(IntervalTable)), timeout=10000)
    table = room.findChildren(IntervalTable)[0]
    table.cells["solid"][0].setText("often")
    table.keep()
    qtbot.waitUntil(lambda: "often" in table.trouble.text(), timeout=10000)
    table.reject()


def test_a_day_is_said_the_shorter_the_nearer(room: UpkeepRoom) -> None:
    today = room.today()
    assert day_words(None, today) == ""
    assert day_words(today, today).split()[1] == str(today.day)
    assert "’" in day_words(today + timedelta(days=500), today)


def test_balls_that_have_grown_alike_and_the_reading_most_worth_taking_are_told(room: UpkeepRoom, qtbot) -> None:
    assert room.jobs.reading.isVisibleTo(room)
    assert room.jobs.reading.whole().startswith("Read ")
    assert "instead of ±" in room.jobs.reading.whole()
    sheet = room.sheet()
    assert sheet is not None
    told = [Remark(kind, f"A and B, {kind}", "Detail.") for kind in ("grown alike", "fallen", "fallen", "lost")]
    assert alarm_words(replace(sheet, alarms=tuple(told[:1]))) == "A and B, grown alike. Detail."
    said = alarm_words(replace(sheet, alarms=tuple(told)))
    assert said.splitlines()[-1] == "and 1 more"
    assert "lost" not in said  # the jobs tell those
    assert room.jobs.alarms.isVisibleTo(room) is bool(room.jobs.alarms.whole())


# the weeks


@pytest.fixture
def planned(room: UpkeepRoom, qtbot) -> UpkeepRoom:
    """The room once there is time for work and a plan."""

    def add(shop: Shop) -> object:
        today = shop.today()
        calendar.keep_slot(shop, Slot(0, 1, today, 60.0, spinner=True))
        return calendar.keep_league(shop, League(0, 1, HOSTILE, today, starts=time(19)))

    done: list[object] = []
    room.shared.worker.act(add, done.append)
    qtbot.waitUntil(lambda: bool(done), timeout=10000)
    room.enter()
    qtbot.waitUntil(lambda: room.weeks.week is not None and bool(room.weeks.week.days[0].name), timeout=20000)
    with qtbot.waitSignal(room.shared.said, timeout=20000):
        room.weeks.plan_key.click()
    qtbot.waitUntil(lambda: room.weeks.week is not None and room.weeks.week.plan_id > 0, timeout=20000)
    return room


def test_planning_puts_the_job_into_the_time_there_is_and_writes_nothing_to_the_log(planned: UpkeepRoom, qtbot) -> None:
    week = planned.weeks.week
    placed = [item for day in week.days for item in day.before if item.ball == "Quarry Song" and item.work == "refresh"]
    assert len(placed) == 1
    assert placed[0].slot_key
    logs: list[int] = []
    planned.shared.worker.act(lambda shop: sum(len(shop.entries(b.id)) for b in shop.balls()), logs.append)
    qtbot.waitUntil(lambda: bool(logs))
    assert logs == [5], "three balls that came, one sanding, one evening of play"


def test_the_sentence_names_what_is_played_and_when_there_is_time(planned: UpkeepRoom) -> None:
    bar = planned.sentence()
    today = planned.today()
    assert bar.slots.word() == days.weekday(today)
    assert "no league" not in bar.leagues.word()
    assert [act.text() for act in bar.slots.menu().actions()][-1] == "Add time for work…"
    assert any("league" in act.text() for act in bar.leagues.menu().actions())


def test_a_job_taken_in_the_week_is_in_hand_in_the_list_and_done_logs_it(planned: UpkeepRoom, qtbot) -> None:
    weeks = planned.weeks.week_list
    assert weeks.choose_where(lambda line: line.item is not None and line.item.work == "refresh")
    qtbot.waitUntil(lambda: "1000" in planned.jobs.means.text(), timeout=10000)
    assert planned.jobs.in_hand().work == "Refresh"
    with qtbot.waitSignal(planned.shared.kept, timeout=10000) as kept:
        planned.jobs.done_key.click()
    assert "Quarry Song" in kept.args[0].sentence


def test_done_on_an_earlier_day_is_logged_on_that_day(planned: UpkeepRoom, qtbot) -> None:
    def add(shop: Shop) -> object:
        ago = [shop.today() - timedelta(days=days) for days in (40, 30, 5)]
        came, sanded = Draft(0, Kind.NEW, ago[0], New()), SurfaceWork((Step(number=1000),))
        ball_id = balls.add_ball(shop, Ball(0, "Old Furrow", "furrow", 1, Cover.SOLID), [came]).changed[0].id
        played = Draft(ball_id, Kind.PLAYED, ago[2], Played(40 * SHOTS_A_GAME))
        return keep(shop, (Draft(ball_id, Kind.SANDED, ago[1], sanded), played))

    planned.shared.keep(add)
    qtbot.waitUntil(lambda: refresh_of(planned, "Old Furrow") is not None, timeout=20000)
    planned.jobs.list.choose_where(lambda r: isinstance(r, JobRow) and r.ball == "Old Furrow" and r.work == "Refresh")
    qtbot.waitUntil(lambda: "Old Furrow" in planned.jobs.means.text(), timeout=10000)
    planned.jobs.earlier_key.click()
    dialog = planned.findChildren(EarlierDay)[0]
    yesterday = planned.today() - timedelta(days=1)
    assert dialog.day.day() == yesterday
    assert dialog.day.maximumDate() == dialog.day.date().addDays(1)
    with qtbot.waitSignal(planned.shared.kept, timeout=10000):
        dialog.keep()
    found: list = []
    planned.shared.worker.act(
        lambda shop: [e.on for b in shop.balls() if b.name == "Old Furrow" for e in shop.entries(b.id)], found.append
    )
    qtbot.waitUntil(lambda: bool(found))
    assert found[0][-1] == yesterday


def test_a_day_before_the_ball_came_is_refused_in_the_dialog(planned: UpkeepRoom, qtbot) -> None:
    choose(planned, qtbot)
    planned.jobs.earlier_key.click()
    dialog = planned.findChildren(EarlierDay)[0]
    dialog.keep()
    qtbot.waitUntil(lambda: bool(dialog.trouble.text()), timeout=10000)
    assert dialog.isVisible()
    assert "the day the ball came" in dialog.trouble.text()
    dialog.reject()


def test_the_week_after_shows_what_is_planned_then_and_home_comes_back(planned: UpkeepRoom, qtbot) -> None:
    monday = planned.weeks.week.monday
    QTest.keyClick(planned, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: planned.weeks.week.monday == monday + timedelta(weeks=1), timeout=20000)
    QTest.keyClick(planned, Qt.Key.Key_Home, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: planned.weeks.week.monday == monday, timeout=20000)


def test_a_week_farther_than_a_plan_goes_is_refused_and_the_one_shown_stays(planned: UpkeepRoom, qtbot) -> None:
    monday = planned.weeks.week.monday
    with qtbot.waitSignal(planned.shared.troubled, timeout=20000) as told:
        planned.weeks.week_wanted.emit(monday + timedelta(weeks=80))
    assert isinstance(told.args[0], KnownError)
    planned.weeks.step(-1)
    qtbot.waitUntil(lambda: planned.weeks.week.monday == monday - timedelta(weeks=1), timeout=20000)


def test_the_season_goes_back_to_the_week_of_the_mark_in_hand(planned: UpkeepRoom, qtbot) -> None:
    planned.weeks.switch_key.click()
    qtbot.waitUntil(lambda: planned.weeks.season is not None, timeout=20000)
    season = planned.weeks.season_list
    assert any(isinstance(row, BallLine) for row in season.rows_model.rows())
    season.choose(0)
    season.hold(3)
    wanted = season.stop().on
    QTest.keyClick(season, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: planned.weeks.week.monday == wanted, timeout=20000)


def test_another_day_moves_the_job_in_the_plan_and_says_so(planned: UpkeepRoom, qtbot) -> None:
    choose(planned, qtbot)
    to = planned.today() + timedelta(days=2)
    planned.jobs.move_key.click()
    dialog = planned.findChildren(AnotherDay)[0]
    dialog.day.setDate(QDate(to.year, to.month, to.day))
    with qtbot.waitSignal(planned.shared.kept, timeout=10000):
        dialog.keep()
    qtbot.waitUntil(lambda: any("you moved it" in m.words for m in planned.weeks.week.moved), timeout=20000)
    assert planned.weeks.notes.isVisibleTo(planned)
    assert planned.weeks.notes.changed.text() == "Moved since it was planned: 1 job"
    before = planned.weeks.week.plan_id
    planned.weeks.plan_key.click()
    qtbot.waitUntil(lambda: planned.weeks.week.plan_id > before, timeout=20000)
    assert planned.weeks.week.moved == ()
    assert planned.weeks.notes.changed.text() == "Moved by planning again: 1 job"
    assert any("you moved it" in line for line in planned.weeks.notes.lines.rows_model.rows())


def test_the_calendar_file_is_written_whole_and_says_that_it_updates(
    planned: UpkeepRoom, qtbot, tmp_path: Path
) -> None:
    with qtbot.waitSignal(planned.shared.said, timeout=20000) as said:
        planned.doing.write_calendar(tmp_path / "upkeep")
    text = (tmp_path / "upkeep.ics").read_text("utf-8")
    assert text.startswith("BEGIN:VCALENDAR")
    assert "doubles nothing" in said.args[0]
    first = re.findall(r"UID:(\S+)", text)
    with qtbot.waitSignal(planned.shared.said, timeout=20000):
        planned.doing.write_calendar(tmp_path / "again.ics")
    assert re.findall(r"UID:(\S+)", (tmp_path / "again.ics").read_text("utf-8")) == first
    assert not list(tmp_path.glob("*.part"))


def test_a_calendar_file_that_cannot_be_written_leaves_what_was_there(
    planned: UpkeepRoom, qtbot, tmp_path: Path
) -> None:
    folder = tmp_path / "not a folder"
    folder.write_text("kept")
    with qtbot.waitSignal(planned.shared.troubled, timeout=20000) as told:
        planned.doing.write_calendar(folder / "upkeep.ics")
    assert isinstance(told.args[0], KnownError)
    assert folder.read_text() == "kept"


def test_everybody_is_the_shop_with_its_bench_and_whom_to_remind(planned: UpkeepRoom, qtbot) -> None:
    planned._pick_bowler(None)
    qtbot.waitUntil(lambda: planned.weeks.week.bowler_id is None, timeout=20000)
    assert planned.weeks.remind_key.isVisibleTo(planned)
    assert planned.sentence().slots.word() == "no set time"
    assert "Mirel Oster" in jobs(planned)[0].below
    planned.weeks.remind_key.click()
    qtbot.waitUntil(lambda: bool(planned.findChildren(ToRemind)), timeout=10000)
    assert planned.findChildren(ToRemind)[0].heading.whole() == "Nobody to remind"
    planned.findChildren(ToRemind)[0].reject()


def test_a_reminder_opens_its_job_and_where_asked_the_day_it_was_done(planned: UpkeepRoom, qtbot) -> None:
    planned.show_job(1, "refresh", earlier=True)
    qtbot.waitUntil(lambda: bool(planned.findChildren(EarlierDay)), timeout=10000)
    assert planned.jobs.in_hand().ball == "Quarry Song"
    planned.findChildren(EarlierDay)[0].reject()


@pytest.mark.parametrize(
    ("size", "percent"), [((1366, 640), 100), ((1366, 640), 125), ((1366, 640), 200), ((640, 400), 100)]
)
def test_every_key_can_be_reached_at_every_size(
    planned: UpkeepRoom, qtbot, size: tuple[int, int], percent: int
) -> None:
    look().set_both("light", percent)
    planned.resize(*size)
    qtbot.waitUntil(lambda: planned.width() == size[0])
    QApplication.processEvents()
    inside, view = planned._inside, planned._scroll.viewport()
    assert inside.width() <= view.width()
    scrolls = planned._scroll.verticalScrollBar().maximum()
    for key in planned.findChildren(KeyButton):
        if key.isVisibleTo(planned):
            bottom = key.mapTo(inside, QPoint(0, key.height())).y()
            assert bottom <= view.height() + scrolls, key.name()
            assert key.width() >= key.minimumSizeHint().width() - 1, key.name()


def test_the_keyboard_alone_reaches_everything_in_the_order_it_stands(planned: UpkeepRoom, qtbot) -> None:
    stops = focus_stops(planned)
    for stop in stops:
        if stop.isVisibleTo(planned):
            assert QAccessible.queryAccessibleInterface(stop).text(QAccessible.Text.Name), type(stop).__name__
    order = [
        stops.index(w)
        for w in (planned.jobs.list, planned.jobs.done_key, planned.weeks.week_list, planned.weeks.plan_key)
    ]
    assert order == sorted(order)
    seen = [stop for stop in stops if stop.isVisibleTo(planned)]
    left = [stop.mapTo(planned, QPoint(0, 0)).y() for stop in seen if planned.jobs.isAncestorOf(stop)]
    assert left == sorted(left), "from top to bottom"


def test_the_least_that_helps_opens_the_time_with_the_minutes_already_added(planned: UpkeepRoom, qtbot) -> None:
    slot = planned.sentence().slots_now()[0]
    planned.doing.relax(Relaxation("minutes", "12 more minutes", slot.id, 12.0))
    qtbot.waitUntil(lambda: bool(planned.findChildren(SlotDialog)), timeout=10000)
    form = planned.findChildren(SlotDialog)[0]
    assert form.minutes.value() == slot.minutes + 15.0
    with qtbot.waitSignal(planned.shared.kept, timeout=10000):
        form.keep()
    qtbot.waitUntil(lambda: planned.sentence().slots_now()[0].minutes == slot.minutes + 15.0, timeout=10000)


def test_a_bowler_without_balls_is_told_what_upkeep_needs_and_can_begin(planned: UpkeepRoom, qtbot) -> None:
    planned._pick_bowler(2)
    qtbot.waitUntil(lambda: planned.jobs.empty.isVisibleTo(planned), timeout=20000)
    assert planned.jobs.empty.button.name() == "Add the first ball"
    assert not planned.weeks.isVisibleTo(planned)
    assert not planned.jobs.done_key.isEnabled()
    assert "<i>Ode</i> & Co" in planned.jobs.empty.title.whole()


def test_without_time_for_work_the_plan_says_so_and_offers_to_say_when(room: UpkeepRoom, qtbot) -> None:
    qtbot.waitUntil(lambda: room.weeks.week is not None, timeout=20000)
    ways = [way for way in room.weeks.notes.ways if way.isVisibleTo(room)]
    assert [way.button.word() for way in ways] == ["Add time"]
    ways[0].button.click()
    qtbot.waitUntil(lambda: bool(room.findChildren(SlotDialog)), timeout=10000)
    room.findChildren(SlotDialog)[0].reject()


def test_a_later_round_is_only_forecast_and_nothing_can_be_logged_of_it(planned: UpkeepRoom) -> None:
    item = next(item for day in planned.weeks.week.days for item in day.before)
    planned.weeks.item_chosen.emit(replace(item, job=None, round=1))
    assert "forecast" in planned.jobs.means.text()
    assert not planned.jobs.done_key.isEnabled()
    assert not planned.jobs.move_key.isEnabled()


def test_one_key_shows_the_week_as_it_is_printed(planned: UpkeepRoom, qtbot) -> None:
    QTest.keyClick(planned.sentence().bowler, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: bool(planned.findChildren(PaperDialog)), timeout=10000)
    planned.findChildren(PaperDialog)[0].reject()


def test_the_menu_adds_leagues_and_time_and_turns_reminders_off(planned: UpkeepRoom, qtbot) -> None:
    none = lambda *_: None  # noqa: E731 - stands for what the menu does elsewhere
    menu = FileMenu(planned.shared, planned, restore=none, other=none, remove=none, keys=none)
    acts = {act.text().partition("\t")[0]: act for act in menu.actions()}
    acts["A league or practice …"].trigger()
    qtbot.waitUntil(lambda: bool(planned.findChildren(LeagueDialog)), timeout=10000)
    planned.findChildren(LeagueDialog)[0].reject()
    acts["Bench time of the shop …"].trigger()
    qtbot.waitUntil(lambda: bool(planned.findChildren(SlotDialog)), timeout=10000)
    assert planned.findChildren(SlotDialog)[0].slot().bowler_id is None
    planned.findChildren(SlotDialog)[0].reject()
    off = acts["Remind me of what is due"]
    assert off.isChecked()
    off.trigger()
    assert not reminders.wanted(planned.shared.settings)
    menu.deleteLater()
