"""The Lane-side room: reads on the worker, holds what is in hand, and keeps both panes telling the same."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QMenu, QStackedLayout, QVBoxLayout, QWidget

from arsenal.acts import own_side
from arsenal.desk.lane_side import curves
from arsenal.desk.lane_side.bar import Bar
from arsenal.desk.lane_side.company import FULL, Company, styles
from arsenal.desk.lane_side.doing import Doing
from arsenal.desk.lane_side.order_pane import OrderPane
from arsenal.desk.lane_side.plots import Plots
from arsenal.desk.lane_side.rows import BallRow
from arsenal.desk.lane_side.seen import Seen, look_at
from arsenal.desk.lane_side.strip import Strip
from arsenal.desk.lane_side.turns import Turns
from arsenal.desk.lane_side.what_ifs import WhatIfs
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.panes import beside, paint_ground, scrolled, side_by_side, stand
from arsenal.desk.parts.text import caption
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look
from arsenal.motion.records import Floats
from arsenal.order.records import OrderRow
from arsenal.trade.errors import KnownError
from arsenal.trade.units import POCKET_BOARD, board_to_lateral_m

if TYPE_CHECKING:
    from arsenal.acts.views import Changes, LaneSide

WIDE, HIGH, NARROW, TALL = 1200, 680, 1000, 1000
"""Logical sizes of the window where the layout changes."""
LEFT_SHARE, LEFT_SHARE_COMPACT = 0.40, 0.42


class LaneSideRoom(Room):
    """Order, paths, misses, pads."""

    name, digit = "Lane-side", 1

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self.seen: Seen | None = None
        self._front = self._setting = False
        self.company, self.game = Company(), 0
        self._styles: dict[int, int] = {}
        self.bar = Bar(shared.settings.units)
        self.doing, self.turns = Doing(self), Turns(self)
        self.left, self.plots, self.strip, self.what_ifs = OrderPane(), Plots(), Strip(), WhatIfs(shared)
        self.pads, self.moves = self.what_ifs.pads, self.what_ifs.moves
        self.empty = Empty("Reading the order", "Every ball is thrown on the same shot.")
        self._build()
        self._connect()

    def _build(self) -> None:
        self.right = QWidget()
        column = QVBoxLayout(self.right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.plots, 1)
        column.addWidget(self.strip)
        column.addWidget(self.what_ifs)
        inside = self._inside = QWidget()
        self._box = side_by_side(inside)
        self._box.addWidget(self.left)
        self._box.addWidget(self.right, 1)
        self._scroll = scrolled(inside)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self._scroll)
        order = (self.left.view, self.left.thrown, self.left.saw, self.left.down, self.left.card, self.plots,
                 self.strip.way, self.pads.switch, self.pads.keys, self.moves.ended, self.moves.switch,
                 self.moves.keys)  # fmt: skip
        for first, second in pairwise(order):
            QWidget.setTabOrder(first, second)

    def _connect(self) -> None:
        view = self.left.view
        view.chosen.connect(self._row_chosen)
        view.opened.connect(lambda _row: self.shared.open_room(2))
        view.stepped.connect(self.what_ifs.step)
        view.as_it_is.connect(self.what_ifs.as_it_is)
        view.compared.connect(self.compare)
        view.menu_wanted.connect(self._show_menu)
        self.what_ifs.arriving.connect(self.turns.finish)
        self.what_ifs.path_chosen.connect(self._show_path)
        self.what_ifs.remarked.connect(self.left.remarks.show_moves)
        self.left.remarks.room_changed.connect(self._want_remarks)
        for button, what in (
            (self.left.thrown, "thrown"), (self.left.saw, "saw"), (self.left.card, "card"),
        ):  # fmt: skip
            button.clicked.connect(lambda _=False, w=what: self.doing.do(w))
        self.left.down.clicked.connect(self.ball_down)
        self.bar.asked.connect(self.doing.do)
        self.bar.bowler_picked.connect(self.shared.hold_bowler)
        self.bar.lane_picked.connect(self.shared.hold_lane)
        self.bar.game_picked.connect(self.after_game)
        self.empty.wanted.connect(self._first_action)
        for signal in (self.shared.bowler_changed, self.shared.lane_changed):
            signal.connect(self._other)
        look().changed.connect(self._fit)

    def sentence_bar(self) -> QWidget:
        """Who throws how, where."""
        return self.bar

    def enter(self) -> None:
        """Read again what is in hand."""
        self._front = True
        self.load()
        self.left.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave(self) -> None:
        """Another room comes to the front."""
        self._front = False

    def refresh(self, changes: Changes) -> None:
        """Something was kept."""
        self.load()

    def panes(self) -> tuple[QWidget, ...]:
        """Sentence, list, plots, misses, pads."""
        row = self.what_ifs.pane().keys
        return (self.bar.who, self.left.view, self.plots, self.strip.way, *row.choices()[max(0, row.at()) :][:1])

    def keys_help(self) -> tuple[tuple[str, str], ...]:
        """For F1."""
        return (
            ("↑ ↓", "another ball in hand"), ("← →", "step pads or moves, from the list too"),
            ("M", "moves, or pads"), ("Esc", "the ball as it is"),
            ("Space, or Ctrl and a click", "compare a ball, or no longer; four at most"),
            ("Enter", "open the ball on the Bench"), ("← → in the plots", "move the cursor 1 ft, with Shift 5 ft"),
        )  # fmt: skip

    def _other(self, _id: object) -> None:
        if not self._setting:
            self.game = 0
        if self._front and not self._setting:
            self.load()

    def after_game(self, game: object) -> None:
        """The same lane after so many games, 0 for fresh."""
        self.game = int(game) if isinstance(game, int) else 0
        self.load()

    def load(self) -> None:
        """Ask for the order."""
        job = look_at(self.shared.bowler_id, self.shared.lane_id, self.game)
        self.shared.ask("lane-side", job, self._show_seen, failed=self._failed)

    def _failed(self, error: KnownError) -> None:
        self.shared.trouble(error)
        self.empty.tell(error.sentence, error.next_step)
        self._stack.setCurrentWidget(self.empty)

    def _show_seen(self, seen: Seen) -> None:
        self.seen = seen
        self._setting = True
        if seen.person is not None:
            self.shared.hold_bowler(seen.person.id)
        self._setting = False
        self.bar.system = self.strip.system = self.plots.readout.system = self.shared.settings.units
        if seen.side is None:
            self._show_missing(seen)
            return
        had_focus = self.empty.button.hasFocus() or self.hasFocus()
        self._stack.setCurrentWidget(self._scroll)
        self._take(self._ball_to_hold())
        self.turns.begin(
            lambda: self.bar.show_seen(seen), self._show_list, lambda: self._show_left(seen.side),
            lambda: self._show_film(seen), self._show_paths, self._show_strip,
        )  # fmt: skip
        if had_focus:
            self.left.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_missing(self, seen: Seen) -> None:
        """What there must be first."""
        self.turns.drop()
        self.bar.show_seen(seen)
        if seen.missing is not None:
            self.empty.tell(seen.missing.title, seen.missing.sentence, seen.missing.action)
        self.what_ifs.drop()
        self._stack.setCurrentWidget(self.empty)

    def _show_left(self, side: LaneSide | None) -> None:
        if side is not None:
            self.pads.show_rule(side.rule)
            self.left.show_remarks(side)
        self._fit()
        self._want_remarks()

    def _want_remarks(self) -> None:
        self.what_ifs.want_remarks(self.left.remarks.has_room())

    def _show_film(self, seen: Seen) -> None:
        if seen.film is not None:
            self.plots.show_film(seen.film, forecast=bool(seen.game))

    def rows(self) -> dict[int, OrderRow]:
        """Every ball of the order and the spare balls by id."""
        side = self.seen.side if self.seen else None
        return {row.ball.id: row for row in (*side.order.rows, *side.order.spares)} if side else {}

    def in_hand(self) -> OrderRow | None:
        """The ball in hand."""
        return self.rows().get(self.shared.ball_id) if self.shared.ball_id is not None else None

    def _ball_to_hold(self) -> int | None:
        rows = self.rows()
        if self.shared.ball_id in rows:
            return self.shared.ball_id
        bench = self.seen.side.order.benchmark_ball_id if self.seen and self.seen.side else None
        return bench if bench in rows else next(iter(rows), None)

    def _row_chosen(self, row: object) -> None:
        if isinstance(row, BallRow) and row.row.ball.id != self.shared.ball_id:
            self._show_hand(row.row.ball.id)

    def _show_hand(self, ball: int | None) -> None:
        """Take a ball in hand and show it at once."""
        self._take(ball)
        self._draw()
        self._show_strip()

    def _take(self, ball: int | None) -> None:
        """Another ball in hand; ask what the pads would do to it."""
        assert self.seen is not None and self.seen.side is not None  # noqa: S101, PT018 - only called with an order
        self.shared.hold_ball(ball)
        self.plots.legend.tell("")
        order = self.seen.side.order
        self.company = self.company.among([row.ball.id for row in order.rows], order.benchmark_ball_id, self.rows())
        self.what_ifs.take(self.seen.side, self.in_hand())

    def _draw(self) -> None:
        self.turns.finish()
        self._show_list()
        self._show_paths()

    def _show_list(self) -> None:
        side, hand = self._side(), self.shared.ball_id
        series = self._series()
        stays = self._styles.get(hand, 1) if hand is not None and self.company.stays(hand) else None
        self.left.show_order(side, series, hand, stays)
        self._follow()

    def _show_paths(self) -> None:
        side = self._side()
        pocket = own_side.board(side.bowler, board_to_lateral_m(POCKET_BOARD))
        self.plots.show_curves(curves.drawn(side, self._series()), pocket)

    def _show_strip(self) -> None:
        self.strip.show_ball(self.in_hand(), self._side().bowler)

    def _side(self) -> LaneSide:
        assert self.seen is not None and self.seen.side is not None  # noqa: S101, PT018 - only called with an order
        return self.seen.side

    def _series(self) -> dict[int, int]:
        """Styles of the balls drawn."""
        hand = self.shared.ball_id
        series = styles(hand, self.company.beside(hand), self._side().order.benchmark_ball_id, self._styles)
        self._styles |= {ball: style for ball, style in series.items() if style}
        return series

    def _follow(self) -> None:
        """Where the list is longer than the window, bring the ball in hand into sight."""
        if self.left.whole:
            box = self.left.view.visualRect(self.left.view.currentIndex())
            top = self.left.view.viewport().mapTo(self._inside, box.topLeft())
            self._scroll.ensureVisible(top.x(), top.y() + box.height() // 2, 0, box.height())

    def compare(self, ball: int) -> None:
        """Draw a ball beside the one in hand, or no longer; where four are drawn already, say so."""
        row, hand = self.rows().get(ball), self.shared.ball_id
        found = self.company.toggled(ball, hand)
        if row is None:
            return
        if found is None:
            self.plots.legend.tell(FULL, warn=True)
            return
        self.company = found
        self._draw()
        self.what_ifs.tell_path()
        drawn = found.stays(ball) if ball == hand else ball in found.beside(hand)
        goes_on = "stays drawn" if ball == hand else "is drawn too"
        self.plots.legend.tell(f"{row.ball.name} {goes_on if drawn else 'is compared no longer'}")

    def ball_down(self) -> None:
        """Take the next weaker ball in hand."""
        side = self.seen.side if self.seen else None
        order = [row.ball.id for row in side.order.rows] if side else []
        if self.shared.ball_id in order[:-1]:
            self._show_hand(order[order.index(self.shared.ball_id) + 1])

    def _show_path(self, found: tuple[curves.Curve, Floats, Floats] | None) -> None:
        self.turns.finish()
        self.plots.show_what_if(*found) if found else self.plots.show_what_if(None)

    def _show_menu(self, where: QPoint) -> None:
        row = self.in_hand()
        if row is None:
            return
        menu = QMenu(self)
        for label, what in self.doing.of_ball(row):
            menu.addAction(caption(label)).triggered.connect(lambda _=False, w=what: self.doing.do(w))
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(where)

    def _first_action(self) -> None:
        missing = self.seen.missing if self.seen else None
        does = {"bowler": "add bowler", "throw": "release", "lane": "add lane", "balls": "add ball"}
        if missing is not None and missing.kind == "game":
            self.after_game(0)
        elif missing is not None and missing.kind in does:
            self.doing.do(does[missing.kind])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wide, compact, or one column."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        whole = self.window().size() if self.window() is not self else self.size() + QSize(0, look().px(120))
        wide, high = look().logical(whole.width()), look().logical(whole.height())
        column = wide < NARROW
        compact = column or wide < WIDE or high < HIGH
        self.left.set_mode(compact=compact and not column, tall=high >= TALL and not column, whole=column)
        self.strip.set_compact(compact)
        self.what_ifs.set_compact(compact)
        stand(self._box, column=column)
        share = LEFT_SHARE_COMPACT if compact else LEFT_SHARE
        if column:
            self.left.setMinimumWidth(0)
            self.left.setMaximumWidth(16777215)
            self.left.setMinimumHeight(look().px(150) + self.left.view.height())
        else:
            self.left.setFixedWidth(round(self.width() * share))
            self.left.setMinimumHeight(0)
        self.plots.setMinimumHeight(look().px(380 if column else 230))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet and the line between the panes."""
        shown = self._stack.currentWidget() is self._scroll and beside(self._box)
        paint_ground(self, self.left.width() if shown else None)


def make(shared: Shared) -> LaneSideRoom:
    """The room."""
    return LaneSideRoom(shared)
