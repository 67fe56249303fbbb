"""The left pane: every job with why and by when, what Done would log, and the keys that act on the job in hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.text import Plain, Runs, runs_of
from arsenal.desk.theme import look
from arsenal.desk.upkeep import asking
from arsenal.desk.upkeep.job_list import Heads, JobPainter
from arsenal.desk.upkeep.rows import Heading, JobRow, Row, alarm_words, sections, spoken

if TYPE_CHECKING:
    from arsenal.acts.views import Meaning

KEYS_FIT = 560
"""Logical width under which the keys stand in more than one row."""


class JobsPane(QWidget):
    """On the lighter plane. What is in hand, and what to do with it, is the room's."""

    chosen = Signal(object)
    """A JobRow, or None where there is none."""

    def __init__(self) -> None:
        super().__init__()
        self._model = RowsModel(spoken, lambda row: isinstance(row, JobRow))
        self.list = RowsView("Jobs", self._model, JobPainter())
        self.list.chosen.connect(self.chosen)
        self.heads = Heads(self.list)
        self.empty = Empty("Nothing to keep up yet", "Upkeep is planned from the balls in the bag and their log.")
        self.means = Runs()
        self.caution = Plain("", px=12, token="warn", wrap=True)
        self.legend = Plain("", px=12, token="ink2", elide=True)
        self.alarms = Plain("", px=13, wrap=True)
        self.reading = Plain("", px=12, token="ink2", wrap=True)
        self.done_key = KeyButton("Done as planned", "D", primary=True)
        self.move_key = KeyButton("Another day", "M")
        self.out_key = KeyButton("Leave out", "X")
        self.file_key = KeyButton("Calendar file", "I")
        self.earlier_key = KeyButton("Done on an earlier day", "B", height=30)
        self.later_key = KeyButton("All later", "E", height=30)
        self._low = self._folds = self._let_go = False
        self._lay_out()
        look().changed.connect(self._dress)
        self._dress()

    def _lay_out(self) -> None:
        self._keys_box = _Keys((self.done_key, self.move_key, self.out_key, self.file_key))
        self._end_row = QWidget()
        self._said, self._ends = QHBoxLayout(), QHBoxLayout(self._end_row)
        self._ends.setContentsMargins(0, 0, 0, 0)
        self._said.addWidget(self.means, 1)
        self._said.addWidget(self.earlier_key)
        self._ends.addWidget(self.legend, 1)
        self._ends.addWidget(self.later_key)
        self._foot = QVBoxLayout()
        self._foot.addWidget(self.alarms)
        self._foot.addWidget(self.reading)
        self._foot.addWidget(self._end_row)
        self._foot.addLayout(self._said)
        self._foot.addWidget(self.caution)
        self._foot.addWidget(self._keys_box)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.heads)
        column.addWidget(self.list, 1)
        column.addWidget(self.empty, 1)
        column.addLayout(self._foot)
        self.empty.hide()

    def _dress(self) -> None:
        px = look().px
        self._foot.setContentsMargins(px(20), px(8), px(20), px(14))
        self._foot.setSpacing(px(6))
        for row in (self._said, self._ends):
            row.setSpacing(px(10))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The lighter plane."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sheet"))
        painter.end()

    def show_found(self, found: asking.Found, *, all_later: bool) -> None:
        """Other jobs; the job in hand stays where it is still there."""
        held = None if self._let_go else self.in_hand()
        self._let_go = False
        owners = {one.id: one.name for one in found.bowlers} if found.sheet.bowler is None else None
        rows: list[Row] = sections(found.sheet, owners, all_later=all_later)
        self._model.set_rows(rows)
        some = bool(found.sheet.balls)
        for part in (self.list, self.heads):
            part.setVisible(some)
        self.empty.setVisible(not some)
        self.legend.setText(_legend(found))
        self.alarms.setText(alarm_words(found.sheet))
        self.reading.setText(found.sheet.next_reading)
        same = held is not None and self.hold_job(held.job.ball_id, held.job.work)
        if not same and not self.list.choose_where(lambda r: isinstance(r, JobRow)):
            self.chosen.emit(None)
        folded = any(isinstance(row, Heading) and row.folded for row in rows)
        self._folds = folded or all_later
        self.later_key.setVisible(self._folds)
        self._show_quiet()
        self.later_key.rename("Nearest only" if all_later else "All later")

    def compact(self, low: bool) -> None:
        """Little height: what was told quietly gives way to the list."""
        if low != self._low:
            self._low = low
            self._show_quiet()

    def lead(self, leads: bool) -> None:
        """Whether Done is the one thing to do; Plan is where there is no plan yet."""
        self.done_key.primary = leads
        self.done_key.update()

    def _show_quiet(self) -> None:
        for line in (self.alarms, self.reading):
            line.setVisible(bool(line.whole()) and not self._low)
        self._end_row.setVisible(not self._low or self._folds)

    def in_hand(self) -> JobRow | None:
        """The row in hand."""
        row = self.list.in_hand()
        return row if isinstance(row, JobRow) else None

    def let_go(self) -> None:
        """When jobs are shown next, the first of them is taken in hand."""
        self._let_go = True

    def hold_job(self, ball_id: int, work: str) -> bool:
        """Take the row of that job in hand, alone or among its like; False where the list has it not."""
        now = self.in_hand()
        if now is not None and _has(now, ball_id, work):
            return True
        return self.list.choose_where(lambda row: isinstance(row, JobRow) and _has(row, ball_id, work))

    def show_hand(self, some: bool, *, left_out: bool) -> None:
        """What the keys can do."""
        for key in (self.done_key, self.earlier_key, self.move_key, self.out_key):
            key.setEnabled(some)
        self.out_key.rename("Put back" if left_out else "Leave out")
        self.means.set_runs(())
        self.caution.setText("")

    def show_means(self, meaning: Meaning) -> None:
        """What Done would log, or why it cannot."""
        problem = bool(meaning.problem)
        parts = ((meaning.problem, False),) if problem else (("Done logs: ", False), *meaning.parts)
        self.means.set_runs(runs_of(parts))
        self.caution.setText(" ".join(meaning.cautions))
        self.caution.setVisible(bool(meaning.cautions))
        for key in (self.done_key, self.earlier_key):
            key.setEnabled(not problem)


class _Keys(QWidget):
    """The four keys side by side; in a narrow pane two and two."""

    def __init__(self, keys: Sequence[KeyButton]) -> None:
        super().__init__()
        self._keys = list(keys)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._rows = (QHBoxLayout(), QHBoxLayout())
        for row in self._rows:
            self._column.addLayout(row)
        self._narrow: bool | None = None
        look().changed.connect(self._place)
        self._place()

    def minimumSizeHint(self) -> QSize:
        """Never widens the pane."""
        return QSize(look().px(200), super().minimumSizeHint().height())

    def resizeEvent(self, event: object) -> None:
        """One row or two."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._place()

    def _place(self) -> None:
        px, narrow = look().px, look().logical(self.width()) < KEYS_FIT
        for row in (self._column, *self._rows):
            row.setSpacing(px(8) if row is self._column else px(10))
        if narrow == self._narrow:
            return
        self._narrow = narrow
        for key in self._keys:
            for row in self._rows:
                row.removeWidget(key)
        for number, key in enumerate(self._keys):
            below = narrow and number >= len(self._keys) // 2
            self._rows[below].addWidget(key, 4 if number else 5)


def _has(row: JobRow, ball_id: int, work: str) -> bool:
    return any((job.ball_id, job.work) == (ball_id, work) for job in (row.job, *row.alike))


def _legend(found: asking.Found) -> str:
    lost = f"tick: due at {found.boards:g} boards or {found.first_read_ft:g} ft of first read, or at the interval"
    buy = f"   pads to buy: {', '.join(found.sheet.to_buy)}" if found.sheet.to_buy else ""
    return lost + buy
