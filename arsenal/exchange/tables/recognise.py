"""Which table a file is, by its headers; unknown, doubled and missing headers are told, with the nearest known one."""

from __future__ import annotations

import difflib

from arsenal.exchange.tables.columns import TABLES, Table, normal
from arsenal.exchange.tables.csv_file import Sheet
from arsenal.exchange.tables.problems import Problem
from arsenal.exchange.tables.rows import Row


def recognise(sheet: Sheet) -> Table | None:
    """The table whose needed headers are there and which knows most of the rest; None where none fits."""
    heads = {normal(h) for h in sheet.header}
    best: tuple[int, Table] | None = None
    for table in TABLES:
        known = sum(h in table.headers for h in heads)
        needed = sum(any(h in heads for h in c.headers) for c in table.columns if c.needed)
        total = sum(c.needed for c in table.columns)
        if known < 2 or not (needed == total or needed >= 2 or (needed == 1 and known >= 3)):
            continue
        score = known * 10 - (total - needed) * 15
        if best is None or score > best[0]:
            best = (score, table)
    return best[1] if best else None


def unknown_table(sheet: Sheet) -> Problem:
    """What to say of a file that is none of the tables."""
    heads = ", ".join(h.strip() or "(empty)" for h in sheet.header[:8])
    kinds = "; ".join(f"{t.name}: {', '.join(c.headers[0] for c in t.columns if c.needed)}" for t in TABLES)
    return Problem(sheet.file, 1, "", f"These headers are of no table this program knows: {heads}. Needed: {kinds}. "
                   "Or say once what they hold: at the desk under Load files, else see “load --columns”.")  # fmt: skip


def check_headers(sheet: Sheet, table: Table) -> list[Problem]:
    """What is wrong with the headers; with any of it the file is not read, for a column would be lost."""
    problems, seen = [], dict[str, str]()
    for place, raw in enumerate(sheet.header, 1):
        header = normal(raw)
        if not header:
            if any(place <= len(cells) and cells[place - 1].strip() for _, cells in sheet.rows):
                problems.append(Problem(sheet.file, 1, f"column {place}", "This column has no header."))
            continue
        column = table.column(header)
        if column is None:
            near = difflib.get_close_matches(header, table.headers, n=1, cutoff=0.6)
            hint = f" Did you mean {near[0]}?" if near else f" Known here: {', '.join(table.headers)}."
            problems.append(Problem(sheet.file, 1, raw.strip(), f"Unknown header in a table of {table.name}.{hint}"))
        elif column.name in seen:
            problems.append(Problem(sheet.file, 1, raw.strip(), f"This header says the same as {seen[column.name]}."))
        else:
            seen[column.name] = raw.strip()
    for column in table.columns:
        if column.needed and column.name not in seen:
            wanted = " or ".join(column.headers)
            problems.append(Problem(sheet.file, 1, wanted, f"A table of {table.name} needs this header."))
    return problems


def rows_of(sheet: Sheet, table: Table) -> tuple[list[Row], list[Problem]]:
    """The rows by column; rows with more cells than headers are bad, missing cells at the end are empty ones."""
    columns = [(normal(h), table.column(normal(h))) for h in sheet.header]
    rows, problems = [], []
    for number, cells in sheet.rows:
        if len(cells) > len(columns) and any(c.strip() for c in cells[len(columns) :]):
            reason = f"{len(cells)} fields under {len(columns)} headers; a comma in a text needs quotes around it."
            problems.append(Problem(sheet.file, number, "", reason))
            continue
        pairs = zip(columns, cells, strict=False)
        rows.append(Row(table, number, {c.name: (header, cell) for (header, c), cell in pairs if c is not None}))
    return rows, problems
