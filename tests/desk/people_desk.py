"""A worker over a small file, and the dialogs that are open, for the tests of people, fits and printed history."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker


class Ground:
    """The desk's common ground over one file."""

    def __init__(self, qtbot: Any, path: Path, settings: Settings) -> None:
        self.qtbot = qtbot
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.shared.path = path
        self.said: list[str] = []
        self.troubles: list[str] = []
        self.shared.said.connect(self.said.append)
        self.shared.troubled.connect(lambda error: self.troubles.append(str(error)))

    def read(self, what: Callable[[Shop], Any]) -> Any:
        """Something of the shop, read on its own thread."""
        found: list[Any] = []
        self.worker.act(what, found.append)
        self.qtbot.waitUntil(lambda: bool(found), timeout=10_000)
        return found[0]

    def idle(self) -> None:
        """Until nothing is asked for."""
        self.qtbot.waitUntil(self.worker.idle, timeout=10_000)

    def top(self, kind: type[QWidget]) -> Any:
        """The newest open dialog of a kind."""

        def there() -> list[QWidget]:
            return [one for one in QApplication.topLevelWidgets() if type(one) is kind and one.isVisible()]

        self.qtbot.waitUntil(lambda: bool(there()), timeout=10_000)
        return there()[-1]

    def close(self) -> None:
        """Let go of it all."""
        for one in QApplication.topLevelWidgets():
            if one.isVisible():
                one.close()
        self.worker.close()
        self.shared.deleteLater()
