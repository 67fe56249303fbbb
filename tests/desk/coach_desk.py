"""The window with the one room, seen as coach, as a keyboard sees it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.coach.front import FrontRoom, make
from arsenal.desk.coach.room import CoachRoom
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.entries import effective

WAIT = 20_000
MIREL, ANNEKE, BO = 1, 2, 3


class Desk:
    """The window with the one room, and how a keyboard sees it."""

    def __init__(self, qtbot, path: Path, settings: Settings, bowler: int | None = MIREL) -> None:
        self.qtbot, self.path, self.settings = qtbot, path, settings
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.shared.path, self.shared.file_name, self.shared.bowler_id = path, "shop", bowler
        self.window = Window(self.shared, [(1, "Lane-side", "")])
        self.window.furnish([make])
        found = self.window.rooms[0]
        assert isinstance(found, FrontRoom)
        self.front: FrontRoom = found
        self.room: CoachRoom = found.coach
        self.window.resize(1366, 768)
        self.window.show()
        self.window.file_open()
        self.qtbot.waitUntil(self.read, timeout=WAIT)
        self.settle()
        self.window.activateWindow()

    def read(self) -> bool:
        lines = self.room.lines()
        return bool(lines) and all(line.row is not None for line in lines)

    def settle(self) -> None:
        self.qtbot.waitUntil(lambda: self.worker.idle() and self.room.shown(), timeout=WAIT)
        QApplication.processEvents()

    def letter(self, key: Qt.Key) -> None:
        heard: list[str] = []
        self.window.keys.pressed.connect(heard.append)
        QTest.keyClick(self.window.windowHandle(), key)
        self.qtbot.waitUntil(lambda: bool(heard), timeout=WAIT)
        self.window.keys.pressed.disconnect(heard.append)
        self.settle()

    def key(self, key: Qt.Key, on: QWidget | None = None) -> None:
        QTest.keyClick(on or self.room.view, key)
        self.settle()

    def today(self, ball_id: int, kind: type) -> list[object]:
        found: list[object] = []

        def job(shop: Shop) -> list[object]:
            log = effective(shop.entries(ball_id))
            return [e.payload for e in log if isinstance(e.payload, kind) and e.on == shop.today()]

        self.shared.ask("test", job, found.append)
        self.qtbot.waitUntil(lambda: bool(found), timeout=WAIT)
        return found[0]  # type: ignore[return-value]

    def close(self) -> None:
        self.window.close()
        self.worker.close()
        self.window.deleteLater()


def row_of(desk: Desk, bowler: int) -> object:
    line = desk.room.line(bowler)
    assert line is not None
    assert line.row is not None
    return line.row


def hand(desk: Desk, bowler: int) -> int:
    found = row_of(desk, bowler).hand  # type: ignore[attr-defined]
    return int(found.ball.id)
