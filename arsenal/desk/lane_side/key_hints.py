"""Keys written where they work: “← → step, Esc as it is”, and the word that shows the other pane."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton, cap_width
from arsenal.desk.theme import look


def in_tab_order(stops: Sequence[QWidget]) -> None:
    """Tab goes through them in this order: keys made later would stand at the window's end."""
    for before, after in pairwise(stops):
        QWidget.setTabOrder(before, after)


class KeyHint(QWidget):
    """“← → step  Esc as it is”; in short the caps alone."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.short = False
        self._parts = (("←", ""), ("→", "step"), ("Esc", "as it is"))
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def set_short(self, short: bool) -> None:
        """With words or without."""
        if short != self.short:
            self.short = short
            self.updateGeometry()
            self.update()

    def _wide(self, key: str, word: str) -> float:
        wide = cap_width(key) + look().px(3)
        if word and not self.short:
            return wide + QFontMetricsF(look().font(12)).horizontalAdvance(word) + look().px(13)
        return wide

    def sizeHint(self) -> QSize:
        """Caps and words."""
        return QSize(round(sum(self._wide(key, word) for key, word in self._parts)), look().px(22))

    def full_width(self) -> int:
        """Width with the words."""
        metrics = QFontMetricsF(look().font(12))
        return round(sum(
            cap_width(key) + look().px(16 if word else 3) + metrics.horizontalAdvance(word)
            for key, word in self._parts
        ))  # fmt: skip

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw them."""
        painter, now, x = QPainter(self), look(), 0.0
        for key, word in self._parts:
            paint.key_cap(painter, QRectF(x, 0, cap_width(key), now.px(21)), key, token="ink2")
            if word and not self.short:
                painter.setFont(now.font(12))
                painter.setPen(now.color("ink2"))
                left = x + cap_width(key) + now.px(6)
                painter.drawText(QRectF(left, 0, 200, now.px(21)), Qt.AlignmentFlag.AlignVCenter, word)
            x += self._wide(key, word)
        painter.end()


class SwitchKey(KeyButton):
    """A word with its key that shows the other pane: underlined in `hand`, no frame."""

    def __init__(self, name: str, key: str) -> None:
        super().__init__(name, key, height=24)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Word and cap."""
        wide = QFontMetricsF(look().font(14, 600)).horizontalAdvance(self.name())
        return QSize(round(wide) + cap_width(self.key) + look().px(12), look().px(24))

    def minimumSizeHint(self) -> QSize:
        """The same."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw word, line and cap."""
        painter, now = QPainter(self), look()
        painter.setFont(now.font(14, 600))
        painter.setPen(now.color("hand"))
        metrics = QFontMetricsF(painter.font())
        wide, left = metrics.horizontalAdvance(self.name()), now.px(3)
        painter.drawText(QRectF(left, 0, wide + 2, self.height()), Qt.AlignmentFlag.AlignVCenter, self.name())
        base = round((self.height() + metrics.height()) / 2) - 1
        painter.fillRect(QRectF(left, base, wide, now.line(2 if self.underMouse() else 1)), now.color("hand"))
        high = now.px(20)
        cap = QRectF(left + wide + now.px(6), (self.height() - high) / 2.0, cap_width(self.key), high)
        paint.key_cap(painter, cap, self.key, token="ink2")
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()
