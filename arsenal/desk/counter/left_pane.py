"""The left pane: the line, what it found, and under it what waits."""

from __future__ import annotations

from datetime import datetime
from time import perf_counter
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.counter import asking, hit_rows, waiting_rows
from arsenal.desk.counter.find_field import FindField
from arsenal.desk.counter.hit_rows import HitPainter, Offer
from arsenal.desk.counter.waiting_rows import Next, Parked, WaitingPainter
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from collections.abc import Sequence

    from arsenal.acts.counter_find import Found
    from arsenal.acts.counter_views import CounterView
    from arsenal.desk.rooms import Shared

MOST_SHARE = 0.56
"""Of the pane’s height that finds may take while something waits."""


class WaitingView(RowsView):
    """Enter opens; Esc goes back to the line."""

    escaped = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc is told."""
        if Qt.Key(event.key()) == Qt.Key.Key_Escape:
            self.escaped.emit()
        else:
            super().keyPressEvent(event)


class LeftPane(QWidget):
    """Asks for finds by itself, a newer key making the older answer stale."""

    hit_opened = Signal(object)
    """A find or an offer."""
    ticket_opened = Signal(int)
    parked_opened = Signal(int)
    list_closed = Signal()
    left = Signal()

    def __init__(self, shared: Shared) -> None:
        super().__init__()
        self.shared = shared
        self._now = datetime.now().astimezone()
        self._view: CounterView | None = None
        self._which, self._writes = "", 0
        self._open_first = False
        self.shown_at = 0.0
        """When the finds on screen came, by the clock that measures."""
        self.on_ticket = False
        """Whether the ticket being written has a customer: typed words are then a ball of theirs."""
        self.field = FindField()
        self._painter, self.nothing = HitPainter(), Plain("", px=13, token="ink2", wrap=True)
        self.hits = RowsView("Found", RowsModel(hit_rows.spoken), self._painter)
        self.hits.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        pick = RowsModel(
            lambda row: waiting_rows.spoken(row, self._now), lambda row: waiting_rows.number_of(row) is not None
        )
        self.waiting = WaitingView("Parked tickets and the bench", pick, WaitingPainter())
        self.rule = Line()
        self._lay_out()
        self._connect()
        self._show_hits((), "")

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setSpacing(0)
        column.setContentsMargins(0, 0, 0, 0)
        self._around = QHBoxLayout()
        self._around.addWidget(self.field)
        column.addLayout(self._around)
        self._told = QHBoxLayout()
        self._told.addWidget(self.nothing)
        column.addLayout(self._told)
        column.addWidget(self.hits)
        column.addWidget(self.rule)
        column.addWidget(self.waiting, 1)
        self.setTabOrder(self.field, self.waiting)
        look().changed.connect(self._dress)
        self._dress()

    def _connect(self) -> None:
        self.field.typed.connect(self._typed)
        self.field.moved.connect(self._move)
        self.field.opened.connect(self.open_now)
        self.field.left.connect(self.left)
        self.hits.clicked.connect(lambda _index: self.open_now())
        self.waiting.opened.connect(self._open_waiting)
        self.waiting.clicked.connect(lambda index: self._open_waiting(self.waiting.rows_model.row(index.row())))
        self.waiting.escaped.connect(self._back)

    # finding

    def _typed(self, text: str) -> None:
        self._open_first = False
        if not text.strip():
            self.shared.worker.drop("counter find")
            self._show_hits((), "")
            return
        self.shared.ask(
            "counter find", lambda shop: asking.hits(shop, text), lambda found: self._show_hits(found, text),
            first=True,
        )  # fmt: skip

    def _show_hits(self, found: Sequence[Found], text: str) -> None:
        self._painter.typed, self.shown_at = text, perf_counter()
        rows = hit_rows.rows_of(found, text, on_ticket=self.on_ticket)
        model = self.hits.rows_model
        model.set_rows([])
        model.set_rows(rows)
        self.nothing.setText(f"Nothing is called “{text.strip()[:60]}”." if text.strip() and not found else "")
        self.nothing.setVisible(bool(self.nothing.whole()))
        self.hits.setVisible(bool(rows))
        self.rule.setVisible(bool(rows))
        if rows:
            self.hits.choose(0)
        self._fit()
        said = f"{len(found)} found" if found else "nothing found" if text.strip() else ""
        self.field.edit.setAccessibleDescription(said)
        if self._open_first:
            self._open_first = False
            self.open_now()

    def shown(self) -> str:
        """The words whose finds are on screen."""
        return self._painter.typed

    def _move(self, by: int) -> None:
        rows = self.hits.rows_model.rowCount()
        if not rows:
            self.waiting.setFocus(Qt.FocusReason.TabFocusReason)
            self._first_waiting()
            return
        self.hits.choose(min(rows - 1, max(0, self.hits.currentIndex().row() + by)))

    def open_now(self) -> None:
        """Open the find in hand; where its answer is still on the way, as soon as it is there."""
        row = self.hits.in_hand()
        if self._painter.typed != self.field.edit.text() and self.field.edit.text().strip():
            self._open_first = True
        elif row is not None:
            self.hit_opened.emit(row)

    def clear(self) -> None:
        """Nothing is searched any more."""
        self.field.edit.clear()

    # what waits

    def show_view(self, view: CounterView, now: datetime) -> None:
        """Parked tickets and the bench, or the list that is open."""
        self._view, self._now = view, now
        held, but = self.waiting.in_hand(), self._writes
        rows = waiting_rows.list_of(view, self._which, now) if self._which else waiting_rows.rows_of(view, now, but)
        self.waiting.rows_model.set_rows(rows)
        number = waiting_rows.number_of(held) if held is not None else None
        if number is None or not self.waiting.choose_where(lambda row: waiting_rows.number_of(row) == number):
            self.waiting.clearSelection()

    def show_list(self, which: str) -> None:
        """The tickets behind a count; empty for what waits."""
        self._which = which
        if self._view is not None:
            self.show_view(self._view, self._now)
        if which:
            self.waiting.setFocus(Qt.FocusReason.OtherFocusReason)
            self._first_waiting()

    def writes(self, number: int) -> None:
        """The parked ticket that is on the pane now stands in no list."""
        if number != self._writes:
            self._writes = number
            if self._view is not None:
                self.show_view(self._view, self._now)

    def listed(self) -> str:
        """Which count’s list is open."""
        return self._which

    def parked(self, key: str) -> int | None:
        """The number of the parked ticket with that key."""
        found = waiting_rows.parked(self._view.counts, self._writes) if self._view is not None else []
        return next((row.row.number for row in found if row.key == key), None)

    def _first_waiting(self) -> None:
        self.waiting.choose_where(lambda row: waiting_rows.number_of(row) is not None)

    def _open_waiting(self, row: Any) -> None:
        number = waiting_rows.number_of(row) if row is not None else None
        if number is None:
            return
        if isinstance(row, Parked):
            self.parked_opened.emit(number)
        else:
            self.ticket_opened.emit(number)

    def _back(self) -> None:
        if self._which:
            self.show_list("")
            self.list_closed.emit()
        self.field.setFocus(Qt.FocusReason.OtherFocusReason)

    # size

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the height again."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        need = self.hits.wanted_height()
        most = max(look().px(hit_rows.HIT * 2), round(self.height() * MOST_SHARE))
        self.hits.setFixedHeight(min(need, most))

    def _dress(self) -> None:
        px = look().px
        self._around.setContentsMargins(px(20), px(14), px(20), px(12))
        self._told.setContentsMargins(px(20), 0, px(20), px(6))
        self._fit()


__all__ = ["LeftPane", "Next", "Offer"]
