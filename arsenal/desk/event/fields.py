"""Fields the event's form needs beside the usual ones: a day, a time that may be unsaid, several conditions, a text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta

from PySide6.QtCore import QDate, QDateTime, Signal
from PySide6.QtWidgets import QDateEdit, QDateTimeEdit, QHBoxLayout, QPlainTextEdit, QSizePolicy, QWidget

from arsenal.desk.dialogs.form import Choice
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.theme import look
from arsenal.trade.lane import Lane

NO_BUTTON = "QDateTimeEdit::drop-down { border: none; width: 0; }"
"""Without buttons the style sheet leaves no room for the text."""


class DayField(QDateEdit):
    """A day with its weekday."""

    def __init__(self, name: str, day: date) -> None:
        super().__init__(QDate(day.year, day.month, day.day))
        self.setDisplayFormat("ddd d MMM yyyy")
        self.setCalendarPopup(True)
        self.setStyleSheet(NO_BUTTON)
        self.setAccessibleName(name)
        self.setFixedHeight(look().px(34))
        self.setMinimumWidth(look().px(160))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def day(self) -> date:
        """What it says."""
        shown = self.date()
        return date(shown.year(), shown.month(), shown.day())

    def put(self, day: date) -> None:
        """Another day."""
        self.setDate(QDate(day.year, day.month, day.day))


class TimeField(QDateTimeEdit):
    """A day and an hour here."""

    def __init__(self, name: str, at: datetime) -> None:
        super().__init__()
        self.setDisplayFormat("ddd d MMM yyyy, HH:mm")
        self.setAccessibleName(name)
        self.setCalendarPopup(True)
        self.setStyleSheet(NO_BUTTON)
        line = self.lineEdit()
        if line is not None:
            line.setAccessibleName(name)
        self.setFixedHeight(look().px(34))
        self.setMinimumWidth(look().px(200))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.put(at)
        self._before = (self.text(), at)

    def put(self, at: datetime) -> None:
        """Another time."""
        self.setDateTime(QDateTime.fromSecsSinceEpoch(round(at.timestamp())))
        self._before = (self.text(), at)

    def at(self) -> datetime:
        """What it says, with the offset of this place then; a time nobody touched comes back as it was."""
        if self.text() == self._before[0]:
            return self._before[1]
        naive = self.dateTime().toPython()
        assert isinstance(naive, datetime)  # noqa: S101 - what Qt gives
        return naive.astimezone()

    def move_days(self, days: int) -> None:
        """Follow the event to another day."""
        self.put(self.at() + timedelta(days=days))


class Maybe(QWidget):
    """“not said”, or a field that says it."""

    def __init__(self, name: str, field: DayField | TimeField, *, said: bool) -> None:
        super().__init__()
        self.field = field
        self.choice = Choice(name, (("not said", False), ("said", True)), said)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(look().px(12))
        row.addWidget(self.choice)
        row.addWidget(field)
        row.addStretch(1)
        self.setFocusProxy(self.choice)
        self.choice.picked.connect(lambda on: field.setVisible(bool(on)))
        field.setVisible(said)

    def said(self) -> bool:
        """Whether there is anything."""
        return bool(self.choice.value)

    def day(self) -> date | None:
        """The day, or None."""
        return self.field.day() if self.said() and isinstance(self.field, DayField) else None

    def at(self) -> datetime | None:
        """The time, or None."""
        return self.field.at() if self.said() and isinstance(self.field, TimeField) else None


class Conditions(SentenceWord):
    """Any number of conditions; none is unknown."""

    changed = Signal()

    def __init__(self, lanes: Sequence[Lane], held: tuple[int, ...], add: Callable[[], None] | None = None) -> None:
        super().__init__("Conditions", "", px=15)
        self._lanes, self._add = tuple(lanes), add
        self.held = tuple(i for i in held if any(lane.id == i for lane in lanes))
        self.setMinimumHeight(look().px(34))
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.picked.connect(self._toggle)
        self._show()

    def _toggle(self, lane_id: object) -> None:
        if lane_id is None:
            self.held = ()
        elif isinstance(lane_id, int):
            there = lane_id in self.held
            self.held = tuple(i for i in self.held if i != lane_id) if there else (*self.held, lane_id)
        self._show()
        self.changed.emit()

    def _show(self) -> None:
        names = [lane.name for lane in self._lanes if lane.id in self.held]
        self.set_word(", ".join(names) if len(names) < 3 else f"{len(names)} conditions")
        if not names:
            self.set_word("unknown")
        self.set_choices([("unknown", None), *((lane.name, lane.id) for lane in self._lanes)], None)
        menu = self.menu()
        for act, lane_id in zip(menu.actions(), (None, *(lane.id for lane in self._lanes)), strict=False):
            act.setChecked(lane_id in self.held if lane_id is not None else not self.held)


class LongWords(QPlainTextEdit):
    """A few lines of text, plain; Tab leaves it."""

    def __init__(self, name: str, text: str, hint: str = "") -> None:
        super().__init__(text)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self.setTabChangesFocus(True)
        self.setFixedHeight(look().px(64))

    def words(self) -> str:
        """What is typed."""
        return self.toPlainText().strip()
