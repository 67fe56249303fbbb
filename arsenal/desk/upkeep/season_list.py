"""The season as it is painted: weeks across, a line a ball, jobs as marks over bars of when they may fall due."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.theme import look
from arsenal.desk.upkeep.following import Following
from arsenal.desk.upkeep.season_rows import BallLine, Loads, Stop, day_of, nearest, spoken, stops_of
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import PlayItem, SeasonMark, SeasonView

NAME_WIDTH = 132
UPPER = ("refresh", "clean", "wipe")
"""Light work stands on the upper half of a ball's line, heavy work and looking over on the lower."""
SHAPES = (
    ("refresh", "refresh"), ("resurface", "resurface"), ("deep oil", "deep oil"), ("inspect", "look over"),
    ("open refresh", "forecast"), ("doubt", "due, 1 in 10 to 9 in 10"),
)  # fmt: skip


class Axis:
    """Days across a box."""

    def __init__(self, box: QRect, first: date, last: date) -> None:
        px = look().px
        self.left, self.right = box.left() + px(20 + NAME_WIDTH), box.right() - px(20)
        self.first, self.days = first, max(1, (last - first).days + 1)

    def x(self, day: date) -> int:
        """Where a day begins; days outside stand at the edges."""
        share = min(1.0, max(0.0, (day - self.first).days / self.days))
        return self.left + round(share * (self.right - self.left))

    def middle(self, day: date) -> int:
        """The middle of a day."""
        return (self.x(day) + self.x(day + timedelta(days=1))) // 2

    def mondays(self) -> list[date]:
        """Every Monday on it."""
        start = self.first + timedelta(days=-self.first.weekday() % 7)
        return [start + timedelta(days=n) for n in range(0, self.days - (start - self.first).days, 7)]


class SeasonPainter(RowPainter):
    """Lines of the season."""

    height = 50
    line_from = 20
    line_to = 20

    def __init__(self) -> None:
        super().__init__()
        self.season: SeasonView | None = None
        self.today: date | None = None
        self.bans: tuple[tuple[date, date], ...] = ()
        self.hand: Stop | None = None
        self.owners = False
        """Several bowlers are shown: the owner stands under the ball, else its cover."""

    def row_height(self, row: Any) -> float:
        """The weeks are lower."""
        return 38 if isinstance(row, Loads) else self.height

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one line over its ground."""
        if self.season is None:
            return
        axis = Axis(box, self.season.first_on, self.season.last_on)
        self._ground(painter, box, axis, self.season.events)
        name = QRect(box.left() + look().px(20), box.top(), look().px(NAME_WIDTH - 10), box.height())
        if isinstance(row, Loads):
            write(painter, name, "Minutes a week", look().font(12, 500), "ink2")
            self._loads(painter, box, axis, row, chosen=chosen)
        elif isinstance(row, BallLine):
            self._name(painter, name, row)
            for mark in row.marks:
                self._mark(painter, box, axis, mark, held=chosen and self.hand is not None and self.hand.mark == mark)

    def _ground(self, painter: QPainter, box: QRect, axis: Axis, events: tuple[PlayItem, ...]) -> None:
        now = look()
        for first, last in self.bans:
            left, right = axis.x(first), axis.x(last + timedelta(days=1))
            if right > left:
                hatch(painter, QRect(left, box.top(), right - left, box.height()))
        for monday in axis.mondays():
            painter.fillRect(QRect(axis.x(monday), box.top(), 1, box.height()), now.color("rule"))
        for event in events:
            painter.fillRect(QRect(axis.middle(event.on), box.top(), now.line(2), box.height()), now.color("warn"))
        if self.today is not None:
            painter.fillRect(QRect(axis.middle(self.today), box.top(), now.line(2), box.height()), now.color("hand"))

    def _name(self, painter: QPainter, cell: QRect, row: BallLine) -> None:
        px = look().px
        half = cell.height() // 2
        top = QRect(cell.left(), cell.top() + px(4), cell.width(), half - px(3))
        write(painter, top, row.row.ball, look().font(14, 600), "ink")
        below = QRect(cell.left(), cell.top() + half, cell.width(), half - px(4))
        write(painter, below, row.row.owner if self.owners else row.row.cover, look().font(12), "ink2")

    def _loads(self, painter: QPainter, box: QRect, axis: Axis, row: Loads, *, chosen: bool) -> None:
        now, most = look(), max(row.most, 1.0)
        for week in row.weeks:
            left, right = axis.x(week.monday), axis.x(week.monday + timedelta(weeks=1))
            high = round((box.height() - now.px(10)) * week.minutes / most)
            held = chosen and self.hand is not None and self.hand.on == week.monday and self.hand.mark is None
            bar = QRect(left + 2, box.bottom() - now.px(4) - high, max(1, right - left - 4), high)
            painter.fillRect(bar, now.color("hand" if held else "edge"))
            if held:
                paint.focus_ring(painter, QRect(left, box.top() + now.px(2), right - left, box.height() - now.px(5)))

    def _mark(self, painter: QPainter, box: QRect, axis: Axis, mark: SeasonMark, *, held: bool) -> None:
        day = day_of(mark)
        if day is None:
            return
        now = look()
        y = box.top() + now.px(11 if mark.work in UPPER else 34)
        token = "hand" if held else "ink" if mark.round == 0 else "edge"
        if mark.early is not None and mark.early != mark.late:
            left = axis.middle(mark.early)
            right = axis.middle(mark.late) if mark.late is not None else axis.right
            low = now.px(8 + 4 * (mark.round % 2))  # rounds that follow each other may overlap
            _doubt(painter, left, right, y + low, token, open_end=mark.late is None or right >= axis.right)
        shape(painter, mark.work, axis.middle(day), y, token, planned=mark.on is not None)
        if held:
            side = now.px(9)
            paint.focus_ring(painter, QRect(axis.middle(day) - side, y - side, 2 * side, 2 * side), 4)


def hatch(painter: QPainter, box: QRect) -> None:
    """The days without heavy work: `well` with slanted strokes."""
    with paint.kept(painter):
        painter.fillRect(box, look().color("well"))
        painter.setClipRect(box)
        painter.setPen(QPen(look().color("rule"), 1))
        step = look().px(6)
        for x in range(box.left() - box.height(), box.right(), step):
            painter.drawLine(x, box.bottom(), x + box.height(), box.top())


def _doubt(painter: QPainter, left: int, right: int, y: int, token: str, *, open_end: bool) -> None:
    now, thick = look(), look().line(1.6)
    painter.fillRect(QRect(left, y, max(thick, right - left), thick), now.color(token))
    reach = now.px(3)
    for x, shown in ((left, True), (right - thick, not open_end)):
        if shown:
            painter.fillRect(QRect(x, y - reach, thick, 2 * reach + thick), now.color(token))


def shape(painter: QPainter, work: str, x: int, y: int, token: str, *, planned: bool = True) -> None:
    """What the job is: a stroke for a refresh, a square resurfacing, a disc deep oil, a ring looking over; open where
    it is only forecast.
    """
    now = look()
    with paint.kept(painter):
        painter.setPen(QPen(now.color(token), now.line(1.6)))
        painter.setBrush(now.color(token) if planned else now.color("sheet"))
        r = now.px(5)
        if work == "resurface":
            painter.drawRect(QRectF(x - r + 0.5, y - r + 0.5, 2 * r - 1, 2 * r - 1))
        elif work == "deep oil":
            painter.drawEllipse(QRectF(x - r, y - r, 2 * r, 2 * r))
        elif work in UPPER:
            wide = now.px(4)
            painter.drawRect(QRectF(x - wide / 2, y - r, wide, 2 * r))
        else:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QRectF(x - r + 1, y - r + 1, 2 * r - 2, 2 * r - 2))


class ShapesLegend(QWidget):
    """What the shapes mean."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName(
            "Shapes: a stroke is a refresh, a square resurfacing, a disc deep oil, a ring looking over; open ones are "
            "forecast. The bar below each is when it falls due, from one chance in ten to nine in ten."
        )
        look().changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(26))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Shapes with their words; what does not fit is left out."""
        painter, px, font = QPainter(self), look().px, look().font(12)
        metrics = QFontMetricsF(font)
        x, y = px(20), self.height() // 2
        for work, said in SHAPES:
            wide = round(metrics.horizontalAdvance(said))
            if x + px(14) + wide > self.width() - px(20):
                break
            if work == "doubt":
                _doubt(painter, x - px(3), x + px(13), y, "ink", open_end=False)
                x += px(8)
            else:
                shape(painter, work.removeprefix("open "), x + px(5), y, "ink", planned=not work.startswith("open "))
            cell = QRect(x + px(14), 0, wide + 2, self.height())
            write(painter, cell, said, font, "ink2")
            x += px(14) + wide + px(14)
        painter.end()


class SeasonList(RowsView):
    """The season's lines; ← → go from mark to mark on a line, Enter opens the week of the mark in hand."""

    held = Signal(object)
    """The stop in hand, or None."""
    week_wanted = Signal(object)
    """A day whose week shall be shown."""

    def __init__(self) -> None:
        self.painting = SeasonPainter()
        super().__init__("The season", RowsModel(spoken), self.painting)
        self._at = -1
        self.chosen.connect(self._line)
        self.opened.connect(lambda _row: self._open())

    def show_season(
        self, season: SeasonView, today: date, bans: tuple[tuple[date, date], ...], *, owners: bool = False
    ) -> None:
        """Another season or plan."""
        self.painting.owners = owners
        self.painting.season, self.painting.today, self.painting.bans = season, today, bans
        self.viewport().update()

    def stop(self) -> Stop | None:
        """The mark or week in hand."""
        return self.painting.hand

    def hold(self, number: int) -> None:
        """Take a stop of the line in hand."""
        stops = stops_of(self.in_hand()) if self.in_hand() is not None else []
        self._at = min(max(number, -1), len(stops) - 1)
        self.painting.hand = stops[self._at] if self._at >= 0 else None
        self.viewport().update()
        self.setAccessibleDescription(self.painting.hand.words if self.painting.hand else "")
        self.held.emit(self.painting.hand)

    def hold_job(self, ball_id: int, work: str) -> None:
        """Take the first mark of a job in hand, where the season has it."""
        line = self.in_hand()
        if not (isinstance(line, BallLine) and line.row.ball_id == ball_id) and not self.choose_where(
            lambda one: isinstance(one, BallLine) and one.row.ball_id == ball_id
        ):
            return
        held = self.painting.hand
        if held is None or held.mark is None or held.mark.work != work:
            stops = stops_of(self.in_hand())
            self.hold(next((n for n, stop in enumerate(stops) if stop.mark and stop.mark.work == work), self._at))

    def _line(self, row: object) -> None:
        before = self.painting.hand
        day = before.on if before is not None else self.painting.today
        if isinstance(row, Loads | BallLine):
            self.hold(nearest(stops_of(row), day) if day is not None else 0)

    def _open(self) -> None:
        if self.painting.hand is not None:
            self.week_wanted.emit(self.painting.hand.on)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """From mark to mark, or as a list does."""
        by = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if by is None or event.modifiers() & Qt.KeyboardModifier.AltModifier:
            super().keyPressEvent(event)
        else:
            self.hold(max(0, self._at + by))

    def mouse_stop(self, index: QModelIndex | QPersistentModelIndex, x: int) -> None:
        """Take the stop nearest to where the mouse was pressed."""
        season, row = self.painting.season, self.in_hand()
        if season is None or not index.isValid() or row is None:
            return
        axis = Axis(self.visualRect(self.currentIndex()), season.first_on, season.last_on)
        stops = stops_of(row)
        self.hold(min(range(len(stops)), key=lambda i: abs(axis.middle(stops[i].on) - x), default=-1))


class SeasonHeads(Following):
    """Months, week numbers and events over the season."""

    def __init__(self, rows: SeasonList) -> None:
        super().__init__(rows)
        self._season: SeasonView | None = None
        look().changed.connect(self._dress)
        self._dress()

    def show_season(self, season: SeasonView) -> None:
        """Another season."""
        self._season = season
        told = "; ".join(f"{event.name}, {event.words}" for event in season.events)
        self.setAccessibleName(f"Weeks across{': ' + told if told else ''}")
        self.update()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(54))
        self.update()

    def sizeHint(self) -> QSize:
        """Three lines of captions."""
        return look().size(300, 54)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Months, weeks, events."""
        if self._season is None:
            return
        painter, px, font = QPainter(self), look().px, look().font(12, 500)
        axis = Axis(self.row(), self._season.first_on, self._season.last_on)
        metrics = QFontMetricsF(font)
        shown = -1
        free_month = free_week = 0.0
        for monday in axis.mondays():
            x = axis.x(monday)
            cell = QRect(x + 2, 0, px(60), px(18))
            if monday.month != shown and x >= free_month and x + px(24) < axis.right:
                free_month = x + write(painter, cell, days.month(monday), font, "ink2") + px(8)
                shown = monday.month
            number = str(monday.isocalendar().week)
            if x >= free_week and x + metrics.horizontalAdvance(number) <= axis.right:
                free_week = x + write(painter, cell.translated(0, px(17)), number, look().font(12), "ink3") + px(7)
        write(painter, QRect(px(20), px(17), px(NAME_WIDTH), px(18)), "Week", look().font(12), "ink3")
        self._events(painter, axis)
        paint.hairline(painter, px(20), self.width() - px(20), self.height() - 1)
        painter.end()

    def _events(self, painter: QPainter, axis: Axis) -> None:
        if self._season is None:
            return
        px, events = look().px, sorted(self._season.events, key=lambda event: event.on)
        places = [axis.middle(event.on) for event in events]
        for number, event in enumerate(events):
            x = places[number]
            painter.fillRect(QRect(x, px(36), look().line(2), px(18)), look().color("warn"))
            room = (places[number + 1] if number + 1 < len(places) else axis.right) - x - px(8)
            cell = QRect(x + px(5), px(35), max(0, room), px(18))
            if room > px(24):
                write(painter, cell, event.name, look().font(12, 500), "warn")
