"""A tick on the prep sheet over a real shop: it writes the log, the last-act line says so, Undo takes it back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import event_plan
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from arsenal.acts import event_shown
from arsenal.acts.event_views import EventPlan, Mark, PrepLine
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.event import asking
from arsenal.desk.event.calendar_file import write_calendar
from arsenal.desk.event.room import EventRoom, make
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.entries import Cleaned, effective
from arsenal.trade.event import Block, Entered, Event, Squad

WAIT = 20_000
QUARRY = 1


class Real:
    """The window with the room over a real shop; only the throwing of every ball is left out."""

    def __init__(self, qtbot, path: Path, settings: Settings, monkeypatch) -> None:
        self.qtbot = qtbot
        nine = datetime.now().astimezone().replace(hour=9, minute=0, second=0, microsecond=0) + timedelta(days=1)
        with Shop.open(path, settings=settings) as shop:
            one = Event(0, "Autumn singles", nine.date(), "", (Squad("", (Block(nine, 3),)),), (1,), balls_allowed=2)
            asking.keep_event(shop, one, Entered(0, 0, 1))
        monkeypatch.setattr(asking, "kept", lambda _event, _bowler: lambda _shop: None)
        monkeypatch.setattr(asking, "plan", lambda _event, _bowler, **_: self._plan)
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.shared.path, self.shared.bowler_id = path, 1
        self.window = Window(self.shared, [(4, "Event", "")])
        self.window.furnish([make])
        self.room: EventRoom = self.window.rooms[0]  # type: ignore[assignment]
        self.window.resize(1366, 768)
        self.window.show()
        self.window.file_open()
        qtbot.waitUntil(lambda: self.room.plan is not None, timeout=WAIT)
        self.settle()

    @staticmethod
    def _plan(shop: Shop, _progress: object) -> EventPlan:
        event, entered = shop.every(Event)[0], shop.every(Entered)[0]
        made = event_plan.plan(event=event, entered_id=entered.id, made_at=shop.now())
        rows = (replace(made.rows[1], ball_id=QUARRY, name="Quarry Song", finish_name="as it is"),)
        return event_shown._with_sheets(shop, replace(made, rows=rows))

    def settle(self) -> None:
        self.qtbot.waitUntil(self.worker.idle, timeout=WAIT)
        QApplication.processEvents()

    def cleanings(self) -> int:
        found: list[int] = []

        def job(shop: Shop) -> int:
            return sum(isinstance(e.payload, Cleaned) for e in effective(shop.entries(QUARRY)))

        self.shared.ask("test", job, found.append)
        self.qtbot.waitUntil(lambda: bool(found), timeout=WAIT)
        return found[0]

    def line(self, key: str) -> PrepLine:
        rows = self.room.prep.view.rows_model.rows()
        return next(row for row in rows if isinstance(row, PrepLine) and row.key == key)

    def press_space_on(self, key: str) -> None:
        view = self.room.prep.view
        view.choose_where(lambda row: isinstance(row, PrepLine) and row.key == key)
        QTest.keyClick(view, Qt.Key.Key_Space)
        self.settle()

    def close(self) -> None:
        self.window.close()
        self.worker.close()
        self.window.deleteLater()


@pytest.fixture
def desk(qtbot, shop_file: Path, settings: Settings, monkeypatch) -> Iterator[Real]:
    made = Real(qtbot, shop_file, settings, monkeypatch)
    yield made
    made.close()


def test_ticking_writes_the_log_and_undo_takes_it_back(desk: Real) -> None:
    key = f"clean:{QUARRY}"
    assert desk.line(key).mark is Mark.OPEN
    assert desk.cleanings() == 0
    desk.press_space_on(key)
    assert desk.cleanings() == 1
    assert desk.line(key).mark is Mark.DONE
    assert desk.window.foot.sentence.whole().startswith("Cleaned Quarry Song")
    assert desk.window.foot.undo.isVisible()
    desk.window.foot.undo.click()
    desk.settle()
    assert desk.cleanings() == 0
    assert desk.line(key).mark is Mark.OPEN


def test_a_second_press_takes_the_tick_back(desk: Real) -> None:
    key = f"clean:{QUARRY}"
    desk.press_space_on(key)
    desk.press_space_on(key)
    assert desk.cleanings() == 0
    assert desk.line(key).mark is Mark.OPEN


def test_a_tick_that_writes_no_log_is_kept_with_the_entry(desk: Real) -> None:
    desk.press_space_on("serials")
    assert desk.line("serials").mark is Mark.DONE
    assert desk.cleanings() == 0


def test_a_pin_and_a_finish_by_hand_are_kept_together(desk: Real) -> None:
    found: list[Entered] = []
    plan = desk.room.plan
    desk.shared.keep(lambda shop: asking.choose(shop, plan, QUARRY, take=True))
    desk.shared.keep(lambda shop: asking.choose(shop, plan, QUARRY, finish="as it is"))
    desk.shared.ask("test", lambda shop: shop.every(Entered)[0], found.append)
    desk.qtbot.waitUntil(lambda: bool(found), timeout=WAIT)
    chosen = found[0].chosen[0]
    assert (chosen.take, chosen.finish) == (True, "as it is")


def test_the_calendar_file_is_written_where_it_was_asked_for(desk: Real, tmp_path: Path) -> None:
    write_calendar(desk.shared, desk.room.plan, tmp_path / "event.ics")
    desk.settle()
    assert (tmp_path / "event.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert "Wrote 2 days of Autumn singles" in desk.window.foot.sentence.whole()
    write_calendar(desk.shared, desk.room.plan, tmp_path / "no such folder" / "event.ics")
    desk.settle()
    assert "Wrote" not in desk.window.foot.sentence.whole()


def test_an_event_taken_away_leaves_the_room_with_its_first_action(desk: Real) -> None:
    desk.room.doing.ask("remove")
    desk.settle()
    assert desk.room.empty.title.whole() == "No event yet"
    assert desk.room.empty.button.name() == "Add an event"
    desk.window.undo()
    desk.settle()
    assert desk.room.plan is not None


def test_a_bowler_who_is_not_in_the_event_is_asked_in(desk: Real) -> None:
    desk.room.doing.pick_bowler(2)
    desk.settle()
    assert desk.room.empty.title.whole() == "Tamsin <i>Ode</i> & Co is not in Autumn singles yet"
    assert desk.room.empty.button.name() == "Enter Tamsin <i>Ode</i> & Co"
