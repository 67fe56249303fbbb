"""Widgets of the entry forms: one for each kind of field, each with the place below it for what is wrong."""

from __future__ import annotations

import math
import re
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCompleter, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.bench.forms_fields import Around, Choices, Field, Heat, Number, Pick, Steps, Text
from arsenal.desk.bench.forms_steps import StepsField
from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.number import NotANumber, NumberField, read_number
from arsenal.desk.units import Measure, measure
from arsenal.trade.limits import LIMITS, Limit
from arsenal.trade.units import c_from_f, f_from_c

_DEGREES = re.compile(r"\s*°?\s*([CcFf])\s*$")


class AskedNumber(NumberField):
    """A number within its limit, in the unit of the setting; `read` is SI, None where it is empty."""

    def __init__(self, asked: Number, system: str) -> None:
        limit = asked.limit
        self._measure = Measure(limit, 1.0, {}, 2) if isinstance(limit, Limit) else measure(limit, system)
        self._whole = asked.whole
        super().__init__(
            self._measure.limit, self._measure.show(asked.start), digits=self._measure.digits,
            units=self._measure.units, required=asked.required, name=asked.label.lower(),
        )  # fmt: skip

    def problem(self) -> str:
        """What is wrong: also a part of what is only counted."""
        found = super().problem()
        if not found and self._whole and self.text().strip():
            value = read_number(self.text(), self._units)
            if value != int(value):
                return f"{self._name[:1].upper()}{self._name[1:]} is a whole number. Nothing was saved."
        return found

    def read(self) -> float | None:
        """The value in SI."""
        return self._measure.store(self.value())


class HeatField(NumberField):
    """A temperature in °F or °C by the setting; a typed letter wins. `read` is in degrees Celsius."""

    def __init__(self, asked: Heat, system: str) -> None:
        self._metric = system == "metric"
        low, high = LIMITS["temperature"].low, LIMITS["temperature"].high
        if self._metric:
            shown = Limit("temperature", math.ceil(c_from_f(low)), math.floor(c_from_f(high)), "°C")
        else:
            shown = Limit("temperature", low, high, "°F")
        super().__init__(shown, digits=0, name="temperature")
        self.edit.setAccessibleName(f"{asked.label} in {shown.unit}")

    def _typed(self) -> float:
        """In the unit shown. Raises NotANumber."""
        text = self.text()
        letter = _DEGREES.search(text)
        value = read_number(text[: letter.start()] if letter else text)
        celsius = letter[1] in "cC" if letter else self._metric
        if celsius == self._metric:
            return value
        return f_from_c(value) if celsius else c_from_f(value)

    def problem(self) -> str:
        """What is wrong."""
        if not self.text().strip():
            return ""
        try:
            value = self._typed()
        except NotANumber as error:
            return str(error)
        if not self._limit.low <= value <= self._limit.high:
            return f"Temperature is {self._limit.allowed}. Nothing was saved."
        return ""

    def read(self) -> float | None:
        """The value in degrees Celsius."""
        if not self.text().strip() or self.problem():
            return None
        return self._typed() if self._metric else c_from_f(self._typed())


class Slot(QWidget):
    """One field with its place for what is wrong, read and watched alike whatever it holds."""

    changed = Signal()

    def __init__(self, asked: Field, around: Around) -> None:
        super().__init__()
        self.asked = asked
        self._choices: Choices = ()
        self.field = self._make(asked, around)
        self.told = Told()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.field)
        column.addWidget(self.told)
        if isinstance(asked, Steps | Text):
            self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def _make(self, asked: Field, around: Around) -> Any:
        field: Any
        if isinstance(asked, Pick):
            self._choices = asked.choices(around) if callable(asked.choices) else asked.choices
            field = Choice(asked.label, self._choices, asked.start)
            field.picked.connect(lambda _value: self.changed.emit())
        elif isinstance(asked, Text):
            field = _words(asked, around)
            field.textChanged.connect(lambda _text: self.changed.emit())
        elif isinstance(asked, Steps):
            field = StepsField(around.pads, shine=asked.shine)
            field.changed.connect(self.changed)
        else:
            made = AskedNumber if isinstance(asked, Number) else HeatField
            field = made(asked, around.system)  # type: ignore[arg-type]
            field.changed.connect(self.changed)
        return field

    def read(self) -> Any:
        """The value: SI for numbers, the words of a text, the value of a choice, the steps."""
        if isinstance(self.field, Choice):
            return self.field.value
        return self.field.words() if isinstance(self.field, Words) else self.field.read()

    def problem(self) -> str:
        """What is wrong with it now, as a sentence."""
        if isinstance(self.asked, Text):
            return "" if self.field.words() else self.asked.required
        if isinstance(self.field, Choice):
            chosen = any(value == self.field.value for _, value in self._choices)
            return "" if chosen else f"{self.asked.label}: choose one."
        return str(self.field.problem())

    def check(self) -> bool:
        """Show what is wrong. True where all is well."""
        if isinstance(self.field, NumberField | StepsField):
            return self.field.check()
        self.tell(self.problem())
        return not self.problem()

    def tell(self, sentence: str) -> None:
        """Say this below the field."""
        self.told.setText(sentence)
        self.target().setAccessibleDescription(sentence)

    def target(self) -> QWidget:
        """What takes the focus."""
        found: QWidget = self.field.focusProxy() or self.field
        return found


def _words(asked: Text, around: Around) -> Words:
    field = Words(asked.label, "", asked.hint, asked.most)
    if asked.people:
        names = QCompleter(sorted({person.name for person in around.people}), field)
        names.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        names.setFilterMode(Qt.MatchFlag.MatchContains)
        popup = names.popup()
        if popup is not None:
            popup.setAccessibleName(f"Names for {asked.label.lower()}")
        field.setCompleter(names)
    return field
