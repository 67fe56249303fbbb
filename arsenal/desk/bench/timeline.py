"""The timeline of a ball: its finish falling and being set again, with doubt, readings, work, games and cleanings.

Rougher is up (y is −ln grit). Dragging the line, or ← → while it has the focus, asks for the state of a past day.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.acts.words import two_figures
from arsenal.desk.bench import words
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import write
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.surface.state import Moment

SHOWN_DAYS = 77
GRID = (250, 360, 500, 700, 1000, 1500, 2000, 3000, 4000, 5000, 7000)
LEFT, RIGHT, TOP, GAMES = 62, 20, 34, 62
MOST_BAR_GAMES = 6.0


class Timeline(QWidget):
    """Painted; told to a screen reader as one sentence."""

    day_wanted = Signal(object)
    """The past day under the line, None for today."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._moments: Sequence[Moment] = ()
        self._today = date(2000, 1, 1)
        self._first = self._today
        self._day: date | None = None
        self._settled = 4000.0
        self._low, self._high = 500.0, 6000.0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Timeline of the finish")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        look().changed.connect(self.update)

    def show_ball(self, moments: Sequence[Moment], settled_grit: float, today: date, *, other: bool) -> None:
        """The moments of a ball, oldest first; `other` when it is another ball than before."""
        self._moments, self._settled, self._today = moments, settled_grit, today
        if other or self._first > today:
            self._day = None
            self._first = today - timedelta(days=SHOWN_DAYS)
        self._scale()
        works = [m for m in moments if m.label and m.kind in ("sanded", "polished", "new")]
        told = "; ".join(f"{m.label} on {words.day(m.on, today)}" for m in works[-4:])
        self.setAccessibleDescription(f"Finishes set: {told}. Left and right arrows show a past day." if works else "")
        self.update()

    def at_day(self) -> date | None:
        """The past day shown, None for today."""
        return self._day

    def go(self, day: date | None) -> None:
        """Put the line on a day and ask for its state."""
        first = self._moments[0].on if self._moments else self._today
        if day is not None:
            day = max(day, first)
            day = None if day >= self._today else day
        if day is not None and day < self._first:
            self._first = day - timedelta(days=7)
            self._scale()
        elif day is None:
            self._first = self._today - timedelta(days=SHOWN_DAYS)
            self._scale()
        if day != self._day:
            self._day = day
            self.day_wanted.emit(day)
        self.update()

    # where things lie

    def _scale(self) -> None:
        shown = [m for m in self._moments if m.on >= self._first] or list(self._moments[-1:])
        lows = [m.grit_low for m in shown] + [m.reading_low for m in shown if m.reading_low]
        highs = [m.grit_high for m in shown] + [m.reading_high for m in shown if m.reading_high]
        self._low = 0.85 * min([*lows, 900.0])
        self._high = 1.12 * max([*highs, self._settled])

    def _plot(self) -> QRect:
        px = look().px
        return QRect(px(LEFT), px(TOP), self.width() - px(LEFT + RIGHT), max(10, self.height() - px(TOP + GAMES + 24)))

    def _last(self) -> date:
        return min(self._today, self._first + timedelta(days=SHOWN_DAYS))

    def _x(self, on: date) -> float:
        plot = self._plot()
        span = max(1, (self._last() - self._first).days)
        return plot.left() + (on - self._first).days / span * (plot.width() - look().px(14))

    def _y(self, grit: float) -> float:
        plot = self._plot()
        share = math.log(max(grit, 1.0) / self._low) / math.log(self._high / self._low)
        return plot.top() + min(1.0, max(0.0, share)) * plot.height()

    def _day_at(self, x: float) -> date:
        plot = self._plot()
        share = (x - plot.left()) / max(1.0, plot.width() - look().px(14))
        return self._first + timedelta(days=round(share * max(1, (self._last() - self._first).days)))

    # mouse and keys

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the line."""
        self.go(self._day_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag it."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self.go(self._day_at(event.position().x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → a day, with Shift a week; Esc today."""
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if step is not None:
            week = 7 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            self.go((self._day or self._today) + timedelta(days=step * week))
        elif event.key() == Qt.Key.Key_Escape and self._day is not None:
            self.go(None)
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        """A wide chart, no higher than it must be: it takes what is left."""
        return look().size(760, 165)

    def minimumSizeHint(self) -> QSize:
        """A low one."""
        return look().size(240, 160)

    # painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Grid, band, line, readings, work, games, the day's line."""
        painter = QPainter(self)
        self._paint_grid(painter)
        self._paint_days(painter)
        if self._moments:
            painter.save()
            painter.setClipRect(self._plot().adjusted(0, -look().px(TOP), look().px(RIGHT), look().px(GAMES)))
            self._paint_band(painter)
            self._paint_line(painter)
            self._paint_games(painter)
            painter.restore()
            self._paint_readings(painter)
            self._paint_work(painter)
        self._paint_cursor(painter)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect())
        painter.end()

    def _paint_grid(self, painter: QPainter) -> None:
        px, plot = look().px, self._plot()
        font = look().font(12)
        write(painter, QRect(0, 0, px(LEFT) - px(4), px(18)), "rougher", font, "ink2", right=True, elide=False)
        last = -1e9
        for grit in GRID:
            if not self._low * 1.04 < grit < self._high * 0.96:
                continue
            y = round(self._y(grit))
            if y - last < px(20):
                continue
            last = y
            paint.hairline(painter, plot.left(), plot.right(), y)
            box = QRect(0, y - px(9), px(LEFT) - px(8), px(18))
            write(painter, box, f"{grit}", font, "ink2", right=True, elide=False)
        y = round(self._y(self._settled))
        painter.setPen(look().pen("edge", 1.0, (4, 3)))
        painter.drawLine(plot.left(), y, plot.right(), y)
        said = f"settles near {two_figures(self._settled):.0f}"
        late = self._last() - timedelta(days=SHOWN_DAYS // 7)
        crowded = any(m.reading_grit is not None and late <= m.on <= self._last() for m in self._moments)
        place = QRect(plot.left() + px(6), y + px(2), plot.width() - px(24), px(16))
        write(painter, place, said, font, "ink2", right=not crowded)

    def _paint_days(self, painter: QPainter) -> None:
        px, plot = look().px, self._plot()
        base = plot.bottom() + px(GAMES)
        font = look().font(12)
        paint.hairline(painter, plot.left(), plot.right(), base, "edge")
        for name, y in (("games", base - px(32)), ("cleaned", base - px(11))):
            write(painter, QRect(0, y - px(9), px(LEFT) - px(4), px(18)), name, font, "ink2", right=True, elide=False)
        on = self._first + timedelta(days=(7 - self._first.weekday()) % 7)
        while on <= self._last():
            box = QRect(round(self._x(on)) - px(40), base + px(3), px(80), px(18))
            painter.setFont(font)
            painter.setPen(look().color("ink2"))
            if box.right() <= self.width():
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words.day(on, self._today))
            on += timedelta(days=14)

    def _points(self) -> list[tuple[float, float, float, float]]:
        """(x, y, y low, y high) of the stepped estimate, from the left edge to the last day shown."""
        before = [m for m in self._moments if m.on < self._first]
        shown = [m for m in self._moments if self._first <= m.on <= self._last()]
        points: list[tuple[float, float, float, float]] = []
        if before:
            start = before[-1]
            points.append(self._point(self._x(self._first), start))
        for moment in shown:
            x = self._x(moment.on)
            if points:
                points.append((x, *points[-1][1:]))
            points.append(self._point(x, moment))
        if points:
            points.append((self._x(self._last()), *points[-1][1:]))
        return points

    def _point(self, x: float, moment: Moment) -> tuple[float, float, float, float]:
        return x, self._y(moment.grit), self._y(moment.grit_low), self._y(moment.grit_high)

    def _paint_band(self, painter: QPainter) -> None:
        points = self._points()
        outline = [QPointF(x, low) for x, _, low, _ in points] + [QPointF(x, high) for x, _, _, high in points[::-1]]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look().color("hand", 0.17))
        painter.drawPolygon(QPolygonF(outline))

    def _paint_line(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(look().pen("hand", 2.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y, _, _ in self._points()]))

    def _paint_readings(self, painter: QPainter) -> None:
        px = look().px
        for m in self._moments:
            if m.reading_grit is None or not self._first <= m.on <= self._last():
                continue
            x = round(self._x(m.on)) + px(4)
            low = round(self._y(m.reading_low or m.reading_grit))
            high = round(self._y(m.reading_high or m.reading_grit))
            ink = look().color("ink")
            painter.fillRect(QRect(x - 1, low, 2, high - low), ink)
            for y in (low, high):
                painter.fillRect(QRect(x - px(4), y - 1, px(9), 2), ink)
            self._diamond(painter, QPointF(x, self._y(m.reading_grit)), px(5), ink)

    @staticmethod
    def _diamond(painter: QPainter, at: QPointF, half: float, color: QColor) -> None:
        with paint.kept(painter):
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(color)
            corners = ((0, -half), (half, 0), (0, half), (-half, 0))
            painter.drawPolygon(QPolygonF([QPointF(at.x() + dx, at.y() + dy) for dx, dy in corners]))

    def _paint_work(self, painter: QPainter) -> None:
        px, plot = look().px, self._plot()
        font = look().font(12, 600)
        metrics, free = QFontMetricsF(font), -1e9
        for m in self._moments:
            if m.kind not in ("sanded", "polished") or not m.label or not self._first <= m.on <= self._last():
                continue
            x, y = self._x(m.on), self._y(m.grit)
            painter.fillRect(QRect(round(x), px(18), 1, max(0, round(y) - px(22))), look().color("edge"))
            with paint.kept(painter):
                painter.setPen(QPen(look().color("hand"), 1.8))
                painter.setBrush(look().color("sheet"))
                painter.drawEllipse(QPointF(x, y), px(4.5), px(4.5))
            wide = metrics.horizontalAdvance(m.label)
            left = min(x, plot.right() + px(RIGHT) - wide)
            if left > free:
                write(painter, QRect(round(left), 0, round(wide) + 4, px(18)), m.label, font, "ink", elide=False)
                free = left + wide + px(8)

    def _paint_games(self, painter: QPainter) -> None:
        px, plot = look().px, self._plot()
        base = plot.bottom() + px(GAMES)
        by_day: dict[date, float] = {}
        cleaned: set[date] = set()
        for m in self._moments:
            if not self._first <= m.on <= self._last():
                continue
            if m.kind == "played":
                by_day[m.on] = by_day.get(m.on, 0.0) + m.games
            elif m.kind == "cleaned":
                cleaned.add(m.on)
        font, free = look().font(12), -1e9
        for on, games in sorted(by_day.items()):
            x = round(self._x(on))
            tall = round(px(22) * min(games, MOST_BAR_GAMES) / MOST_BAR_GAMES) + px(2)
            painter.fillRect(QRect(x - px(4), base - px(20) - tall, px(8), tall), look().color("edge"))
            text = f"{games:.0f}" if games >= 0.5 else "½"
            if x - px(8) > free:
                painter.setFont(font)
                painter.setPen(look().color("ink2"))
                box = QRect(x - px(14), base - px(22) - tall - px(15), px(28), px(15))
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
                free = x + px(6)
        with paint.kept(painter):
            painter.setPen(QPen(look().color("good"), 1.6))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for on in cleaned:
                painter.drawEllipse(QPointF(self._x(on), base - px(11)), px(3.5), px(3.5))

    def _paint_cursor(self, painter: QPainter) -> None:
        px, plot = look().px, self._plot()
        x = round(self._x(self._day or self._last()))
        painter.fillRect(QRect(x - 1, 0, 2, plot.bottom() + px(GAMES)), look().color("hand"))
        if self._day is not None:
            said = words.day(self._day, self._today)
            font = look().font(12, 600)
            wide = round(QFontMetricsF(font).horizontalAdvance(said)) + px(12)
            box = QRectF(min(x + 2, self.width() - wide), plot.bottom() - px(20), wide, px(20))
            painter.fillRect(box, look().color("hand"))
            painter.setFont(font)
            painter.setPen(look().color("on_hand"))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, said)
