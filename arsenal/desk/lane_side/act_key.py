"""The keys under the list: as everywhere, with less air where the pane is narrow."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton, cap_width
from arsenal.desk.theme import look

AIR, AIR_TIGHT = 14, 7


class ActKey(KeyButton):
    """`tight` takes air away on both sides of name and cap, never the name."""

    tight = False
    cap = ""
    """What stands on the key’s cap, where it is more than the key (“⇧M”)."""

    def _air(self) -> int:
        return look().px(AIR_TIGHT if self.tight else AIR)

    def minimumSizeHint(self) -> QSize:
        """Name, cap and the air."""
        wide = QFontMetricsF(look().font(15, 600)).horizontalAdvance(self.name())
        return QSize(round(wide + cap_width(self.cap or self.key) + 2.5 * self._air()) + 2, self.sizeHint().height())

    def _paint_cap(self, painter: QPainter, token: str) -> int:
        wide, high = cap_width(self.cap or self.key), look().px(21)
        box = QRectF(self.width() - self._air() - wide, (self.height() - high) / 2.0, wide, high)
        paint.key_cap(painter, box, self.cap or self.key, token=token)
        return round(box.left() - self._air() / 2.0)

    def _paint_text(self, painter: QPainter, token: str, right: int) -> None:
        left = self._air()
        painter.setFont(look().font(15, 600))
        painter.setPen(look().color(token))
        room = QRectF(left, 0, max(0, right - left + 1), self.height())
        shown = QFontMetricsF(painter.font()).elidedText(self.name(), Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
