"""The icon in the desktop's tray, where there is one: it tells, and its menu puts off or opens what was told."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QMenu, QSystemTrayIcon, QWidget

from arsenal.desk import icons
from arsenal.desk.parts.text import caption

SHOWN_MS = 10_000


class TrayIcon(QObject):
    """A message never takes the focus; a click opens what it told of."""

    clicked = Signal()
    hour_wanted = Signal()
    day_wanted = Signal()
    earlier_wanted = Signal()
    off_wanted = Signal()

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._icon = QSystemTrayIcon(icons.icon("clock", "hand"), self)
        self._icon.setToolTip("Padbook")
        self._menu = QMenu(window)
        for text, signal in (
            ("Show what is due", self.clicked), ("Again in an hour", self.hour_wanted),
            ("Again tomorrow", self.day_wanted), ("Done on an earlier day…", self.earlier_wanted),
            ("No reminders", self.off_wanted),
        ):  # fmt: skip
            self._menu.addAction(caption(text)).triggered.connect(lambda _=False, s=signal: s.emit())
        self._icon.setContextMenu(self._menu)
        self._icon.messageClicked.connect(self.clicked)
        self._icon.show()

    def tell(self, title: str, text: str) -> None:
        """A quiet message, without a sound where the desktop lets one choose."""
        self._icon.showMessage(plain(title), plain(text), QSystemTrayIcon.MessageIcon.NoIcon, SHOWN_MS)

    def remove(self) -> None:
        """Take the icon away."""
        self._icon.hide()
        self._menu.deleteLater()
        self.deleteLater()


def make_tray(window: QWidget, there: Callable[[], bool] = QSystemTrayIcon.isSystemTrayAvailable) -> TrayIcon | None:
    """The icon, or None where the desktop has no tray."""
    return TrayIcon(window) if there() else None


def plain(text: str) -> str:
    """Some desktops read markup in a message; a name with angle brackets is shown as it stands."""
    return text.replace("&", "＆").replace("<", "‹").replace(">", "›")
