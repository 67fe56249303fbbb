"""The right pane: the week or the season, what the plan says, and the keys that plan and print."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPoint, Signal
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowsView
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.desk.upkeep.notes import Notes
from arsenal.desk.upkeep.season_list import SeasonHeads, SeasonList, ShapesLegend
from arsenal.desk.upkeep.season_rows import BallLine, Stop, monday_of
from arsenal.desk.upkeep.season_rows import lines_of as season_lines
from arsenal.desk.upkeep.week_list import WeekHeads, WeekList
from arsenal.desk.upkeep.week_rows import WeekLine
from arsenal.desk.upkeep.week_rows import lines_of as week_lines

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import Moved, SeasonMark, SeasonView, UpkeepPlan, WeekView, WorkItem

WEEK, SEASON = 0, 1
KEYS_FIT = 480
WAITING = "being worked out …"


class WeeksPane(QWidget):
    """Shows what it is given; says which week is wanted and which job was taken in hand."""

    item_chosen = Signal(object)
    """A WorkItem of the week, or None."""
    mark_chosen = Signal(object)
    """(ball id, SeasonMark) of the season."""
    week_wanted = Signal(object)
    """The Monday of another week."""
    season_wanted = Signal(bool)
    ball_opened = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.week: WeekView | None = None
        self.season: SeasonView | None = None
        self.no_time = False
        """No time for work is set, so that nothing can be planned into it."""
        self._replanned: tuple[int, tuple[Moved, ...]] = (0, ())
        self._monday: date | None = None
        self._quiet = False
        self.title, self.dates = Plain("The week", px=14, weight=600), Plain(WAITING, px=12, token="ink2", elide=True)
        self.before, self.next = TextButton("‹", px=16), TextButton("›", px=16)
        for button, name in ((self.before, "Week before"), (self.next, "Next week")):
            button.setAccessibleName(name)
            button.quiet = True
        self.switch_key = KeyButton("Season", "W", height=27)
        self.week_list, self.season_list = WeekList(), SeasonList()
        self.week_heads, self.season_heads = WeekHeads(self.week_list), SeasonHeads(self.season_list)
        self.said, self.legend = Plain("", px=13, wrap=True), ShapesLegend()
        self.notes = Notes()
        self.sum = Plain("", px=14, weight=600)
        self.print_button = TextButton("Print the week", px=14)
        self.print_keys = Plain("Ctrl+P", px=12, token="ink2")
        self.plan_key = KeyButton("Plan the weeks", "P", height=40)
        self.remind_key = KeyButton("To remind", "R", height=40)
        self.remind_key.hide()
        self._lay_out()
        self._connect()
        look().changed.connect(self._dress)
        self._dress()

    def _lay_out(self) -> None:
        self._top = QWidget()
        self._head = QHBoxLayout(self._top)
        for widget in (self.before, self.title, self.next):
            self._head.addWidget(widget)
        self._head.addWidget(self.dates, 1)
        self._head.addWidget(self.switch_key)
        self.stack = QStackedWidget()
        self.stack.addWidget(_page(self.week_heads, self.week_list))
        self.stack.addWidget(_page(self.season_heads, self.season_list, self.said, self.legend))
        self._foot = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._printing, self._keys = QHBoxLayout(), QHBoxLayout()
        self._printing.addWidget(self.sum, 1)
        self._printing.addWidget(self.print_button)
        self._printing.addWidget(self.print_keys)
        for key in (self.remind_key, self.plan_key):
            self._keys.addWidget(key)
        self._foot.addLayout(self._printing, 1)
        self._foot.addLayout(self._keys)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self._top)
        whole.addWidget(Line("edge"))
        whole.addWidget(self.stack, 1)
        whole.addWidget(self.notes)
        whole.addLayout(self._foot)

    def _connect(self) -> None:
        self.before.clicked.connect(lambda: self.step(-1))
        self.next.clicked.connect(lambda: self.step(1))
        self.switch_key.clicked.connect(lambda: self.season_wanted.emit(self.stack.currentIndex() == WEEK))
        self.week_list.chosen.connect(self._line_chosen)
        self.week_list.stepped.connect(self.step)
        self.week_list.opened.connect(self._line_opened)
        self.season_list.held.connect(self._stop_held)
        self.season_list.week_wanted.connect(lambda day: self.week_wanted.emit(monday_of(day)))
        self.season_list.pressed.connect(self._season_pressed)

    def _dress(self) -> None:
        px = look().px
        self._top.setFixedHeight(px(35))
        self._head.setContentsMargins(px(16), px(2), px(16), px(2))
        self._head.setSpacing(px(8))
        self._foot.setContentsMargins(px(20), px(8), px(16), px(14))
        for row in (self._foot, self._printing, self._keys):
            row.setSpacing(px(10))
        self._fit()
        self.said.setContentsMargins(px(20), px(4), px(20), px(2))

    def resizeEvent(self, event: object) -> None:
        """A narrow pane has its keys below what the week adds up to."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._fit()

    def _fit(self) -> None:
        narrow = look().logical(self.width()) < KEYS_FIT
        self._foot.setDirection(QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight)

    # what is shown

    def show_week(self, week: WeekView, *, owners: bool) -> None:
        """Another week or another plan of it; the line in hand stays where its job is still there."""
        held = self.week_list.in_hand()
        self.week, self._monday = week, week.monday
        self.stack.setCurrentIndex(WEEK)
        self.title.setText(week.title)
        self.dates.setText(week.dates)
        self.switch_key.rename("Season")
        self._arrows("Week before", "Next week")
        play = any(day.play or day.after or day.after_work for day in week.days)
        self.week_list.show_as(owners=owners, play=play)
        self.week_heads.show_as(play=play)
        self._quiet = True
        self.week_list.rows_model.set_rows(week_lines(week))
        stays = isinstance(held, WeekLine) and self._find(held)
        if not stays and not self.week_list.choose_where(lambda line: line.day.today and line.number == 0):
            self.week_list.choose(0)
        self._quiet = False
        self._rest(week)

    def _find(self, held: WeekLine) -> bool:
        item = held.item
        if item is None:
            return self.week_list.choose_where(lambda line: (line.day.on, line.number) == (held.day.on, held.number))
        return self.week_list.choose_where(lambda line: line.item is not None and line.item.key == item.key)

    def show_season(
        self, season: SeasonView, today: date, bans: tuple[tuple[date, date], ...], *, owners: bool = False
    ) -> None:
        """The season."""
        self.season = season
        self.stack.setCurrentIndex(SEASON)
        self.title.setText("Season")
        self.dates.setText(f"{len(season.weeks)} weeks")
        self.switch_key.rename("Week")
        self._arrows("", "")
        self.season_heads.show_season(season)
        self.season_list.show_season(season, today, bans, owners=owners)
        row = self.season_list.currentIndex().row()
        self._quiet = True
        self.season_list.rows_model.set_rows(season_lines(season))
        self.season_list.choose(max(0, row))
        self._quiet = False
        self._rest(season)

    def _rest(self, plan: WeekView | SeasonView) -> None:
        self.sum.setText(plan.foot)
        week = self.stack.currentIndex() == WEEK
        self.print_button.setVisible(week)
        self.print_keys.setVisible(week and plan.bowler_id is not None)
        self.remind_key.setVisible(plan.bowler_id is None)
        moved = self._replanned[1] if self._replanned[0] == plan.plan_id else ()
        self.notes.show_plan(plan, no_time=self.no_time, replanned=moved)
        self.plan_key.primary = plan.plan_id == 0
        self.plan_key.rename("Plan the weeks" if plan.plan_id == 0 else "Plan again")
        self.plan_key.setAccessibleDescription("key P")

    def _arrows(self, before: str, after: str) -> None:
        for button, name in ((self.before, before), (self.next, after)):
            button.setVisible(bool(name))
            button.setAccessibleName(name)

    def planned(self, plan: UpkeepPlan) -> None:
        """A plan was made: what it moved is told with the weeks that come next."""
        self._replanned = (plan.id, plan.moved)

    # what is taken in hand

    def item(self) -> WorkItem | None:
        """The job of the line in hand."""
        line = self.week_list.in_hand()
        return line.item if isinstance(line, WeekLine) and self.stack.currentIndex() == WEEK else None

    def hold_job(self, ball_id: int, work: str) -> None:
        """Take the line of a job in hand, where this week or the season has it; nobody is told."""
        self._quiet = True
        if self.stack.currentIndex() == SEASON:
            self.season_list.hold_job(ball_id, work)
            self._quiet = False
            return
        now = self.item()
        if now is None or (now.ball_id, now.work) != (ball_id, work):
            self.week_list.choose_where(
                lambda line: line.item is not None and (line.item.ball_id, line.item.work) == (ball_id, work)
            )
        self._quiet = False

    def step(self, by: int) -> None:
        """The week before or after."""
        if self._monday is not None and self.stack.currentIndex() == WEEK:
            self.week_wanted.emit(self._monday + timedelta(weeks=by))

    def _line_chosen(self, line: object) -> None:
        if isinstance(line, WeekLine) and not self._quiet:
            self.item_chosen.emit(line.item)

    def _line_opened(self, line: object) -> None:
        if isinstance(line, WeekLine) and line.item is not None:
            self.ball_opened.emit(line.item.ball_id)

    def _stop_held(self, stop: Stop | None) -> None:
        self.said.setText(stop.words if stop is not None else "")
        line = self.season_list.in_hand()
        if stop is not None and stop.mark is not None and isinstance(line, BallLine) and not self._quiet:
            mark: SeasonMark = stop.mark
            self.mark_chosen.emit((line.row.ball_id, mark))

    def _season_pressed(self, index: QModelIndex) -> None:
        at = self.season_list.viewport().mapFromGlobal(self.cursor().pos())
        self.season_list.mouse_stop(index, QPoint(at).x())

    def list_shown(self) -> RowsView:
        """Where the focus goes."""
        return self.week_list if self.stack.currentIndex() == WEEK else self.season_list


def _page(heads: QWidget, body: QWidget, *more: QWidget) -> QWidget:
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(heads)
    column.addWidget(body, 1)
    for widget in more:
        column.addWidget(widget)
    return page
