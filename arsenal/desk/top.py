"""The top bar: the rooms with their digits on the left, the search line on the right."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.text import caption, set_tip
from arsenal.desk.theme import look


class RoomTab(QAbstractButton):
    """A room's name with its digit; the open one is heavier and has a bar under it."""

    def __init__(self, digit: int, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.digit, self._name = digit, name
        self.setCheckable(True)
        self.setText(caption(name))
        self.setAccessibleName(f"{name}, room {digit}")
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        look().changed.connect(self.updateGeometry)

    def _left(self) -> float:
        return QFontMetricsF(look().font(12, 500)).horizontalAdvance(str(self.digit)) + look().px(6)

    def sizeHint(self) -> QSize:
        """Digit and name."""
        wide = QFontMetricsF(look().font(15, 600)).horizontalAdvance(self._name)
        return QSize(round(self._left() + wide + 1), look().px(44))

    def minimumSizeHint(self) -> QSize:
        """Its digit and a few letters; the open room keeps all of them."""
        if self.isChecked():
            return self.sizeHint()
        few = QFontMetricsF(look().font(15, 600)).horizontalAdvance(f"{self._name[:3]}…")
        return QSize(min(self.sizeHint().width(), round(self._left() + few + 1)), self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where the name is shortened, it hovers."""
        super().resizeEvent(event)
        set_tip(self, self._name if self.width() < self.sizeHint().width() else "")

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw digit, name and bar."""
        painter, now, here = QPainter(self), look(), self.isChecked()
        box = QRectF(self.rect())
        font = now.font(15, 600 if here else 400)
        base = (box.height() + QFontMetricsF(font).capHeight()) / 2.0
        painter.setFont(now.font(12, 500))
        painter.setPen(now.color("ink2" if here else "ink3"))
        painter.drawText(QPointF(0.0, base), str(self.digit))
        painter.setFont(font)
        painter.setPen(now.color("ink" if here or self.underMouse() else "ink2"))
        room = self.width() - self._left() + 0.5
        shown = QFontMetricsF(font).elidedText(self._name, Qt.TextElideMode.ElideRight, room)
        painter.drawText(QPointF(self._left(), base), shown)
        if here:
            thick = now.line(4)
            painter.fillRect(QRect(0, self.height() - thick, self.width(), thick), now.color("hand"))
        if self.hasFocus():
            paint.focus_ring(painter, self.rect().adjusted(0, now.px(6), 0, -now.px(6)), 4)
        painter.end()


class TopBar(QWidget):
    """44 px: rooms, then whatever stands right (the search line)."""

    opened = Signal(int)

    def __init__(self, right: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Rooms")
        self._tabs: list[RoomTab] = []
        self._row = QHBoxLayout(self)
        self._row.addStretch(1)
        self._row.addWidget(right)
        look().changed.connect(self._dress)
        self._dress()

    def add(self, digit: int, name: str) -> None:
        """One more room, in the order of the digits."""
        tab = RoomTab(digit, name, self)
        tab.clicked.connect(lambda _=False: self.opened.emit(digit))
        self._row.insertWidget(len(self._tabs), tab)
        self._tabs.append(tab)
        self._fit()

    def show_room(self, digit: int) -> None:
        """Mark a room as the open one; it is the row's one Tab stop."""
        for tab in self._tabs:
            tab.setChecked(tab.digit == digit)
            tab.updateGeometry()
            tab.setFocusPolicy(Qt.FocusPolicy.StrongFocus if tab.digit == digit else Qt.FocusPolicy.ClickFocus)

    def tabs(self) -> list[RoomTab]:
        """The tabs, left to right."""
        return list(self._tabs)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → go to the neighbouring room."""
        here = next((i for i, tab in enumerate(self._tabs) if tab.hasFocus()), -1)
        by = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)
        if here >= 0 and by and 0 <= here + by < len(self._tabs):
            self.opened.emit(self._tabs[here + by].digit)
            self._tabs[here + by].setFocus(Qt.FocusReason.TabFocusReason)
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Tabs stand closer before names are shortened."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        px, names = look().px, sum(tab.sizeHint().width() for tab in self._tabs)
        free = self.width() - 2 * px(20) - names - px(160)
        gap = free / max(1, len(self._tabs))
        self._row.setSpacing(round(min(px(25), max(px(10), gap))))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line below."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), self.height() - 1)
        painter.end()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(44))
        self._row.setContentsMargins(look().px(20), 0, look().px(20), 0)
        self._fit()
