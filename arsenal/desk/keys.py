"""Single keys heard from anywhere in the window, told apart from scanners that type.

A plain letter or digit outside a field is held for 40 ms. When nothing follows, it presses the button that carries it
or goes to the room; when more follows at once, the burst is a scan: all of it, with its spaces and its Enter, goes to
the one scan handler and never to a button.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QTextEdit,
    QWidget,
)

HOLD_MS, SCAN_MS = 40, 60
FIELDS = (QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox)
QUIET = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


class KeyListener(QObject):
    """Watches the keys of the windows it is told to watch: the desk and its dialogs."""

    pressed = Signal(str)
    """One single key, upper case."""
    scanned = Signal(str)
    """A scan, without its Enter."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._held = ""
        self.shifted = False
        """Whether the last single key came with Shift."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._over)

    def watch(self, window: QWidget) -> None:
        """Listen to a top-level window; its native window is watched, so that no other event costs anything."""
        if window.windowHandle() is None:
            window.winId()
        handle = window.windowHandle()
        if handle is not None:
            handle.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hold, gather or let pass."""
        if event.type() is not QEvent.Type.KeyPress:
            return False
        return isinstance(event, QKeyEvent) and self._take(event)

    def _take(self, event: QKeyEvent) -> bool:
        text = event.text()
        if self._scanning() and ((text.isprintable() and text) or event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)):
            return self._gather(event)
        if event.isAutoRepeat() or event.modifiers() & ~QUIET or not text or not text.isprintable() or text == " ":
            return False
        if _in_field():
            return False
        self._held = text
        self.shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        self._timer.start(HOLD_MS)
        return True

    def _scanning(self) -> bool:
        return bool(self._held)

    def _gather(self, event: QKeyEvent) -> bool:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            held, self._held = self._held, ""
            self._timer.stop()
            if len(held) > 1:
                self.scanned.emit(held)
                return True
            self.pressed.emit(held.upper())
            return False
        self._held += event.text()
        self._timer.start(SCAN_MS)
        return True

    def _over(self) -> None:
        held, self._held = self._held, ""
        if len(held) == 1:
            self.pressed.emit(held.upper())
        elif held:
            self.scanned.emit(held)


def _in_field() -> bool:
    """Whether what is typed belongs to a field or an open menu."""
    focus, popup = QApplication.focusWidget(), QApplication.activePopupWidget()
    if isinstance(popup, QMenu):
        return True
    return isinstance(focus, FIELDS) and focus.isEnabled()
