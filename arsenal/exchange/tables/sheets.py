"""Whatever file holds tables as sheets of records: one for CSV, one a page for a workbook."""

from __future__ import annotations

from pathlib import Path

from arsenal.exchange import workbook
from arsenal.exchange.tables.csv_file import Sheet, read_sheet
from arsenal.exchange.tables.problems import Problem
from arsenal.trade.errors import KnownError

BOOKS = (".xlsx", ".xlsm")
KINDS = (".csv", *BOOKS)
"""How names of files end that a folder is searched for."""


def read_sheets(path: Path) -> tuple[list[Sheet], list[Problem]]:
    """The sheets of a file and what is wrong with it. Never raises for what the file holds."""
    if not _is_book(path):
        sheet, problems = read_sheet(path)
        return ([sheet] if sheet else []), problems
    try:
        tables = workbook.read(path)
    except KnownError as error:
        return [], [Problem(path.name, 0, "", f"{error.sentence} {error.next_step}".strip())]
    if not tables:
        return [], [Problem(path.name, 0, "", "The workbook is empty.")]
    return [_sheet(path, table) for table in tables], []


def _is_book(path: Path) -> bool:
    """By its first bytes or its name; what is named so and is none is refused as one."""
    try:
        return path.is_file() and (path.suffix.casefold() in BOOKS or workbook.looks_like_one(path))
    except OSError:  # told where it is read
        return False


def _sheet(path: Path, table: workbook.Table) -> Sheet:
    rows = tuple(zip(table.numbers, table.rows, strict=True))
    return Sheet(f"{path.name}, {table.name}", table.headers, rows, table.name)
