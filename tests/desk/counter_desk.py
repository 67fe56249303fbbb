"""The window with the Counter over a real shop, and how a keyboard sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from arsenal.acts import balls, logging, people, services
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.counter.room import CounterRoom, make
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.person import Person
from arsenal.trade.ticket import Service, Ticket

WAIT = 30_000
MIREL = 1
QUARRY, ROOK = 1, 2
PRICES = (300, 1000, 3000, 800, 2000, 2500, None, 4000, 500)


def stock(path: Path) -> None:
    """Services with prices, serials, a finish that was put on twice, two customers of one name."""
    with Shop.open(path, settings=Settings(path=path.with_name("none.json"))) as shop:
        services.begin_with_usual(shop)
        for service, cents in zip(shop.every(Service), PRICES, strict=True):
            services.keep_service(shop, replace(service, price_cents=cents))
        for ball_id, serial in ((QUARRY, "7K20977"), (ROOK, "6D41190")):
            balls.edit_ball(shop, replace(shop.ball(ball_id), serial=serial))
        for line in ("500/2000 m", "23g", "500/2000 m", "6g"):
            logging.keep(shop, logging.read_line(shop, f"quarry {line}").drafts)
        for phone in ("555 0148", "555 0199"):
            people.add_bowler(shop, Person(0, "Tomas Kell", phone=phone))


class Desk:
    """The window with the one room; `keys` counts what was pressed."""

    def __init__(self, qtbot: Any, path: Path, settings: Settings) -> None:
        self.qtbot, self.path, self.settings, self.keys = qtbot, path, settings, 0
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.shared.path, self.shared.file_name = path, "shop"
        self.window = Window(self.shared, [(6, "Counter", "")])
        self.window.furnish([make])
        found = self.window.rooms[0]
        assert isinstance(found, CounterRoom)
        self.room = found
        self.printed: list[tuple[str, int]] = []
        self.room.print_wanted.disconnect()
        self.room.print_wanted.connect(lambda what, number: self.printed.append((what, number)))
        self.window.resize(1366, 768)
        self.window.show()
        self.window.file_open()
        self.window.activateWindow()
        self.qtbot.waitUntil(lambda: self.room._overview is not None, timeout=WAIT)
        self.settle()

    def settle(self) -> None:
        """Until nothing runs and everything is shown."""
        for _ in range(3):
            self.qtbot.waitUntil(self.worker.idle, timeout=WAIT)
            QApplication.processEvents()
        if QApplication.activeModalWidget() is None and QApplication.activeWindow() is not self.window:
            self.window.activateWindow()
            QApplication.processEvents()

    def focus(self) -> QWidget:
        """What has the keys."""
        return QApplication.focusWidget() or self.window

    def type(self, text: str) -> None:
        """Typed into what has the keys."""
        for sign in text:
            self.keys += 1
            QTest.keyClick(self.focus(), sign)
        self.settle()

    def key(self, key: Qt.Key, mod: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Any other key, to what has the keys."""
        self.keys += 1
        QTest.keyClick(self.focus(), key, mod)
        self.settle()

    def enter(self) -> None:
        """Enter."""
        self.key(Qt.Key.Key_Return)

    def take_in(self) -> None:
        """Ctrl and Enter."""
        self.key(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)

    def letter(self, key: str) -> None:
        """A plain letter outside a field, heard by the window."""
        self.keys += 1
        heard: list[str] = []
        self.window.keys.pressed.connect(heard.append)
        QTest.keyClick(self.window.windowHandle(), key)
        self.qtbot.waitUntil(lambda: bool(heard), timeout=WAIT)
        self.window.keys.pressed.disconnect(heard.append)
        self.settle()

    def dialog(self) -> QDialog:
        """The dialog that is open."""
        self.qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), QDialog), timeout=WAIT)
        found = QApplication.activeModalWidget()
        assert isinstance(found, QDialog)
        return found

    def ask(self, what: Callable[[Shop], Any]) -> Any:
        """Something read of the file."""
        found: list[Any] = []
        self.shared.ask("test", what, found.append)
        self.qtbot.waitUntil(lambda: bool(found), timeout=WAIT)
        return found[0]

    def tickets(self) -> tuple[Ticket, ...]:
        """Every ticket of the file."""
        return self.ask(lambda shop: shop.every(Ticket))  # type: ignore[no-any-return]

    def find(self, text: str) -> None:
        """Typed into the line, and the first find opened."""
        self.room.to_field()
        self.type(text)
        self.enter()

    def close(self) -> None:
        """Everything let go."""
        self.window.close()
        self.worker.close()
        self.window.deleteLater()


def at_the_counter(qtbot: Any, path: Path, settings: Settings) -> Iterator[Desk]:
    """A stocked shop with the window open over it; closed afterwards."""
    stock(path)
    made = Desk(qtbot, path, settings)
    yield made
    made.close()
