"""A table from elsewhere: which of ours it is and what each of its columns holds, said once by hand, guessed before."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from arsenal.exchange.headers import plain_header
from arsenal.exchange.numbers import parse_number
from arsenal.exchange.tables.columns import BALLS, BOWLERS, GRID, LOG, TABLES, Column, Table, normal
from arsenal.exchange.tables.csv_file import Sheet
from arsenal.trade.errors import KnownError, NotUnderstood

OFFERED = (BOWLERS, BALLS, LOG, *(table for table in TABLES if table not in (BOWLERS, BALLS, LOG, GRID)))
"""Tables a foreign one may be said to be, the likeliest first."""


NOTHING = ""
"""The table of a sheet that is left out whole."""


@dataclass(frozen=True, slots=True)
class Renaming:
    """What the columns of one kind of table hold. Kept under the fingerprint of its headers."""

    table: str
    """Name of one of ours, or NOTHING."""
    columns: tuple[tuple[str, str], ...]
    """(header in the file, ours or "" where the column is left in the file), in the order of the file."""

    @classmethod
    def of(cls, table: str, headers: Sequence[str], said: Mapping[str, str]) -> Renaming:
        """From what was said of some headers; the others are left in the file."""
        plain = {plain_header(theirs): ours for theirs, ours in said.items()}
        return cls(table, tuple((header, plain.get(plain_header(header), "")) for header in headers))

    def left(self) -> tuple[str, ...]:
        """Headers whose columns are left in the file."""
        return tuple(theirs.strip() for theirs, ours in self.columns if not ours and theirs.strip())


def table_named(name: str) -> Table:
    """One of the tables. Raises KnownError."""
    found = next((table for table in OFFERED if table.name == name), None)
    if found is None:
        raise KnownError(f"“{name}” is no table.", next_step=f"Tables: {', '.join(t.name for t in OFFERED)}.")
    return found


def renamed(sheet: Sheet, renaming: Renaming) -> Sheet:
    """The sheet with our headers, without what is left in the file; what is told in several columns (a first and a last
    name) in one. Raises KnownError for a renaming that these headers cannot be read by.
    """
    places = _places(sheet, renaming)
    table = table_named(renaming.table)
    theirs = {ours: " + ".join(sheet.header[at].strip() for at in at_) for ours, at_ in places.items()}

    def cells(row: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(
            _between(table, ours).join(part for at in at_ if at < len(row) and (part := row[at].strip()))
            if len(at_) > 1 else row[at_[0]] if at_[0] < len(row) else ""
            for ours, at_ in places.items()
        )  # fmt: skip

    rows = tuple((number, cells(row)) for number, row in sheet.rows)
    return replace(sheet, header=tuple(places), rows=rows, theirs=theirs)


def _places(sheet: Sheet, renaming: Renaming) -> dict[str, list[int]]:
    """Our header → where it stands in the file."""
    table = table_named(renaming.table)
    have = [plain_header(header) for header in sheet.header]
    if have != [plain_header(theirs) for theirs, _ in renaming.columns]:
        raise KnownError(f"{sheet.file} has other headers than those that were mapped.", next_step="Map it anew.")
    places: dict[str, list[int]] = {}
    by_column: dict[str, str] = {}
    for at, (theirs, ours) in enumerate(renaming.columns):
        if not ours:
            continue
        column = table.column(ours)
        if column is None:
            raise KnownError(f"A table of {table.name} has no column “{ours}”.",
                             next_step=f"Its columns: {', '.join(table.headers)}.")  # fmt: skip
        before = by_column.setdefault(column.name, ours)
        if before != ours or (ours in places and not column.joined):
            raise KnownError(f"Two headers stand for the {ours} (“{theirs.strip()}” is one).",
                             next_step="Keep one of them.")  # fmt: skip
        places.setdefault(ours, []).append(at)
    for at_ in places.values():
        at_.sort(key=lambda at: any(word in have[at] for word in _COMES_LAST))
    for column in table.columns:
        if column.needed and column.name not in by_column:
            raise KnownError(f"Nothing is mapped to “{column.headers[0]}”, which a table of {table.name} needs.",
                             next_step=f"It holds: {column.meaning}.")  # fmt: skip
    return places


def _between(table: Table, ours: str) -> str:
    column = table.column(ours)
    return column.joined if column else " "


_COMES_LAST = ("last", "surname", "family")
"""What such a column holds stands behind the other part of a name, wherever it is in the file."""
_ALSO: Mapping[str, tuple[str, ...]] = {
    "bowler": ("customer", "customer name", "client", "full name", "first name", "last name", "surname", "member",
               "forename", "family name", "given name", "owner name"),
    "ball": ("ball name", "model", "bowling ball", "equipment"),
    "phone": ("phone number", "telephone", "tel", "mobile", "mobile phone", "cell", "cell phone", "phone no"),
    "email": ("e mail", "mail", "email address", "e mail address"),
    "serial": ("serial number", "serial no", "serial nr", "sn", "s n", "serial"),
    "cover": ("coverstock", "cover stock", "cover type", "coverstock type", "type"),
    "note": ("notes", "remarks", "remark", "comment", "comments", "memo", "address", "street", "city", "zip"),
    "bought": ("purchased", "purchase date", "date bought", "bought on", "date of purchase", "date purchased"),
    "colour": ("color", "colors", "colours"),
    "nickname": ("nick", "known as", "short name"),
    "hand": ("handedness", "dominant hand", "bowling hand", "hand r l"),
    "guardian": ("parent", "parents", "parent or guardian"),
    "reminders_agreed": ("consent", "reminder consent", "consent date", "agreed to reminders"),
    "date": ("day", "done on", "service date", "date done"),
    "entry": ("work", "service", "done", "what", "job", "surface", "finish"),
    "condition": ("pattern", "oil pattern"),
    "revs_rpm": ("rev rate", "revs", "rpm"),
    "rotation_deg": ("axis rotation", "rotation"),
    "tilt_deg": ("axis tilt", "tilt"),
    "games_a_week": ("games per week", "weekly games"),
    "rg_in": ("rg", "low rg"),
    "differential_in": ("diff", "differential", "rg diff", "rg differential"),
    "intermediate_in": ("int diff", "intermediate diff", "intermediate differential", "mass bias"),
}  # fmt: skip
"""What such columns are often called elsewhere (from memory)."""
_BY_SIZE: Mapping[str, Callable[[float], str]] = {
    "weight": lambda most: "weight_lb" if 8.0 <= most <= 17.0 else "weight_kg" if 2.0 < most < 7.6 else "",
    "speed": lambda most: "speed_mph" if 5.0 < most < 24.0 else "speed_kmh" if 24.0 <= most < 45.0 else "",
    "diameter": lambda most: "diameter_in" if most < 10.0 else "diameter_mm",
}
"""Quantities without a unit, told by their largest value; nothing where it could be either."""


def guess(sheet: Sheet, only: Table | None = None) -> Renaming:
    """What the headers most likely mean; a table (or `only` that one) and whatever of it is clear. To be looked at
    before it is used.
    """
    tables = OFFERED if only is None else (only,)
    guesses = [(table, [_guess(sheet, at, table) for at in range(len(sheet.header))]) for table in tables]
    table, ours = max(guesses, key=lambda both: _score(*both))
    seen: set[str] = set()
    for at, header in enumerate(ours):
        column = table.column(header)
        if column is not None and column.name in seen and not column.joined:
            ours[at] = ""
        elif column is not None:
            seen.add(column.name)
    return Renaming(table.name, tuple(zip(sheet.header, ours, strict=True)))


def _score(table: Table, ours: Sequence[str]) -> float:
    """Known columns speak for a table, missing needed ones against it; between equals the likelier one."""
    known = {column.name for header in ours if (column := table.column(header))}
    missing = sum(column.needed and column.name not in known for column in table.columns)
    return 10.0 * len(known) - 15.0 * missing - OFFERED.index(table)


def _guess(sheet: Sheet, at: int, table: Table) -> str:
    header = normal(sheet.header[at])
    if not header:
        return ""
    if table.column(header):
        return header
    words = header.replace("_", " ")
    for ours, also in _ALSO.items():
        if words in also and table.column(ours):
            return ours
    for start, of_size in _BY_SIZE.items():
        if words == start or words in (f"{start} of ball", f"ball {start}"):
            ours = of_size(_largest(sheet, at))
            return ours if table.column(ours) else ""
    near = difflib.get_close_matches(header, table.headers, n=1, cutoff=0.85)
    return near[0] if near else ""


def _largest(sheet: Sheet, at: int) -> float:
    found = [0.0]
    for _, cells in sheet.rows[:200]:
        text = re.sub(r"[^0-9.,]", "", cells[at]) if at < len(cells) else ""
        try:
            found.append(parse_number(text))
        except NotUnderstood:
            continue
    return max(found)


def columns_of(table: Table) -> tuple[tuple[str, Column], ...]:
    """Every header a column of theirs may be said to stand for, with what it holds."""
    return tuple((header, column) for column in table.columns for header in _first_of_each(column))


def _first_of_each(column: Column) -> tuple[str, ...]:
    return tuple(column.units) or (column.name if column.name in column.headers else column.headers[0],)


__all__ = ["NOTHING", "OFFERED", "Renaming", "columns_of", "guess", "renamed", "table_named"]
