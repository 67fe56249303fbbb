"""The Upkeep room: done as planned, another day, leave out, and the week."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from arsenal.acts.logging import keep
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep.another_day import AnotherDay
from arsenal.desk.upkeep.interval_table import IntervalTable
from arsenal.desk.upkeep.room import UpkeepRoom, make
from arsenal.desk.upkeep.rows import Heading, JobRow, alarm_words, day_words
from arsenal.desk.worker import Worker
from arsenal.order.records import Remark
from arsenal.trade.entries import Draft, Kind, Played, Step, SurfaceWork
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
