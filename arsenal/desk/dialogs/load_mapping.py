"""What the columns of a table from elsewhere hold: one row a header, said once, remembered by the shop."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from arsenal.desk.dialogs.form import Choice
from arsenal.desk.parts.dialog import Facts
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.exchange.headers import plain_header
from arsenal.exchange.tables.renaming import NOTHING, OFFERED, Renaming, columns_of, table_named

if TYPE_CHECKING:
    from arsenal.acts.bring_in import SheetHead

LEAVE = ("left in the file", "")
LEAVE_SHEET = ("nothing: leave this sheet out", NOTHING)
MOST_HEADERS = 60
EXPLAINED = (
    "Say once what each column holds; the next table with these headers is read the same way. Several columns may be "
    "one name (first and last) or one note."
)


class HeaderRow:
    """One header: an example from the file, and what it holds."""

    def __init__(self, header: str, example: str) -> None:
        self.header = header
        self.label, self.example = Plain(header, px=14, elide=True), Plain(example, px=13, token="ink2", elide=True)
        self.field = Choice(f"What “{header}” holds", [LEAVE], "")

    def offer(self, table: str, ours: str) -> None:
        """The columns of a table; `ours` is the one chosen."""
        if table == NOTHING:
            self.field.offer([LEAVE], "")
            return
        words = [(header.replace("_", " "), header) for header, _ in columns_of(table_named(table))]
        known = {header for _, header in words}
        self.field.offer([LEAVE, *words], ours if ours in known else _alike(table, ours, known))


def _alike(table: str, ours: str, known: set[str]) -> str:
    """The offered header of the same column."""
    column = table_named(table).column(ours) if ours else None
    return next((header for header, c in columns_of(table_named(table)) if c is column and header in known), "")


class MappingPart(QWidget):
    """The sheets that somebody has to look at, one at a time."""

    said = Signal()
    """Something else was said."""

    def __init__(self, heads: Sequence[SheetHead]) -> None:
        super().__init__()
        self.heads = list(heads)
        self.rows: list[HeaderRow] = []
        self._said = {head.fingerprint: head.renaming for head in heads}
        self._now: SheetHead | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look().px(8))
        facts = Facts()
        self.sheet = Choice("Table to say it of", [(head.file, head.fingerprint) for head in heads], None)
        self.table = Choice("What the table holds", [*_tables(), LEAVE_SHEET], None)
        if len(self.heads) > 1:
            facts.field("Table", self.sheet)
        facts.field("It holds", self.table)
        column.addWidget(facts)
        column.addWidget(Plain(EXPLAINED, px=13, token="ink2", wrap=True))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(look().px(16))
        for place, (stretch, least) in enumerate(((2, 0), (2, 0), (0, 210))):
            self._grid.setColumnStretch(place, stretch)
            self._grid.setColumnMinimumWidth(place, look().px(least))
        column.addLayout(self._grid)
        self.sheet.picked.connect(self._show)
        self.table.picked.connect(lambda _table: self._other_table())
        if self.heads:
            self._show(self.heads[0].fingerprint)

    def renamings(self) -> dict[str, Renaming]:
        """What was said, by the fingerprint of headers."""
        return dict(self._said)

    def _show(self, mark: str) -> None:
        head = self._now = next(one for one in self.heads if one.fingerprint == mark)
        renaming = self._said[mark]
        self.sheet.put(mark)
        self.table.put(renaming.table)
        for row in self.rows:
            for widget in (row.label, row.example, row.field):
                self._grid.removeWidget(widget)
                widget.deleteLater()
        self.rows = []
        for at, header in enumerate(head.headers[:MOST_HEADERS]):
            self._add(head, at, header, renaming.columns[at][1])

    def _add(self, head: SheetHead, at: int, header: str, ours: str) -> None:
        shown = ", ".join(row[at].strip() for row in head.first_rows[:3] if at < len(row) and row[at].strip())
        row = HeaderRow(header.strip() or f"column {at + 1}, without a header", shown)
        row.offer(str(self.table.value), ours)
        self.rows.append(row)
        for place, widget in enumerate((row.label, row.example, row.field)):
            self._grid.addWidget(widget, len(self.rows), place)
            widget.show()
        row.field.picked.connect(lambda _value: self._keep())

    def _other_table(self) -> None:
        """Other columns to choose from; what has the same name stays."""
        table = str(self.table.value)
        for row in self.rows:
            row.offer(table, str(row.field.value or "") or _of_name(table, row.header))
        self._keep()

    def _keep(self) -> None:
        if self._now is None:
            return
        ours = [str(row.field.value or "") for row in self.rows]
        ours += [""] * (len(self._now.headers) - len(ours))
        columns = tuple(zip(self._now.headers, ours, strict=True))
        self._said[self._now.fingerprint] = Renaming(str(self.table.value), columns)
        self.said.emit()


def _tables() -> list[tuple[str, str]]:
    return [(f"{table.name}: {table.purpose}", table.name) for table in OFFERED]


def _of_name(table: str, header: str) -> str:
    if table == NOTHING:
        return ""
    plain = plain_header(header).replace(" ", "_")
    return plain if table_named(table).column(plain) else ""
