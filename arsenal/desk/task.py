"""Something to do on a thread of its own, without an open shop."""

from __future__ import annotations

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal


class Task(QObject):
    """One call on a thread of its own."""

    done = Signal(object)

    def __init__(self, run: Callable[[], object], parent: QObject) -> None:
        super().__init__(parent)
        self._run = run
        self._thread = threading.Thread(target=self._work, name="desk task", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def _work(self) -> None:
        error: BaseException | None = None
        try:
            self._run()
        except BaseException as caught:  # noqa: BLE001 - told on the window's thread
            error = caught
        self.done.emit(error)
