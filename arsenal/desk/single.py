"""One window for one file: a second start raises the first window and ends."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

WAIT_MS = 400


def name_for(path: Path) -> str:
    """The local socket's name for a file and a user."""
    who = os.getuid() if hasattr(os, "getuid") else os.environ.get("USERNAME", "")
    return "padbook-" + hashlib.sha256(f"{who}:{path.resolve()}".encode()).hexdigest()[:20]


def raise_other(path: Path) -> bool:
    """Ask the window that has `path` open to come to the front. False where there is none."""
    socket = QLocalSocket()
    socket.connectToServer(name_for(path))
    if not socket.waitForConnected(WAIT_MS):
        return False
    socket.write(b"raise\n")
    socket.waitForBytesWritten(WAIT_MS)
    socket.disconnectFromServer()
    return True


class Doorbell(QObject):
    """Listens for second starts on one file."""

    rung = Signal()
    other = False
    """Whether another window listens already: both were started at once."""

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._ring)
        self.other = raise_other(path)  # asked first: listening would take the name away from it
        if not self.other and not self._server.listen(name_for(path)):  # left there by a window that was killed
            QLocalServer.removeServer(name_for(path))
            self._server.listen(name_for(path))

    def _ring(self) -> None:
        while (socket := self._server.nextPendingConnection()) is not None:
            socket.disconnected.connect(socket.deleteLater)
            self.rung.emit()

    def close(self) -> None:
        """Stop listening."""
        self._server.close()
