"""The planes of the Bench: the lighter sheet in the middle, and a column that scrolls where there is little room."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from arsenal.desk.theme import look


class Sheet(QWidget):
    """The lighter plane in the middle."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill it, with a line at either side."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sheet"))
        for x in (0, self.width() - 1):
            painter.fillRect(x, 0, 1, self.height(), look().color("rule"))
        painter.end()


def scroll(inside: QWidget) -> QScrollArea:
    """A column that scrolls."""
    area = QScrollArea()
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setWidget(inside)
    inside.setAutoFillBackground(False)
    area.viewport().setAutoFillBackground(False)
    return area
