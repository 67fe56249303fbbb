"""The window with the Event room over an invented plan, as a keyboard sees it; what the room asks for is noted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import event_plan
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts.event_views import EventPlan
from arsenal.acts.settings import Settings
from arsenal.acts.views import Change, Changes
from arsenal.desk.event import asking
from arsenal.desk.event.room import EventRoom
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.person import Person

WAIT = 10_000
MIREL = Person(1, "Mirel Oster")
LANES = (Lane(1, "41 ft house, 25 mL", FilmSummary(12.5, 2.5e-5, 10.0)), Lane(2, "46 ft", FilmSummary(14.0, 2e-5, 4.0)))


class NoShop:
    """Stands where a test needs a worker and no file."""

    def close(self) -> None:
        """Nothing to close."""


class Desk:
    """The window with the one room. `asked` notes every act the room wanted; `now` is the clock."""

    def __init__(self, qtbot, settings: Settings, monkeypatch) -> None:
        self.qtbot = qtbot
        self.now: datetime = event_plan.NOW
        self.plan = event_plan.plan()
        self.kept: EventPlan | None = None
        self.lanes = event_plan.at_lanes()
        self.found = asking.Found(event_plan.names(), self.plan.event, (MIREL,), MIREL, LANES)
        self.asked: list[tuple[str, tuple[object, ...], dict[str, object]]] = []
        self.anew: list[bool] = []
        self._patch(monkeypatch)
        self.worker = Worker(NoShop)  # type: ignore[arg-type]
        self.shared = Shared(self.worker, settings)
        self.shared.bowler_id, self.shared.ball_id = 1, 4
        self.shared.file_name = "shop"
        self.window = Window(self.shared, [(4, "Event", "")])
        self.window.refresh_foot = lambda: None  # type: ignore[method-assign]
        self.window.furnish([lambda shared: EventRoom(shared, now=lambda: self.now)])
        self.window._readable = True
        self.room: EventRoom = self.window.rooms[0]  # type: ignore[assignment]
        self.window.resize(1366, 768)
        self.window.show()
        self.window.open_room(4)
        self.heard = 0
        self.window.keys.pressed.connect(self._hear)
        self.settle()
        self.window.activateWindow()

    def _patch(self, monkeypatch) -> None:
        monkeypatch.setattr(asking, "look_at", lambda _event, _bowler: lambda _shop: self.found)
        monkeypatch.setattr(asking, "plan", self._plan)
        monkeypatch.setattr(asking, "kept", lambda _event, _bowler: lambda _shop: self.kept)
        monkeypatch.setattr(asking, "at_the_lanes", lambda _plan: lambda _shop: self.lanes)
        monkeypatch.setattr(asking, "entered", lambda _shop, _event, _bowler: None)
        for act in (
            "choose",
            "tick",
            "log_block",
            "clean_used",
            "change_event",
            "keep_event",
            "remove_event",
            "let_go",
        ):
            monkeypatch.setattr(asking, act, self._act(act))

    def _plan(self, _event: int, _bowler: int, *, anew: bool = False) -> Callable[..., object]:
        self.anew.append(anew)
        return lambda _shop, _progress: self.plan

    def _act(self, name: str) -> Callable[..., Changes]:
        def run(_shop: object, *what: object, **fields: object) -> Changes:
            self.asked.append((name, what, fields))
            return Changes(1, f"Did {name}", (Change("entered", 1, ("chosen",)),))

        return run

    def _hear(self, _key: str) -> None:
        self.heard += 1

    def settle(self) -> None:
        self.qtbot.waitUntil(self.worker.idle, timeout=WAIT)
        QApplication.processEvents()

    def key(self, key: Qt.Key, on: QWidget | None = None) -> None:
        QTest.keyClick(on or self.room.table, key)
        self.settle()

    def letter(self, key: Qt.Key) -> None:
        heard = self.heard
        QTest.keyClick(self.window.windowHandle(), key)
        self.qtbot.waitUntil(lambda: self.heard > heard, timeout=WAIT)
        self.settle()

    def show(self, **fields: object) -> None:
        """Another plan."""
        self.plan = replace(self.plan, **fields)  # type: ignore[arg-type]
        self.room.load()
        self.settle()

    def dialog(self, kind: type) -> QWidget:
        self.qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), kind), timeout=WAIT)
        return QApplication.activeModalWidget()

    def close(self) -> None:
        self.window.close()
        self.worker.close()
        self.window.deleteLater()
