"""The strip under the plots: a ball's own best line in numbers, and where misses end in words."""

from __future__ import annotations

from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.lane_side import entry
from arsenal.desk.lane_side.chart import AXIS
from arsenal.desk.lane_side.misses import Misses, missed_by
from arsenal.desk.parts import paint
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Plain, Run, Runs, set_tip
from arsenal.desk.theme import look
from arsenal.motion.records import BestLine, NoLine
from arsenal.order.records import OrderRow
from arsenal.trade.person import Person

WAYS = (("at the arrows", "arrows"), ("in parallel", "parallel"), ("by speed", "speed"))
WAY_HOVER = {
    "arrows": "A miss at the arrows from the same laydown.",
    "parallel": "Laydown and target missed alike.",
    "speed": "On the same line, slower or faster than usual.",
}


class Strip(QWidget):
    """112 px at base text size."""

    def __init__(self) -> None:
        super().__init__()
        self.compact = False
        self._row: OrderRow | None = None
        self._person: Person | None = None
        self.title = Plain("", px=14, weight=600)
        self.facts = Runs(px=13, wrap=False)
        self.way = SentenceWord("Misses", WAYS[0][0], px=13)
        self.way.set_choices(WAYS, "arrows")
        self.way.picked.connect(self.choose_way)
        self._way, self.system = "arrows", "imperial"
        self.room = Runs(px=13, wrap=False)
        self.misses = Misses()
        self.none = Runs(px=14)
        self.none.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.none.hide()
        self._lay_out()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self._dress()

    def _lay_out(self) -> None:
        self._head = QHBoxLayout()
        self._head.addWidget(self.title)
        self._head.addWidget(self.facts, 1)
        miss = QHBoxLayout()
        miss.setSpacing(4)
        self.miss = Plain("Miss", px=13, token="ink2")
        miss.addWidget(self.miss)
        miss.addWidget(self.way)
        miss.addStretch(1)
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addLayout(miss)
        left.addWidget(self.room)
        left.addStretch(1)
        self._left = QWidget()
        self._left.setLayout(left)
        left.setContentsMargins(0, 0, 0, 0)
        self._body = QHBoxLayout()
        self._body.setSpacing(2)
        self._body.addWidget(self._left)
        self._body.addWidget(self.misses, 1)
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._head)
        self._column.addWidget(self.none, 1)
        self._column.addLayout(self._body, 1)

    def choose_way(self, way: object) -> None:
        """By angle at the arrows, by parallel shift, or by speed."""
        self._way = str(way)
        self.way.set_choices(WAYS, way)
        self._show()

    def show_ball(self, row: OrderRow | None, person: Person | None) -> None:
        """The ball in hand."""
        self._row, self._person = row, person
        self._show()

    def _show(self) -> None:
        row, person = self._row, self._person
        best = row.best if row else None
        found = best if isinstance(best, BestLine) else None
        self.title.setText(self._title(row))
        for widget in (self.facts, self._left, self.misses):
            widget.setVisible(found is not None)
        self.none.setVisible(found is None and row is not None)
        self._column.setStretchFactor(self._body, 0 if found is None else 1)
        if found is None or person is None or row is None:
            self.none.set_runs((Run(_why_not(row)),))
            self.misses.show_missed(None)
            return
        self._fit()
        told = entry.sentence(person, found, self.system)
        set_tip(self.facts, f"{told} {entry.LINE}")
        self.facts.setAccessibleDescription(told)
        missed = missed_by(self._way, found, self.system)
        label = next(label for label, value in WAYS if value == self._way)
        self.way.set_word(f"{label}, {missed.unit}" if missed.unit else label)
        self.room.set_runs(missed.room)
        self._fit_left()
        self.misses.show_missed(missed)
        set_tip(self.misses, f"{WAY_HOVER[self._way]} {missed.boards(person)}")

    def _fit_left(self) -> None:
        """Words and room stay whole; the cells have the rest."""
        words = self.miss.sizeHint().width() + look().px(6) + self.way.sizeHint().width()
        self._left.setFixedWidth(max(look().px(128), words, self.room.sizeHint().width() + look().px(4)))

    def _title(self, row: OrderRow | None) -> str:
        if row is None:
            return ""
        if row.ball.spare or row.best is None:
            return row.ball.name
        if isinstance(row.best, NoLine):
            return f"{row.ball.name} has no line to the pocket here"
        return f"{row.ball.name}, best line" if self.compact else f"{row.ball.name} on its own best line"

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say as much as there is room for."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """The longest numbers that leave the name whole; where none do, the name gives way to the shortest."""
        row, person = self._row, self._person
        metrics = QFontMetricsF(self.title.font())
        wide = metrics.horizontalAdvance(self.title.whole()) + 2
        free = self.width() - look().px(AXIS + 1 + 20) - self._head.spacing()
        if row is None or person is None or not isinstance(row.best, BestLine):
            self.title.setMinimumWidth(round(min(wide, free)))
            return
        for length in entry.LENGTHS:
            self.facts.set_runs(entry.facts(person, row.best, row.rolls_sd_m, length, self.system))
            if self.facts.sizeHint().width() + wide <= free:
                break
        self.title.setMinimumWidth(round(min(wide, max(look().px(120), free - self.facts.sizeHint().width()))))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The line above."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), 0)
        painter.end()

    def _dress(self) -> None:
        now = look()
        self.setFixedHeight(now.px(96 if self.compact else 112))
        self._column.setContentsMargins(now.px(AXIS + 1), now.px(8), now.px(20), now.px(2))
        self._column.setSpacing(now.px(4 if self.compact else 6))
        self._head.setSpacing(now.px(20))
        self._fit_left()
        self._fit()

    def set_compact(self, compact: bool) -> None:
        """The short form."""
        if compact != self.compact:
            self.compact = compact
            self._dress()
            self._show()


def _why_not(row: OrderRow | None) -> str:
    if row is None:
        return ""
    if row.ball.spare:
        return "A spare ball: out of the order, overlaps, gaps and strike advice."
    if isinstance(row.best, NoLine):
        return row.best.sentence
    return "Its own best line is being worked out."
