"""The week as rows of days: before play, play, after. Jobs stand on the day they fall due or were moved to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import write
from arsenal.desk.theme import look
from arsenal.desk.upkeep.rows import DAYS, count, minutes_words

if TYPE_CHECKING:
    from arsenal.acts.views import UpkeepSheet
    from arsenal.plan.records import Job

MOST_A_DAY = 3


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the week shown."""

    on: date
    today: bool
    work: tuple[tuple[str, str, str], ...]
    """(mark, ball, what and how long), the heaviest few."""
    more: int
    games: float | None
    """Usual games of the day; None where the bowler does not usually play."""

    @property
    def spoken(self) -> str:
        """For a screen reader."""
        jobs = "; ".join(f"{ball}, {how}" for _, ball, how in self.work) or "nothing to do"
        play = f"; usually plays {self.games:.0f} games, then clean all played" if self.games else ""
        return f"{DAYS[self.on.weekday()]} {self.on.day}: {jobs}{play}"


def days_of(sheet: UpkeepSheet) -> list[Day]:
    """Monday to Sunday of this week; jobs due already stand on today."""
    first = sheet.today - timedelta(days=sheet.today.weekday())
    habit = dict(sheet.usual_days)
    after_play = ("clean", "wipe")
    days = []
    for offset in range(7):
        on = first + timedelta(days=offset)
        jobs = [j for j in sheet.jobs if _day_of(j, sheet) == on and j.work.value not in after_play]
        shown = tuple((j.due.value, sheet.balls[j.ball_id].name, _how(j)) for j in jobs[:MOST_A_DAY])
        games = habit.get(on.weekday()) if on >= sheet.today else None
        days.append(Day(on, on == sheet.today, shown, max(0, len(jobs) - MOST_A_DAY), games))
    return days


def _day_of(job: Job, sheet: UpkeepSheet) -> date | None:
    if job.by is None:
        return None
    return max(job.by, sheet.today)


def _how(job: Job) -> str:
    return f"{job.work.value} {job.how}, {minutes_words(job.minutes)}"


class Week(QWidget):
    """Painted day rows; each day is told to a screen reader in the widget's description."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._days: Sequence[Day] = ()
        self._number = 0
        self.setAccessibleName("The week")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look().changed.connect(self.update)

    def show_days(self, days: Sequence[Day]) -> None:
        """Another week or another plan."""
        self._days = days
        self._number = days[0].on.isocalendar().week if days else 0
        self.setAccessibleDescription(". ".join(day.spoken for day in days))
        self.update()

    def sizeHint(self) -> QSize:
        """Room for seven days."""
        return look().size(480, 560)

    def minimumSizeHint(self) -> QSize:
        """Seven low rows."""
        return look().size(260, 36 + 7 * 44)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Heads, then seven rows; days with something to do are taller."""
        painter = QPainter(self)
        px = look().px
        left, right = px(20), self.width() - px(20)
        at = (left, left + px(62), left + px(62) + round((right - left - px(62)) * 0.56))
        font = look().font(12, 500)
        heads = ((at[0], f"Week {self._number}"), (at[1], "Before play"), (at[2], "Play, then clean"))
        for x, name in heads:
            write(painter, QRect(x, 0, right - x, px(36)), name, font, "ink2")
        paint.hairline(painter, 0, self.width(), px(36) - 1, "edge")
        weights = [0.62 + 0.5 * max(len(d.work) + (d.more > 0), 1 if d.games else 0) for d in self._days]
        top, room = px(36), self.height() - px(36)
        each = min(room / max(sum(weights), 1.0), px(104))
        for day, weight in zip(self._days, weights, strict=True):
            box = QRect(0, top, self.width(), round(each * weight))
            self._day(painter, box, day, at, right)
            top += box.height()
        painter.end()

    def _day(self, painter: QPainter, box: QRect, day: Day, at: tuple[int, int, int], right: int) -> None:
        px = look().px
        if day.today:
            painter.fillRect(box, look().color("sheet"))
            painter.fillRect(QRect(0, box.top(), px(4), box.height()), look().color("hand"))
        line = QRect(at[0], box.top() + px(6), at[1] - at[0], px(20))
        token = "ink" if day.today or day.work or day.games else "ink3"
        wide = write(painter, line, DAYS[day.on.weekday()], look().font(13, 600 if day.today else 500), token)
        write(painter, line.adjusted(round(wide) + px(6), 0, 0, 0), str(day.on.day), look().font(13, 500), token)
        if day.today and box.height() > px(44):
            write(painter, line.translated(0, px(17)), "today", look().font(12, 500), "hand")
        self._work(painter, box, day, at[1], at[2] - px(12))
        if day.games:
            painter.fillRect(QRect(at[2], box.top() + px(7), px(3), px(32)), look().color("edge"))
            play = QRect(at[2] + px(12), box.top() + px(5), right - at[2] - px(12), px(20))
            write(painter, play, f"usually {count(round(day.games), 'game')}", look().font(14, 600), "ink")
            if box.height() > px(38):
                write(painter, play.translated(0, px(18)), "clean all played", look().font(12), "ink2")
        paint.hairline(painter, px(20), self.width() - px(20), box.bottom())

    def _work(self, painter: QPainter, box: QRect, day: Day, left: int, right: int) -> None:
        px = look().px
        fit = max(0, (box.height() - px(8)) // px(33))
        tall = fit >= len(day.work)
        step = px(34) if tall else px(18)
        y = box.top() + px(5)
        for mark, ball, how in day.work:
            if y + px(16) > box.bottom():
                break
            paint.due_mark(painter, QRectF(left, y + px(4), px(12), px(12)), mark)
            row = QRect(left + px(20), y, right - left - px(20), px(20))
            text = ball if tall else f"{ball}: {how}"
            write(painter, row, text, look().font(14 if tall else 13, 600 if tall else 500), "ink")
            if tall:
                write(painter, row.translated(0, px(16)), how, look().font(12), "ink2")
            y += step
        if day.more and y + px(14) <= box.bottom():
            write(
                painter, QRect(left + px(20), y, right - left, px(16)), f"and {day.more} more", look().font(12), "ink2"
            )
