"""Start the desk: the window first, the shop and everything heavy after it."""

from __future__ import annotations

import argparse
import signal
import socket
import sys
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject, QSocketNotifier, Qt
from PySide6.QtWidgets import QApplication

from arsenal.acts.settings import Settings
from arsenal.desk import single, theme
from arsenal.desk.opening import Desk
from arsenal.trade.errors import KnownError

SWITCH_S = 0.001
"""How long one thread may keep the interpreter: the worker computes, the window must answer between."""


class Closer(QObject):
    """Interrupt and termination close the window properly: what is queued is kept, settings are saved."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._app = app
        self._ours, self._theirs = socket.socketpair()
        self._theirs.setblocking(False)
        signal.set_wakeup_fd(self._theirs.fileno(), warn_on_full_buffer=False)
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, lambda *_: None)
        self._notifier = QSocketNotifier(self._ours.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._heard)

    def _heard(self) -> None:
        self._ours.recv(64)
        self._app.closeAllWindows()

    def close(self) -> None:
        """Listen no longer."""
        self._notifier.setEnabled(False)
        signal.set_wakeup_fd(-1)
        self._ours.close()
        self._theirs.close()


def main(argv: Sequence[str] | None = None) -> int:
    """Open the desk on `--data FILE` (the file used last without it) and stay until it is closed."""
    parser = argparse.ArgumentParser(prog="padbook", description="Open the desk.")
    parser.add_argument("--data", type=Path, metavar="FILE", help="the shop's file")
    given = parser.parse_args(argv)
    settings = Settings.load()
    # the system's own dialogs are not heard: a scan would be typed into them, and its Enter would press a button
    QCoreApplication.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs)
    app = QCoreApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)  # noqa: S101 - nobody else makes the application
    app.setApplicationName("padbook")
    app.setApplicationDisplayName("Padbook")
    desk = Desk(settings)
    target = desk.target(given.data)
    if target is not None and single.raise_other(target):
        return 0
    sys.setswitchinterval(SWITCH_S)
    theme.dress(app, settings.look, round(settings.text_size * 100))
    desk.start(given.data)
    closer = Closer(app)
    code = app.exec()
    closer.close()
    desk.window_gone()
    try:
        settings.save()
    except KnownError as error:
        sys.stderr.write(f"{error}\n")
    return code
