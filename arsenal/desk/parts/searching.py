"""What the window's search line and the Counter's have in common."""

from __future__ import annotations

from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit


def leaves_undo(event: QKeyEvent, field: QLineEdit) -> bool:
    """Of a ShortcutOverride: in an empty line Undo is the desk's, with text in it the line's own. True where it was
    left to the desk.
    """
    if field.text() or not event.matches(QKeySequence.StandardKey.Undo):
        return False
    event.ignore()
    return True
