"""Mistakes in the program: written to a log file and told in three parts, never swallowed."""

from __future__ import annotations

import platform
import sys
import threading
import traceback
from types import TracebackType

from PySide6 import __version__ as qt_version
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from arsenal import __version__
from arsenal.acts import mistakes
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look


def describe(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> str:
    """Everything somebody needs to find the mistake; nothing out of the shop's file."""
    head = f"Padbook {__version__}, Python {platform.python_version()}, Qt {qt_version}, {platform.platform()}\n"
    return head + "".join(traceback.format_exception(kind, error, trace))


class Catcher(QObject):
    """Takes what nobody caught, from any thread, and shows it once at a time over the window."""

    _caught = Signal(str)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window, self._open = window, False
        self._caught.connect(self._show)

    def install(self) -> None:
        """Hook Python's main and thread hooks."""
        sys.excepthook = self._hook
        threading.excepthook = lambda args: self._hook(
            args.exc_type, args.exc_value or args.exc_type(), args.exc_traceback
        )

    def move_to(self, window: QWidget) -> None:
        """Another window is in front now."""
        self._window = window

    def _hook(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        text = describe(kind, error, trace)
        mistakes.write_log(text)
        sys.stderr.write(text)
        self._caught.emit(text)

    def _show(self, text: str) -> None:
        if not self._open:
            self._open = True
            dialog = BugDialog(text, self._window)
            dialog.destroyed.connect(self._closed)
            dialog.open_()

    def _closed(self) -> None:
        self._open = False


class BugDialog(Dialog):
    """What happened, whether data is safe, what next, and the text to copy."""

    def __init__(self, text: str, parent: QWidget) -> None:
        super().__init__("Something in Padbook went wrong", parent, width=620)
        last = text.strip().splitlines()[-1]
        for title, sentence in (
            ("What happened", f"A step was broken off: {last}"),
            ("Is my data safe", "Yes. What was being written was taken back whole; everything kept before stands."),
            ("What next", f"Go on or start again. The text below is also in {mistakes.log_file()}."),
        ):
            self.body.addWidget(Plain(title, weight=600))
            self.body.addWidget(Plain(sentence, token="ink2", wrap=True))
        self._text = QPlainTextEdit(text)
        self._text.setReadOnly(True)
        self._text.setAccessibleName("Text to copy")
        self._text.setMinimumHeight(look().px(160))
        self.body.addWidget(self._text)
        self.offer("Close", "Esc", self.reject)
        self.offer("Copy the text", "C", self._copy, primary=True)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self._text.toPlainText())
