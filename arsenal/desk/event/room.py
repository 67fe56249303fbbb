"""The Event room: balls against stages on the left, the prep sheet on the right; at the lanes in place of the table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStackedLayout,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from arsenal.desk.event import asking, clock
from arsenal.desk.event.buys import Buys
from arsenal.desk.event.covered import CoveredRow
from arsenal.desk.event.doing import PLAN, Doing
from arsenal.desk.event.kept_line import KeptLine
from arsenal.desk.event.lanes import LanesView
from arsenal.desk.event.prep import PrepPane
from arsenal.desk.event.rows import ban_line, compact
from arsenal.desk.event.sentence import Bar
from arsenal.desk.event.table import BALL_LEAST, BALL_ROW, BALL_TALL, EventTable
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.panes import scrolled, side_by_side, stand
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.event_views import AtTheLanes, BallLine, EventPlan
    from arsenal.acts.views import Changes
    from arsenal.trade.errors import KnownError

WIDE, HIGH = 1200, 680
"""Logical sizes of the window under which everything stands in one column that scrolls."""
SPLIT = (66, 34)
ROOM_HIGH, TALL = HIGH - 44 - 46 - 30, 880.0
KEY, KEPT = "event", "kept event plan"
LET_GO = "Let go of all pins"


class _Sheet(QWidget):
    """The lighter plane."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill it."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sheet"))
        painter.end()


class EventRoom(Room):
    """The room."""

    name, digit = "Event", 4

    def __init__(self, shared: Shared, parent: QWidget | None = None, *, now: clock.Clock = clock.system_clock) -> None:
        super().__init__(shared, parent)
        self.found: asking.Found | None = None
        self.plan: EventPlan | None = None
        self.now = now
        self.at_lanes = self._anew = False
        self.bar, self.doing = Bar(), Doing(self)
        self.table = EventTable()
        self.covered, self.buys = CoveredRow(self.table), Buys()
        self.kept_line, self.problems = KeptLine(), Told("due", "warn")
        self.problems.setContentsMargins(look().px(44), look().px(6), look().px(20), look().px(6))
        self.lanes, self.prep = LanesView(now), PrepPane(now)
        self.empty = Empty("Reading the events", "A bag, the finishes in it, and what has to be done by when.")
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.timeout.connect(self._look_at_clock)
        self._one_column = False
        self._build()
        self._connect()

    def _build(self) -> None:
        sheet = self._left_sheet = _Sheet()
        column = QVBoxLayout(sheet)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        parts: tuple[QWidget, ...] = (self.kept_line, self.problems, self.table, self.covered, self.buys)
        for part in parts:
            column.addWidget(part)
        column.addStretch(1)
        self.pages = QStackedWidget()
        self.pages.addWidget(sheet)
        self.pages.addWidget(self.lanes)
        inside = self._inside = QWidget()
        self._both = side_by_side(inside)
        self._both.addWidget(self.pages, SPLIT[0])
        self._both.addWidget(self.prep, SPLIT[1])
        self._scroll = scrolled(inside)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self._scroll)

    def _connect(self) -> None:
        self.table.chosen.connect(self._chosen)
        self.table.ticked.connect(self.doing.take)
        self.table.finish_picked.connect(self.doing.finish)
        self.table.menu_wanted.connect(self.doing.menu)
        self.table.opened.connect(self.doing.open_ball)
        self.prep.view.ticked.connect(self.doing.tick)
        self.prep.view.chosen.connect(self._line_chosen)
        self.prep.print_key.clicked.connect(self.doing.print_sheet)
        self.prep.cards_key.clicked.connect(self.doing.cards)
        self.prep.calendar_key.clicked.connect(self.doing.calendar)
        self.lanes.log_key.clicked.connect(self.doing.log_block)
        self.lanes.clean_key.clicked.connect(self.doing.clean_used)
        self.lanes.back_key.clicked.connect(lambda: self.show_lanes(False))
        self.lanes.countdown.over.connect(self._ask_lanes)
        self.kept_line.anew_key.clicked.connect(lambda: self._ask_plan(anew=True))
        self.bar.event_picked.connect(self.doing.pick_event)
        self.bar.bowler_picked.connect(self.doing.pick_bowler)
        self.bar.lanes_picked.connect(self.doing.pick_lanes)
        self.bar.allowed_picked.connect(self.doing.pick_allowed)
        self.bar.view_picked.connect(lambda on: self.show_lanes(bool(on)))
        self.bar.asked.connect(self.doing.ask)
        self.empty.wanted.connect(self.doing.first)
        look().changed.connect(self._fit)

    # what a room is

    def sentence_bar(self) -> QWidget:
        """Which event, for whom, on what, with how many balls."""
        return self.bar

    def enter(self) -> None:
        """Read again, then the plan."""
        self.load()

    def leave(self) -> None:
        """Nobody waits for the plan any more."""
        self.shared.worker.drop(PLAN)
        self._again.stop()
        self.lanes.countdown.stop()

    def refresh(self, changes: Changes) -> None:
        """Something was kept. What was asked of the plan makes a new one; what was logged leaves it as it was kept."""
        asked = (c for c in changes.changed if c.what in ("event", "entered"))
        self._anew = self._anew or any(set(c.fields) != {"ticked"} for c in asked)
        self.load()

    def panes(self) -> Sequence[QWidget]:
        """Table or lanes, prep sheet, keys."""
        left = self.lanes.back_key if self.at_lanes else self.table
        if self.plan is None:
            return (self.empty.button,) if self.empty.button.isVisible() else ()
        return (left, self.prep.view, self.prep.print_key)

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """For F1."""
        return (
            ("↑ ↓", "another ball, or another line of the prep sheet"), ("← →", "another stage"),
            ("Space", "take a ball or leave it; tick a line of the prep sheet"), ("Enter", "the finishes of a ball"),
            ("A", "at the lanes, and back to the plan"), ("N", "plan anew"),
        )  # fmt: skip

    def letter(self, key: str) -> bool:
        """A goes to the lanes and back, N plans anew."""
        if self.plan is not None and key == "A":
            self.show_lanes(not self.at_lanes)
            return True
        if self.plan is not None and key == "N":
            self._ask_plan(anew=True)
            return True
        return False

    # reading

    def event_id(self) -> int | None:
        """The event in hand, as remembered on this machine for this file."""
        held = self.shared.settings.kept.get(KEY)
        here = isinstance(held, dict) and held.get("file") == str(self.shared.path)
        found = held.get("event") if here and isinstance(held, dict) else None
        return found if isinstance(found, int) else None

    def hold_event(self, event_id: int | None) -> None:
        """Another event in hand."""
        self.shared.settings.kept[KEY] = {"file": str(self.shared.path), "event": event_id}
        self.load()

    def load(self) -> None:
        """Ask who and what is there; the plan follows."""
        job = asking.look_at(self.event_id(), self.shared.bowler_id)
        self.shared.ask("event", job, self._show_found, failed=self._failed)

    def _failed(self, error: KnownError) -> None:
        self.shared.trouble(error)
        if self.plan is None:
            by_hand = self.found is not None and self.found.by_hand > 0
            self.empty.tell(error.sentence, error.next_step, LET_GO if by_hand else "Try again")
            self._stack.setCurrentWidget(self.empty)
        else:
            self.problems.setText(f"{error.sentence} {error.next_step}".strip())
            self._fit()

    def _show_found(self, found: asking.Found) -> None:
        before = self.plan
        self.found = found
        self.bar.show_found(found, at_lanes=self.at_lanes)
        if found.person is not None:
            self.shared.hold_bowler(found.person.id)
        if found.missing is not None or found.event is None or found.person is None:
            missing = found.missing or asking.NO_EVENT
            self._drop_plan()
            self.empty.tell(missing.title, missing.sentence, missing.action)
            return
        if before is not None and (before.event.id, before.bowler_id) != (found.event.id, found.person.id):
            self._drop_plan()
        if self.plan is None:
            self.empty.tell("Working out the bag", "Every ball is thrown at every stage with every finish it can have.")
        else:
            self.bar.show_plan(self.plan)
        if not self._anew:
            self.shared.ask(KEPT, asking.kept(found.event.id, found.person.id), self._show_kept)
        self._ask_plan()

    def _show_kept(self, plan: EventPlan | None) -> None:
        """What was kept stands there at once; whether anything changed since comes later."""
        if plan is None or self._anew:
            return
        if self.plan is not None and self.plan.id == plan.id:
            plan = replace(plan, changed_since=self.plan.changed_since, rule=self.plan.rule)
        self._show(plan)

    def _drop_plan(self) -> None:
        self.shared.worker.drop(PLAN)
        self.shared.worker.drop(KEPT)
        self.plan = None
        self.prep.show_plan(None)
        self.bar.rule.show_rule(True, "")
        self._stack.setCurrentWidget(self.empty)

    def _ask_plan(self, *, anew: bool = False) -> None:
        if self.found is None or self.found.event is None or self.found.person is None:
            return
        job = asking.plan(self.found.event.id, self.found.person.id, anew=anew or self._anew)
        self.shared.worker.ask(
            PLAN, job, self.show_plan, failed=self._failed, title="Working out the bag", progress=True,
            gives_way=True,
        )  # fmt: skip

    def show_plan(self, plan: EventPlan) -> None:
        """The plan that was asked for."""
        self._anew = False
        self._show(plan)

    def _show(self, plan: EventPlan) -> None:
        """Everything the plan says."""
        focus = self.hasFocus() or self.empty.button.hasFocus()
        self.plan = plan
        self.bar.show_plan(plan)
        self.table.heads.side = plan.side
        self.kept_line.show_plan(plan, self.now())
        self.problems.setText(" ".join(plan.problems))
        self.table.show_plan(plan)
        self.covered.show_plan(plan)
        self.prep.show_plan(plan)
        self._stack.setCurrentWidget(self._scroll)
        held = self.table.in_hand()
        taken = next((row.ball_id for row in plan.rows if row.taken and row.ball_id == self.shared.ball_id), None)
        wanted = taken if held is None else held.ball_id  # one that stays home would scroll the taken ones away
        if (wanted is None or not self.table.choose(wanted)) and plan.rows:
            self.table.choose(plan.rows[0].ball_id)
        self.buys.show_plan(plan, self.table.in_hand())
        if focus:
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        self._fit()
        self._look_at_clock()
        if self.at_lanes:
            self._ask_lanes()

    def _ask_lanes(self) -> None:
        if self.plan is not None and self.at_lanes:
            job = asking.at_the_lanes(self.plan)
            self.shared.ask("at the lanes", job, self._show_lanes, failed=self.shared.trouble)

    def _show_lanes(self, found: AtTheLanes) -> None:
        self.lanes.show_lanes(found)
        self.bar.rule.show_rule(found.rule.pads_allowed, found.rule.sentence, found.rule.hover)

    def _look_at_clock(self) -> None:
        """The line of the ban counts down."""
        self.prep.view.viewport().update()
        line = ban_line(self.plan) if self.plan is not None else None
        if line is not None:
            self._again.start(clock.next_look(line.when, self.now()))

    # what is in hand

    def show_lanes(self, on: bool) -> None:
        """At the lanes, or the plan."""
        self.at_lanes = on
        self.pages.setCurrentWidget(self.lanes if on else self._left_sheet)
        if self.found is not None:
            self.bar.show_found(self.found, at_lanes=on)
        if self.plan is not None:
            self.bar.show_plan(self.plan)
        self._fit()
        if on:
            self._ask_lanes()
        else:
            self.lanes.countdown.stop()
        target = self.lanes.log_key if on and self.lanes.log_key.isEnabled() else self.lanes.back_key
        (target if on else self.table).setFocus(Qt.FocusReason.OtherFocusReason)

    def _chosen(self, line: object) -> None:
        found: BallLine = line  # type: ignore[assignment]
        self.shared.hold_ball(found.ball_id)
        self.prep.show_ball(found.ball_id)
        self.buys.show_plan(self.plan, found)
        self._fit()
        self._in_sight(self.table, self.table.visualRect(self.table.currentIndex()))

    def _line_chosen(self, row: object) -> None:
        ball = getattr(row, "ball_id", None)
        self._in_sight(self.prep.view, self.prep.view.visualRect(self.prep.view.currentIndex()))
        held = self.table.in_hand()
        if ball is not None and self.prep.view.hasFocus() and (held is None or held.ball_id != ball):
            self.table.choose(ball)

    def _in_sight(self, view: QAbstractItemView, row: QRect) -> None:
        """In one column what is in hand is scrolled into sight."""
        if self._one_column and view.hasFocus():
            where = view.viewport().mapTo(self._inside, row.center())
            self._scroll.ensureVisible(where.x(), where.y(), 0, row.height())

    # layout

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Two panes, or one column."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        wide, high = look().logical(self.width()), look().logical(self.height())
        narrow = self._one_column = wide < WIDE or high < ROOM_HIGH
        stand(self._both, column=narrow)
        for number, share in enumerate(SPLIT):
            self._both.setStretch(number, 0 if narrow else share)
        left = self.width() if narrow else round(self.width() * SPLIT[0] / sum(SPLIT))
        for widget in (self.pages, self.prep):
            widget.setMinimumWidth(0)
            widget.setMaximumWidth(16777215)
        if not narrow:
            self.pages.setFixedWidth(left)
        self.buys.whole(high >= TALL or narrow)
        self._fit_table(narrow)
        self.prep.grow(high)
        tall = self.prep.view.wanted_height()
        self.prep.view.setMinimumHeight(tall if narrow else look().px(120))

    def _fit_table(self, narrow: bool) -> None:
        """Rows grow into the room there is, and scroll where there is too little."""
        others = (self.kept_line, self.problems, self.covered, self.buys)
        used = sum(_high(w, self.pages.width()) for w in others if not w.isHidden())
        room = self.height() - used
        high = BALL_ROW
        taken = sum(not compact(line) for line in self.plan.rows) if self.plan else 0
        if not narrow and taken:
            left = look().logical(room - self.table.wanted_height() - look().px(2))
            high = min(BALL_TALL, max(BALL_LEAST, BALL_ROW + left / taken))
        self.table.lay_out(high)
        wanted = self.table.wanted_height(high) + 1
        least = look().px(65 + 2 * BALL_ROW)
        self.table.setFixedHeight(wanted if narrow else max(least, min(wanted, room)))


def _high(widget: QWidget, width: int) -> int:
    """How high a widget is at a width."""
    high = widget.heightForWidth(width) if widget.hasHeightForWidth() else -1
    return high if high >= 0 else widget.sizeHint().height()


def make(shared: Shared) -> EventRoom:
    """The room, as the desk asks for it."""
    return EventRoom(shared)
