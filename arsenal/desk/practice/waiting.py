"""One shot between its first key and its being kept: a word, and the board that may follow it."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from arsenal.desk.parts.number import read_number
from arsenal.trade.limits import LIMITS

WAIT_MS = 2000
"""How long a board may still follow the last key."""
BOARD = re.compile(r"(\d{1,2})?(½|[.,]\d?)?")
FULL = re.compile(r"\d{1,2}(½|[.,]\d)")


@dataclass(frozen=True, slots=True)
class Half:
    """A shot that is not kept yet. `word` is empty where only a board is wanted."""

    word: str
    typed: str = ""

    @property
    def board(self) -> float | None:
        """The board typed so far; None for none."""
        text = self.typed.replace("½", ".5").rstrip(".,")
        return read_number(text) if text else None


class Waiting(QObject):
    """Holds one shot until Enter, until no key has come for two seconds, or until the next shot begins."""

    changed = Signal()
    ready = Signal(str, object)
    """The word and the board (None where none was typed)."""
    refused = Signal(str)
    """Why a board cannot be; the shot still waits, without it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._half: Half | None = None
        self.begun = 0.0
        """Which of two that wait began last."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self.finish)

    def half(self) -> Half | None:
        """The shot that waits, or None."""
        return self._half

    def begin(self, word: str) -> None:
        """A shot's first key. One that still waits is kept first."""
        self.finish()
        if self._half is None:
            self.begun = time.monotonic()
            self._put(Half(word))
            self._timer.start()

    def type(self, key: str) -> bool:
        """A digit, a half or a decimal sign of the board. False where nothing waits or it cannot follow."""
        if self._half is None or not key or not BOARD.fullmatch(self._half.typed + key):
            return False
        self._put(Half(self._half.word, self._half.typed + key))
        self._timer.start()
        if FULL.fullmatch(self._half.typed):
            self.finish()
        return True

    def back(self) -> None:
        """Take the last sign back; with none left, the shot itself."""
        if self._half is not None and self._half.typed:
            self._put(Half(self._half.word, self._half.typed[:-1]))
            self._timer.start()
        else:
            self.drop()

    def drop(self) -> Half | None:
        """Forget the shot; what it was."""
        was = self._half
        self._timer.stop()
        self._put(None)
        return was

    def finish(self) -> None:
        """Keep what waits. A board no lane has is refused and the shot goes on waiting, for as long as it takes."""
        half = self._half
        if half is None:
            return
        self._timer.stop()
        board, limit = half.board, LIMITS["board"]
        if board is not None and not limit.low <= board <= limit.high:
            self._put(Half(half.word))
            self.refused.emit(f"Boards go from {limit.allowed}; {half.typed} is none. Nothing was logged yet.")
            return
        self._put(None)
        if half.word or board is not None:
            self.ready.emit(half.word, board)

    def _put(self, half: Half | None) -> None:
        if half != self._half:
            self._half = half
            self.changed.emit()
