"""The seven keys a shot is logged by, in the order of reaction, and the field of its board."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, QSize, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton, cap_width
from arsenal.desk.parts.lists import write
from arsenal.desk.practice.waiting import Half
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.practice_views import ShotKey

LETTERS = {
    "long": "N", "light": "L", "flush": "F", "high": "H", "over": "O", "rolled out": "Q", "hung": "U",
}  # fmt: skip
SHOWN = {"rolled out": "quit"}
SAID = {
    "long": "stayed out", "light": "14½ to 17", "flush": "17 to 18", "high": "18 to 20½", "over": "crossed over",
    "rolled out": "rolled out, no hit", "hung": "turned, then stood up",
}  # fmt: skip
BOARD_KEY = "B"
HIGH, HIGH_LOW = 74.0, 58.0


def cap_of(key: str, *, shifted: bool) -> str:
    """What stands on the key's cap."""
    return f"⇧{key}" if shifted else key


class ShotButton(KeyButton):
    """A word, what it means, its key. While its shot waits for a board it is chosen: `sel` with a 2 px `hand` edge."""

    def __init__(self, word: str, *, shifted: bool = False) -> None:
        self.word, self.waits, self.cap = word, False, cap_of(LETTERS[word], shifted=shifted)
        super().__init__(SHOWN.get(word, word), LETTERS[word], detail=SAID[word], height=HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def wait(self, *, on: bool) -> None:
        """Its shot waits for a board, or no longer."""
        if on != self.waits:
            self.waits = on
            self.update()

    def set_height(self, height: float) -> None:
        """Another height at base text size."""
        self._height = height
        self._dress()

    def minimumSizeHint(self) -> QSize:
        """Its word and its key."""
        wide = QFontMetricsF(look().font(15, 600)).horizontalAdvance(self.name())
        return QSize(round(wide) + cap_width(self.cap) + look().px(22), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw frame, cap and the two lines."""
        painter, now = QPainter(self), look()
        with paint.kept(painter):
            thick = 2 if self.waits else 1
            on = self.isEnabled()
            ground = "sel" if on and (self.waits or self.underMouse()) else "sheet"
            painter.setBrush(now.color("well" if self.isDown() else ground))
            painter.setPen(QPen(now.color("hand" if self.waits else "edge"), thick))
            half = thick / 2.0
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(half, half, -half, -half), 4, 4)
        self._lines(painter)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect().adjusted(3, 3, -3, -3) if self.waits else self.rect(), 4)
        painter.end()

    def _lines(self, painter: QPainter) -> None:
        now, on = look(), self.isEnabled()
        pad = now.px(12 if self.width() > now.px(110) else 8)
        cap, high = cap_width(self.cap), now.px(21)
        middle = round(self.height() * 0.32)
        box = QRectF(self.width() - pad - cap, middle - high / 2.0, cap, high)
        paint.key_cap(painter, box, self.cap, token="ink2" if on else "ink3")
        room = round(box.left()) - now.px(4) - pad
        font = next(
            (f for f in (now.font(20, 600), now.font(17, 600)) if _fits(self.name(), f, room)), now.font(15, 600)
        )  # fmt: skip
        line = now.px(26)
        write(painter, QRect(pad, middle - line // 2, room, line), self.name(), font, "ink" if on else "ink3")
        below = QRect(pad, round(self.height() * 0.67) - now.px(9), self.width() - 2 * pad, now.px(18))
        write(painter, below, self._detail, now.font(12), "ink2" if on else "ink3")


def _fits(text: str, font: object, room: int) -> bool:
    return QFontMetricsF(font).horizontalAdvance(text) <= room  # type: ignore[call-overload,no-any-return]


class EndedAt(KeyButton):
    """The field of the board: B alone, or digits after a word. It shows what was typed so far."""

    def __init__(self, *, shifted: bool = False) -> None:
        self._half: Half | None = None
        self.cap = cap_of(BOARD_KEY, shifted=shifted)
        super().__init__("ended at", BOARD_KEY, detail="boards at the pins", height=HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def set_height(self, height: float) -> None:
        """Another height at base text size."""
        self._height = height
        self._dress()

    def show_half(self, half: Half | None) -> None:
        """What waits, or nothing."""
        self._half = half
        typed = half.typed if half is not None else ""
        self.setAccessibleName(f"ended at, board {typed}" if typed else "ended at, boards at the pins")
        self.update()

    def minimumSizeHint(self) -> QSize:
        """Both lines' first words."""
        return QSize(look().px(96), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the field."""
        painter, now = QPainter(self), look()
        waits = self._half is not None
        with paint.kept(painter):
            thick = 2 if waits else 1
            painter.setBrush(now.color("sel" if waits or self.underMouse() else "sheet"))
            painter.setPen(QPen(now.color("hand" if waits else "edge"), thick))
            half = thick / 2.0
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(half, half, -half, -half), 4, 4)
        pad, middle = now.px(12), round(self.height() * 0.32)
        cap, high = cap_width(self.cap), now.px(21)
        box = QRectF(self.width() - pad - cap, middle - high / 2.0, cap, high)
        paint.key_cap(painter, box, self.cap, token="ink2")
        room = round(box.left()) - now.px(4) - pad
        write(painter, QRect(pad, middle - now.px(13), room, now.px(26)), "ended at", now.font(15, 500), "ink2")
        self._typed(painter, pad)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect().adjusted(3, 3, -3, -3) if waits else self.rect(), 4)
        painter.end()

    def _typed(self, painter: QPainter, pad: int) -> None:
        now = look()
        line, y = now.px(56), round(self.height() * 0.67)
        half = min(now.px(13), self.height() - y - now.px(5))
        right = QRect(self.width() - pad - line, y - half, line, 2 * half)
        label = QRect(pad, y - now.px(9), right.left() - pad - now.px(6), now.px(18))
        write(painter, label, "boards at the pins", now.font(12), "ink2")
        painter.fillRect(QRect(right.left(), right.bottom() - now.px(2), line, now.line(1)), now.color("edge"))
        if self._half is not None and self._half.typed:
            write(painter, right, self._half.typed, now.font(17, 600), "ink", right=True, elide=False)


class ShotKeys(QWidget):
    """Five keys in the order of reaction, below them quit, hung and the board."""

    pressed = Signal(str)
    """A word; empty for a board alone."""

    def __init__(self, name: str = "What did it do?", *, shifted: bool = False) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.buttons = [ShotButton(word, shifted=shifted) for word in LETTERS]
        self.ended = EndedAt(shifted=shifted)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._narrow: bool | None = None
        for button in self.buttons:
            button.clicked.connect(lambda _=False, w=button.word: self.pressed.emit(w))
        self.ended.clicked.connect(lambda: self.pressed.emit(""))
        look().changed.connect(self._fit)
        self._fit()

    def show_keys(self, keys: Sequence[ShotKey]) -> None:
        """What each stands for, as this bowler counts boards."""
        said = {key.word: key.said for key in keys}
        for button in self.buttons:
            button.rename(button.name(), said.get(button.word, SAID[button.word]))

    def show_half(self, half: Half | None) -> None:
        """The shot that waits."""
        for button in self.buttons:
            button.wait(on=half is not None and half.word == button.word)
        self.ended.show_half(half)

    def set_low(self, *, low: bool) -> None:
        """Lower keys, where there is little room."""
        for button in self.buttons:
            button.set_height(HIGH_LOW if low else HIGH)
        self.ended.set_height(HIGH_LOW if low else HIGH)

    def setEnabled(self, on: bool) -> None:
        """Without a ball in hand there is nothing to log."""
        for button in (*self.buttons, self.ended):
            button.setEnabled(on)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where five do not fit beside each other, four rows of two."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        self._grid.setSpacing(look().px(8))
        least = max(button.minimumSizeHint().width() for button in self.buttons)
        narrow = 5 * least + 4 * look().px(8) > self.width() > 0
        if narrow == self._narrow:
            return
        self._narrow = narrow
        every: list[QWidget] = [*self.buttons, self.ended]
        for number, button in enumerate(every):
            self._grid.removeWidget(button)
            if narrow:
                self._grid.addWidget(button, number // 2, 15 * (number % 2), 1, 15)
            elif number < 5:
                self._grid.addWidget(button, 0, 6 * number, 1, 6)
            else:
                self._grid.addWidget(button, 1, 10 * (number - 5), 1, 10)
        for column in range(30):
            self._grid.setColumnStretch(column, 1)
