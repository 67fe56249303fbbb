"""What a plan has to say for itself: what has no place and the least that would give it one, what moved and why."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import Moved, Relaxation, SeasonView, WeekView, WorkItem

LINES_SHOWN = 3
NAMES_SHOWN, WAYS_SHOWN = 2, 3


class NotePainter(RowPainter):
    """One quiet line each."""

    height = 24

    def line_below(self, row: Any) -> bool:
        """No lines between."""
        return False

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Write it."""
        write(painter, box.adjusted(look().px(8), 0, -look().px(8), 0), str(row), look().font(13), "ink2")


class Notes(QWidget):
    """Under the weeks; hidden where a plan has nothing to say."""

    relax_wanted = Signal(object)
    """The Relaxation whose action was pressed."""

    def __init__(self) -> None:
        super().__init__()
        self.told = Told("due", "warn")
        self.ways = [TextButton("", px=13) for _ in range(WAYS_SHOWN)]
        for number, way in enumerate(self.ways):
            way.clicked.connect(lambda _=False, n=number: self._relax(n))
        self.changed = Plain("", px=12, weight=500, token="ink2")
        self.lines = RowsView("What moved, and why", RowsModel(), NotePainter())
        self._least: tuple[Relaxation, ...] = ()
        self._line = Line("rule")
        first = QHBoxLayout()
        first.addWidget(self.told, 1)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._line)
        self._column.addLayout(first)
        for way in self.ways:
            self._column.addWidget(way, 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addWidget(self.changed)
        self._column.addWidget(self.lines)
        look().changed.connect(self._dress)
        self._dress()
        self.hide()

    def show_plan(self, plan: WeekView | SeasonView) -> None:
        """What this plan says."""
        self._least = plan.relaxations[:WAYS_SHOWN] if plan.unplaced else ()
        self.told.setText(without_place(plan.unplaced, helps=bool(self._least)))
        for number, button in enumerate(self.ways):
            way = self._least[number] if number < len(self._least) else None
            button.set_word(f"{way.words}…" if way else "")
            button.setAccessibleName(f"The least that helps: {way.words}" if way else "")
            button.setVisible(way is not None)
        rows = lines_of(plan.moved, plan.remarks)
        self.lines.rows_model.set_rows(rows)
        self.lines.setVisible(bool(rows))
        many = len(plan.moved)
        self.changed.setText(f"Moved since the plan before: {many} {'job' if many == 1 else 'jobs'}" if many else "")
        self.changed.setVisible(bool(many))
        self.setVisible(bool(rows or plan.unplaced))
        self._dress()

    def _relax(self, number: int) -> None:
        if number < len(self._least):
            self.relax_wanted.emit(self._least[number])

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(20), px(4), px(20), px(4))
        self._column.setSpacing(px(4))
        shown = min(LINES_SHOWN, self.lines.rows_model.rowCount())
        self.lines.setFixedHeight(px(24) * max(1, shown) + px(2))


def without_place(items: Sequence[WorkItem], *, helps: bool = False) -> str:
    """“Rook Hollow, deep oil: needs a heat cabinet; no slot has one. The least that helps:”"""
    if not items:
        return ""
    named = [f"{item.ball}, {item.work}" for item in items[:NAMES_SHOWN]]
    more = len(items) - len(named)
    said = "; ".join(named) + (f" and {more} more" if more else "")
    why = items[0].remark if len(items) == 1 and items[0].remark else f"no time for {_them(items)} in the plan"
    return f"{said}: {why}.{' The least that helps:' if helps else ''}"


def _them(items: Sequence[WorkItem]) -> str:
    return "it" if len(items) == 1 else "them"


def lines_of(moved: Sequence[Moved], remarks: Sequence[str]) -> list[str]:
    """What moved first, then the plan's own remarks."""
    return [*(one.words for one in moved), *remarks]
