"""Marks as widgets: the due mark alone, and a mark with a sentence."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look


class Mark(QWidget):
    """A due mark: fine, soon, due, over, done; empty shows none. What it means stands in words beside it."""

    def __init__(self, state: str = "", side: float = 15, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._side = state, side
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def show_state(self, state: str) -> None:
        """Another mark."""
        self._state = state
        self.update()

    def sizeHint(self) -> QSize:
        """Square."""
        return look().size(self._side, self._side)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the mark."""
        if self._state:
            painter = QPainter(self)
            paint.due_mark(painter, QRectF(self.rect()), self._state)
            painter.end()


class Told(QWidget):
    """A mark and a sentence, hidden while the sentence is empty: what is wrong with a field, what to mind."""

    def __init__(self, state: str = "over", token: str = "bad", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._mark, self._words = Mark(state, 14), Plain("", px=13, weight=500, token=token, wrap=True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self.hide()

    def setText(self, sentence: str) -> None:
        """Tell this, or nothing."""
        self._words.setText(sentence)
        self.setVisible(bool(sentence))

    def text(self) -> str:
        """What is told."""
        return self._words.whole()

    whole = text
