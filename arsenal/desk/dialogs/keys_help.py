"""What the keys do everywhere, and in the open room."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.text import Plain

EVERYWHERE = (
    ("Ctrl+K", "find a ball or person"),
    ("1 … 6", "go to a room"),
    ("F6, Shift+F6", "next pane, pane before"),
    ("Tab", "next thing; arrows move within a list or a row of keys"),
    ("Ctrl+Z", "take back what was done last"),
    ("Ctrl+O", "load files"),
    ("F10", "files, what to add, look and text size"),
    ("Ctrl++, Ctrl+−", "larger, smaller text"),
)


class KeysDialog(Dialog):
    """Two lists."""

    def __init__(self, parent: QWidget, room: QWidget | None, more: Sequence[tuple[str, str]] = ()) -> None:
        super().__init__("What the keys do", parent, width=520)
        self.body.addWidget(Facts(EVERYWHERE))
        buttons = room.findChildren(KeyButton) if room is not None else []
        here = [(b.key, b.name()) for b in buttons if b.key and b.isVisible()]
        if here or more:
            self.body.addWidget(Plain("In this room", weight=600))
            self.body.addWidget(Facts([*here, *more]))
        self.offer("Close", "Esc", self.reject)


def open_keys(parent: QWidget, room: QWidget | None, more: Sequence[tuple[str, str]] = ()) -> KeysDialog:
    """Show them."""
    dialog = KeysDialog(parent, room, more)
    dialog.open_()
    return dialog
