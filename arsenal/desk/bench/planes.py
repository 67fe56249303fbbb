"""The planes of the Bench: the lighter sheet in the middle, and a column that scrolls where there is little room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

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
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inside)
    inside.setAutoFillBackground(False)
    area.viewport().setAutoFillBackground(False)
    return area


def page(*parts: QWidget | QLayout) -> QWidget:
    """A page of parts one below the other, without gaps; a widget that can grow does."""
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    for part in parts:
        if isinstance(part, QLayout):
            column.addLayout(part)
        else:
            grows = part.sizePolicy().verticalPolicy() == QSizePolicy.Policy.Expanding
            column.addWidget(part, 1 if grows else 0)
    return made
