"""A large box to tick with its words and its key; the tick box itself, as lists paint it too."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen

from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton, cap_width
from arsenal.desk.theme import look


def tick_box(painter: QPainter, rect: QRectF, *, on: bool, may: bool = True) -> None:
    """A box of 20, filled with `hand` and ticked where it is on."""
    now = look()
    with paint.kept(painter):
        painter.setPen(QPen(now.color("hand" if on else "edge" if may else "rule"), 1.6))
        painter.setBrush(now.color("hand") if on else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(rect.adjusted(0.8, 0.8, -0.8, -0.8), 4, 4)
        if on:
            pen = QPen(now.color("on_hand"), 2.2 * max(1.0, now.scale))
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            side = rect.width()
            mark = QPainterPath(QPointF(rect.left() + 0.24 * side, rect.top() + 0.53 * side))
            mark.lineTo(rect.left() + 0.43 * side, rect.top() + 0.71 * side)
            mark.lineTo(rect.left() + 0.77 * side, rect.top() + 0.31 * side)
            painter.drawPath(mark)


class TickKey(KeyButton):
    """Ticks and unticks."""

    toggled_by_hand = Signal(bool)

    def __init__(self, name: str, key: str) -> None:
        super().__init__(name, key, height=40)
        self.setCheckable(True)
        self.clicked.connect(self.toggled_by_hand)

    def put(self, on: bool) -> None:
        """As the ticket says."""
        self.setChecked(on)
        self.setAccessibleName(f"{self.name()}: {'yes' if on else 'no'}")
        self.update()

    def sizeHint(self) -> QSize:
        """Box, words, key."""
        wide = QFontMetricsF(look().font(14, 600)).horizontalAdvance(self.name())
        return QSize(round(wide) + look().px(50) + cap_width(self.key) + look().px(12), look().px(self._height))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw box, words and key."""
        painter, now, px = QPainter(self), look(), look().px
        with paint.kept(painter):
            painter.setBrush(now.color("sel" if self.underMouse() else "sheet"))
            painter.setPen(QPen(now.color("edge"), 1))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        side = px(20)
        tick_box(painter, QRectF(px(10), (self.height() - side) / 2, side, side), on=self.isChecked())
        right = self._paint_cap(painter, "ink2")
        font = now.font(14, 600)
        painter.setFont(font)
        painter.setPen(now.color("ink"))
        room = QRectF(px(38), 0, max(0, right - px(38)), self.height())
        shown = QFontMetricsF(font).elidedText(self.name(), Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()
