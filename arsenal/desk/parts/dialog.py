"""The one shape of dialog: title, rule, content, caution, buttons on the right; let go when it is closed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QCloseEvent, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from arsenal.desk.keys import KeyListener
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look


class Line(QWidget):
    """A full rule across a dialog or pane."""

    def __init__(self, token: str = "edge", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._token = token
        self.setFixedHeight(1)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), 0, self._token)
        painter.end()


class Caution(QWidget):
    """A caution where work is planned: `well` ground, 4 px `warn` edge, mark, one strong and one plain line."""

    def __init__(self, strong: str, plain: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(f"Caution: {strong} {plain}".strip())
        column = QVBoxLayout(self)
        column.setContentsMargins(look().px(40), look().px(6), look().px(12), look().px(6))
        column.setSpacing(2)
        column.addWidget(Plain(strong, px=13, weight=600, wrap=True))
        if plain:
            column.addWidget(Plain(plain, px=13, token="ink2", wrap=True))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw ground, edge and mark."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("well"))
        painter.fillRect(QRect(0, 0, 4, self.height()), look().color("warn"))
        side = look().px(15)
        paint.due_mark(painter, QRectF(look().px(14), (self.height() - side) / 2, side, side), "due")
        painter.end()


class Facts(QWidget):
    """Names and values in two columns."""

    def __init__(self, facts: Sequence[tuple[str, str]] = (), parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._labels: dict[QWidget, QWidget] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(look().px(24))
        self._grid.setVerticalSpacing(look().px(6))
        self._grid.setColumnStretch(1, 1)
        for name, value in facts:
            self.add(name, value)

    def add(self, name: str, value: str) -> Plain:
        """One more fact; its value label, to change it later."""
        row = self._grid.rowCount()
        shown = Plain(value, weight=600, wrap=True)
        self._grid.addWidget(Plain(name, token="ink2"), row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(shown, row, 1, Qt.AlignmentFlag.AlignTop)
        return shown

    def field(self, name: str, widget: QWidget) -> QWidget:
        """One more row with a field in it; the field is named by its label to a screen reader."""
        row = self._grid.rowCount()
        label = Plain(name, token="ink")
        label.setMinimumHeight(look().px(34))
        self._grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
        if widget.sizePolicy().horizontalPolicy() in (QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed):
            self._grid.addWidget(widget, row, 1, Qt.AlignmentFlag.AlignLeft)
        else:
            self._grid.addWidget(widget, row, 1)
        target = widget.focusProxy() or widget
        if not target.accessibleName():
            target.setAccessibleName(name)
        self._labels[widget] = label
        return widget

    def label_of(self, widget: QWidget) -> QWidget:
        """The label of a field added with `field`."""
        return self._labels[widget]


class Dialog(QDialog):
    """Build it, add to `body`, then `offer` its buttons. `open_` shows it and calls back; nothing blocks."""

    def __init__(self, title: str, parent: QWidget, *, width: float = 460) -> None:
        super().__init__(parent)
        self.setWindowTitle(f"{title} – Padbook")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._keys = KeyListener(self)
        self._keys.pressed.connect(self._letter)
        self._keys.rolled.connect(self._letters)
        self._keys.scanned.connect(self.scanned)
        self._buttons: list[KeyButton] = []
        outer = QVBoxLayout(self)
        pad = look().px(24)
        outer.setContentsMargins(pad, pad, pad, pad)
        outer.setSpacing(look().px(12))
        self.heading = Plain(title, px=20, weight=600, wrap=True)
        outer.addWidget(self.heading)
        outer.addWidget(Line())
        inside = QWidget()
        self.body = QVBoxLayout(inside)
        self.body.setContentsMargins(0, 0, look().px(4), 0)
        self.body.setSpacing(look().px(12))
        self._scroll = QScrollArea()
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(inside)
        inside.setAutoFillBackground(False)
        self._scroll.viewport().setAutoFillBackground(False)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside = inside
        outer.addWidget(self._scroll, 1)
        self.trouble = Told()
        outer.addWidget(self.trouble)
        self._row = QHBoxLayout()
        self._row.setSpacing(look().px(12))
        self._row.addStretch(1)
        outer.addLayout(self._row)
        self._wide = width

    def offer(
        self, name: str, key: str, call: Callable[[], object], *, primary: bool = False, destructive: bool = False
    ) -> KeyButton:
        """A button; Esc's first, the primary last. A destructive one is never primary and never has the focus."""
        button = KeyButton(name, key, primary=primary and not destructive, height=42)
        button.clicked.connect(lambda _=False: call())
        if destructive:
            button.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._row.addWidget(button)
        self._buttons.append(button)
        return button

    def complain(self, sentence: str) -> None:
        """Say above the buttons what is wrong; empty takes it away."""
        self.trouble.setText(sentence)

    def open_(self) -> None:
        """Show the dialog over its window."""
        self.setMinimumWidth(min(look().px(self._wide), self._room().width()))
        self.fit()
        self.show()
        self._keys.watch(self)  # shown first: asking for its window before would make its parent's widgets windows too

    def fit(self) -> None:
        """As high as what is in it, no higher than the screen."""
        room, wide = self._room(), self.minimumWidth()
        pad = look().px(24)
        inner = self._inside.heightForWidth(wide - 2 * pad)
        inner = inner if inner > 0 else self._inside.sizeHint().height()
        free = room.height() - look().px(220) - self._told_high(wide - 2 * pad)
        self._scroll.setMinimumHeight(min(inner + 4, max(80, free)))
        self.resize(wide, min(room.height(), self.sizeHint().height()))
        if self.isVisible():
            self._keep_in_sight()

    def _keep_in_sight(self) -> None:
        """What has grown stays on the screen, its buttons above all."""
        screen = self.screen() or QApplication.primaryScreen()
        free, frame = screen.availableGeometry(), self.frameGeometry()
        left = max(free.left(), min(frame.left(), free.right() + 1 - frame.width()))
        top = max(free.top(), min(frame.top(), free.bottom() + 1 - frame.height()))
        if (left, top) != (frame.left(), frame.top()):
            self.move(left, top)

    def into_sight(self, widget: QWidget) -> None:
        """Scroll so far that a field of the content is seen."""
        self._scroll.ensureWidgetVisible(widget, 0, look().px(20))

    def _told_high(self, wide: int) -> int:
        """How high whatever stands between the content and the buttons comes."""
        outer, high = self.layout(), 0
        assert outer is not None  # noqa: S101 - made with the dialog
        for at in range(outer.indexOf(self._scroll) + 1, outer.count()):
            item = outer.itemAt(at)
            widget = item.widget() if item is not None else None
            if widget is not None and widget.isVisibleTo(self):
                need = widget.heightForWidth(wide) if widget.hasHeightForWidth() else widget.sizeHint().height()
                high += need + look().px(12)
        return high

    def _room(self) -> QSize:
        screen = self.screen() or QApplication.primaryScreen()
        return screen.availableSize() - QSize(40, 60)

    def _letters(self, keys: str) -> None:
        for key in keys.upper():
            self._letter(key)

    def _letter(self, key: str) -> None:
        for button in self._buttons:
            if button.key.upper() == key and button.isVisible() and button.isEnabled():
                button.click()
                return

    def scanned(self, text: str) -> None:
        """A scan while the dialog is open: nothing is typed or pressed."""
        self.complain(f"Scanned {text[:60]}. Close this first, then scan it again.")
        self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses the button the keys have come to, else the primary one; Esc closes."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            held = self.focusWidget()
            come_to = isinstance(held, KeyButton) and held.come_to
            primary = held if come_to else next((b for b in self._buttons if b.primary and b.isEnabled()), None)
            if isinstance(primary, KeyButton):
                primary.click()
            return
        super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Let go of everything in it."""
        super().closeEvent(event)
        self.deleteLater()

    def done(self, result: int) -> None:
        """Closing by any way lets go."""
        super().done(result)
        self.deleteLater()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet the dialog is written on."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("edge"))
        painter.fillRect(self.rect().adjusted(1, 1, -1, -1), look().color("sheet"))
        painter.end()
