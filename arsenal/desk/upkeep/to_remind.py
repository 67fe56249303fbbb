"""Customers to remind: the text for each who agreed to it, ready to copy; and who is left out, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.desk.upkeep import asking_weeks

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import CustomerReminder, NotReminded

LEFT_OUT_SHOWN = 8


class ToRemind(Dialog):
    """One action: copy."""

    def __init__(
        self, shared: Shared, parent: QWidget, known: tuple[CustomerReminder, ...], left: tuple[NotReminded, ...]
    ) -> None:
        many = f"{len(known)} {'customer' if len(known) == 1 else 'customers'} to remind"
        super().__init__(many if known else "Nobody to remind", parent, width=600)
        self.shared, self._known = shared, known
        said = (
            "Only those who agreed to it are written to. Nothing is sent from here: copy the text and send it yourself."
            if known
            else "Nobody with work due has agreed to reminders. Agreement is kept with each bowler, with its day."
        )
        self.body.addWidget(Plain(said, px=13, token="ink2", wrap=True))
        self.text = QPlainTextEdit(text_of(known))
        self.text.setReadOnly(True)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName("Text to send")
        self.text.setMinimumHeight(look().px(220))
        self.text.setVisible(bool(known))
        self.body.addWidget(self.text)
        if left:
            self.body.addWidget(Plain(left_words(left), px=13, token="ink2", wrap=True))
        self.offer("Close", "Esc", self.reject)
        if known:
            self.copy_key = self.offer("Copy the text", "C", self.copy, primary=True)
            self.copy_key.setFocus()

    def copy(self) -> None:
        """All of it onto the clipboard."""
        QGuiApplication.clipboard().setText(text_of(self._known))
        many = len(self._known)
        self.shared.say(f"Copied the text for {many} {'customer' if many == 1 else 'customers'}")
        self.accept()


def text_of(known: tuple[CustomerReminder, ...]) -> str:
    """Every text under whom it goes to, with a line between."""
    return "\n\n".join(f"{one.to} ({one.addressed_to})\n{one.text}" for one in known)


def left_words(left: tuple[NotReminded, ...]) -> str:
    """“Not written to: Tamsin Ode, no consent recorded.”"""
    told = "\n".join(f"{one.name}: {one.why}" for one in left[:LEFT_OUT_SHOWN])
    more = len(left) - LEFT_OUT_SHOWN
    return f"Work is due, but they are not written to:\n{told}" + (f"\nand {more} more" if more > 0 else "")


def open_to_remind(shared: Shared, parent: QWidget) -> None:
    """Read who is to be reminded, then show it."""

    def show(found: tuple[tuple[CustomerReminder, ...], tuple[NotReminded, ...]]) -> None:
        ToRemind(shared, parent, *found).open_()

    shared.ask("to remind", asking_weeks.to_remind, show, failed=shared.trouble)
