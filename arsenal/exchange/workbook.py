"""XLSX workbooks in and out, as plain cells of text. A workbook is a zip of XML: sizes and ratios are looked at before
anything is unpacked, the XML reader refuses entities, and no formula is ever computed or written.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from datetime import date, datetime, time
from itertools import zip_longest
from pathlib import Path
from typing import Any

from arsenal.exchange.atomic import write_file
from arsenal.trade.errors import KnownError
from arsenal.trade.steps import Steps, Tell, untold

MOST_BYTES = 50_000_000
MOST_UNPACKED = 300_000_000
MOST_RATIO = 200
"""A part that unpacks to more than so many times its size is a bomb, not a table."""
MOST_PARTS = 2_000
MOST_ROWS, MOST_COLUMNS = 1_048_576, 256
"""A sheet has no more rows (ECMA-376); so many columns no table of ours needs."""
MOST_LETTERS = 32_767
"""What one cell of a workbook may hold (ECMA-376)."""


NOT_COMPUTED = "(formula without a value)"
_FORMULA = re.compile(rb"<f[ >/]")


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet as text: a header and rows of the same width."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = field(default=(), compare=False)
    """Where each row stands in a sheet that was read, the first being 1."""
    header_at: int = field(default=1, compare=False)


class Unreadable(KnownError):
    """A workbook that cannot be read, or may not be."""


def looks_like_one(path: Path) -> bool:
    """Whether a file is a zip, as workbooks are."""
    with path.open("rb") as file:
        return file.read(4) == b"PK\x03\x04"


def read(path: Path) -> tuple[Table, ...]:
    """Every sheet that holds something. Raises Unreadable for a damaged file, a bomb, or one too large."""
    check(path)
    try:
        return tuple(_tables(path))
    except KnownError:
        raise
    except Exception as error:
        raise Unreadable(
            f"{path.name} cannot be read as a workbook.",
            next_step="Save it again from the program it came from, or as CSV.",
        ) from error


def check(path: Path) -> None:
    """Look at a workbook's parts without unpacking them. Raises Unreadable."""
    if path.stat().st_size > MOST_BYTES:
        raise Unreadable(f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB.", next_step="Save it in parts.")
    try:
        with zipfile.ZipFile(path) as book:
            parts = book.infolist()
    except (zipfile.BadZipFile, OSError, ValueError) as error:
        raise Unreadable(f"{path.name} is damaged or no workbook.") from error
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise Unreadable(f"{path.name} unpacks to more than a table needs.")
    for part in parts:
        if part.file_size > MOST_RATIO * max(part.compress_size, 1) and part.file_size > 1_000_000:
            raise Unreadable(f"{path.name} unpacks to more than a table needs.")


def _tables(path: Path) -> Iterable[Table]:
    with ExitStack() as files:
        book = _opened(files, path)
        told = _opened(files, path, formulas=True) if _has_formulas(path) else None
        for sheet in book.worksheets:
            cells = _cells(sheet, path)
            if told is not None:
                cells = map(_computed, cells, _cells(told[sheet.title], path))
            told_rows = ((at, _row(row, path)) for at, row in enumerate(cells, 1))
            found = [(at, row) for at, row in told_rows if any(cell.strip() for cell in row)]
            if found:
                width = max(len(row) for _, row in found)
                full = [(*row, *([""] * (width - len(row)))) for _, row in found]
                numbers = tuple(at for at, _ in found[1:])
                yield Table(str(sheet.title), full[0], tuple(full[1:]), numbers, found[0][0])


def _opened(files: ExitStack, path: Path, *, formulas: bool = False) -> Any:
    """What every cell came to when the workbook was saved, or the formulas themselves, which are never computed. The
    file is closed with `files`, also where it turns out to be no workbook.
    """
    import openpyxl  # noqa: PLC0415 - heavy

    if not openpyxl.DEFUSEDXML:
        raise Unreadable("Workbooks are not read without the safe XML reader.", next_step="Install defusedxml.")
    file = files.enter_context(path.open("rb"))
    book = openpyxl.load_workbook(file, read_only=True, data_only=not formulas, keep_links=False)
    return files.enter_context(closing(book))


def _has_formulas(path: Path) -> bool:
    with zipfile.ZipFile(path) as book:
        for part in book.infolist():
            if part.filename.startswith("xl/worksheets/") and part.filename.endswith(".xml"):
                with book.open(part) as text:
                    last = b""
                    while piece := text.read(1 << 20):
                        if _FORMULA.search(last + piece):
                            return True
                        last = piece[-4:]
    return False


def _computed(values: tuple[Any, ...], formulas: tuple[Any, ...]) -> tuple[Any, ...]:
    """Cells in which a formula stands that nobody ever computed say so, rather than nothing."""
    return tuple(NOT_COMPUTED if value is None and formula is not None else value
                 for value, formula in zip_longest(values, formulas))  # fmt: skip


def _cells(sheet: Any, path: Path) -> Iterable[tuple[Any, ...]]:
    """Every row that is there: some programs write into a sheet that it ends before it does."""
    sheet.reset_dimensions()
    for count, cells in enumerate(sheet.iter_rows(values_only=True)):
        if count > MOST_ROWS:
            raise Unreadable(f"{path.name} has more than {MOST_ROWS} rows.", next_step="Save it in parts.")
        yield cells


def _row(cells: tuple[Any, ...], path: Path) -> tuple[str, ...]:
    texts = [_text(value) for value in cells]
    while texts and not texts[-1]:
        texts.pop()
    if len(texts) > MOST_COLUMNS:
        raise Unreadable(f"{path.name} has more than {MOST_COLUMNS} columns.")
    return tuple(texts)


def _text(value: object) -> str:
    """A cell as a person would type it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.15g}"
    return str(value)


def write(path: Path, tables: Sequence[Table], tell: Tell = untold) -> None:
    """Write sheets of text, whole or not at all; a cell that begins like a formula is text all the same."""
    import openpyxl  # noqa: PLC0415 - heavy
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415

    book = openpyxl.Workbook(write_only=True)
    steps = Steps(sum(1 + len(table.rows) for table in tables), tell)
    for table in tables:
        sheet = book.create_sheet(_title(table.name))
        sheet.freeze_panes = "A2"
        for row in steps.through((table.headers, *table.rows)):
            cells = []
            for text in row:
                cell = WriteOnlyCell(sheet, value=_clean(text))
                cell.data_type = "s"  # else “=1+1” would be a formula
                cells.append(cell)
            sheet.append(cells)
    held = io.BytesIO()
    book.save(held)
    write_file(path, held.getvalue())


def _clean(text: str) -> str:
    """Signs that XML cannot hold are left out; a longer text than a cell takes is cut."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")  # which is what XML makes of them
    kept = "".join(sign for sign in text if sign in "\t\n" or (ord(sign) >= 32 and not 0xD800 <= ord(sign) <= 0xDFFF))
    return kept.replace("\ufffe", "").replace("\uffff", "")[:MOST_LETTERS]


def _title(name: str) -> str:
    clean = "".join("-" if sign in "[]:*?/\\" else sign for sign in _clean(name)).strip("'") or "sheet"
    return clean[:31]
