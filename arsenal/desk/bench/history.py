"""A ball's history: findings on top, then what was seen against other balls, then every entry, newest first.

U takes the chosen entry back; nothing is ever removed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListView, QWidget

from arsenal.desk.bench.history_rows import (
    EntryRow,
    Heading,
    HistoryPainter,
    Row,
    Told,
    compared_row,
    entry_row,
    finding_row,
    spoken,
)
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade import days
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes


@dataclass(frozen=True, slots=True)
class Known:
    """What the dialog is given: the ball's name and the rows of findings and of entries."""

    name: str
    findings: tuple[Told, ...]
    entries: tuple[EntryRow, ...]


def read(ball_id: int) -> Callable[[Shop], Known]:
    """Findings and entries of a ball in words."""

    def run(shop: Shop) -> Known:
        from arsenal.acts import bench  # noqa: PLC0415 - heavy
        from arsenal.exchange import history  # noqa: PLC0415

        sheet = bench.ball_sheet(shop, ball_id)
        around = (shop.balls(), tuple(shop.lanes().values()), shop.people(), shop.pads())
        entries = tuple(
            entry_row(
                e,
                days.weekday_and_year(e.on),
                history.sentence(e, *around),
                undone=e.seq in sheet.undone,
            )
            for e in sheet.entries
        )
        heavy = sorted(sheet.findings, key=lambda f: ("bad", "warn", "note").index(f.weight.value))
        return Known(sheet.ball.name, tuple(finding_row(f) for f in heavy), entries)

    return run


def read_compared(ball_id: int) -> Callable[[Shop], tuple[Told, ...]]:
    """Comparisons of a ball against what was expected, in words."""

    def run(shop: Shop) -> tuple[Told, ...]:
        from arsenal.acts import bench  # noqa: PLC0415 - heavy

        return tuple(compared_row(seen, days.day_and_year(seen.on)) for seen in bench.compared(shop, ball_id))

    return run


def take_back(seq: int) -> Callable[[Shop], Changes]:
    """Take one entry back."""

    def run(shop: Shop) -> Changes:
        from arsenal.acts import undo  # noqa: PLC0415 - heavy

        return undo.undo_entry(shop, seq)

    return run


class HistoryList(RowsView):
    """The list; rows are wrapped to its width."""

    def __init__(self) -> None:
        model = RowsModel(spoken, lambda row: not isinstance(row, Heading))
        super().__init__("History, newest first", model, HistoryPainter())
        self.setResizeMode(QListView.ResizeMode.Adjust)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap again."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()


class History(Dialog):
    """The list with what can be done to the chosen entry."""

    def __init__(self, shared: Shared, parent: QWidget, ball_id: int) -> None:
        super().__init__("History", parent, width=900)
        self.shared, self._ball_id = shared, ball_id
        self._told: Known | None = None
        self._compared: tuple[Told, ...] = ()
        self.list = HistoryList()
        self.list.setMinimumHeight(max(look().px(120), self._room().height() - look().px(290)))
        self.body.addWidget(self.list)
        self.none = Plain("Nothing is logged for this ball yet.", token="ink2", wrap=True)
        self.none.hide()
        self.body.addWidget(self.none)
        self.said = Plain("", px=13, token="ink2", wrap=True)
        self.body.addWidget(self.said)
        self.offer("Close", "Esc", self.reject)
        self.back = self.offer("Take it back", "U", self.take_back, destructive=True)
        self.back.setEnabled(False)
        self.list.chosen.connect(lambda _row: self._offer_back())
        self.list.setFocus()
        self._read()

    def _read(self) -> None:
        self.shared.ask("history", read(self._ball_id), self._show, failed=self._failed)
        self.shared.ask("history compared", read_compared(self._ball_id), self._show_compared, failed=self._failed)

    def _show(self, told: Known) -> None:
        self._told = told
        self.heading.setText(f"History of {told.name}")
        self.setWindowTitle(f"History of {told.name} – Padbook")
        self.none.setVisible(not told.entries)
        self._fill()

    def _show_compared(self, rows: tuple[Told, ...]) -> None:
        self._compared = rows
        if self._told is not None:
            self._fill()

    def rows(self) -> list[Row]:
        """Everything the list shows, top to bottom."""
        told = self._told
        rows: list[Row] = []
        if told is None:
            return []
        if told.findings:
            rows += [Heading("To look at"), *told.findings]
        if self._compared:
            agree = sum(row.mark == "done" for row in self._compared)
            detail = f"{agree} of {len(self._compared)} agree with what was expected"
            rows += [Heading("Seen against other balls", detail), *self._compared]
        if told.entries:
            one = len(told.entries) == 1
            rows += [Heading("Log", f"{len(told.entries)} {'entry' if one else 'entries'}, newest first")]
            rows += told.entries
        return rows

    def _fill(self) -> None:
        """Fill the list and keep the row in hand; who has not moved yet stays at the top, where nothing is undone."""
        before = self.list.in_hand()
        moved = self.list.currentIndex().row() > 1
        self.list.rows_model.set_rows(self.rows())
        self.list.doItemsLayout()
        if not (moved and self.list.choose_where(lambda row: _same(row, before))):
            self.list.choose(1)
            self.list.scrollToTop()
        self._offer_back()

    def _offer_back(self) -> None:
        row = self.list.in_hand()
        self.back.setEnabled(isinstance(row, EntryRow) and not row.undone)

    def fit(self) -> None:
        """As high as there is room: a log is long."""
        super().fit()
        self.resize(self.width(), self._room().height())

    def take_back(self) -> None:
        """Take the chosen entry back."""
        row = self.list.in_hand()
        if isinstance(row, EntryRow) and not row.undone:
            self.back.setEnabled(False)
            self.complain("")
            self.shared.keep(take_back(row.seq), self._taken, failed=self._failed)

    def _taken(self, changes: Changes) -> None:
        again = " Close and press Ctrl+Z to bring it back." if changes.sentence else ""
        self.said.setText(f"{changes.sentence}.{again}" if changes.sentence else "It was taken back already.")
        self._read()

    def _failed(self, error: KnownError) -> None:
        self.complain(str(error))
        self._offer_back()


def _same(row: Row, before: Row | None) -> bool:
    """Whether it is the row that was in hand, whatever became of it meanwhile."""
    if isinstance(row, Heading) or isinstance(before, Heading | None):
        return False
    return type(row) is type(before) and row.seq == before.seq and (row.seq is not None or row == before)


def open_history(shared: Shared, parent: QWidget, ball_id: int) -> History:
    """Show everything that is known to have happened to a ball."""
    dialog = History(shared, parent, ball_id)
    dialog.open_()
    return dialog
