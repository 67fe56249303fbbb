"""A serial read by a scanner while a dialog with a field for it is open."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit

from arsenal.desk.parts.dialog import Dialog
from arsenal.trade import code


def scanned_into(dialog: Dialog, serial: QLineEdit, text: str) -> None:
    """A maker's code is the serial; a label of ours is none."""
    if code.looks_ours(text) or len(text) > serial.maxLength():
        dialog.complain("That code is no serial. Close this first, then scan it again.")
        dialog.fit()
        return
    serial.setText(text.strip())
    serial.setFocus()
