"""Ten pins as they stand, each of which may be ticked as left: by mouse, or by arrow keys and Space."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.theme import look

ROWS = ((7, 8, 9, 10), (4, 5, 6), (2, 3), (1,))
STEP, ROW = 38.0, 30.0


def pin_words(pins: tuple[int, ...]) -> str:
    """“nobody looked or none”, “6 and 10 pin”."""
    if not pins:
        return "none ticked"
    told = [str(pin) for pin in pins]
    return f"{', '.join(told[:-1])} and {told[-1]} pin" if len(told) > 1 else f"{told[0]} pin"


class Pins(QWidget):
    """Seven, eight, nine and ten at the back, one in front, as the bowler sees them."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._left: set[int] = set()
        self._at = 1
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._name()

    def pins(self) -> tuple[int, ...]:
        """Those ticked."""
        return tuple(sorted(self._left))

    def put(self, pins: tuple[int, ...]) -> None:
        """Tick these."""
        self._left = set(pins)
        self._name()

    def toggle(self, pin: int) -> None:
        """Left, or not."""
        self._left ^= {pin}
        self._at = pin
        self._name()
        self.changed.emit()

    def sizeHint(self) -> QSize:
        """Four rows."""
        return look().size(4 * STEP + 4, 4 * ROW + 4)

    def middle(self, pin: int) -> QPointF:
        """Where a pin stands."""
        row = next(i for i, pins in enumerate(ROWS) if pin in pins)
        pins = ROWS[row]
        x = (pins.index(pin) - (len(pins) - 1) / 2.0) * STEP + 2 * STEP + 2
        return QPointF(look().scale * x, look().scale * (ROW * (row + 0.5) + 2))

    def at(self, where: QPoint) -> int | None:
        """The pin there."""
        near = look().px(15)
        for pins in ROWS:
            for pin in pins:
                away = self.middle(pin) - QPointF(where)
                if away.x() ** 2 + away.y() ** 2 <= near**2:
                    return pin
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tick the pin under it."""
        pin = self.at(event.position().toPoint())
        if pin is not None:
            self.toggle(pin)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → ↑ ↓ go from pin to pin, Space ticks."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Space:
            self.toggle(self._at)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._go(self._at + (1 if key == Qt.Key.Key_Right else -1))
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            row = next(i for i, pins in enumerate(ROWS) if self._at in pins)
            to = row + (1 if key == Qt.Key.Key_Down else -1)
            if 0 <= to < len(ROWS):
                x = self.middle(self._at).x()
                self._go(min(ROWS[to], key=lambda pin: abs(self.middle(pin).x() - x)))
        else:
            super().keyPressEvent(event)

    def _go(self, pin: int) -> None:
        if 1 <= pin <= 10:
            self._at = pin
            self._name()

    def _name(self) -> None:
        here = "left" if self._at in self._left else "not left"
        self.setAccessibleName(f"Pins left: {pin_words(self.pins())}")
        self.setAccessibleDescription(f"On the {self._at} pin, {here}; Space ticks it")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the ten."""
        painter, now = QPainter(self), look()
        with paint.kept(painter):
            for pin in range(1, 11):
                middle, left = self.middle(pin), pin in self._left
                half = now.px(12)
                painter.setBrush(now.color("ink" if left else "sheet"))
                painter.setPen(QPen(now.color("ink" if left else "edge"), now.line(1)))
                painter.drawEllipse(middle, half, half)
                painter.setPen(now.color("sheet" if left else "ink2"))
                painter.setFont(now.font(12, 600 if left else 400))
                box = QRectF(middle.x() - half, middle.y() - half, 2 * half, 2 * half)
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(pin))
                if self.hasFocus() and pin == self._at:
                    painter.setBrush(Qt.BrushStyle.NoBrush)
                    painter.setPen(QPen(now.color("hand"), 2))
                    painter.drawEllipse(middle, half + 3, half + 3)
        painter.end()
