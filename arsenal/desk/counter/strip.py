"""The strip over the room: how many tickets are where, each count opening its list; what is promised today; until when
the bench is full, and its hours.
"""

from __future__ import annotations

from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk.counter import words
from arsenal.desk.parts import paint
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Run, Runs, set_tip
from arsenal.desk.theme import look
from arsenal.desk.upkeep.sentence_words import slot_words

if TYPE_CHECKING:
    from arsenal.acts.counter_views import CounterView
    from arsenal.trade.calendar import Slot

NAMES = (("in", "in, not begun"), ("bench", "on the bench"), ("ready", "ready"), ("late", "late"))


class CountWord(QAbstractButton):
    """“6 in”; late ones in `bad` with their mark."""

    def __init__(self, name: str, spoken: str) -> None:
        super().__init__()
        self._name, self._spoken, self._number = name, spoken, 0
        self.setCheckable(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        look().changed.connect(self.updateGeometry)
        self.show_number(0)

    def show_number(self, number: int) -> None:
        """Another count."""
        self._number = number
        self.setAccessibleName(f"{words.count(number, 'ticket')} {self._spoken}")
        self.updateGeometry()
        self.update()

    def number(self) -> int:
        """As shown."""
        return self._number

    def _late(self) -> bool:
        return self._name == "late" and self._number > 0

    def sizeHint(self) -> QSize:
        """Number, word and mark."""
        px = look().px
        wide = QFontMetricsF(look().font(22, 600)).horizontalAdvance(str(self._number))
        wide += px(7) + QFontMetricsF(look().font(14, 600)).horizontalAdvance(self._name)
        return QSize(round(wide) + px(2) + (px(23) if self._late() else 0), px(44))

    def minimumSizeHint(self) -> QSize:
        """All of it."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw number, word, mark and bar."""
        painter, now, px = QPainter(self), look(), look().px
        late, here = self._late(), self.isChecked()
        token = "bad" if late else "hand" if here else "ink"
        big, small = now.font(22, 600), now.font(14, 600 if here or late else 500)
        base = (self.height() + QFontMetricsF(big).capHeight()) / 2.0
        painter.setFont(big)
        painter.setPen(now.color(token))
        painter.drawText(QPointF(0.0, base), str(self._number))
        x = QFontMetricsF(big).horizontalAdvance(str(self._number)) + px(7)
        painter.setFont(small)
        painter.setPen(now.color("bad" if late else "ink" if here or self.underMouse() else "ink2"))
        painter.drawText(QPointF(x, base), self._name)
        if late:
            side = px(15)
            paint.due_mark(painter, QRectF(self.width() - side - 1, (self.height() - side) / 2, side, side), "over")
        if here:
            thick = now.line(4)
            painter.fillRect(QRect(0, self.height() - thick, self.width(), thick), now.color("hand"))
        if self.hasFocus():
            paint.focus_ring(painter, self.rect().adjusted(0, px(4), 0, -px(5)), 4)
        painter.end()


def _hours(hours: list[tuple[str, int]], rest: int) -> list[Run]:
    runs = [Run("Promised today", token="ink2")]
    for at, tickets in hours:
        runs += [Run(f"    {at} "), Run(str(tickets), strong=True)]
    if rest:
        runs += [Run("    later " if hours else "    "), Run(str(rest), strong=True)]
    return runs if hours or rest else [*runs, Run("  nothing")]


class Strip(QWidget):
    """46 px."""

    wanted = Signal(str)
    """A count’s list: in, bench, ready, late; empty where it is closed again."""
    hours_wanted = Signal(object)
    """Bench hours to change, a Slot; None to add some."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Counter")
        self.counts = {name: CountWord(name, spoken) for name, spoken in NAMES}
        self._row = QHBoxLayout(self)
        for name, word in self.counts.items():
            self._row.addWidget(word)
            word.clicked.connect(lambda on, which=name: self._clicked(which, on))
        self.today = Runs((), px=13, wrap=False)
        self._hours: list[tuple[str, int]] = []
        self.full = SentenceWord("Bench", "", px=13)
        self._slots: tuple[Slot, ...] | None = None
        self._row.addWidget(self.today, 1)
        self._row.addWidget(self.full)
        look().changed.connect(self._dress)
        self._dress()

    def show_view(self, view: CounterView, now: datetime) -> None:
        """Counts, hours and load."""
        counts = view.counts
        for name, rows in (
            ("in", counts.taken_in), ("bench", counts.bench), ("ready", counts.ready), ("late", counts.late),
        ):  # fmt: skip
            self.counts[name].show_number(len(rows))
        self._hours = [(f"{hour.at.astimezone(now.tzinfo):%H:%M}", hour.tickets) for hour in counts.promised_today]
        self.full.set_word(words.bench(counts.load, now))
        reckoned = words.bench_reckoned(counts.load)
        self.full.setAccessibleDescription(reckoned)
        set_tip(self.full, reckoned)
        self._fit()

    def show_hours(self, slots: tuple[Slot, ...]) -> None:
        """The bench’s hours behind its word."""
        if slots != self._slots:
            self._slots = slots
            more = [(f"{slot_words(slot)} …", partial(self.hours_wanted.emit, slot)) for slot in slots]
            self.full.set_choices((), more=[*more, ("Add bench hours …", partial(self.hours_wanted.emit, None))])

    def show_list(self, which: str) -> None:
        """Mark the count whose list is open."""
        for name, word in self.counts.items():
            word.setChecked(name == which)
            word.update()

    def _clicked(self, which: str, on: bool) -> None:
        self.show_list(which if on else "")
        self.wanted.emit(which if on else "")

    def _fit(self) -> None:
        """Where there is little room, the hours go before the counts."""
        px = look().px
        used = sum(word.sizeHint().width() + px(28) for word in self.counts.values()) + px(40)
        free = self.width() - used
        self.full.setVisible(free >= self.full.sizeHint().width() + px(40))
        left = free - (self.full.sizeHint().width() + px(40) if self.full.isVisibleTo(self) else 0)
        self._show_hours(left)

    def _show_hours(self, room: int) -> None:
        """As many hours as fit; how many tickets are promised later is told with the last of them."""
        for shown in range(len(self._hours), -1, -1):
            rest = sum(tickets for _, tickets in self._hours[shown:])
            self.today.set_runs(_hours(self._hours[:shown], rest))
            if self.today.sizeHint().width() <= room:
                break
        self.today.setVisible(self.today.sizeHint().width() <= room)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """See what fits."""
        super().resizeEvent(event)
        self._fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the lines between the counts and the line below."""
        painter, px = QPainter(self), look().px
        for word in list(self.counts.values())[:-1]:
            x = word.geometry().right() + px(14)
            painter.fillRect(QRect(x, px(13), 1, self.height() - px(26)), look().color("edge"))
        paint.hairline(painter, 0, self.width(), self.height() - 1)
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._row.setContentsMargins(px(20), 0, px(20), 0)
        self._row.setSpacing(px(28))
        self._fit()
