"""Work cut into turns of the event loop, so that keys and repaints come between the pieces."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer


class Turns(QObject):
    """Does one call a turn, in order. A new round forgets what was left of the one before."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._left: deque[Callable[[], None]] = deque()
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._one)

    def begin(self, *calls: Callable[[], None]) -> None:
        """Do these from the next turn on."""
        self._left = deque(calls)
        self._timer.start()

    def finish(self) -> None:
        """Do what is left now."""
        while self._left:
            self._one()

    def drop(self) -> None:
        """Forget what is left."""
        self._left.clear()
        self._timer.stop()

    def idle(self) -> bool:
        """Whether nothing is left."""
        return not self._left

    def _one(self) -> None:
        call = self._left.popleft() if self._left else None
        if not self._left:
            self._timer.stop()
        if call is not None:
            call()
