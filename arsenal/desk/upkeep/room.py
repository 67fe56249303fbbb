"""The Upkeep room: the jobs, the week they fall into, and the keys that say a job is done, moved or left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.text import Plain, Runs, runs_of
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look
from arsenal.desk.upkeep import asking
from arsenal.desk.upkeep.job_list import Heads, JobPainter
from arsenal.desk.upkeep.rows import Heading, JobRow, Row, alarm_words, sections, spoken
from arsenal.desk.upkeep.sentence import Bar
from arsenal.desk.upkeep.week import Week, days_of
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from datetime import date

    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Meaning, UpkeepSheet

NARROW = 900


class _Sheet(QWidget):
    """The lighter plane."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill it."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sheet"))
        painter.end()


class UpkeepRoom(Room):
    """The room."""

    name = "Upkeep"
    digit = 5

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self._sheet: UpkeepSheet | None = None
        self._all_later = False
        self._everybody = False
        self._until: date | None = None
        self._bar = Bar(self)
        self._bar.bowler.picked.connect(self._pick_bowler)
        self._bar.until.picked.connect(self._pick_until)
        self._model = RowsModel(spoken, lambda row: isinstance(row, JobRow))
        self.list = RowsView("Jobs", self._model, JobPainter())
        self.list.chosen.connect(self._chosen)
        self.list.opened.connect(self._open_ball)
        self.heads, self.week = Heads(), Week()
        self.empty = Empty("Nothing to keep up yet", "Upkeep is planned from the balls in the bag and their log.")
        self.means = Runs()
        self.caution = Plain("", px=12, token="warn", wrap=True)
        self.legend = Plain("", px=12, token="ink2", elide=True)
        self.alarms = Plain("", px=13, wrap=True)
        self.reading = Plain("", px=12, token="ink2", wrap=True)
        self._lay_out()
        look().changed.connect(self._dress)
        self._dress()

    def _lay_out(self) -> None:
        self.done_key = KeyButton("Done as planned", "D", primary=True)
        self.move_key = KeyButton("Another day", "M")
        self.out_key = KeyButton("Leave out", "X")
        self.later_key = KeyButton("All later", "E")
        for key, call in (
            (self.done_key, self._done), (self.move_key, self._move), (self.out_key, self._leave_out),
            (self.later_key, self._toggle_later),
        ):  # fmt: skip
            key.clicked.connect(call)
        self._keys = QHBoxLayout()
        for key in (self.done_key, self.move_key, self.out_key, self.later_key):
            self._keys.addWidget(key, 1)
        self._foot = QVBoxLayout()
        self._foot.addWidget(self.alarms)
        self._foot.addWidget(self.reading)
        self._foot.addWidget(self.legend)
        self._foot.addWidget(self.means)
        self._foot.addWidget(self.caution)
        self._foot.addLayout(self._keys)
        left = _Sheet()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.heads)
        column.addWidget(self.list, 1)
        column.addWidget(self.empty, 1)
        column.addLayout(self._foot)
        self.split = QSplitter()
        self.split.addWidget(left)
        self.split.addWidget(self.week)
        self.split.setStretchFactor(0, 59)
        self.split.setStretchFactor(1, 41)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.split)
        self.empty.hide()

    def _dress(self) -> None:
        px = look().px
        self._foot.setContentsMargins(px(20), px(8), px(20), px(14))
        self._foot.setSpacing(px(6))
        self._keys.setSpacing(px(10))

    def resizeEvent(self, event: object) -> None:
        """Keep 59:41; a narrow window has the jobs alone."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        roomy = look().logical(self.width()) >= NARROW
        self.week.setVisible(roomy)
        if roomy:
            self.split.setSizes([round(self.width() * 0.59), round(self.width() * 0.41)])

    # what a room is

    def sentence_bar(self) -> QWidget:
        """“What is due for … at … until … when it has lost …”."""
        return self._bar

    def enter(self) -> None:
        """Ask for the bowler in hand."""
        self._ask()

    def refresh(self, changes: Changes) -> None:
        """Ask again."""
        self._ask()

    def panes(self) -> Sequence[QWidget]:
        """List, then keys."""
        return (self.list, self.done_key)

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """Beyond the buttons."""
        return (("↑ ↓", "another job"), ("Enter", "the ball on the Bench"))

    # asking

    def _ask(self) -> None:
        bowler_id = None if self._everybody else self.shared.bowler_id
        until = self._until
        self.shared.ask("upkeep", lambda shop: asking.sheet(shop, bowler_id, until), self._show)

    def _show(self, found: asking.Found) -> None:
        chosen = self._in_hand()
        self._sheet = found.sheet
        self._bar.show_sheet(found)
        rows: list[Row] = sections(found.sheet, all_later=self._all_later)
        self._model.set_rows(rows)
        some = bool(found.sheet.balls)
        for part in (self.list, self.heads):
            part.setVisible(some)
        self.empty.setVisible(not some)
        self.week.show_days(days_of(found.sheet))
        self.legend.setText(self._legend(found))
        for line, said in ((self.alarms, alarm_words(found.sheet)), (self.reading, found.sheet.next_reading)):
            line.setText(said)
            line.setVisible(bool(said))
        same = chosen is not None and self.list.choose_where(
            lambda r: isinstance(r, JobRow) and (r.job.ball_id, r.job.work) == (chosen.job.ball_id, chosen.job.work)
        )
        if not same and not self.list.choose_where(lambda r: isinstance(r, JobRow)):
            self._chosen(None)
        folded = any(isinstance(row, Heading) and row.folded for row in rows)
        self.later_key.setEnabled(folded or self._all_later)
        self.later_key.rename("Nearest only" if self._all_later else "All later")

    def _legend(self, found: asking.Found) -> str:
        lost = f"tick: due at {found.boards:g} boards or {found.first_read_ft:g} ft of first read, or at the interval"
        buy = f"   pads to buy: {', '.join(found.sheet.to_buy)}" if found.sheet.to_buy else ""
        return lost + buy

    def _in_hand(self) -> JobRow | None:
        row = self.list.in_hand()
        return row if isinstance(row, JobRow) else None

    def _chosen(self, row: object) -> None:
        job_row = row if isinstance(row, JobRow) else None
        for key in (self.done_key, self.move_key, self.out_key):
            key.setEnabled(job_row is not None)
        self.out_key.rename("Put back" if job_row is not None and job_row.left_out else "Leave out")
        self.means.set_runs(())
        self.caution.setText("")
        if job_row is None:
            return
        self.shared.hold_ball(job_row.job.ball_id)
        jobs = job_row.alike
        self.shared.ask("upkeep means", lambda shop: asking.planned(shop, jobs), self._show_means)

    def _show_means(self, meaning: Meaning) -> None:
        problem = bool(meaning.problem)
        lead = "" if problem else "Done logs: "
        parts = ((meaning.problem, False),) if problem else ((lead, False), *meaning.parts)
        self.means.set_runs(runs_of(parts))
        self.caution.setText(" ".join(meaning.cautions))
        self.caution.setVisible(bool(meaning.cautions))
        self.done_key.setEnabled(not problem)

    # keys

    def _done(self) -> None:
        row = self._in_hand()
        if row is None:
            return
        jobs = row.alike

        def run(shop: Shop) -> Changes:
            return asking.keep_planned(shop, jobs)

        self.shared.keep(run, failed=self._done_failed)

    def _done_failed(self, error: KnownError) -> None:
        self.shared.trouble(error)

    def _move(self) -> None:
        row = self._in_hand()
        if row is not None and self._sheet is not None:
            from arsenal.desk.upkeep.another_day import open_another_day  # noqa: PLC0415 - when first wanted

            open_another_day(self.shared, self, row, self._sheet.today)

    def _leave_out(self) -> None:
        row = self._in_hand()
        if row is None:
            return
        jobs, back = row.alike, row.left_out
        self.shared.keep(lambda shop: asking.leave_out(shop, jobs, back=back))

    def _toggle_later(self) -> None:
        self._all_later = not self._all_later
        self._ask()

    def _open_ball(self, row: object) -> None:
        if isinstance(row, JobRow):
            self.shared.hold_ball(row.job.ball_id)
            self.shared.open_room(2)

    # the sentence

    def _pick_bowler(self, bowler_id: object) -> None:
        self._everybody = bowler_id is None
        if isinstance(bowler_id, int):
            self.shared.hold_bowler(bowler_id)
        self._ask()

    def _pick_until(self, until: object) -> None:
        self._until = until  # type: ignore[assignment]
        self._ask()


def make(shared: Shared) -> UpkeepRoom:
    """The room, as the desk asks for it."""
    return UpkeepRoom(shared)
