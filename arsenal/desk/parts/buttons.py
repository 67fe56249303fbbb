"""Buttons with their key on them, and rows of keys of which one is chosen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QPushButton, QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.text import caption, unturned
from arsenal.desk.theme import look


def cap_width(key: str) -> int:
    """Width of a key cap for that name."""
    return max(look().px(23), round(QFontMetricsF(look().font(12, 500)).horizontalAdvance(key)) + look().px(12))


class KeyButton(QPushButton):
    """A button that shows its name, an optional second line, and the key that presses it.

    `key` is a letter, “Esc” or “↵”; letters are heard from anywhere in the room while no field has the focus (the
    window's key listener finds the button). `primary` fills it with `hand`.
    """

    def __init__(
        self,
        name: str,
        key: str = "",
        *,
        detail: str = "",
        primary: bool = False,
        height: float = 48,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.key, self.primary, self._detail, self._height = key, primary, detail, height
        self._name = name
        self.come_to = False
        """Whether somebody came to it by Tab, so that Enter means this one."""
        self.setAutoDefault(False)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self.rename(name, detail)

    def rename(self, name: str, detail: str | None = None) -> None:
        """Another name and second line."""
        self._name = unturned(name)
        if detail is not None:
            self._detail = detail
        self.setText(caption(name))
        self.setAccessibleName(f"{name}, {self._detail}" if self._detail else name)
        self.setAccessibleDescription(f"key {self.key}" if self.key else "")
        self._dress()

    def name(self) -> str:
        """The name as shown."""
        return self._name

    def take_keys(self) -> None:
        """Have the focus as if somebody had come to it, in a dialog that is not shown yet too."""
        self.setFocus(Qt.FocusReason.TabFocusReason)
        self.come_to = True

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Remember how it came."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.come_to = True

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Gone on; another window in front takes nothing away."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.come_to = False

    def sizeHint(self) -> QSize:
        """Name and key side by side."""
        wide = QFontMetricsF(look().font(15, 600)).horizontalAdvance(self._name)
        small = QFontMetricsF(look().font(12)).horizontalAdvance(self._detail)
        cap = cap_width(self.key) + look().px(12) if self.key else 0
        return QSize(round(max(wide, small)) + cap + look().px(28), look().px(self._height))

    def minimumSizeHint(self) -> QSize:
        """As narrow as the key with a few letters."""
        return QSize(min(self.sizeHint().width(), look().px(72) + cap_width(self.key)), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the button."""
        painter = QPainter(self)
        now, box = look(), QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        on = self.isEnabled()
        filled = self.primary and on
        ground = "hand" if filled else ("well" if self.isDown() or not on else "sheet")
        if self.underMouse() and on and not filled:
            ground = "well" if self.isDown() else "sel"
        with paint.kept(painter):
            painter.setBrush(now.color(ground))
            painter.setPen(QPen(now.color("hand" if filled else "edge"), 1))
            painter.drawRoundedRect(box, 4, 4)
        ink = "on_hand" if filled else ("ink" if on else "ink3")
        right = self._paint_cap(painter, "on_hand" if filled else ("ink2" if on else "ink3"))
        self._paint_text(painter, ink, right)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
            if filled:
                with paint.kept(painter):
                    painter.setPen(QPen(now.color("on_hand"), 1.5))
                    painter.drawRoundedRect(box.adjusted(3, 3, -3, -3), 2, 2)
        painter.end()

    def _pad(self) -> int:
        return look().px(14 if self.width() >= self.sizeHint().width() else 9)

    def _paint_cap(self, painter: QPainter, token: str) -> int:
        right = self.width() - self._pad()
        if not self.key:
            return right
        wide, high = cap_width(self.key), look().px(21)
        box = QRectF(right - wide, (self.height() - high) / 2.0, wide, high)
        paint.key_cap(painter, box, self.key, token=token, edge="edge" if token != "on_hand" else "on_hand")
        return round(box.left()) - look().px(6)

    def _paint_text(self, painter: QPainter, token: str, right: int) -> None:
        left = self._pad()
        room = QRect(left, 0, max(0, right - left), self.height())
        name_font, small_font = look().font(15, 600), look().font(12)
        if QFontMetricsF(name_font).horizontalAdvance(self._name) > room.width():
            name_font = look().font(13, 600)
        lines = [(self._name, name_font, token)]
        if self._detail:
            lines.append((self._detail, small_font, token if token == "on_hand" else "ink2"))
        heights = [QFontMetricsF(font).height() for _, font, _ in lines]
        y = (self.height() - sum(heights)) / 2.0
        for (text, font, ink), high in zip(lines, heights, strict=True):
            painter.setFont(font)
            painter.setPen(look().color(ink))
            shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(
                QRectF(left, y, room.width(), high), Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown
            )
            y += high

    def _dress(self) -> None:
        self.setFixedHeight(look().px(self._height))
        self.updateGeometry()
        self.update()


class ChoiceKey(QAbstractButton):
    """One of a row of keys (a pad, a shot): checkable; chosen is `sel` with a 2 px `hand` edge.

    Subclasses paint their lines in `paint_lines`; the frame, the focus ring and the accessible state are here.
    """

    def __init__(self, name: str, *, height: float = 72, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._height = height
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self.rename(name)
        self._dress()

    def rename(self, name: str, spoken: str = "") -> None:
        """Another name; `spoken` is the whole of what the key says, for a screen reader."""
        self.setText(caption(name))
        self._name = name
        self.setAccessibleName(spoken or name)
        self.update()

    def name(self) -> str:
        """The name as shown."""
        return self._name

    def set_height(self, height: float) -> None:
        """Another height at base text size."""
        self._height = height
        self._dress()

    def sizeHint(self) -> QSize:
        """A key."""
        return QSize(look().px(118), look().px(self._height))

    def minimumSizeHint(self) -> QSize:
        """A narrow key."""
        return QSize(look().px(74), look().px(self._height))

    def paint_lines(self, painter: QPainter, box: QRect) -> None:
        """Write what the key says inside `box`; by default its name."""
        painter.setFont(look().font(15, 600))
        painter.setPen(look().color("hand" if self.isChecked() else "ink"))
        shown = QFontMetricsF(painter.font()).elidedText(self._name, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft, shown)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the key."""
        painter = QPainter(self)
        now, chosen = look(), self.isChecked()
        box = QRectF(self.rect())
        with paint.kept(painter):
            width = 2 if chosen else 1
            painter.setBrush(now.color("sel" if chosen or self.underMouse() else "sheet"))
            painter.setPen(QPen(now.color("hand" if chosen else "edge"), width))
            painter.drawRoundedRect(box.adjusted(width / 2, width / 2, -width / 2, -width / 2), 4, 4)
        pad = now.px(12)
        self.paint_lines(painter, self.rect().adjusted(pad, now.px(6), -pad, -now.px(6)))
        if self.hasFocus():
            if chosen:
                paint.focus_ring(painter, self.rect().adjusted(4, 4, -4, -4), 2)
            else:
                paint.focus_ring(painter, self.rect(), 4)
        painter.end()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(self._height))
        self.updateGeometry()
        self.update()


class KeyRow(QWidget):
    """A radio group of choice keys with roving focus: one Tab stop, ← → move, Home and End jump, Esc chooses none."""

    chosen = Signal(int)
    """Index, or −1 for none: told once per change, by mouse or key."""

    def __init__(self, name: str, *, may_be_none: bool = True, spacing: int = 8, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._none, self._at, self._keys = may_be_none, -1, []  # type: ignore[var-annotated]
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(spacing)

    def set_keys(self, keys: Sequence[ChoiceKey]) -> None:
        """Show these keys; the old ones are let go."""
        for old in self._keys:
            self._row.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._keys, self._at = list(keys), -1
        for number, key in enumerate(self._keys):
            self._row.addWidget(key, 1)
            key.clicked.connect(lambda _=False, n=number: self.choose(n))
        self._rove()

    def choices(self) -> list[ChoiceKey]:
        """The keys, left to right."""
        return list(self._keys)

    def at(self) -> int:
        """Index of the chosen key, −1 for none."""
        return self._at

    def choose(self, index: int, *, tell: bool = True) -> None:
        """Choose a key or, with −1, none."""
        if index < 0 and not self._none:
            index = max(0, self._at)
        changed = index != self._at
        self._at = index
        for number, key in enumerate(self._keys):
            key.setChecked(number == index)
        self._rove()
        if changed and tell:
            self.chosen.emit(index)

    def step(self, by: int) -> None:
        """Move the choice; from none the first step goes to the nearest end."""
        if self._keys:
            start = self._at if self._at >= 0 else (-1 if by > 0 else len(self._keys))
            self.choose(min(len(self._keys) - 1, max(0, start + by)))
            if any(key.hasFocus() for key in self._keys):
                self._keys[self._at].setFocus(Qt.FocusReason.OtherFocusReason)

    def _rove(self) -> None:
        for number, key in enumerate(self._keys):
            here = number == max(0, self._at)
            key.setFocusPolicy(Qt.FocusPolicy.StrongFocus if here else Qt.FocusPolicy.ClickFocus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows, Home, End, Esc."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.step(1 if key == Qt.Key.Key_Right else -1)
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End) and self._keys:
            self.choose(0 if key == Qt.Key.Key_Home else len(self._keys) - 1)
        elif key == Qt.Key.Key_Escape and self._none and self._at >= 0:
            self.choose(-1)
        else:
            super().keyPressEvent(event)
