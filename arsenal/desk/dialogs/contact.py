"""The rows of a bowler's form that say how to reach them, and whether they agreed to be reminded."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from PySide6.QtCore import QDate, QObject, Signal

from arsenal.desk.dialogs.fields import DayEdit
from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.parts.dialog import Facts
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person, apart

AGREED = (("not agreed to", False), ("agreed to on", True))
AGE = (("of age", False), ("a minor", True))


def guarded(*, minor: bool, agreed: bool, guardian: str) -> None:
    """Raises KnownError for a minor who agreed to reminders and has no guardian to reach."""
    if minor and agreed and not apart(guardian)[1]:
        raise KnownError(
            "A minor is reminded through a guardian.", next_step="Type the guardian’s name and phone or e-mail."
        )


class Contact(QObject):
    """Phone, e-mail, consent with its day, minor and guardian."""

    grown = Signal()
    """A row came or went."""

    def __init__(self, person: Person, today: date) -> None:
        super().__init__()
        self.phone = Words("Phone", person.phone, "with its country code")
        self.email = Words("E-mail", person.email, "name@house.example")
        self.agreed = Choice("Reminders", AGREED, person.reminders_consented_on is not None)
        self.agreed_on = DayEdit("Agreed to reminders on", person.reminders_consented_on or today)
        self.agreed_on.setMaximumDate(QDate(today.year, today.month, today.day))
        self.age = Choice("Age", AGE, person.minor)
        self.guardian = Words("Guardian", person.guardian, "name and phone or e-mail")
        self.agreed.picked.connect(lambda _v: self._show())
        self.age.picked.connect(lambda _v: self._show())
        self._rows: Facts | None = None

    def put_in(self, rows: Facts) -> None:
        """Add the rows."""
        self._rows = rows
        for label, field in (
            ("Phone", self.phone), ("E-mail", self.email), ("Reminders", self.agreed), ("… on", self.agreed_on),
            ("Age", self.age), ("Guardian", self.guardian),
        ):  # fmt: skip
            rows.field(label, field)
        self._show()

    def onto(self, person: Person) -> Person:
        """The record with what the rows say. Raises KnownError for a minor's consent without a guardian to reach."""
        minor, agreed, guardian = bool(self.age.value), bool(self.agreed.value), self.guardian.words()
        guarded(minor=minor, agreed=agreed, guardian=guardian)
        return replace(
            person, phone=self.phone.words(), email=self.email.words(), minor=minor,
            guardian=guardian if minor else "", reminders_consented_on=self.agreed_on.day() if agreed else None,
        )  # fmt: skip

    def _show(self) -> None:
        if self._rows is None:
            return
        for field, shown in ((self.agreed_on, bool(self.agreed.value)), (self.guardian, bool(self.age.value))):
            field.setVisible(shown)
            self._rows.label_of(field).setVisible(shown)
        self.grown.emit()
