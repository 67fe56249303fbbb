"""What is wrong with a table: file, row, field and the reason, collected so that one look shows all of it."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.trade.errors import KnownError, NotFound, NotUnderstood, OutOfRange


@dataclass(frozen=True, slots=True)
class Problem:
    """One bad row, header or file. `row` counts records, the header being 1; 0 is the file itself."""

    file: str
    row: int
    field: str
    reason: str
    value: str = ""
    """What stands in that field."""

    def __str__(self) -> str:
        place = [self.file, f"row {self.row}" if self.row else "", self.field]
        return ", ".join(part for part in place if part) + f": {self.reason}"


class Bad(Exception):
    """A value of one field that will not do; caught where the row is known."""

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(reason)
        self.field, self.reason = field, reason


def reason_of(error: KnownError) -> str:
    """What a known error says about a value, without what became of the data: the caller decides that."""
    if isinstance(error, OutOfRange | NotUnderstood | NotFound) and error.next_step:
        return f"{error.sentence} {error.next_step}"
    return error.sentence
