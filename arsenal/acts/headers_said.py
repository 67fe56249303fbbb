"""How tables from elsewhere are read, said in words of a line rather than at the desk: `Tel=phone`."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.acts.bring_in import SheetHead
from arsenal.exchange.headers import plain_header
from arsenal.exchange.tables.csv_file import Sheet
from arsenal.exchange.tables.renaming import NOTHING, Renaming, guess, table_named
from arsenal.trade.errors import KnownError

LEFT = "left in the file"
Pairs = Sequence[tuple[str, str]]


def pair(text: str) -> tuple[str, str]:
    """“Tel=phone” as (“Tel”, “phone”); nothing behind the last = leaves the column in the file. Raises KnownError."""
    theirs, sign, ours = text.rpartition("=")
    if not sign or not theirs.strip():
        raise KnownError(f"“{text}” does not say what a column holds.", next_step="Write it as “Their header=phone”.")
    return theirs.strip(), plain_header(ours).replace(" ", "_")


def renamings(heads: Sequence[SheetHead], table: str, columns: Pairs) -> dict[str, Renaming]:
    """By fingerprint, how the tables are read that nobody has said it of yet, or all where it was said of all: as
    `table` (as guessed where it is empty), the named headers as they are named, the others as they are guessed.

    Raises KnownError for a table there is not, and for a header none of them has.
    """
    if not table and not columns:
        return {}
    heads = [head for head in heads if not head.fixed]
    meant = [head for head in heads if not head.sure] or heads
    have = {plain_header(header) for head in meant for header in head.headers}
    for theirs, _ in columns:
        if plain_header(theirs) not in have:
            known = ", ".join(dict.fromkeys(header.strip() for head in meant for header in head.headers))
            raise KnownError(f"There is no header “{theirs}”.", next_step=f"The file has: {known}.")
    return {head.fingerprint: _said(head, table, dict(columns)) for head in meant}


def _said(head: SheetHead, table: str, columns: dict[str, str]) -> Renaming:
    renaming = head.renaming
    if table and table != renaming.table:
        sheet = Sheet(head.file, head.headers, tuple(enumerate(head.first_rows, 2)))
        renaming = guess(sheet, only=table_named(table))
    said = {plain_header(theirs): ours for theirs, ours in columns.items()}
    taken = {ours for ours in said.values() if ours and not _may_be_joined(renaming.table, ours)}
    both = ((theirs, "" if ours in taken else ours) for theirs, ours in renaming.columns)
    return Renaming(renaming.table, tuple((theirs, said.get(plain_header(theirs), ours)) for theirs, ours in both))


def _may_be_joined(table: str, ours: str) -> bool:
    """Whether several columns may be that one, as first and last name are."""
    column = table_named(table).column(ours) if table != NOTHING else None
    return column is not None and bool(column.joined)


def rows(heads: Sequence[SheetHead]) -> list[dict[str, object]]:
    """How each table would be read, for JSON."""
    return [
        {
            "file": head.file, "rows": head.rows, "table": head.renaming.table or None, "sure": head.sure,
            "columns": [{"header": theirs.strip(), "holds": ours or None} for theirs, ours in head.renaming.columns],
        }
        for head in heads
    ]  # fmt: skip


def text(heads: Sequence[SheetHead]) -> str:
    """The same to be read, with the first cells of each column."""
    return "\n\n".join(_text(head) for head in heads) + "\n\n" + _HOW


_HOW = """Say it otherwise with --as TABLE and --column "HEADER=COLUMN"; nothing behind the = leaves a column in the
file. What is loaded so is read the same way next time. README names the tables and their columns."""


def _text(head: SheetHead) -> str:
    if head.fixed:
        return f"{head.file}: a film grid, read as it is."
    kind = "left out" if head.renaming.table == NOTHING else f"a table of {head.renaming.table}"
    how = "" if head.sure else " (a guess: say --as to load it so)"
    wide = max((len(theirs.strip()) for theirs, _ in head.renaming.columns), default=0)
    lines = [f"{head.file}: {kind}{how}, {head.rows} rows"]
    for at, (theirs, ours) in enumerate(head.renaming.columns):
        shown = ", ".join(cell for row in head.first_rows[:2] if at < len(row) and (cell := row[at].strip()[:24]))
        lines.append(f"  {theirs.strip():<{wide}}  {ours or LEFT:<18} {shown}".rstrip())
    return "\n".join(lines)
