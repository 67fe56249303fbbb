"""The Bench: type a line, see its words, keep it, take it back; look at a past day; quick keys and pads."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from arsenal.acts import undo
from arsenal.acts.balls import add_ball
from arsenal.acts.logging import keep
from arsenal.acts.pads import add_pad
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.bench.room import BenchRoom, make
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, New, Played, Step, SurfaceWork
from arsenal.trade.pads import Pad
from arsenal.trade.units import SHOTS_A_GAME

BACK = 12


@pytest.fixture
def used_file(shop_file: Path) -> Path:
    """The shop with a pad, and a ball sanded some days ago and played since."""
    with Shop.open(shop_file, settings=Settings(path=shop_file.parent / "none.json")) as shop:
        start = shop.today() - timedelta(days=BACK)
        came = Draft(0, Kind.NEW, start, New())
        add_ball(shop, Ball(0, "Marl Heron", "marl", 1, Cover.URETHANE), [came])
        marl = next(b for b in shop.balls() if b.name == "Marl Heron")
        add_pad(shop, Pad(0, 1000, owner_id=marl.owner_id))
        sanded = Draft(marl.id, Kind.SANDED, start, SurfaceWork((Step(number=1000, seconds=60, sides=6),)))
        played = [
            Draft(marl.id, Kind.PLAYED, start + timedelta(days=d), Played(3 * SHOTS_A_GAME)) for d in (2, 6, BACK - 1)
        ]
        keep(shop, (sanded, *played))
    return shop_file


@pytest.fixture
def room(qapp: QApplication, used_file: Path, settings: Settings, qtbot) -> Iterator[BenchRoom]:
    worker = Worker(lambda: Shop.open(used_file, settings=settings))
    shared = Shared(worker, settings)
    shared.bowler_id, shared.ball_id = 1, 4
    made = make(shared)
    shared.kept.connect(made.refresh)
    made.resize(1366, 680)
    made.show()
    made.enter()
    qtbot.waitUntil(lambda: made.title.whole() == "Marl Heron" and bool(made.pads.rows_model.rows()), timeout=20000)
    yield made
    worker.close()
    made.close()
    made.deleteLater()
    shared.deleteLater()


def typed(room: BenchRoom, text: str) -> None:
    room.entry.field.clear()
    QTest.keyClicks(room.entry.field, text)


def test_a_typed_line_stands_in_words_before_it_is_kept(room: BenchRoom, qtbot) -> None:
    typed(room, "marl 1000 h")
    qtbot.waitUntil(lambda: "Marl Heron" in room.entry.meaning.text(), timeout=10000)
    assert "1000 by hand" in room.entry.meaning.text()
    assert "play about" in room.entry.meaning.text()
    assert "mask" in room.entry.caution.text()


def test_enter_keeps_the_line_and_undo_takes_it_back(room: BenchRoom, qtbot) -> None:
    before = room.facts.number.accessibleName()
    typed(room, "marl 500 h")
    with qtbot.waitSignal(room.shared.kept, timeout=10000) as kept:
        QTest.keyClick(room.entry.field, Qt.Key.Key_Return)
    assert "Marl Heron" in kept.args[0].sentence
    qtbot.waitUntil(lambda: room.facts.number.accessibleName() != before, timeout=10000)
    assert room.entry.field.text() == ""
    room.shared.keep(undo.undo)
    qtbot.waitUntil(lambda: room.facts.number.accessibleName() == before, timeout=10000)


def test_an_unclear_word_is_named_and_enter_keeps_nothing(room: BenchRoom, qtbot) -> None:
    typed(room, "marl 1000")
    qtbot.waitUntil(lambda: "1000" in room.entry.meaning.text() and "◆" in room.entry.meaning.text(), timeout=10000)
    with qtbot.assertNotEmitted(room.shared.kept, wait=300):
        QTest.keyClick(room.entry.field, Qt.Key.Key_Return)


def test_a_past_day_shows_the_state_of_that_day(room: BenchRoom, qtbot) -> None:
    now = room.facts.number.accessibleName()
    room.timeline.go(room._view.today - timedelta(days=BACK - 1))
    qtbot.waitUntil(lambda: room.facts.caption.whole().startswith("Played about on"), timeout=10000)
    assert room.facts.number.accessibleName() != now
    assert not room.facts.keys["sanded"].isEnabled()
    QTest.keyClick(room.timeline, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: room.facts.number.accessibleName() == now, timeout=10000)


def test_the_arrows_walk_the_days_and_stop_at_the_first_entry(room: BenchRoom, qtbot) -> None:
    room.timeline.setFocus()
    QTest.keyClick(room.timeline, Qt.Key.Key_Left)
    assert room.timeline.at_day() == room._view.today - timedelta(days=1)
    for _ in range(10):
        QTest.keyClick(room.timeline, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert room.timeline.at_day() == room.timeline._moments[0].on


def test_same_as_last_time_logs_the_last_played_day_in_one_key(room: BenchRoom, qtbot) -> None:
    qtbot.waitUntil(lambda: room.facts.keys["same"].name().startswith("Same as"), timeout=10000)
    qtbot.waitUntil(room.facts.keys["same"].isEnabled, timeout=10000)
    with qtbot.waitSignal(room.shared.kept, timeout=10000) as kept:
        room.facts.keys["same"].click()
    assert "33 shots" in kept.args[0].sentence


def test_enter_on_a_pad_writes_its_line_for_a_look_before_it_is_kept(room: BenchRoom, qtbot) -> None:
    room.pads.choose(0)
    room.pads.opened.emit(room.pads.in_hand())
    qtbot.waitUntil(lambda: room.entry.field.text() == "marl 1000 h", timeout=10000)
    qtbot.waitUntil(lambda: "sanded" in room.entry.meaning.text(), timeout=10000)


def test_heat_above_the_usual_limit_asks_a_second_time(room: BenchRoom, qtbot) -> None:
    typed(room, "marl heat 160F")
    with qtbot.assertNotEmitted(room.shared.kept, wait=500):
        QTest.keyClick(room.entry.field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is not None, timeout=10000)
    QApplication.activeModalWidget().reject()


def test_a_pad_marked_used_up_can_no_longer_be_chosen(room: BenchRoom, qtbot) -> None:
    room.pads.choose(0)
    room.letter("U")
    qtbot.waitUntil(lambda: room.pads.rows_model.row(0).used_up, timeout=10000)


def test_the_key_that_leads_to_the_field_is_not_taken_for_text(room: BenchRoom, qtbot) -> None:
    typed(room, "/marl 3g")
    assert room.entry.field.text() == "marl 3g"
