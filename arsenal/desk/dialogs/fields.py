"""Fields of several forms: a day, a clock time, a line that is needed, and several of a list at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, time

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QDateEdit, QMenu, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import caption
from arsenal.desk.theme import look

CLOCK = re.compile(r"(\d{1,2})(?:[:.h ]\s*(\d{2}))?\s*(am|pm)?", re.IGNORECASE)
NOON = 12


class Checked(QWidget):
    """A field with one sentence below it when something is wrong."""

    def __init__(self, field: QWidget, problem: Callable[[], str]) -> None:
        super().__init__()
        self.sentence, self._problem = Told(), problem
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(field)
        column.addWidget(self.sentence)
        self.setFocusProxy(field)

    def check(self) -> bool:
        """Show what is wrong, if anything. True where all is well."""
        told = self._problem()
        self.sentence.setText(told)
        proxy = self.focusProxy()
        if proxy is not None:
            proxy.setAccessibleDescription(told)
        return not told


class Named(Checked):
    """A line that may not be empty."""

    def __init__(self, name: str, text: str, hint: str, needed: str) -> None:
        self.line, self._needed = Words(name, text, hint, most=80), needed
        super().__init__(self.line, self._wrong)
        self.line.textEdited.connect(lambda _text: self.sentence.setText(""))

    def words(self) -> str:
        """What is typed."""
        return self.line.words()

    def _wrong(self) -> str:
        """Nothing typed."""
        return "" if self.line.words() else self._needed


class ClockField(Checked):
    """A clock time as people write it: 19:00, 19.30, 7 pm; empty where it does not matter."""

    def __init__(self, name: str, at: time | None) -> None:
        self.line = Words(name, f"{at:%H:%M}" if at else "", "19:00, empty where it does not matter", most=12)
        super().__init__(self.line, self._wrong)
        self.line.textEdited.connect(lambda _text: self.sentence.setText(""))

    def _wrong(self) -> str:
        """No time of the day."""
        text = self.line.words()
        if not text or read_clock(text) is not None:
            return ""
        return f"“{text}” is no time of the day. Write it as 19:00."

    def at(self) -> time | None:
        """The time, or None where it is empty or wrong."""
        return read_clock(self.line.words())


def read_clock(text: str) -> time | None:
    """“19:00”, “19.30”, “7 pm”, “9” as a time of the day; None for anything else."""
    found = CLOCK.fullmatch(text.strip())
    if found is None:
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), (found[3] or "").lower()
    if half:
        if not 1 <= hour <= NOON:
            return None
        hour = hour % NOON + (NOON if half == "pm" else 0)
    return time(hour, minute) if hour < 2 * NOON and minute < 60 else None


class Changing(Choice):
    """A choice whose words depend on another field."""

    def put_choices(self, choices: Sequence[tuple[str, object]]) -> None:
        """Other words for the values; the value stays."""
        self._choices = list(choices)
        self.put(self.value)


class DayEdit(QDateEdit):
    """A day, typed or from a calendar."""

    def __init__(self, name: str, day: date) -> None:
        super().__init__(QDate(day.year, day.month, day.day))
        self.setDisplayFormat("ddd d MMM yyyy")
        self.setCalendarPopup(True)
        self.setStyleSheet("QDateEdit::drop-down { border: none; width: 0; }")
        self.setAccessibleName(name)
        self.lineEdit().setAccessibleName(name)
        self.setMinimumWidth(look().px(180))
        self.setFixedHeight(look().px(34))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def day(self) -> date:
        """The day chosen."""
        chosen = self.date()
        return date(chosen.year(), chosen.month(), chosen.day())


class Several(SentenceWord):
    """Any number of a list, as one word with a menu that ticks them; none ticked says `none`."""

    changed = Signal()

    def __init__(self, what: str, none: str, ticked: Sequence[object] = (), *, px: float = 15) -> None:
        super().__init__(what, none, px=px)
        self._none = none
        self._offers: list[tuple[str, object]] = []
        self._values = list(ticked)
        self.setMinimumHeight(look().px(34))
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.picked.connect(self._toggle)

    def offer(self, offers: Sequence[tuple[str, object]]) -> None:
        """What there is to tick; what was ticked stays so where it is offered."""
        self._offers = list(offers)
        self._show()

    def values(self) -> tuple[object, ...]:
        """What is ticked, in the order offered."""
        return tuple(value for _, value in self._offers if value in self._values)

    def _toggle(self, value: object) -> None:
        if value in self._values:
            self._values.remove(value)
        else:
            self._values.append(value)
        self._show()
        self.changed.emit()

    def _show(self) -> None:
        names = [label for label, value in self._offers if value in self._values]
        said = ", ".join(names[:2]) + (f" and {len(names) - 2} more" if len(names) > 2 else "")
        self.set_word(said or self._none)
        self.setAccessibleName(f"{self._what}: {', '.join(names) or self._none}")
        menu = QMenu(self)
        for label, value in self._offers:
            act = menu.addAction(caption(label))
            act.setCheckable(True)
            act.setChecked(value in self._values)
            act.triggered.connect(lambda _=False, v=value: self.picked.emit(v))
        old = self.menu()
        self.setMenu(menu)
        if old is not None:
            old.deleteLater()
