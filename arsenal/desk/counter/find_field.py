"""The room's own line: 46 high, in focus when the room opens; ↑ ↓ go through what was found, Enter opens it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.searching import leaves_undo
from arsenal.desk.theme import look

NAME = "Find a ball, person or ticket"
LONGEST = 400


class FindField(QWidget):
    """A frame with a glass and the field."""

    typed = Signal(str)
    moved = Signal(int)
    """↑ ↓, by so many rows."""
    opened = Signal()
    left = Signal()
    """Esc in an empty field."""

    def __init__(self) -> None:
        super().__init__()
        self.edit = QLineEdit()
        self.edit.setFrame(False)
        self.edit.setMaxLength(LONGEST)
        self.edit.setStyleSheet("QLineEdit, QLineEdit:focus { border: none; background: transparent; padding: 0; }")
        self.edit.setPlaceholderText("Name, phone, serial, ticket")
        self.edit.setAccessibleName(NAME)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self.edit, 1)
        self.setFocusProxy(self.edit)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.edit.installEventFilter(self)
        self.edit.textChanged.connect(self.typed)
        look().changed.connect(self._dress)
        self._dress()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keys of the list while the focus stays here; Undo of an empty field is the desk's."""
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        if not isinstance(event, QKeyEvent):
            return False
        if event.type() is QEvent.Type.ShortcutOverride:
            return leaves_undo(event, self.edit)
        return event.type() is QEvent.Type.KeyPress and self._key(event)

    def _key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in (Qt.Key.Key_Down, Qt.Key.Key_Up) and plain:
            self.moved.emit(1 if key == Qt.Key.Key_Down else -1)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self.opened.emit()
        elif key == Qt.Key.Key_Escape and self.edit.text():
            self.edit.clear()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            return False
        return True

    def sizeHint(self) -> QSize:
        """46 high."""
        return look().size(300, 46)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw frame and glass."""
        paint.search_frame(self, look().px(20), look().px(11), focus=self.edit.hasFocus())

    def _dress(self) -> None:
        self.setFixedHeight(look().px(46))
        self._row.setContentsMargins(look().px(41), 3, look().px(12), 3)
        self.edit.setFont(look().font(20))
