"""The four keys at the end of a row: light, flush, high, and one that has the rest of the seven words."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QMenu, QWidget

from arsenal.desk.coach import words
from arsenal.desk.coach.columns import KEY_GAP, KEY_HIGH, KEY_WIDE, keys_width
from arsenal.desk.parts import paint
from arsenal.desk.parts.text import set_tip
from arsenal.desk.theme import look
from arsenal.trade.entries import Seen

ON_KEYS = (Seen.LIGHT, Seen.FLUSH, Seen.HIGH)
IN_MENU = (Seen.LONG, Seen.OVER, Seen.QUIT, Seen.HUNG)
LETTER_OF = {seen: letter for letter, seen in words.LETTERS.items()}


class LogKey(QAbstractButton):
    """A small key with one word."""

    def __init__(self, word: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setText(word)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def sizeHint(self) -> QSize:
        """48 × 41 at base text size."""
        return look().size(KEY_WIDE, KEY_HIGH)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the key."""
        painter, now, on = QPainter(self), look(), self.isEnabled()
        ground = "well" if self.isDown() or not on else "sel" if self.underMouse() else "sheet"
        with paint.kept(painter):
            painter.setBrush(now.color(ground))
            painter.setPen(QPen(now.color("edge"), 1))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        painter.setFont(now.font(12, 600))
        painter.setPen(now.color("ink" if on else "ink3"))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self.text())
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → the next key, ↑ ↓ another row, Enter and Space press."""
        if event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            strip = self.parentWidget()
            if isinstance(strip, LogKeys):
                strip.step(self, 1 if event.key() == Qt.Key.Key_Right else -1)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Escape):
            strip = self.parentWidget()
            if isinstance(strip, LogKeys):
                strip.back(event)
        else:
            super().keyPressEvent(event)


class LogKeys(QWidget):
    """The keys of one row, laid over its right end; everything left of them belongs to the row."""

    chosen = Signal(object)
    """The word of the shot."""

    def __init__(self, view: QWidget) -> None:
        super().__init__(view)
        self._view = view
        self.setAutoFillBackground(False)
        self.keys = [LogKey(word, self) for word in (*(seen.value for seen in ON_KEYS), "…")]
        for key, seen in zip(self.keys, ON_KEYS, strict=False):
            key.clicked.connect(lambda _=False, s=seen: self.chosen.emit(s))
            set_tip(key, f"{words.MEANS[seen].capitalize()}: key {LETTER_OF[seen]} on the chosen row.")
        self.more = self.keys[-1]
        self.more.clicked.connect(self._open)
        rest = ", ".join(f"{seen.value} {LETTER_OF[seen]}" for seen in IN_MENU)
        set_tip(self.more, f"The other words and their keys: {rest}.")
        look().changed.connect(self._place)

    def show_line(self, bowler: str, ball: str) -> None:
        """Whose shots these keys log; without a ball in hand they are off."""
        for key, seen in zip(self.keys, ON_KEYS, strict=False):
            key.setAccessibleName(f"Log {seen.value}, {bowler}{f', {ball}' if ball else ''}")
        self.more.setAccessibleName(f"Log another word, {bowler}{f', {ball}' if ball else ''}")
        for key in self.keys:
            key.setEnabled(bool(ball))

    def set_reachable(self, here: bool) -> None:
        """Tab stops only in the chosen row."""
        for key in self.keys:
            key.setFocusPolicy(Qt.FocusPolicy.TabFocus if here else Qt.FocusPolicy.NoFocus)

    def step(self, key: LogKey, by: int) -> None:
        """The focus to the next key, or back to the list at the left end."""
        at = self.keys.index(key) + by
        target: QWidget = self._view if at < 0 else self.keys[min(at, len(self.keys) - 1)]
        target.setFocus(Qt.FocusReason.OtherFocusReason)

    def back(self, event: QKeyEvent) -> None:
        """The list takes the focus and the key."""
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        if event.key() != Qt.Key.Key_Escape:
            QApplication.sendEvent(self._view, event)

    def _open(self) -> None:
        menu = QMenu(self)
        menu.setAccessibleName("The other words")
        for seen in IN_MENU:
            letter = LETTER_OF[seen].lower()
            act = menu.addAction(f"{seen.value.replace(letter, f'&{letter}', 1)}  –  {words.MEANS[seen]}")
            act.triggered.connect(lambda _=False, s=seen: self.chosen.emit(s))
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(self.more.mapToGlobal(QPoint(0, self.more.height())))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the keys."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        size = self.keys[0].sizeHint()
        x = self.width() - look().px(20) - keys_width()
        y = (self.height() - size.height()) // 2
        for key in self.keys:
            key.setGeometry(x, y, size.width(), size.height())
            x += look().px(KEY_WIDE + KEY_GAP)
