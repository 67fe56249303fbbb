"""Where misses end: a row of cells, each the word for one miss, over the bar of the room there is."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.acts import own_side
from arsenal.desk.lane_side import words
from arsenal.desk.parts.text import Run
from arsenal.desk.theme import look
from arsenal.motion.records import BestLine, Miss
from arsenal.order import words as say
from arsenal.trade.person import Person
from arsenal.trade.units import KMH_MPS, MPH_MPS

HITS = ("high", "flush", "light")


@dataclass(frozen=True, slots=True)
class Missed:
    """Misses of one kind from the first cell to the last, and how far the room goes toward either end."""

    misses: tuple[Miss, ...]
    toward_first: float
    toward_last: float
    room: tuple[Run, ...]
    unit: str = ""
    """Of speed: “mph” or “km/h”, said once beside the cells; empty for boards."""

    def amount(self, miss: Miss) -> str:
        """“2”, “1½”; of speed in the unit."""
        return speed(miss.boards * MPH_MPS, self.unit) if self.unit else say.halves(miss.boards)

    def label(self, miss: Miss, *, short: bool = False) -> str:
        """“2 in”, “on line”, “½ mph slower”, in short “½ slower”."""
        if self.unit:
            way = "faster" if miss.boards > 0 else "slower"
            unit = "" if short else f" {self.unit}"
            return "as thrown" if miss.boards == 0 else f"{self.amount(miss)}{unit} {way}"
        way = "in" if miss.boards > 0 else "out"
        return "on line" if miss.boards == 0 else f"{self.amount(miss)} {way}"

    def text(self) -> str:
        """The whole row in words."""
        return "; ".join(f"{self.label(m)}: {word(m)}" for m in self.misses)

    def boards(self, person: Person) -> str:
        """The boards they end on."""
        ends = (f"{self.label(m)} on {say.halves(own_side.board(person, m.landing_m))}" for m in self.misses)
        return f"Boards at the head pin: {', '.join(ends)}."


def speed(mps: float, unit: str) -> str:
    """“1½” mph, “2.4” km/h."""
    return say.halves(mps / MPH_MPS) if unit == "mph" else f"{abs(mps) / KMH_MPS:.1f}"


def word(miss: Miss) -> str:
    """Where it ends."""
    return "off the lane" if miss.left_lane else miss.word


def missed_by(way: str, best: BestLine, system: str = "imperial") -> Missed:
    """Of a best line: `way` is arrows, parallel or speed. In is first, slower is first."""
    if way == "speed":
        unit = "km/h" if system == "metric" else "mph"
        less, more = best.speed_slower_mps, best.speed_faster_mps
        one = KMH_MPS if system == "metric" else MPH_MPS
        told = f"{less / one:.1f} slower, {more / one:.1f} faster"
        slower = tuple(sorted(best.speed_misses, key=lambda m: m.boards))
        return Missed(slower, less / MPH_MPS, more / MPH_MPS, (Run(told, True, "hand"),), unit)
    parallel = way == "parallel"
    misses = best.parallel_misses if parallel else best.misses
    inside = best.parallel_in_boards if parallel else best.room_in_boards
    outside = best.parallel_out_boards if parallel else best.room_out_boards
    room = (Run("room  "), Run(words.room(inside, outside), True, "hand"))
    return Missed(tuple(sorted(misses, key=lambda m: -m.boards)), inside, outside, room)


class Misses(QWidget):
    """The cells."""

    def __init__(self) -> None:
        super().__init__()
        self._missed: Missed | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.show_missed(None)

    def show_missed(self, missed: Missed | None) -> None:
        """Other misses, or none."""
        self._missed = missed
        self.setAccessibleName(f"Where misses end. {missed.text()}" if missed else "Where misses end")
        self.update()

    def sizeHint(self) -> QSize:
        """Cells and labels."""
        return QSize(look().px(520), look().px(70))

    def minimumSizeHint(self) -> QSize:
        """Narrow cells."""
        return QSize(look().px(300), look().px(54))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the cells."""
        if self._missed is None or not self._missed.misses:
            return
        painter, now, missed = QPainter(self), look(), self._missed
        label, gap, bar = now.px(20), now.px(3), now.line(4)
        high, count = self.height() - label, len(missed.misses)
        wide = (self.width() - gap * (count - 1)) / count
        for number, miss in enumerate(missed.misses):
            left = round(number * (wide + gap))
            box = QRect(left, 0, round(wide), high)
            hit = word(miss) in HITS
            painter.fillRect(box, now.color("sel" if hit else "well"))
            painter.setPen(now.color("ink" if hit else "ink2"))
            painter.setFont(now.font(13, 600 if hit else 400))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(box.adjusted(2, 0, -2, -bar), flags, word(miss))
            painter.setPen(now.color("ink" if miss.boards == 0 else "ink2"))
            painter.setFont(now.font(12, 600 if miss.boards == 0 else 400))
            under = QRect(left, high, round(wide), label)
            painter.drawText(under, Qt.AlignmentFlag.AlignCenter, missed.label(miss, short=True))
        self._paint_room(painter, missed, (wide + gap, wide), QRect(0, high - bar, self.width(), bar))
        painter.end()

    @staticmethod
    def _paint_room(painter: QPainter, missed: Missed, cells: tuple[float, float], box: QRect) -> None:
        step, wide = cells
        at = next((i for i, m in enumerate(missed.misses) if m.boards == 0), 0)
        apart = abs(missed.misses[1].boards - missed.misses[0].boards) if len(missed.misses) > 1 else 1.0
        middle = at * step + wide / 2.0
        start = round(max(0.0, middle - missed.toward_first / apart * step))
        end = round(min(box.width(), middle + missed.toward_last / apart * step))
        painter.fillRect(QRect(start, box.top(), max(box.height(), end - start), box.height()), look().color("hand"))
