"""The window over a real shop, with rooms that keep what they are told, and how a scanner types into it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import plain_window
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from arsenal.acts.settings import Settings
from arsenal.acts.views import Hit
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Room, Shared

CODE = "7K 20977-A"
KNOWN = [(1, "Lane-side", "none"), (2, "Bench", "none"), (6, "Counter", "none")]


class Counter(Room):
    """A room with a Delete button, a field, a note; keeps what it is told to open."""

    def __init__(self, shared: Shared, digit: int, name: str) -> None:
        super().__init__(shared)
        self.digit, self.name = digit, name
        self.deleted, self.hits, self.letters = 0, [], []
        self.delete, self.field, self.note = QPushButton("Delete"), QLineEdit("Ilse"), QPlainTextEdit("kept")
        self.delete.clicked.connect(self._delete)
        column = QVBoxLayout(self)
        for part in (self.delete, self.field, self.note):
            column.addWidget(part)

    def _delete(self) -> None:
        self.deleted += 1

    def panes(self) -> list[QWidget]:
        return [self.delete, self.field]

    def letter(self, key: str) -> bool:
        self.letters.append(key)
        return True

    def take_hit(self, hit: Hit) -> bool:
        self.hits.append(hit)
        return self.digit == 6


def hearing(desk: Window) -> list[str]:
    """What is scanned from now on, in place of what the window makes of it."""
    scans: list[str] = []
    desk.keys.scanned.disconnect()
    desk.keys.scanned.connect(scans.append)
    return scans


def opened(qtbot, shop_file: Path, settings: Settings) -> Iterator[Window]:
    """The window; closed when the test has done with it."""
    return plain_window.opened(qtbot, shop_file, settings, KNOWN, Counter, (1200, 700))


def typed(window: QWidget, text: str, gap_ms: int, *, end: Qt.Key | None = Qt.Key.Key_Return) -> None:
    """As keys come through the native window, `gap_ms` apart; 0 is a scanner, 2 ms apart by the keys' own time."""
    if not gap_ms:
        for key in timed(text, end, 2):
            QApplication.sendEvent(window.windowHandle(), key)
        return
    for sign in text:
        QTest.keyClick(window.windowHandle(), sign)
        QTest.qWait(gap_ms)
    if end is not None:
        QTest.keyClick(window.windowHandle(), end)


def timed(text: str, end: Qt.Key | None, gap_ms: int) -> list[QKeyEvent]:
    """Keys that say themselves when they were pressed, so that a busy machine does not make a scanner slow."""
    signs = [(ord(sign.upper()), sign) for sign in text] + ([(int(end), "\r")] if end is not None else [])
    begun, made = time.monotonic_ns() // 1_000_000, []
    for number, (code, sign) in enumerate(signs):
        made.append(QKeyEvent(QEvent.Type.KeyPress, code, Qt.KeyboardModifier.NoModifier, sign))
        made[-1].setTimestamp(begun + gap_ms * number)
    return made


def slowly(window: QWidget, text: str, _gap_ms: int, *, end: Qt.Key | None) -> None:
    """As a slow scanner types: 20 ms apart by the keys' own time; the first ones are let reach the field."""
    for number, key in enumerate(timed(text, end, 20)):
        QApplication.sendEvent(window.windowHandle(), key)
        if number < 4:
            QTest.qWait(25)
