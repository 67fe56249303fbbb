"""The ball in hand: how its finish fell, its name, which shot is next, what is on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import write
from arsenal.desk.parts.text import set_tip
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.practice_views import InHand

HIGH = 72.0
HIDDEN, HIDDEN_SHORT = "the forecast shows once the shot is logged", "forecast after the shot"


class Hand(QWidget):
    """Three lines high; no forecast, which would steer the eye."""

    def __init__(self) -> None:
        super().__init__()
        self._hand: InHand | None = None
        self._name = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleDescription("Up and down take another ball in hand")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)
        self.show_hand(None)

    def show_hand(self, hand: InHand | None) -> None:
        """Another ball, or none."""
        self._hand, self._name = hand, ""
        said = self.text()
        self.setAccessibleName(said)
        set_tip(self, said)
        self.update()

    def show_name(self, name: str) -> None:
        """A ball just taken in hand, while its finish is still being read."""
        self.show_hand(None)
        self._name = name
        self.setAccessibleName(self.text())
        self.update()

    def text(self) -> str:
        """Everything it says."""
        one = self._hand
        if one is None:
            return f"In hand: {self._name}, being read" if self._name else "No ball in hand"
        return f"In hand: {one.ball.name}, {one.counted}. {one.finish}, {one.plays}; {HIDDEN}"

    def sizeHint(self) -> QSize:
        """Glyph and two lines."""
        return QSize(look().px(300), look().px(HIGH))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw glyph, name and words."""
        painter, now, one = QPainter(self), look(), self._hand
        if self.hasFocus():
            paint.focus_ring(painter, self.rect().adjusted(now.px(8), now.px(5), -now.px(8), -now.px(5)), 4)
        margin = now.px(20)
        if one is None:
            left = margin + now.px(76)
            upper = QRect(left, now.px(10), self.width() - left - margin, now.px(30))
            write(painter, upper, self._name, now.font(22, 600), "ink")
            painter.end()
            return
        glyph = QRectF(margin, (self.height() - now.px(38)) / 2.0, now.px(58), now.px(38))
        state = one.state
        paint.fall(painter, glyph, state.finish_set_grit, state.grit, low=state.grit_low, high=state.grit_high,
                   token="hand", bold=2.2)  # fmt: skip
        left = margin + now.px(76)
        upper = QRect(left, now.px(10), self.width() - left - margin, now.px(30))
        counted = QFontMetricsF(now.font(14)).horizontalAdvance(one.counted) + now.px(12)
        name = QRect(upper.left(), upper.top(), max(now.px(60), round(upper.width() - counted)), upper.height())
        wide = write(painter, name, one.ball.name, now.font(22, 600), "ink")
        write(painter, upper.adjusted(round(wide) + now.px(12), now.px(3), 0, 0), one.counted, now.font(14), "ink2")
        lower = QRect(left, now.px(40), upper.width(), now.px(22))
        wide = write(painter, lower, one.finish, now.font(14, 600), "ink")
        lower.setLeft(lower.left() + round(wide))
        told = [f", {one.plays} · {hidden}" for hidden in (HIDDEN, HIDDEN_SHORT)] + [f", {one.plays}"]
        metrics = QFontMetricsF(now.font(14))
        said = next((t for t in told if metrics.horizontalAdvance(t) <= lower.width()), told[-1])
        write(painter, lower, said, now.font(14), "ink2")
        painter.end()
