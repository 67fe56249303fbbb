"""What pads and moves would do to the ball in hand: asked of the worker, shown in one place; M changes between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QStackedLayout, QWidget

from arsenal.desk.lane_side import curves, move_words
from arsenal.desk.lane_side.move_words import Saw
from arsenal.desk.lane_side.moves import Moves
from arsenal.desk.lane_side.pads import Pads
from arsenal.desk.lane_side.seen import moves_of, pads_of
from arsenal.desk.rooms import Shared
from arsenal.motion.records import Floats
from arsenal.order.records import OrderRow, PadResult
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.moves import MovesSheet
    from arsenal.acts.views import LaneSide

SLOTS = ("pads", "moves", "moves said")


class WhatIfs(QWidget):
    """Pads, or moves. Results of a ball that is no longer in hand are dropped by the worker."""

    arriving = Signal()
    """Results are about to be shown: what waits for a turn of its own must be there first."""
    path_chosen = Signal(object)
    """(curve, low, high) of the ball with the chosen pad, or None."""
    remarked = Signal(object)
    """Remarks about moves, where they were asked for."""

    def __init__(self, shared: Shared) -> None:
        super().__init__()
        self._shared = shared
        self.pads, self.moves = Pads(), Moves()
        self.remarks_wanted = False
        self._side: LaneSide | None = None
        self._row: OrderRow | None = None
        self._asked_moves = False
        self._with_pad: dict[int, tuple[curves.Curve, Floats, Floats]] = {}
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        for pane in (self.pads, self.moves):
            self._stack.addWidget(pane)
        self.pads.chosen.connect(lambda _result: self.tell_path())
        self.pads.switch.clicked.connect(self._show_moves)
        self.moves.switch.clicked.connect(self._show_pads)
        self.moves.saw_picked.connect(lambda _saw: self._ask_moves())

    def shows_moves(self) -> bool:
        """Whether the moves are in front."""
        return self._stack.currentWidget() is self.moves

    def pane(self) -> Pads | Moves:
        """The one in front."""
        return self.moves if self.shows_moves() else self.pads

    def take(self, side: LaneSide, row: OrderRow | None) -> None:
        """Another ball in hand."""
        self._side, self._row, self._with_pad, self._asked_moves = side, row, {}, False
        self.pads.wait()
        self.moves.wait()
        self.drop()
        if row is None:
            return
        ball = row.ball.id
        self._shared.ask("pads", pads_of(side, ball), lambda results: self._pads_known(ball, results))
        if self.shows_moves():
            self._ask_moves()
        self._ask_remarks()

    def drop(self) -> None:
        """Forget what was asked."""
        for slot in SLOTS:
            self._shared.worker.drop(slot)

    def want_remarks(self, wanted: bool) -> None:
        """Say the moves among the remarks too, where there is room for them."""
        if wanted != self.remarks_wanted:
            self.remarks_wanted = wanted
            self._ask_remarks()

    def tell_path(self) -> None:
        """The path of the chosen pad, or none."""
        result = None if self.shows_moves() else self.pads.result()
        self.path_chosen.emit(self._with_pad.get(self.pads.keys.at()) if result is not None else None)

    def step(self, by: int) -> None:
        """← or → from the list."""
        self.pane().step(by)

    def as_it_is(self) -> None:
        """Esc from the list."""
        self.pane().as_it_is()

    def set_compact(self, compact: bool) -> None:
        """Both."""
        self.pads.set_compact(compact)
        self.moves.set_compact(compact)
        self.setFixedHeight(self.pane().height())

    def _show_moves(self) -> None:
        self._stack.setCurrentWidget(self.moves)
        self.moves.switch.setFocus(Qt.FocusReason.OtherFocusReason)
        if not self._asked_moves:
            self._ask_moves()
        self.tell_path()

    def _show_pads(self) -> None:
        self._stack.setCurrentWidget(self.pads)
        self.pads.switch.setFocus(Qt.FocusReason.OtherFocusReason)
        self.tell_path()

    def _pads_known(self, ball: int, results: tuple[PadResult, ...]) -> None:
        if self._side is None or self._row is None or self._row.ball.id != ball:
            return
        self.arriving.emit()
        for number, result in enumerate(results):
            path = curves.of_pad(result, self._side.bowler)
            self._with_pad[number] = (path, *curves.corridor(path, result.boards_change.sd))
        self.pads.show_results(results)

    def _ask_moves(self) -> None:
        if self._side is None or self._row is None:
            return
        self._asked_moves, saw = True, self.moves.saw
        self.moves.wait()
        job = moves_of(self._side, self._row.ball.id, (saw,))
        self._shared.ask("moves", job, self._moves_known, failed=self._moves_failed)

    def _moves_known(self, sheets: tuple[tuple[Saw, MovesSheet], ...]) -> None:
        if self._side is not None and self._row is not None:
            self.moves.show_sheet(sheets[0][1], self._row, self._side.bowler)

    def _moves_failed(self, error: KnownError) -> None:
        self.moves.show_trouble(str(error))

    def _ask_remarks(self) -> None:
        self.remarked.emit(())
        if self.remarks_wanted and self._side is not None and self._row is not None and not self._row.ball.spare:
            job, person = moves_of(self._side, self._row.ball.id, move_words.REMARKED), self._side.bowler
            self._shared.ask(
                "moves said", job, lambda sheets: self.remarked.emit(move_words.remarks(sheets, person)),
                failed=lambda _error: None,
            )  # fmt: skip
