"""The coach's view of Lane-side: one row a bowler on one condition, read row by row, logged by single keys."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QStackedLayout, QStackedWidget, QVBoxLayout, QWidget

from arsenal.desk.coach import asking, words
from arsenal.desk.coach.bar import Bar
from arsenal.desk.coach.beside import Beside
from arsenal.desk.coach.doing import Doing
from arsenal.desk.coach.foot import Foot
from arsenal.desk.coach.kept import Kept
from arsenal.desk.coach.pair import Pair
from arsenal.desk.coach.sheet import ROW, ROW_LEAST, ROW_TALL, Heads, Line, SheetView
from arsenal.desk.lane_side.seen import NO_BOWLER, NO_LANE
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.panes import scrolled
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.coach import CoachRow
    from arsenal.acts.views import Changes
    from arsenal.trade.errors import KnownError

AGAIN_MS = 30_000
"""How often what was last seen grows older on the screen."""
SOON_MS = 12
"""How long a row that was read waits for others to be shown with it."""
LOW, TALL = 560, 1000
"""Logical heights of the window under which everything scrolls together, and over which rows are taller."""


class CoachRoom(Room):
    """Rows, foot, and two of the rows side by side."""

    name, digit = "Lane-side", 1
    alone_wanted = Signal(int)
    """A bowler's own Lane-side is asked for."""

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self.frame: asking.Frame | None = None
        self.kept = Kept("", date.min)
        self._rows: dict[int, CoachRow] = {}
        self.holding = self._front = False
        self.beside = Beside()
        self.bar, self.doing = Bar(), Doing(self)
        self.view, self.foot, self.pair = SheetView(), Foot(), Pair()
        self.heads = Heads(self.view)
        self.empty = Empty("Reading the bowlers", "Each has a row: the ball in hand, the next one down, what is due.")
        self._again, self._soon = QTimer(self), QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON_MS)
        self._again.setInterval(AGAIN_MS)
        self._build()
        self._connect()

    def _build(self) -> None:
        sheet = QWidget()
        column = QVBoxLayout(sheet)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.heads)
        column.addWidget(self.view, 1)
        self.pages = QStackedWidget()
        self.pages.addWidget(sheet)
        self.pages.addWidget(self.pair)
        inside = self._inside = QWidget()
        whole = QVBoxLayout(inside)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.pages, 1)
        whole.addWidget(self.foot)
        self._scroll = scrolled(inside)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self._scroll)
        stops = (self.view, *(w for side in self.pair.sides for w in (side.who, side.view)), self.foot.how_many,
                 self.foot.how_wiped, self.foot.and_cleaned, *self.foot.keys())  # fmt: skip
        for first, second in pairwise(stops):
            QWidget.setTabOrder(first, second)

    def _connect(self) -> None:
        self.view.chosen.connect(self._chosen)
        self.view.opened.connect(lambda line: self.alone_wanted.emit(line.bowler.id))
        self.view.ticked.connect(self.toggle)
        self.view.logged.connect(self.doing.saw)
        self.view.menu_wanted.connect(self.doing.menu)
        self.view.resized.connect(self._fit)
        self.view.resized.connect(self.heads.update)
        self.foot.threw.clicked.connect(lambda: self._then_rows(self.doing.all_threw))
        self.foot.pair.clicked.connect(self.toggle_pair)
        self.foot.down.clicked.connect(lambda: self._then_rows(self.doing.ball_down))
        self.foot.cards.clicked.connect(self.doing.cards)
        self.foot.changed.connect(self._logs_changed)
        self.pair.picked.connect(self._pair_picked)
        self.pair.hand_picked.connect(self.take_in_hand)
        self.bar.asked.connect(self.doing.do)
        self.bar.group_picked.connect(self.show_group)
        self.bar.lane_picked.connect(self.hold_lane)
        self.empty.wanted.connect(self.doing.first)
        self._again.timeout.connect(self.load)
        self._soon.timeout.connect(self._show_arrived)
        look().changed.connect(self._fit)

    # what a room is

    def sentence_bar(self) -> QWidget:
        """Which bowlers, where."""
        return self.bar

    def enter(self) -> None:
        """Read again."""
        self._front = True
        self.kept = Kept.read(self.shared.settings, str(self.shared.path), date.today())  # noqa: DTZ011 - as on the wall
        self.foot.put(self.kept)
        self.load()
        self._again.start()
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave(self) -> None:
        """Another room comes to the front."""
        self._front = False
        self._again.stop()

    def refresh(self, changes: Changes) -> None:
        """Something was kept."""
        self.load()

    def panes(self) -> tuple[QWidget, ...]:
        """Sentence, rows or both sides, what “all threw” logs, keys."""
        rows: tuple[QWidget, ...] = (self.view,)
        if self.paired():
            rows = (*(side.view for side in self.pair.sides), *((self.pair.plots,) if self.pair.plots else ()))
        return (self.bar.who, *rows, self.foot.how_many, self.foot.threw)

    def keys_help(self) -> tuple[tuple[str, str], ...]:
        """For F1."""
        shots = tuple((letter, f"log {seen.value}: {words.MEANS[seen]}") for letter, seen in words.LETTERS.items())
        return (
            ("↑ ↓", "another bowler"), ("Space", "leave a bowler out of “All threw”, or tick again"),
            ("Enter", "the bowler’s own Lane-side"), ("Esc", "from two side by side back to all"), *shots,
        )  # fmt: skip

    def letter(self, key: str) -> bool:
        """A word of the seven is logged for the chosen bowler."""
        line = self.chosen()
        if key in words.LETTERS and line is not None and line.ready:
            self.doing.saw(line.bowler.id, words.LETTERS[key])
            return True
        return False

    # reading

    def load(self) -> None:
        """Ask who is there; the rows follow one by one."""
        job = asking.frame(self.kept.group, self.shared.bowler_id, self.shared.lane_id)
        self.shared.ask("coach", job, self._show_frame, failed=self._failed)

    def _failed(self, error: KnownError) -> None:
        self.shared.trouble(error)
        self.empty.tell(error.sentence, error.next_step)
        self._stack.setCurrentWidget(self.empty)

    def _show_frame(self, frame: asking.Frame) -> None:
        other_lane = self.frame is None or self.frame.lane != frame.lane
        self.frame = frame
        self.bar.show_frame(frame)
        missing = NO_BOWLER if not frame.bowlers else NO_LANE if frame.lane is None else None
        if missing is not None or frame.lane is None:
            if missing is not None:
                self.empty.tell(missing.title, missing.sentence, missing.action)
            self._stack.setCurrentWidget(self.empty)
            return
        self._stack.setCurrentWidget(self._scroll)
        there = {person.id for person in frame.bowlers}
        self._rows = {} if other_lane else {i: row for i, row in self._rows.items() if i in there}
        self._show_lines()
        first = self.shared.bowler_id if self.shared.bowler_id in there else frame.bowlers[0].id
        if self.chosen() is None:
            self.choose(first)
        for person in frame.bowlers:
            self._ask_row(person.id, frame.lane.id)

    def _ask_row(self, bowler_id: int, lane_id: int) -> None:
        job = asking.row(bowler_id, lane_id, self.kept.hands.get(bowler_id))
        self.shared.ask(f"coach {bowler_id}", job, self._show_row, failed=self.shared.trouble)

    def _show_row(self, row: CoachRow) -> None:
        self._rows[row.bowler.id] = row
        if not self._soon.isActive():
            self._soon.start()

    def _show_arrived(self) -> None:
        """Rows that came together are shown together."""
        self._show_lines()
        chosen = self.chosen()
        if chosen is not None:
            self.hold(chosen)

    def _show_lines(self) -> None:
        """Everything the rows say, again."""
        assert self.frame is not None  # noqa: S101 - read before
        lines = [
            Line(person, self._rows.get(person.id), person.id not in self.kept.left_out)
            for person in self.frame.bowlers
        ]
        self.view.show_lines(lines)
        self.bar.show_rules([line.row for line in lines if line.row is not None])
        self._say_keys()
        self._show_pair()
        self._fit()

    # what is there

    def lines(self) -> list[Line]:
        """The rows, top to bottom."""
        return [line for line in self.view.rows_model.rows() if isinstance(line, Line)]

    def line(self, bowler_id: int | None) -> Line | None:
        """A bowler's row."""
        return next((line for line in self.lines() if line.bowler.id == bowler_id), None)

    def chosen(self) -> Line | None:
        """The row in hand."""
        found = self.view.in_hand()
        return found if isinstance(found, Line) else None

    def lane_id(self) -> int | None:
        """The condition of all rows."""
        return self.frame.lane.id if self.frame is not None and self.frame.lane is not None else None

    def ticked_hands(self) -> dict[int, int]:
        """Ball in hand of everybody who is ticked and has one."""
        ready = [line.row for line in self.lines() if line.ticked and line.row is not None]
        return {row.bowler.id: row.hand.ball.id for row in ready if row.hand is not None}

    def shown(self) -> bool:
        """Whether everything that was read is on the screen."""
        return not self._soon.isActive()

    def paired(self) -> bool:
        """Whether two stand side by side."""
        return self.pages.currentWidget() is self.pair

    # what is in hand

    def _chosen(self, line: object) -> None:
        if not isinstance(line, Line):
            return
        if self.shared.bowler_id != line.bowler.id:
            self.beside.before = self.shared.bowler_id
        self.hold(line)
        self._say_keys()
        self._show_pair()
        self._fit()

    def choose(self, bowler_id: int) -> None:
        """Take another row in hand."""
        self.view.choose_where(lambda line: line.bowler.id == bowler_id)

    def hold(self, line: Line) -> None:
        """Bowler, condition and ball of a row are what every room speaks of, while this one is in front."""
        if not self._front:
            return
        lane = self.lane_id()
        self.holding = True
        self.shared.hold_bowler(line.bowler.id)
        self.shared.hold_lane(lane)
        if line.row is not None and line.row.hand is not None:
            self.shared.hold_ball(line.row.hand.ball.id)
        self.holding = False

    def take_in_hand(self, bowler_id: int, ball_id: int) -> None:
        """Another ball in this bowler's hand, until the day is over or another is logged."""
        self.kept.hands[bowler_id] = ball_id
        self.kept.put(self.shared.settings)
        lane = self.lane_id()
        if lane is not None:
            self._ask_row(bowler_id, lane)

    def toggle(self, bowler_id: int) -> None:
        """Tick a bowler, or leave out."""
        self.kept.left_out ^= {bowler_id}
        self.kept.put(self.shared.settings)
        self._show_lines()

    def show_group(self, name: object) -> None:
        """Another group; empty is everybody."""
        self.kept.group = str(name)
        self.kept.put(self.shared.settings)
        self.load()

    def hold_lane(self, lane_id: object) -> None:
        """Another condition for all."""
        if isinstance(lane_id, int):
            self.shared.hold_lane(lane_id)
            self.load()

    def _then_rows(self, act: Callable[[], None]) -> None:
        """Do it and go back to the rows: the next key speaks of a bowler, and Space does not do it twice."""
        act()
        (self.pair.sides[0].view if self.paired() else self.view).setFocus(Qt.FocusReason.OtherFocusReason)

    def _logs_changed(self) -> None:
        self.kept.games, self.kept.wiped, self.kept.cleaned = self.foot.games, self.foot.wiped, self.foot.cleaned
        self.kept.put(self.shared.settings)

    # two side by side

    def toggle_pair(self) -> None:
        """Two of the rows side by side, or all of them again."""
        back = self.paired()
        self.pages.setCurrentIndex(0 if back else 1)
        self._show_pair()
        self._say_keys()
        target = self.view if back else self.pair.sides[0].view
        target.setFocus(Qt.FocusReason.OtherFocusReason)
        self._fit()

    def other(self) -> Line | None:
        """Who stands beside the chosen one."""
        return self.beside.other(self.chosen(), self.lines())

    def _show_pair(self) -> None:
        chosen, other = self.chosen(), self.other()
        if chosen is None or other is None:
            if self.paired():
                self.pages.setCurrentIndex(0)
            return
        if self.paired():
            self.pair.show_pair(chosen, other, self.lines())

    def _pair_picked(self, place: int, bowler_id: object) -> None:
        if place == 0:
            other = self.other()
            self.beside.picked = other.bowler.id if other else None
            self.choose(bowler_id) if isinstance(bowler_id, int) else None
        elif isinstance(bowler_id, int):
            self.beside.picked = bowler_id
            self.kept.left_out.discard(bowler_id)
            self._show_lines()

    def _say_keys(self) -> None:
        self.foot.say(self.lines(), self.chosen(), self.other(), paired=self.paired())

    # layout

    def keyPressEvent(self, event: object) -> None:
        """Esc goes back to all the bowlers."""
        if event.key() == Qt.Key.Key_Escape and self.paired():  # type: ignore[attr-defined]
            self.toggle_pair()
            return
        super().keyPressEvent(event)  # type: ignore[arg-type]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Low windows scroll as a whole, high ones have taller rows."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        high = look().logical(self.window().height())
        whole, tallest = high < LOW, ROW_TALL if high >= TALL else ROW
        room = int(look().logical(self.view.viewport().height()) / max(1, len(self.lines())))
        height = tallest if whole or room < ROW_LEAST else min(tallest, room)
        if height != self.view.painter.height:
            self.view.painter.height = height
            self.view.scheduleDelayedItemsLayout()
        self.view.setMinimumHeight(self.view.wanted_height() if whole else look().px(ROW))
        for side in self.pair.sides:
            side.view.setMinimumHeight(side.view.wanted_height() if whole else look().px(120))
        if whole and not self.paired():
            self._follow()

    def _follow(self) -> None:
        """Where everything scrolls together, bring the chosen row into sight."""
        box = self.view.visualRect(self.view.currentIndex())
        top = self.view.viewport().mapTo(self._inside, box.topLeft())
        self._scroll.ensureVisible(0, top.y() + box.height() // 2, 0, box.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sheet"))
        painter.end()
