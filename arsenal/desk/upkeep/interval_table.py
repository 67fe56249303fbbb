"""The upkeep intervals, all editable: games between each kind of work, a row a cover."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QGridLayout, QLineEdit, QWidget

from arsenal.desk.dialogs.form import FormDialog
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.limits import Limit

if TYPE_CHECKING:
    from arsenal.acts.intervals import Cells, Chosen
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

BOARDS, FEET = Limit("boards lost", 0.5, 20.0, "boards"), Limit("feet of first read lost", 0.5, 20.0, "ft")
HEADS = ("wipe", "clean", "refresh ≤ 1000", "refresh to 3000", "refresh finer", "resurface", "deep oil")


class IntervalTable(FormDialog):
    """The table; a cell is written as people write it: 6–10, 60 ± 15, –, never."""

    def __init__(self, shared: Shared, parent: QWidget, rows: Cells, chosen: Chosen) -> None:
        super().__init__("Upkeep intervals, in games", shared, parent, width=820)
        self.boards = NumberField(BOARDS, chosen.boards, digits=1, required=True)
        self.feet = NumberField(FEET, chosen.first_read_ft, digits=1, required=True)
        self.rows.field("Due when it has lost", self.boards)
        self.rows.field("or, of first read,", self.feet)
        self.cells: dict[str, list[QLineEdit]] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(look().px(8))
        grid.setVerticalSpacing(look().px(6))
        for column, head in enumerate(HEADS, 1):
            grid.addWidget(Plain(head, px=12, weight=500, token="ink2"), 0, column)
        for line, (cover, texts) in enumerate(rows.items(), 1):
            grid.addWidget(Plain(cover, px=14, weight=500), line, 0)
            fields = [self._cell(cover, head, text) for head, text in zip(HEADS, texts, strict=True)]
            for column, cell in enumerate(fields, 1):
                grid.addWidget(cell, line, column)
            self.cells[cover] = fields
        self.body.addLayout(grid)
        said = "Starting values of common practice, no source. What a ball has lost may come first."
        self.body.addWidget(Plain(said, px=13, token="ink2", wrap=True))
        self.offer("The usual ones", "U", self._usual)

    @staticmethod
    def _cell(cover: str, head: str, text: str) -> QLineEdit:
        cell = QLineEdit(text)
        cell.setAccessibleName(f"{cover}, {head}")
        cell.setMaxLength(24)
        cell.setFixedHeight(look().px(32))
        return cell

    def _usual(self) -> None:
        self.shared.keep(lambda shop: _choose(shop, {}, None, None), self._finish, failed=self._failed)

    def act(self) -> Callable[[Shop], Changes]:
        """Keep the table as it stands in the fields."""
        rows = {cover: tuple(cell.text().strip() for cell in cells) for cover, cells in self.cells.items()}
        boards, feet = self.boards.value(), self.feet.value()
        return lambda shop: _choose(shop, rows, boards, feet)


def _choose(shop: Shop, rows: dict[str, tuple[str, ...]], boards: float | None, feet: float | None) -> Changes:
    from arsenal.acts import intervals  # noqa: PLC0415 - heavy

    usual = intervals.Chosen()
    made = intervals.Chosen(rows, boards or usual.boards, feet or usual.first_read_ft)
    return intervals.choose(shop, made)


def _read(shop: Shop) -> tuple[Cells, Chosen]:
    from arsenal.acts import intervals  # noqa: PLC0415 - heavy

    return intervals.all_rows(shop), intervals.chosen(shop)


def open_intervals(shared: Shared, parent: QWidget) -> None:
    """Ask for the table and show it."""

    def show(found: tuple[Cells, Chosen]) -> None:
        IntervalTable(shared, parent, *found).open_()

    shared.ask("intervals", _read, show)
