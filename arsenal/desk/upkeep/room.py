"""The Upkeep room: the jobs, the weeks they are planned into, and the keys that say a job is done or moved."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QVBoxLayout, QWidget

from arsenal.desk.parts.panes import scrolled, side_by_side, stand
from arsenal.desk.parts.text import runs_of
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look
from arsenal.desk.upkeep import asking, asking_weeks, in_hand
from arsenal.desk.upkeep.doing import Doing
from arsenal.desk.upkeep.in_hand import InHand
from arsenal.desk.upkeep.jobs_pane import JobsPane
from arsenal.desk.upkeep.rows import JobRow
from arsenal.desk.upkeep.sentence import Bar
from arsenal.desk.upkeep.weeks_pane import WeeksPane
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from datetime import date

    from arsenal.acts.calendar_views import SeasonMark, WorkItem
    from arsenal.acts.views import Changes, Meaning, UpkeepSheet

NARROW = 900
"""Logical width under which the panes stand in one column that scrolls."""
LEFT_SHARE = 59
LOW = 560
"""Logical height of the room under which the quiet lines give way to the list (the window then has 680)."""
LIST_LEAST, WEEK_LEAST, WEEK_MOST = 300, 320, 700
"""Logical heights of the list and of the weeks in one column."""
NO_LIMIT = 16_777_215
"""A widget without a greatest height, as Qt says it."""


class UpkeepRoom(Room):
    """The room."""

    name = "Upkeep"
    digit = 5

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self._all_later = self._everybody = self._season = False
        self._until: date | None = None
        self._monday: date | None = None
        self._sheet: UpkeepSheet | None = None
        self._hand: InHand | None = None
        self._wanted: tuple[int, str, bool] | None = None
        self._syncing = False
        self._bar = Bar(self)
        self.jobs, self.weeks, self.doing = JobsPane(), WeeksPane(), Doing(self)
        self._lay_out()
        self._connect()
        self._order_tabs()
        look().changed.connect(self._fit)

    def _lay_out(self) -> None:
        inside = self._inside = QWidget()
        self._box = side_by_side(inside)
        self._box.addWidget(self.jobs, LEFT_SHARE)
        self._box.addWidget(self.weeks, 100 - LEFT_SHARE)
        self._scroll = scrolled(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._scroll)

    def _connect(self) -> None:
        jobs, weeks = self.jobs, self.weeks
        self._bar.bowler.picked.connect(self._pick_bowler)
        self._bar.until.picked.connect(self._pick_until)
        jobs.chosen.connect(self._row_chosen)
        jobs.list.opened.connect(lambda row: self._open_ball(row.job.ball_id) if isinstance(row, JobRow) else None)
        jobs.empty.wanted.connect(self._add_ball)
        weeks.item_chosen.connect(self._item_chosen)
        weeks.mark_chosen.connect(self._mark_chosen)
        weeks.ball_opened.connect(self._open_ball)
        weeks.week_wanted.connect(self._show_week)
        weeks.season_wanted.connect(self._show_season)
        weeks.notes.relax_wanted.connect(self.doing.relax)
        for key, call in (
            (jobs.done_key, self._done), (jobs.earlier_key, self._earlier), (jobs.move_key, self._move),
            (jobs.out_key, self._leave_out), (jobs.later_key, self._toggle_later),
            (jobs.file_key, self.doing.calendar_file), (weeks.plan_key, self.doing.plan),
            (weeks.print_button, self.doing.print_week), (weeks.remind_key, self.doing.remind),
        ):  # fmt: skip
            key.clicked.connect(lambda _=False, run=call: run())
        for keys, call in (
            ("Ctrl+P", self.doing.print_week), ("Alt+Left", lambda: weeks.step(-1)),
            ("Alt+Right", lambda: weeks.step(1)), ("Alt+Home", lambda: self._show_week(None)),
        ):  # fmt: skip
            QShortcut(QKeySequence(keys), self).activated.connect(call)  # heard while the room is in front

    def _order_tabs(self) -> None:
        """As they stand on the screen: list, quiet keys, keys; then the weeks from their head to their foot."""
        jobs, weeks = self.jobs, self.weeks
        order = (
            jobs.list, jobs.later_key, jobs.earlier_key, jobs.done_key, jobs.move_key, jobs.out_key, jobs.file_key,
            weeks.before, weeks.next, weeks.switch_key, weeks.week_list, weeks.season_list,
            *(way.button for way in weeks.notes.ways), weeks.notes.lines, weeks.print_button, weeks.remind_key,
            weeks.plan_key,
        )  # fmt: skip
        for first, second in pairwise(order):
            QWidget.setTabOrder(first, second)

    def resizeEvent(self, event: object) -> None:
        """Side by side, or one under the other."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._fit()

    def _fit(self) -> None:
        px = look().px
        narrow = look().logical(self.width()) < NARROW
        low = look().logical(self.height()) < LOW
        stand(self._box, column=narrow)
        self._inside.setMaximumHeight(NO_LIMIT if narrow else max(1, self.height()))
        self.jobs.compact(low and not narrow)
        self.jobs.list.setMinimumHeight(px(LIST_LEAST) if narrow else px(90))
        wanted = self.weeks.list_shown().wanted_height() + px(80)
        self.weeks.stack.setMinimumHeight(max(px(WEEK_LEAST), min(wanted, px(WEEK_MOST))) if narrow else px(90))

    # what a room is

    def sentence_bar(self) -> QWidget:
        """“What is due for … playing … worked on … until … when it has lost …”."""
        return self._bar

    def sentence(self) -> Bar:
        """The same, to act through."""
        return self._bar

    def enter(self) -> None:
        """Ask for the bowler in hand."""
        self._ask()

    def refresh(self, changes: Changes) -> None:
        """Ask again."""
        self._ask()

    def panes(self) -> Sequence[QWidget]:
        """List, keys, weeks, what the weeks can do."""
        return (self.jobs.list, self.jobs.done_key, self.weeks.list_shown(), self.weeks.plan_key)

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """Beyond the buttons."""
        return (
            ("↑ ↓", "another job, another line of the week"), ("Enter", "the ball on the Bench"),
            ("← → in the week, Alt+← Alt+→", "week before, next week"), ("Alt+Home", "this week"),
            ("← → in the season", "from mark to mark; Enter shows its week"), ("Ctrl+P", "print the week"),
        )  # fmt: skip

    def sheet(self) -> UpkeepSheet | None:
        """The jobs shown; None before the first answer."""
        return self._sheet

    def today(self) -> date | None:
        """The day the jobs were asked for."""
        return self._sheet.today if self._sheet is not None else None

    def whom(self) -> int | None:
        """The bowler shown; None for everybody, which is the shop."""
        return None if self._everybody else self.shared.bowler_id

    def show_job(self, ball_id: int, work: str, *, earlier: bool = False) -> None:
        """Take a job in hand once its bowler's jobs are shown (a reminder was clicked), and with `earlier` ask for the
        day it was done on.
        """
        self._everybody, self._wanted = False, (ball_id, work, earlier)
        self._ask()

    # asking

    def _ask(self) -> None:
        bowler_id, until = self.whom(), self._until
        self.shared.ask("upkeep", lambda shop: asking.sheet(shop, bowler_id, until), self._show)

    def ask_weeks(self) -> None:
        """Ask for the week or the season as it is planned now."""
        bowler_id, monday, season = self.whom(), self._monday, self._season
        self.shared.worker.ask(
            "upkeep weeks",
            lambda shop, progress: asking_weeks.weeks(shop, bowler_id, monday, progress, season=season),
            self._show_weeks, failed=self._no_weeks, title="Planning the weeks", progress=True,
        )  # fmt: skip

    def _no_weeks(self, error: KnownError) -> None:
        """Farther than a plan goes: the week shown stays."""
        self._monday = self.weeks.week.monday if self.weeks.week is not None else None
        self.shared.trouble(error)

    def _show(self, found: asking.Found) -> None:
        self._sheet = found.sheet
        self._bar.show_sheet(found)
        if self._wanted is not None:
            self._all_later = True
        some = bool(found.sheet.balls)
        self.weeks.setVisible(some)
        self.weeks.no_time = not found.slots
        self.jobs.empty.tell(*_empty_words(found))
        self.jobs.show_found(found, all_later=self._all_later)
        if self._wanted is not None:
            ball_id, work, earlier = self._wanted
            self._wanted = None
            self.jobs.list.setFocus(Qt.FocusReason.OtherFocusReason)
            if self.jobs.hold_job(ball_id, work) and earlier:
                self._earlier()
        self.ask_weeks()

    def _show_weeks(self, found: asking_weeks.Weeks) -> None:
        if found.week is not None:
            self._monday = found.week.monday
            self.weeks.show_week(found.week, owners=self._everybody)
        elif found.season is not None:
            self.weeks.show_season(found.season, found.today, found.bans, owners=self._everybody)
        self.jobs.lead(not self.weeks.plan_key.primary)
        self._fit()
        row = self.jobs.in_hand()
        if row is not None:
            self.weeks.hold_job(row.job.ball_id, row.job.work)

    # the job in hand

    def _row_chosen(self, row: object) -> None:
        if isinstance(row, JobRow):
            self._take(in_hand.of_row(row))
            if not self._syncing:
                self.weeks.hold_job(row.job.ball_id, row.job.work)
        else:
            self._take(None)

    def _item_chosen(self, item: WorkItem | None) -> None:
        if item is None:
            return
        hand = in_hand.of_item(item)
        if hand is None:
            self._forecast(f"{item.ball}, {item.work}")
            return
        self._sync(item.ball_id, item.work)
        self._take(hand)

    def _mark_chosen(self, chosen: tuple[int, SeasonMark]) -> None:
        ball_id, mark = chosen
        if mark.round == 0:
            self._sync(ball_id, mark.work)
        else:
            self._forecast(mark.work.capitalize())

    def _forecast(self, what: str) -> None:
        """Nothing to do yet: it only comes again after the one before it."""
        self._take(None)
        self.jobs.means.set_runs(
            runs_of(((f"{what}: forecast. It comes again once the one before it is done.", False),))
        )

    def _sync(self, ball_id: int, work: str) -> None:
        self._syncing = True
        self.jobs.hold_job(ball_id, work)
        self._syncing = False

    def _take(self, hand: InHand | None) -> None:
        self._hand = hand
        self.jobs.show_hand(hand is not None, left_out=hand is not None and hand.left_out)
        if hand is None:
            self.shared.worker.drop("upkeep means")
            return
        self.shared.hold_ball(hand.jobs[0].ball_id)
        jobs = hand.jobs
        self.shared.ask("upkeep means", lambda shop: asking.planned(shop, jobs), self._show_means)

    def _show_means(self, meaning: Meaning) -> None:
        self.jobs.show_means(meaning)

    # keys

    def _done(self) -> None:
        if self._hand is not None:
            jobs = self._hand.jobs
            self.shared.keep(lambda shop: asking.keep_planned(shop, jobs), self._was_done, failed=self._failed)

    def _was_done(self, changes: Changes) -> None:
        """The next job is taken in hand, not the next round of this one."""
        if changes.changed:
            self.jobs.let_go()

    def _failed(self, error: KnownError) -> None:
        self.shared.trouble(error)

    def _earlier(self) -> None:
        if self._hand is not None and self._sheet is not None:
            from arsenal.desk.upkeep.another_day import open_earlier_day  # noqa: PLC0415 - when first wanted

            open_earlier_day(self.shared, self, self._hand, self._sheet.today, self._was_done)

    def _move(self) -> None:
        if self._hand is not None and self._sheet is not None:
            from arsenal.desk.upkeep.another_day import open_another_day  # noqa: PLC0415 - when first wanted

            open_another_day(self.shared, self, self._hand, self._sheet.today)

    def _leave_out(self) -> None:
        if self._hand is not None:
            jobs, back = self._hand.jobs, self._hand.left_out
            self.shared.keep(lambda shop: asking.leave_out(shop, jobs, back=back))

    def _toggle_later(self) -> None:
        self._all_later = not self._all_later
        self._ask()

    def _show_week(self, monday: date | None) -> None:
        self._monday, self._season = monday, False
        self.ask_weeks()

    def _show_season(self, season: bool) -> None:
        self._season = season
        self.ask_weeks()

    def _open_ball(self, ball_id: int) -> None:
        self.shared.hold_ball(ball_id)
        self.shared.open_room(2)

    def _add_ball(self) -> None:
        bowler_id = self.whom()
        if bowler_id is None:
            from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first wanted

            open_bowler(self.shared, self.window(), done=self._added)
        else:
            from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first wanted

            open_ball(self.shared, self.window(), bowler_id)

    def _added(self, changes: Changes) -> None:
        if changes.changed:
            self.shared.hold_bowler(changes.changed[0].id)
            self._ask()

    # the sentence

    def _pick_bowler(self, bowler_id: object) -> None:
        self._everybody = bowler_id is None
        if isinstance(bowler_id, int):
            self.shared.hold_bowler(bowler_id)
        self._ask()

    def _pick_until(self, until: object) -> None:
        self._until = until  # type: ignore[assignment]
        self._ask()


def _empty_words(found: asking.Found) -> tuple[str, str, str]:
    bowler = found.sheet.bowler
    if bowler is None:
        said = "Upkeep is planned from the balls in each bag and their log."
        return ("No balls in the shop yet", said, "" if found.bowlers else "Add a bowler")
    said = "Upkeep is planned from the balls in the bag and their log."
    return (f"Nothing to keep up for {bowler.name} yet", said, "Add the first ball")


def make(shared: Shared) -> UpkeepRoom:
    """The room, as the desk asks for it."""
    return UpkeepRoom(shared)
