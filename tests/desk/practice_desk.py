"""The window with the Practice room over a real shop, and how a keyboard sees it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.frame import Window
from arsenal.desk.practice.room import PracticeRoom, make
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.entries import Entry, effective

WAIT = 30_000
MIREL, ANNEKE, BO = 1, 2, 3
QUARRY, LANTERN = 1, 2


class Desk:
    """The window with the one room."""

    def __init__(
        self, qtbot: Any, path: Path, settings: Settings, bowler: int | None = MIREL, ball: int | None = QUARRY
    ) -> None:
        self.qtbot, self.path, self.settings = qtbot, path, settings
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.shared.path, self.shared.file_name = path, "shop"
        self.shared.bowler_id, self.shared.ball_id = bowler, ball
        self.window = Window(self.shared, [(3, "Practice", "")])
        self.window.furnish([make])
        found = self.window.rooms[0]
        assert isinstance(found, PracticeRoom)
        self.room = found
        self.window.resize(1366, 768)
        self.window.show()
        self.window.file_open()
        self.qtbot.waitUntil(lambda: self.room.thrower.found is not None, timeout=WAIT)
        self.settle()
        self.window.activateWindow()

    def settle(self) -> None:
        """Until nothing runs and everything is shown."""
        self.qtbot.waitUntil(lambda: self.worker.idle() and self.room.turns.idle(), timeout=WAIT)
        QApplication.processEvents()
        self.qtbot.waitUntil(lambda: self.worker.idle() and self.room.turns.idle(), timeout=WAIT)

    def letter(self, key: str) -> None:
        """A plain key pressed in the window; a capital letter with Shift. Returns once it was heard."""
        heard: list[str] = []
        self.window.keys.pressed.connect(heard.append)
        shift = Qt.KeyboardModifier.ShiftModifier if key.isupper() else Qt.KeyboardModifier.NoModifier
        QTest.keyClick(self.window.windowHandle(), key, shift)
        self.qtbot.waitUntil(lambda: bool(heard), timeout=WAIT)
        self.window.keys.pressed.disconnect(heard.append)

    def key(self, key: Qt.Key, on: QWidget | None = None) -> None:
        """Any other key, to what has the focus."""
        QTest.keyClick(on or QApplication.focusWidget() or self.room, key)

    def shot(self, keys: str) -> None:
        """A shot, ended by Enter, and everything that follows from it."""
        for key in keys:
            self.letter(key)
        self.key(Qt.Key.Key_Return)
        self.settle()

    def ask(self, what: Callable[[Shop], Any]) -> Any:
        """Something read of the file."""
        found: list[Any] = []
        self.shared.ask("test", what, found.append)
        self.qtbot.waitUntil(lambda: bool(found), timeout=WAIT)
        return found[0]

    def shots(self, ball: int = QUARRY) -> list[Entry]:
        """The practice shots that stand in a ball’s log."""
        return self.ask(lambda shop: [e for e in effective(shop.entries(ball)) if e.kind == "shot"])  # type: ignore[no-any-return]

    def dialog(self) -> QDialog:
        """The dialog that is open."""
        self.qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), QDialog), timeout=WAIT)
        found = QApplication.activeModalWidget()
        assert isinstance(found, QDialog)
        return found

    def close(self) -> None:
        """Everything let go."""
        self.window.close()
        self.worker.close()
        self.window.deleteLater()
