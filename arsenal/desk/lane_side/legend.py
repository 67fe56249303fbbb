"""The line over the plots: which way boards count, and what the marks mean."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.lane_side.chart import AXIS
from arsenal.desk.parts import paint
from arsenal.desk.parts.text import set_tip
from arsenal.desk.theme import look

ITEMS = (("", "from your own gutter"), ("read", "first read"), ("breakpoint", "breakpoint"), ("rolls", "rolls"),
         ("oil", "oil, units"))  # fmt: skip
FORECAST = "oil, units, a forecast"
HOVER = (
    "Boards count from the bowler’s own gutter, left-handers’ too. First read: a quarter of the skid is spent. "
    "Breakpoint: nearest the gutter. Rolls: no skid is left. One unit of oil is about 0.18 micrometres."
)


class Legend(QWidget):
    """26 px; words that do not fit are left out from the right."""

    def __init__(self) -> None:
        super().__init__()
        set_tip(self, HOVER)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._told, self._warn, self._items = "", False, ITEMS
        self._say()
        look().changed.connect(self._dress)
        self._dress()

    def tell(self, text: str, *, warn: bool = False) -> None:
        """A word at the right end about what is drawn; empty takes it away."""
        self._told, self._warn = text, warn
        self._say()

    def forecast(self, whether: bool) -> None:
        """Say that the oil drawn is reckoned, not what the condition is kept as."""
        self._items = (*ITEMS[:-1], ("oil", FORECAST)) if whether else ITEMS
        self._say()

    def _say(self) -> None:
        said = ", ".join(words for _, words in self._items)
        self.setAccessibleName(f"{self._told}. Legend: {said}" if self._told else f"Legend: {said}")
        self.update()

    def told(self) -> str:
        """That word."""
        return self._told

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        painter, now = QPainter(self), look()
        painter.setFont(now.font(12, 500))
        metrics = QFontMetricsF(painter.font())
        self._paint_board(painter)
        x, middle = float(now.px(AXIS + 8)), self.height() / 2.0
        end = self._paint_told(painter)
        for kind, text in self._items:
            wide = metrics.horizontalAdvance(text)
            icon = now.px(16) if kind else 0
            if x + icon + wide > end - now.px(8):
                break
            if kind:
                paint_mark(painter, kind, QPointF(x + now.px(5), middle))
            painter.setPen(now.color("ink2"))
            painter.drawText(QRectF(x + icon, 0, wide + 2, self.height()), Qt.AlignmentFlag.AlignVCenter, text)
            x += icon + wide + now.px(20)
        painter.end()

    def _paint_told(self, painter: QPainter) -> float:
        """Write the word flush right; where it begins."""
        now, right = look(), float(self.width() - look().px(18))
        if not self._told:
            return float(self.width())
        painter.save()
        font = now.font(13, 500)
        metrics = QFontMetricsF(font)
        shown = metrics.elidedText(self._told, Qt.TextElideMode.ElideRight, right - now.px(AXIS + 8))
        left = right - metrics.horizontalAdvance(shown)
        painter.setFont(font)
        painter.setPen(now.color("warn" if self._warn else "ink2"))
        painter.drawText(QRectF(left, 0, right - left + 2, self.height()), Qt.AlignmentFlag.AlignVCenter, shown)
        painter.restore()
        if not self._warn:
            return left
        side = now.px(13)
        left -= side + now.px(7)
        paint.due_mark(painter, QRectF(left, (self.height() - side) / 2.0, side, side), "due")
        return left

    def _paint_board(self, painter: QPainter) -> None:
        now = look()
        painter.setPen(now.color("ink2"))
        where = QRect(0, 0, now.px(AXIS - 2), self.height())
        painter.drawText(where, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, "board")

    def _dress(self) -> None:
        self.setFixedHeight(look().px(26))
        self.update()


def paint_mark(painter: QPainter, kind: str, at: QPointF) -> None:
    """○ first read, ▼ breakpoint, ■ rolls, — oil."""
    now, half = look(), look().px(4)
    with paint.kept(painter):
        if kind == "oil":
            painter.fillRect(QRectF(at.x() - 1.6 * half, at.y(), 3.2 * half, now.line(1)), now.color("edge"))
            return
        painter.setPen(QPen(now.color("ink2"), 1.8 * max(1.0, now.scale)) if kind == "read" else Qt.PenStyle.NoPen)
        painter.setBrush(Qt.BrushStyle.NoBrush if kind == "read" else now.color("ink2"))
        if kind == "read":
            painter.drawEllipse(at, half, half)
        elif kind == "rolls":
            painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
        else:
            points = (QPointF(-half, -half), QPointF(half, -half), QPointF(0, half))
            painter.drawPolygon(QPolygonF([at + p for p in points]))
