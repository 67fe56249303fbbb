"""Something slow that needs no shop, on a thread of its own: whoever asks the shop meanwhile is not kept waiting."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Signal

from arsenal.trade.errors import KnownError

Result = TypeVar("Result")
_running: set[_Aside] = set()
"""Held until they are through, whoever asked may be gone by then."""


class _Aside(QObject):
    """Lives on the window's thread; what the other thread says arrives here in turn."""

    through = Signal(object, object)

    def __init__(
        self, run: Callable[[], Any], done: Callable[[Any], None], failed: Callable[[KnownError], None]
    ) -> None:  # fmt: skip
        super().__init__()
        self._run, self._done, self._failed = run, done, failed
        self.through.connect(self._arrived)
        _running.add(self)
        threading.Thread(target=self._work, name="aside", daemon=True).start()

    def _work(self) -> None:
        try:
            result, error = self._run(), None
        except BaseException as caught:  # noqa: BLE001 - told on the window's thread, where the hook lives
            result, error = None, caught
        self.through.emit(result, error)

    def _arrived(self, result: Any, error: BaseException | None) -> None:
        _running.discard(self)
        if error is None:
            self._done(result)
        elif isinstance(error, KnownError):
            self._failed(error)
        else:
            sys.excepthook(type(error), error, error.__traceback__)


def aside(
    run: Callable[[], Result], done: Callable[[Result], None], *, failed: Callable[[KnownError], None]
) -> None:  # fmt: skip
    """Run it beside the window's and the worker's thread; what it returns or raises comes back on the window's."""
    _Aside(run, done, failed)
