"""A customer in a few words: name, phone, reminders. Somebody of that name who is in the file is shown first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from arsenal.desk.counter import asking
from arsenal.desk.dialogs.contact import AGE, guarded
from arsenal.desk.dialogs.form import Choice, FormDialog, Words
from arsenal.desk.dialogs.other_name import OtherName
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Hand, Person

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

HANDS = (("right-handed", Hand.RIGHT), ("left-handed", Hand.LEFT))
AGREED = (("not agreed to", False), ("agreed to today", True))
NAME_MOST = 120


class CustomerDialog(FormDialog):
    """The form; everything but the name may wait."""

    def __init__(self, shared: Shared, parent: QWidget, text: str, took: Callable[[int], None]) -> None:
        super().__init__("A customer", shared, parent, self._kept_one)
        self._took = took
        phone = sum(c.isdigit() for c in text) >= 5 and not any(c.isalpha() for c in text)
        self.name = Words("Name", "" if phone else text[:NAME_MOST], "first and last name", NAME_MOST)
        self.phone = Words("Phone", text[:NAME_MOST] if phone else "", "may stay empty", NAME_MOST)
        self.hand = Choice("Hand", HANDS, Hand.RIGHT)
        self.agreed = Choice("Reminders", AGREED, False)
        self.age = Choice("Age", AGE, False)
        self.guardian = Words("Guardian", "", "name and phone or e-mail", NAME_MOST)
        for caption, field in (
            ("Name", self.name), ("Phone", self.phone), ("Bowls", self.hand), ("Reminders", self.agreed),
            ("Age", self.age), ("Guardian", self.guardian),
        ):  # fmt: skip
            self.rows.field(caption, field)
        self.age.picked.connect(self._ask_guardian)
        self._ask_guardian(False)
        self.same = Plain("", px=14, weight=600, wrap=True)
        self.body.addWidget(self.same)
        self.same.hide()
        self.other = OtherName(self, self.name)
        (self.phone if self.name.text() else self.name).setFocus()
        if self.name.text():
            name = self.name.text()
            shared.ask("counter namesakes", lambda shop: asking.namesakes(shop, name), self._show_known)

    def _ask_guardian(self, minor: object) -> None:
        for part in (self.guardian, self.rows.label_of(self.guardian)):
            part.setVisible(bool(minor))
        if self.isVisible():
            self.fit()

    def _show_known(self, known: tuple[tuple[str, int], ...]) -> None:
        if not known:
            return
        self.same.setText("In the file already. The same person, or another of that name?")
        self.same.show()
        for said, person_id in known:
            button = TextButton(said[:80], px=15)
            button.clicked.connect(lambda _=False, of=person_id: self._choose(of))
            self.body.addWidget(button)
        QTimer.singleShot(0, self.fit)  # once the new lines have their size

    def _choose(self, person_id: int) -> None:
        self.accept()
        self._took(person_id)

    def _failed(self, error: KnownError) -> None:
        super()._failed(error)
        self.other.heard(error)

    def act(self) -> Callable[[Shop], Changes]:
        """Add them."""
        if not self.name.words():
            raise KnownError("A customer needs a name.", next_step="A nickname will do.")
        minor, agreed = bool(self.age.value), bool(self.agreed.value)
        guardian = self.guardian.words() if minor else ""
        guarded(minor=minor, agreed=agreed, guardian=guardian)
        person = Person(
            0, self.name.words(), hand=self.hand.value, phone=self.phone.words(), minor=minor, guardian=guardian
        )

        def run(shop: Shop) -> Changes:
            from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread

            on = shop.today() if agreed else None
            return people.add_bowler(shop, replace(person, reminders_consented_on=on))

        return run

    def _kept_one(self, changes: Changes) -> None:
        if changes.changed:
            self._took(changes.changed[0].id)


def open_customer(shared: Shared, parent: QWidget, text: str, took: Callable[[int], None]) -> CustomerDialog:
    """Ask; `took` gets the id of the new customer, or of the one that was there."""
    dialog = CustomerDialog(shared, parent, text, took)
    dialog.open_()
    return dialog
