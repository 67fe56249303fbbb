"""Single keys heard from anywhere in the window, told apart from scanners that type.

Outside a field a plain letter or digit is held for 40 ms. When nothing follows, it presses the button that carries it
or goes to the room; when more follows at once, the burst is a scan: all of it, with its spaces and its Enter, goes to
the one scan handler and never to a button. In a field a key is held for 12 ms, which nobody feels, and given to the
field when nothing follows; what a scanner types never gets there, and what a slow one has begun to type is taken out.
Menus, lists that drop down, and dialogs that are not our own (files, printers) are heard too, as soon as they come up:
there every key is held as in a field, and what is no scan goes where it would have gone.
"""

from __future__ import annotations

from collections.abc import Sequence
from weakref import WeakKeyDictionary, WeakSet

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QWindow
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
from shiboken6 import isValid

from arsenal.desk.given import Run

HOLD_MS, SCAN_MS = 40, 60
"""Outside a field: how long the first key waits, and each further one."""
FIELD_MS, TYPED_MS = 12, 35
"""In a field: how long the first key waits; a hand leaves more than this between keys, a scanner less."""
LATE_MS = 5
"""A wait that took so much longer than it should: the window was busy."""
LEAST, LEAST_IN_FIELD, LEAST_ENDLESS = 2, 4, 6
"""Signs of a scan that Enter or Tab ends outside a field and in one, and of one in a field that nothing ends."""
FIELDS = (QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox)
QUIET = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)
SILENT = (Qt.Key.Key_Shift, Qt.Key.Key_CapsLock, Qt.Key.Key_NumLock, Qt.Key.Key_AltGr)


LISTENERS: WeakKeyDictionary[QWidget, KeyListener] = WeakKeyDictionary()
"""Who listens to which top-level window, by the windows that have a listener of their own."""


class KeyListener(QObject):
    """Watches the keys of the windows it is told to watch: the desk and its dialogs."""

    pressed = Signal(str)
    """One single key, upper case."""
    rolled = Signal(str)
    """Two or three keys outside a field, one on the heels of the other, that nothing ended."""
    scanned = Signal(str)
    """A scan, without its Enter."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        if isinstance(parent, QWidget):
            LISTENERS[parent] = self
        self._held: list[QKeyEvent] = []
        self._target: QWidget | None = None
        """The field or menu the held keys belong to unless they are a scan; None outside."""
        self._run: Run | None = None
        self._scanning = False
        """Whether the field was already given so many fast keys that no hand types them."""
        self._first_ms = self._last_ms = self._waited_ms = 0
        """When the first and the last held key was pressed, by the system’s clock."""
        self._told_ms = -SCAN_MS
        """When the last scan ended; what ends it twice (carriage return and line feed) comes right after."""
        self._released = False
        """Whether the held space bar was let go meanwhile."""
        self.shifted = False
        """Whether the last single key came with Shift."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._time_up)
        self._since = QElapsedTimer()

    def watch(self, window: QWidget) -> None:
        """Listen to a top-level window; its native window is watched, so that no other event costs anything."""
        LISTENERS[window] = self
        if window.windowHandle() is None:
            window.winId()
        handle = window.windowHandle()
        if handle is not None:
            self.hear(handle)
        heed_newcomers()

    def hear(self, handle: QWindow) -> None:
        """Hear the keys that come to a native window."""
        handle.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hold, gather or let pass."""
        if event.type() is QEvent.Type.KeyPress:
            return isinstance(event, QKeyEvent) and self._take(event)
        if event.type() is QEvent.Type.KeyRelease and self._held and _text(self._held) == " ":
            self._released = self._released or (isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Space)
            return self._released and self._target is None
        return False

    def _take(self, event: QKeyEvent) -> bool:
        if event.key() in SILENT:
            return False
        gap = int(event.timestamp()) - self._last_ms
        if self._held and gap > (SCAN_MS if self._unhurried() else TYPED_MS):
            self._over()  # its time was up, only nobody had looked: the window was busy
        if self._held and event.key() in ENDS and not event.modifiers() & ~QUIET:
            return self._end(int(event.timestamp()))
        if not self._held and self._ends_again(event):
            return True
        text = event.text()
        repeats = event.isAutoRepeat() and gap > TYPED_MS  # “00” of a scanner looks like a key that is held down
        if repeats or event.modifiers() & ~QUIET or not text or not text.isprintable():
            self._over()
            return False
        if not self._held:
            self._target, self._first_ms = _where_typed(), int(event.timestamp())
            self._released, self._scanning = False, self._slow_scan()
        self._last_ms = int(event.timestamp())
        self._held.append(_copy(event))
        self._await(self._wait())
        return True

    def _await(self, wait_ms: int) -> None:
        self._waited_ms = wait_ms
        self._since.start()
        self._timer.start(wait_ms)

    def _time_up(self) -> None:
        """Nothing followed; or the window was busy, and what followed may still be waiting to be told."""
        if self._since.elapsed() - self._waited_ms > LATE_MS:
            self._await(LATE_MS)
        else:
            self._over()

    def _wait(self) -> int:
        more = len(self._held) > 1 or self._scanning
        if self._unhurried():
            return SCAN_MS if more else HOLD_MS
        return TYPED_MS if more else FIELD_MS

    def _unhurried(self) -> bool:
        """Whether nobody types there: outside of fields, and in a menu."""
        return self._target is None or isinstance(self._target, QMenu)

    def _goes_on(self) -> bool:
        """Whether what is held follows what a field was given as fast as a scanner types."""
        run = self._run
        return run is not None and run.field is self._target and 0 <= self._first_ms - run.last_ms <= TYPED_MS

    def _slow_scan(self) -> bool:
        return self._run is not None and len(self._run.typed) >= LEAST_IN_FIELD and self._goes_on()

    def _end(self, at_ms: int) -> bool:
        """Enter or Tab after held keys. True where it ended a scan."""
        least = LEAST if self._unhurried() else LEAST_IN_FIELD
        if self._whole(least):
            self._told_ms = at_ms
            return True
        self._over()
        return False

    def _ends_again(self, event: QKeyEvent) -> bool:
        """Whether this only ends once more a scan that was told a moment ago."""
        feed = event.key() == Qt.Key.Key_J and event.modifiers() == Qt.KeyboardModifier.ControlModifier
        return (feed or event.key() in ENDS) and 0 <= int(event.timestamp()) - self._told_ms <= SCAN_MS

    def _over(self) -> None:
        """Nothing follows."""
        if not self._held:
            return
        if self._target is None:
            self._heard()
        elif not self._whole(LEAST_ENDLESS):
            self._give_back(self._let_go())

    def _heard(self) -> None:
        if len(self._held) == 1:
            self._single(self._let_go()[0])
        elif not self._whole(LEAST_IN_FIELD):
            self.rolled.emit(_text(self._let_go()))

    def _whole(self, least: int) -> bool:
        """Tell a scan where there are so many keys. True where there were."""
        held, run = _text(self._held), self._run if self._goes_on() else None
        text = (run.typed if run is not None else "") + held
        if len(text) < least or not text.strip():
            return False
        self._let_go()
        self._run = None
        if run is not None:
            run.take_back()
        close_popups()
        self.scanned.emit(text)
        return True

    def _let_go(self) -> list[QKeyEvent]:
        held, self._held = self._held, []
        self._timer.stop()
        return held

    def _single(self, event: QKeyEvent) -> None:
        """One key outside a field: the space bar presses what has the focus, any other is heard by its letter."""
        if event.text() != " ":
            self.shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.pressed.emit(event.text().upper())
            return
        focus = QApplication.focusWidget()
        if focus is not None:
            QApplication.sendEvent(focus, event)
            if self._released and isValid(focus):
                QApplication.sendEvent(focus, _copy(event, QEvent.Type.KeyRelease))

    def _give_back(self, held: Sequence[QKeyEvent]) -> None:
        """The keys were typed by hand: the field gets them now."""
        target = self._target
        if target is None or not isValid(target):
            return
        self._note(target, _text(held))
        for event in held:
            if isValid(target):
                QApplication.sendEvent(target, event)

    def _note(self, field: QWidget, typed: str) -> None:
        run = self._run
        if run is not None and self._goes_on():
            run.typed, run.last_ms = run.typed + typed, self._last_ms
        else:
            self._run = Run.before(field, typed, self._last_ms)


def _copy(event: QKeyEvent, kind: QEvent.Type = QEvent.Type.KeyPress) -> QKeyEvent:
    return QKeyEvent(kind, event.key(), event.modifiers(), event.text(), False, event.count())


def _text(held: Sequence[QKeyEvent]) -> str:
    return "".join(event.text() for event in held)


def _where_typed() -> QWidget | None:
    """What the typed keys belong to: a field, an open menu or list, whatever has the focus in a window that is not our
    own; None where keys are heard by their letters.
    """
    popup, focus = QApplication.activePopupWidget(), QApplication.focusWidget()
    if popup is not None:
        return popup.focusWidget() or popup
    if focus is None or (isinstance(focus, FIELDS) and focus.isEnabled()):
        return focus
    return None if focus.window() in LISTENERS else focus


def close_popups() -> None:
    """Close menus and lists that dropped down, the topmost first."""
    while (popup := QApplication.activePopupWidget()) is not None and popup.close():
        pass


class Newcomers(QObject):
    """Has every window of ours heard that no listener was made for, by the listener of the window it belongs to."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._menus: WeakSet[QMenu] = WeakSet()
        app.focusWindowChanged.connect(self._came)

    def _came(self, handle: QWindow | None) -> None:
        widget = QWidget.find(handle.winId()) if handle is not None else None
        if widget is not None:
            self._heed(widget)

    def _heed(self, widget: QWidget) -> None:
        listener = _listener_over(widget)
        handle = widget.windowHandle()
        if listener is None or handle is None or widget in LISTENERS:
            return
        listener.hear(handle)
        for menu in widget.findChildren(QMenu):  # one that opens from another tells of no focus
            if menu not in self._menus:
                self._menus.add(menu)
                menu.aboutToShow.connect(lambda of=menu: self._menu(of))
            if menu.isVisible():
                self._heed(menu)

    def _menu(self, menu: QMenu) -> None:
        menu.winId()  # else it has no native window yet
        self._heed(menu)


def _listener_over(widget: QWidget | None) -> KeyListener | None:
    while widget is not None:
        if widget in LISTENERS:
            return LISTENERS[widget]
        widget = widget.parentWidget()
    return None


def heed_newcomers() -> None:
    """From now on; once is enough."""
    app = QApplication.instance()
    if isinstance(app, QApplication) and app.findChild(Newcomers) is None:
        Newcomers(app)
