"""What a plan has to say for itself: what has no place and the least that would give it one, what moved and why."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.acts.calendar_views import Relaxation
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import Moved, SeasonView, WeekView, WorkItem

LINES_SHOWN = 3
SAY_WHEN = Relaxation("slot", "Say when there is time for work, and the jobs are planned into it.")
NAMES_SHOWN, WAYS_SHOWN = 2, 3
OPENS = {
    "minutes": "Change the time", "slot": "Add time", "pads": "Add a pad", "event": "Open the event",
    "settling": "Open the event",
}  # fmt: skip


class NotePainter(RowPainter):
    """One quiet line each."""

    height = 24

    def line_below(self, row: Any) -> bool:
        """No lines between."""
        return False

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Write it."""
        write(painter, box.adjusted(look().px(8), 0, -look().px(8), 0), str(row), look().font(13), "ink2")


class Way(QWidget):
    """One thing that would have to give, in words, and the word that opens it."""

    wanted = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._way: Relaxation | None = None
        self.said, self.button = Plain("", px=13, wrap=True), TextButton("", px=13)
        self.button.clicked.connect(lambda: self.wanted.emit(self._way))
        row = QHBoxLayout(self)
        row.setContentsMargins(look().px(20), 0, 0, 0)
        row.setSpacing(look().px(10))
        row.addWidget(self.said, 1)
        row.addWidget(self.button)

    def show_way(self, way: Relaxation | None) -> None:
        """Another one, or none."""
        self._way = way
        self.setVisible(way is not None)
        if way is not None:
            self.said.setText(way.words)
            self.button.set_word(OPENS.get(way.kind, "Open the ball"))
            self.button.setAccessibleName(f"{self.button.word()}: {way.words}")


class Notes(QWidget):
    """Under the weeks; hidden where a plan has nothing to say."""

    relax_wanted = Signal(object)
    """The Relaxation whose action was pressed."""

    def __init__(self) -> None:
        super().__init__()
        self.told = Told("due", "warn")
        self.ways = [Way() for _ in range(WAYS_SHOWN)]
        self.changed = Plain("", px=12, weight=500, token="ink2")
        self.lines = RowsView("What moved, and why", RowsModel(), NotePainter())
        self._line = Line("rule")
        self._column = QVBoxLayout(self)
        for widget in (self._line, self.told, *self.ways, self.changed, self.lines):
            self._column.addWidget(widget)
        for way in self.ways:
            way.wanted.connect(self.relax_wanted)
        look().changed.connect(self._dress)
        self._dress()
        self.hide()

    def show_plan(self, plan: WeekView | SeasonView, *, no_time: bool = False, replanned: Sequence[Moved] = ()) -> None:
        """What this plan says; without time for work the first thing is to say when there is some. `replanned` is what
        the last planning moved, shown until something moves again.
        """
        least = least_of(plan.relaxations)[:WAYS_SHOWN] if plan.unplaced else (SAY_WHEN,) if no_time else ()
        self.told.setText(without_place(plan.unplaced, helps=bool(least)))
        for number, way in enumerate(self.ways):
            way.show_way(least[number] if number < len(least) else None)
        moved = plan.moved or replanned
        rows = lines_of(moved, plan.remarks)
        self.lines.rows_model.set_rows(rows)
        self.lines.setVisible(bool(rows))
        many = len(moved)
        since = "Moved since it was planned" if plan.moved else "Moved by planning again"
        self.changed.setText(f"{since}: {many} {'job' if many == 1 else 'jobs'}" if many else "")
        self.changed.setVisible(bool(many))
        self.setVisible(bool(rows or plan.unplaced or least))
        self._dress()

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
    jobs = list(dict.fromkeys(f"{item.ball}, {item.work}" for item in items))
    named = jobs[:NAMES_SHOWN]
    more = len(jobs) - len(named)
    said = "; ".join(named) + (f" and {more} more" if more else "")
    why = items[0].remark if len(items) == 1 and items[0].remark else f"no time for {_them(items)} in the plan"
    return f"{said}: {why}.{' The least that helps:' if helps else ''}"


def _them(items: Sequence[WorkItem]) -> str:
    return "it" if len(items) == 1 else "them"


def least_of(ways: Sequence[Relaxation]) -> tuple[Relaxation, ...]:
    """What would have to give, once for each slot: minutes added to a slot are there every time it comes again."""
    most: dict[int, Relaxation] = {}
    for way in ways:
        if way.slot_id and (way.slot_id not in most or way.minutes > most[way.slot_id].minutes):
            most[way.slot_id] = way
    return tuple(way for way in ways if not way.slot_id or most[way.slot_id] is way)


def lines_of(moved: Sequence[Moved], remarks: Sequence[str]) -> list[str]:
    """What moved first, then the plan's own remarks."""
    return [*(one.words for one in moved), *remarks]
