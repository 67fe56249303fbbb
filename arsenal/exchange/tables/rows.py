"""One row of a table as typed values: text, numbers in their header's unit, days, yes and no; errors by field."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TypeVar

from arsenal.exchange.numbers import parse_number
from arsenal.exchange.one_line.dates import read_day
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.exchange.tables.columns import NAME_LETTERS, Column, Table
from arsenal.exchange.tables.csv_file import unescape
from arsenal.exchange.tables.problems import Bad, reason_of
from arsenal.exchange.workbook import NOT_COMPUTED
from arsenal.trade import days
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import LIMITS

E = TypeVar("E", bound=StrEnum)
_YES = ("yes", "y", "true", "1", "x")
_NO = ("no", "n", "false", "0", "")
WRITE_DAY = "Write the day as 2026-03-12."


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one record by column, with the header each stood under."""

    table: Table
    number: int
    cells: Mapping[str, tuple[str, str]]

    def header(self, name: str) -> str:
        """The header this column has in the file, or would have."""
        if name in self.cells:
            return self.cells[name][0]
        return self._column(name).headers[0]

    def _column(self, name: str) -> Column:
        return next(c for c in self.table.columns if c.name == name)

    def text(self, name: str) -> str:
        """The cell's text, unescaped; "" where there is none. Raises Bad for an empty cell that is needed."""
        raw, column = self.cells.get(name, ("", ""))[1].strip(" "), self._column(name)
        if not raw.strip() and column.needed:
            raise Bad(self.header(name), "This cell may not be empty.")
        if raw == NOT_COMPUTED:
            raise Bad(self.header(name), "A formula stands here that was never worked out. Save the workbook once more "
                      "in a spreadsheet, or type the value.")  # fmt: skip
        text = unescape(raw)
        if len(text) > column.most:
            raise Bad(self.header(name), f"The text is {len(text)} letters long; {column.most} are kept at most.")
        if column.most == NAME_LETTERS and not text.isprintable() and _unshown(text):
            raise Bad(self.header(name), "This holds a sign that cannot be shown, such as a line break or a tab.")
        return text

    def says(self, name: str) -> bool:
        """Whether the column is there and its cell is not empty."""
        return bool(self.cells.get(name, ("", ""))[1].strip())

    def value_of(self, header: str) -> str:
        """What stands in the column of that header."""
        return next((cell for head, cell in self.cells.values() if head == header), "")

    def number_in(self, name: str, default: float | None, low: float, high: float) -> float | None:
        """A number without a unit, within its range. Raises Bad."""
        text = self.text(name)
        if not text:
            return default
        try:
            value = parse_number(text)
        except KnownError as error:
            raise Bad(self.header(name), reason_of(error)) from None
        if not low <= value <= high:
            raise Bad(self.header(name), f"{name.replace('_', ' ')} is {value:g}; it must be {low:g} to {high:g}.")
        return value

    def quantity(self, name: str, default: float | None = None) -> float | None:
        """A quantity in SI, by the unit in the header. Raises Bad, naming value and range."""
        text, column = self.text(name), self._column(name)
        if not text:
            return default
        header = self.header(name)
        try:
            value = parse_number(text)
            factor, first = column.units[header], next(iter(column.units.values()))
            if column.limit:
                limit = LIMITS[column.limit]
                typed = value * factor / first
                if not limit.low - 1e-9 * limit.high <= typed <= limit.high * (1 + 1e-9):
                    limit.check(typed)
        except KnownError as error:
            raise Bad(header, reason_of(error)) from None
        return (value + column.offset) * factor

    def yes(self, name: str, default: bool = False) -> bool:
        """Yes or no. Raises Bad."""
        text = self.text(name).casefold()
        if text not in _YES + _NO:
            raise Bad(self.header(name), f"“{text}” is neither yes nor no.")
        return default if not text else text in _YES

    def day(self, name: str, today: date) -> date | None:
        """A day, not to come. Raises Bad."""
        text = self.text(name).strip()
        if not text:
            return None
        cursor = Cursor(text)
        try:
            found = read_day(cursor, today)
        except KnownError as error:
            raise Bad(self.header(name), reason_of(error)) from None
        if found is None or not cursor.done or not any(c.isdigit() for c in text):
            raise Bad(self.header(name), f"“{text}” is no day. {WRITE_DAY}")
        return found

    def one_of(self, name: str, words: type[E], default: E | None = None) -> E:
        """One word of a list. Raises Bad, naming them."""
        text = self.text(name).casefold()
        if not text and default is not None:
            return default
        for word in words:
            if text == word.value.casefold():
                return word
        near = [w for w in words if text and (w.value.startswith(text) or text.split()[0] == w.value)]
        if len(near) == 1:  # “r”, “left hander”, “solid reactive”
            return near[0]
        raise Bad(self.header(name), f"“{text}” must be one of {', '.join(w.value for w in words)}.")


def _unshown(text: str) -> bool:
    """Control signs; marks that turn the direction of writing are shown as they are."""
    return any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text)


def before(day: date, first: date, ball: str) -> Bad:
    """A day before the ball was bought."""
    return Bad("date", f"{days.day_and_year(day)} is before {ball} was bought, {days.day_and_year(first)}.")
