"""The strip under the plots: a ball's own best line in numbers, and where misses end in words."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.acts import own_side
from arsenal.desk.lane_side import words
from arsenal.desk.lane_side.chart import AXIS
from arsenal.desk.parts import paint
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Plain, Run, Runs, set_tip
from arsenal.desk.theme import look
from arsenal.motion.records import BestLine, Miss, NoLine
from arsenal.order import words as say
from arsenal.order.records import OrderRow
from arsenal.trade.person import Person
from arsenal.trade.units import DEGREE_RAD, FOOT_M

HITS = ("high", "flush", "light")
WAYS = (("at the arrows", "arrows"), ("by speed", "speed"))
HOVER = (
    "The line with the most room for this ball and this release, by their own scatter. Room is how far a miss at the "
    "arrows may go, from the same laydown, and still land on boards 17 to 18. Sharper entry than the release can "
    "reach is never asked for; published studies like 4 to 6 degrees."
)


class Misses(QWidget):
    """A row of cells from in to out, each the word for where that miss ends; the bar below is the room."""

    def __init__(self) -> None:
        super().__init__()
        self._misses: tuple[Miss, ...] = ()
        self._speed = False
        self._room: tuple[float, float] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_misses(self, misses: Sequence[Miss], *, speed: bool, room: tuple[float, float] | None) -> None:
        """Inside first (or faster last); `room` is boards in and out, None where there is no bar."""
        self._misses = tuple(sorted(misses, key=lambda m: m.boards, reverse=not speed))
        self._speed, self._room = speed, room
        said = "; ".join(f"{self.label(m)}: {self.word(m)}" for m in self._misses)
        self.setAccessibleName(f"Where misses end. {said}" if said else "Where misses end")
        self.update()

    def label(self, miss: Miss) -> str:
        """“2 in”, “on line”, “½ mph slower”."""
        if self._speed:
            way = "faster" if miss.boards > 0 else "slower"
            return "as thrown" if miss.boards == 0 else f"{say.halves(miss.boards)} mph {way}"
        way = "in" if miss.boards > 0 else "out"
        return "on line" if miss.boards == 0 else f"{say.halves(miss.boards)} {way}"

    def word(self, miss: Miss) -> str:
        """Where it ends."""
        return "off the lane" if miss.left_lane else miss.word

    def sizeHint(self) -> QSize:
        """Cells and labels."""
        return QSize(look().px(520), look().px(70))

    def minimumSizeHint(self) -> QSize:
        """Narrow cells."""
        return QSize(look().px(300), look().px(54))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the cells."""
        if not self._misses:
            return
        painter, now = QPainter(self), look()
        label, gap, bar = now.px(20), now.px(3), now.line(4)
        high = self.height() - label
        wide = (self.width() - gap * (len(self._misses) - 1)) / len(self._misses)
        for number, miss in enumerate(self._misses):
            left = round(number * (wide + gap))
            box = QRect(left, 0, round(wide), high)
            hit = self.word(miss) in HITS
            painter.fillRect(box, now.color("sel" if hit else "well"))
            painter.setPen(now.color("ink" if hit else "ink2"))
            painter.setFont(now.font(13, 600 if hit else 400))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(box.adjusted(2, 0, -2, -bar), flags, self.word(miss))
            painter.setPen(now.color("ink" if miss.boards == 0 else "ink2"))
            painter.setFont(now.font(12, 600 if miss.boards == 0 else 400))
            painter.drawText(QRect(left, high, round(wide), label), Qt.AlignmentFlag.AlignCenter, self.label(miss))
        self._paint_room(painter, wide + gap, wide, high - bar, bar)
        painter.end()

    def _paint_room(self, painter: QPainter, step: float, wide: float, top: int, thick: int) -> None:
        if self._room is None:
            return
        at = next((i for i, m in enumerate(self._misses) if m.boards == 0), 0)
        middle = at * step + wide / 2.0
        inside, outside = self._room
        start, end = middle - inside * step, middle + outside * step
        left, right = round(max(0.0, start)), round(min(self.width(), end))
        painter.fillRect(QRect(left, top, max(thick, right - left), thick), look().color("hand"))


class Strip(QWidget):
    """112 px at base text size."""

    def __init__(self) -> None:
        super().__init__()
        self.compact = False
        self._row: OrderRow | None = None
        self._person: Person | None = None
        self.title = Plain("", px=14, weight=600)
        self.facts = Runs(px=13, wrap=False)
        set_tip(self.facts, HOVER)
        self.way = SentenceWord("Misses", WAYS[0][0], px=13)
        self.way.set_choices(WAYS, "arrows")
        self.way.picked.connect(self.choose_way)
        self._speed = False
        self.room = Runs(px=13, wrap=False)
        self.misses = Misses()
        self.none = Plain("", px=13, token="ink2", wrap=True)
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
        miss.addWidget(Plain("Miss", px=13, token="ink2"))
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
        self._column.addWidget(self.none)
        self._column.addLayout(self._body, 1)

    def choose_way(self, way: object) -> None:
        """By angle at the arrows, or by speed."""
        self._speed = way == "speed"
        label = WAYS[1 if self._speed else 0][0]
        self.way.set_word(label)
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
        if found is None or person is None or row is None:
            self.none.setText(_why_not(row))
            self.misses.show_misses((), speed=False, room=None)
            return
        self.facts.set_runs(facts(person, found, row.rolls_sd_m, short=self.compact))
        room = (found.room_in_boards, found.room_out_boards)
        self.room.set_runs((Run("room  "), Run(words.room(*room), True, "hand")))
        self.misses.show_misses(
            found.speed_misses if self._speed else found.misses, speed=self._speed,
            room=None if self._speed else room,
        )  # fmt: skip

    def _title(self, row: OrderRow | None) -> str:
        if row is None:
            return ""
        if row.ball.spare:
            return row.ball.name
        return f"{row.ball.name}, best line" if self.compact else f"{row.ball.name} on its own best line"

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Nothing but the name gives way."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        metrics = QFontMetricsF(self.title.font())
        wide = metrics.horizontalAdvance(self.title.whole()) + 2
        free = self.width() - self.facts.sizeHint().width() - look().px(AXIS + 60)
        self.title.setMinimumWidth(round(min(wide, max(look().px(120), free))))

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
        self._left.setFixedWidth(max(now.px(128), self._left.sizeHint().width()))
        self._fit()

    def set_compact(self, compact: bool) -> None:
        """The short form."""
        if compact != self.compact:
            self.compact = compact
            self._dress()
            self._show()


def facts(person: Person, best: BestLine, rolls_sd_m: float, *, short: bool) -> tuple[Run, ...]:
    """“laydown 24   arrows 15   breakpoint 8 at 38 ft   entry 4.3°   rolls at 48 ± 1 ft”."""
    trace = best.trace
    told = [
        ("laydown", f"{own_side.board(person, best.line.lateral_m):.0f}", ""),
        ("arrows", f"{own_side.board(person, _arrow_lateral(best)):.0f}", ""),
    ]
    if trace.breakpoint_m is not None and trace.breakpoint_lateral_m is not None:
        board = f"{own_side.board(person, trace.breakpoint_lateral_m):.0f}"
        told.append(("breakpoint", board, "" if short else f" at {say.feet(trace.breakpoint_m)} ft"))
    else:
        told.append(("plays", "straight", ""))
    told.append(("entry", f"{abs(trace.entry_rad) / DEGREE_RAD:.1f}°", ""))
    if trace.rolls_m is not None:
        doubt = "" if short else f" ± {say.doubt(rolls_sd_m / FOOT_M)} ft"
        told.append(("rolls at", say.feet(trace.rolls_m), doubt))
    runs: list[Run] = []
    for number, (name, value, rest) in enumerate(told):
        runs += [Run(("    " if number else "") + name + " "), Run(value, True), Run(rest)]
    return tuple(runs)


def _arrow_lateral(best: BestLine) -> float:
    from arsenal.motion import at_arrows  # noqa: PLC0415 - heavy, loaded by then

    return at_arrows(best.line)[1]


def _why_not(row: OrderRow | None) -> str:
    if row is None:
        return ""
    if row.ball.spare:
        return "A spare ball: out of the order, overlaps, gaps and strike advice."
    if isinstance(row.best, NoLine):
        return row.best.sentence
    return "Its own best line is being worked out."
