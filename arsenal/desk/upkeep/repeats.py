"""When something of the calendar is: its first and last day, how often it comes again, and the days it does not."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtWidgets import QHBoxLayout, QWidget

from arsenal.desk.dialogs.fields import Changing, Checked, DayEdit, Several
from arsenal.desk.dialogs.form import Choice
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.number import NumberField
from arsenal.plan.occurrences import days_of
from arsenal.trade import days
from arsenal.trade.calendar import League, Repeats, Slot

MOST_OFFERED = 16
ENDS = (("no last day", False), ("until", True))


def days_ahead(first: date, how: Repeats, last: date | None, today: date, most: int = MOST_OFFERED) -> list[date]:
    """The next days something falls on, from today on; never past its last day."""
    until = max(first, today) + timedelta(weeks=2 * most)
    return list(days_of(first, how, today, until, last_on=last)[:most])


class Repeating:
    """The rows of a form that say when, kept together: from, comes again, until, and the days left out."""

    def __init__(self, of: League | Slot, today: date) -> None:
        self._today, self._skipped = today, of.skipped
        self.first_day = DayEdit("First day", of.first_on)
        self.again = Changing("Comes again", (), of.repeats)
        self.ends = Choice("Ends", ENDS, of.last_on is not None)
        self.last_day = DayEdit("Last day", of.last_on or of.first_on + timedelta(weeks=26))
        self.last_field = Checked(self.last_day, self._last_wrong)
        self.without = Several("Not on", "no day left out", of.skipped)
        self.first_day.dateChanged.connect(lambda _day: self._changed())
        self.last_day.dateChanged.connect(lambda _day: self._changed())
        self.again.picked.connect(lambda _value: self._changed())
        self.ends.picked.connect(lambda _value: self._changed())
        self._rows: Facts | None = None

    def put_in(self, rows: Facts, skipped: str) -> None:
        """Add the rows; `skipped` names the days left out."""
        self._rows = rows
        for label, field in (
            ("From", self.first_day), ("Comes again", self.again), ("Ends", self.ends), ("Last day", self.last_field),
            (skipped, self.without),
        ):  # fmt: skip
            rows.field(label, field)
        self._changed()

    def how(self) -> Repeats:
        """How often."""
        return Repeats(self.again.value)

    def first(self) -> date:
        """Its first day."""
        return self.first_day.day()

    def last(self) -> date | None:
        """Its last day; None where none is set."""
        return self.last_day.day() if self.ends.value and self.how() is not Repeats.ONCE else None

    def skipped(self) -> tuple[date, ...]:
        """Days left out: those ticked, and those that are over, where it still falls on them."""
        ticked = tuple(day for day in self.without.values() if isinstance(day, date))
        over = (day for day in self._skipped if day < self._today)
        kept = (day for day in over if days_of(self.first(), self.how(), day, day, last_on=self.last()))
        return tuple(sorted({*kept, *ticked}))

    def check(self) -> bool:
        """Whether the days can be."""
        return self.last_field.check()

    def _last_wrong(self) -> str:
        last = self.last()
        if last is None or last >= self.first():
            return ""
        return f"The last day, {days.weekday_and_day(last)}, is before the first, {days.weekday_and_day(self.first())}."

    def _changed(self) -> None:
        once = self.how() is Repeats.ONCE
        day = days.weekday(self.first())
        self.again.put_choices(
            ((f"every {day}", Repeats.WEEKLY), (f"every second {day}", Repeats.FORTNIGHTLY), ("once", Repeats.ONCE))
        )
        ahead = days_ahead(self.first(), self.how(), self.last(), self._today)
        self.without.offer([(days.weekday_and_day(day), day) for day in ahead])
        if self._rows is not None:
            for field, shown in (
                (self.ends, not once), (self.last_field, not once and bool(self.ends.value)),
                (self.without, not once and bool(ahead)),
            ):  # fmt: skip
                field.setVisible(shown)
                self._rows.label_of(field).setVisible(shown)
            window = self._rows.window()
            if isinstance(window, Dialog) and window.isVisible():
                window.fit()


def before_the_rest(dialog: Dialog, button: QWidget) -> None:
    """What takes something away stands apart at the left end: the primary button stays last."""
    rows = dialog.findChildren(QHBoxLayout)
    row = next(row for row in rows if row.indexOf(button) >= 0)
    row.removeWidget(button)
    row.insertWidget(0, button)


def all_well(dialog: QWidget, *fields: Checked | NumberField | Repeating) -> bool:
    """Check every field of a form; the first wrong one gets the focus."""
    wrong: Sequence[Checked | NumberField | Repeating] = [field for field in fields if not field.check()]
    if not wrong:
        return True
    first = wrong[0]
    target = first.last_field if isinstance(first, Repeating) else first
    target.setFocus()
    if isinstance(dialog, Dialog):
        dialog.fit()
    return False
