"""The slip the ticket is written on: an edge, two notches and a tear line above the customer’s part."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.theme import look

NOTCH = 8.0


class Paper(QWidget):
    """`upper` is the shop’s part, `stub` the customer’s; the tear line lies between them."""

    def __init__(self, upper: QWidget, stub: QWidget) -> None:
        super().__init__()
        self._stub = stub
        self._column = QVBoxLayout(self)
        self._column.addWidget(upper, 1)
        self._column.addWidget(stub)
        look().changed.connect(self._dress)
        self._dress()

    def _tear(self) -> float:
        return self._stub.geometry().top() - self._column.spacing() / 2.0

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the slip."""
        painter, now = QPainter(self), look()
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        y, notch = self._tear(), now.px(NOTCH)
        slip = QPainterPath()
        slip.addRoundedRect(box, 4, 4)
        for x in (box.left(), box.right()):
            hole = QPainterPath()
            hole.addEllipse(QPointF(x, y), notch, notch)
            slip = slip.subtracted(hole)
        with paint.kept(painter):
            painter.setBrush(now.color("sheet"))
            painter.setPen(QPen(now.color("edge"), 1))
            painter.drawPath(slip)
            pen = QPen(now.color("edge"), 1.4)
            pen.setDashPattern([3.0, 3.0])
            painter.setPen(pen)
            painter.drawLine(QPointF(box.left() + notch + 4, y), QPointF(box.right() - notch - 4, y))
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(1, 1, 1, 1)
        self._column.setSpacing(px(16))
