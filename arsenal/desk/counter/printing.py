"""What the room prints, handed to the prints where they are there."""

from __future__ import annotations

import importlib
import importlib.util
from typing import TYPE_CHECKING

from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from arsenal.desk.rooms import Shared

PRINTS = {
    "ticket": ("arsenal.desk.print_ticket", "open_ticket_print"),
    "label": ("arsenal.desk.print_label", "open_label_print"),
    "history": ("arsenal.desk.print_history", "open_history_print"),
}
"""Module and function of each print: `function(shared, parent, number)` opens its preview."""


def show_print(shared: Shared, parent: QWidget, what: str, number: int) -> None:
    """Open the preview of a ticket, of its labels, or of a ball’s history."""
    module, function = PRINTS[what]
    if importlib.util.find_spec(module) is None:
        shared.trouble(KnownError(f"This program cannot print a {what} yet."))
        return
    getattr(importlib.import_module(module), function)(shared, parent, number)
