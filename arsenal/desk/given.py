"""What was given to a field before it was known to be a scan, and how to take it back."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QTextEdit, QWidget
from shiboken6 import isValid


@dataclass
class Run:
    """Keys a widget was given one after another faster than a hand types, and how it was before them."""

    field: QWidget
    was: object
    """Its text, day or number."""
    cursor: int
    typed: str
    last_ms: int

    @classmethod
    def before(cls, field: QWidget, typed: str, last_ms: int) -> Run:
        """To be made before the keys reach the widget."""
        return cls(field, _read(field), _cursor(field), typed, last_ms)

    def take_back(self) -> None:
        """Put the widget as it was."""
        field = self.field
        if not isValid(field) or _read(field) == self.was:
            return
        if isinstance(field, QPlainTextEdit | QTextEdit):
            self._put_text(field)
            return
        field.metaObject().userProperty().write(field, self.was)
        if isinstance(field, QLineEdit):
            field.setCursorPosition(self.cursor)

    def _put_text(self, field: QPlainTextEdit | QTextEdit) -> None:
        """As one more edit, so that what was written before can still be undone."""
        cursor = field.textCursor()
        cursor.select(QTextCursor.SelectionType.Document)
        cursor.insertText(str(self.was))
        cursor.setPosition(self.cursor)
        field.setTextCursor(cursor)


def _read(field: QWidget) -> object:
    """What a field holds; None of what holds nothing."""
    if isinstance(field, QPlainTextEdit | QTextEdit):
        return field.toPlainText()
    held = field.metaObject().userProperty()
    return held.read(field) if held.isValid() else None


def _cursor(field: QWidget) -> int:
    if isinstance(field, QPlainTextEdit | QTextEdit):
        return field.textCursor().position()
    return field.cursorPosition() if isinstance(field, QLineEdit) else 0
