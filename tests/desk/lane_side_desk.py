"""The window with the Lane-side room over a real shop, and how a keyboard sees it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.frame import Window
from arsenal.desk.lane_side import asking
from arsenal.desk.lane_side.room import LaneSideRoom, make
from arsenal.desk.lane_side.rows import BallRow
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker

WAIT = 20_000


class Desk:
    """The window with the one room, and how a keyboard sees it."""

    def __init__(self, qtbot, path: Path, settings: Settings, bowler: int | None = 1) -> None:
        self.qtbot, self.path, self.settings = qtbot, path, settings
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.shared.path, self.shared.file_name, self.shared.bowler_id = path, "shop", bowler
        self.window = Window(self.shared, [(1, "Lane-side", "")])
        self.window.furnish([make])
        self.room: LaneSideRoom = self.window.rooms[0]
        self.window.resize(1366, 768)
        self.window.show()
        self.window.file_open()
        self.qtbot.waitUntil(lambda: self.room.seen is not None, timeout=WAIT)
        self.heard = 0
        self.window.keys.pressed.connect(self._hear)
        self.settle()
        self.window.activateWindow()

    def _hear(self, _key: str) -> None:
        self.heard += 1

    def settle(self) -> None:
        self.qtbot.waitUntil(lambda: self.worker.idle() and self.room.turns.idle(), timeout=WAIT)
        QApplication.processEvents()

    def key(self, key: Qt.Key, on: QWidget | None = None) -> None:
        QTest.keyClick(on or self.room.left.view, key)
        self.settle()

    def letter(self, key: Qt.Key) -> None:
        QTest.keyClick(self.window.windowHandle(), key)
        heard = self.heard
        self.qtbot.waitUntil(lambda: self.heard > heard, timeout=WAIT)
        self.settle()

    def names(self) -> list[str]:
        return [r.row.ball.name for r in self.room.left.view.rows_model.rows() if isinstance(r, BallRow)]

    def dialog(self) -> asking.FormDialog:
        self.qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), asking.FormDialog), timeout=WAIT)
        return QApplication.activeModalWidget()

    def close(self) -> None:
        self.window.close()
        self.worker.close()
        self.window.deleteLater()


def hold(desk: Desk, name: str) -> None:
    view = desk.room.left.view
    view.choose_where(lambda row: isinstance(row, BallRow) and row.row.ball.name == name)
    desk.settle()
