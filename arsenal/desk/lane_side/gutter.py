"""Right of the plots: the paths' names at their ends, never overlapping, and what the cursor reads on each."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from arsenal.desk.lane_side.curves import WHAT_IF, Curve
from arsenal.desk.parts import paint
from arsenal.desk.parts.text import set_tip
from arsenal.desk.theme import look
from arsenal.desk.tokens import SERIES
from arsenal.trade.units import KMH_MPS, MPH_MPS

POCKET = -2
ROW = 19


def spread(wanted: Sequence[float], apart: float, top: float, bottom: float) -> list[float]:
    """Places as near as may be to the ones wanted (ascending), `apart` from each other, between top and bottom."""
    if not wanted:
        return []
    step = min(apart, (bottom - top) / max(1, len(wanted) - 1)) if len(wanted) > 1 else apart
    groups: list[tuple[float, int]] = []
    for place in wanted:
        middle, count = place, 1
        while groups and middle - (count - 1) * step / 2.0 < groups[-1][0] + (groups[-1][1] + 1) * step / 2.0:
            other, many = groups.pop()
            middle = (middle * count + other * many) / (count + many)
            count += many
        groups.append((middle, count))
    placed = [m + (i - (n - 1) / 2.0) * step for m, n in groups for i in range(n)]
    for i, place in enumerate(placed):
        placed[i] = max(place, top + i * step)
    for i in range(len(placed) - 1, -1, -1):
        placed[i] = min(placed[i], bottom - (len(placed) - 1 - i) * step)
    return placed


class Names(QWidget):
    """A name beside the end of each path, with a thin line to it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._names: list[tuple[str, int, float]] = []
        self._top = 0.0

    def show_names(self, names: Sequence[tuple[str, int, float]], pocket_y: float, top: float) -> None:
        """(name, series, y of the end) of each path; y in this widget's pixels."""
        self._names = sorted([*names, ("pocket", POCKET, pocket_y)], key=lambda n: n[2])
        self._top = top
        self.setAccessibleName("Paths drawn: " + ", ".join(name for name, _, _ in self._names))
        self.update()

    def placed(self) -> list[tuple[str, int, float, float]]:
        """(name, series, y of the end, y of the name)."""
        high = QFontMetricsF(look().font(12, 600)).height()
        wanted = [y for _, _, y in self._names]
        apart = high + look().px(5)
        places = spread(wanted, apart, self._top + high / 2, self.height() - high / 2 - 2)
        return [(name, series, y, at) for (name, series, y), at in zip(self._names, places, strict=True)]

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw leaders and names."""
        painter, now = QPainter(self), look()
        for name, series, end, at in self.placed():
            token = "ink2" if series == POCKET else "hand" if series == WHAT_IF else SERIES[series].token
            with paint.kept(painter):
                painter.setPen(QPen(now.color(token), 1.0))
                painter.drawLine(QPointF(now.px(4), end), QPointF(now.px(22), at))
            painter.setPen(now.color(token))
            painter.setFont(now.font(12, 600 if series == 0 else 500))
            left = now.px(26)
            room = QRectF(left, at - 20, self.width() - left - now.px(6), 40)
            shown = QFontMetricsF(painter.font()).elidedText(name, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        painter.end()


class Readout(QWidget):
    """“At 35 ft: board, left, mph” for every path, in the order of the names."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.system = "imperial"
        self._feet, self._rows = 0.0, []  # type: ignore[var-annotated]
        set_tip(
            self,
            "Board from the own gutter, skid left and speed at the cursor. Arrow keys move it, with Shift by 5 ft; so "
            "does the mouse.",
        )

    def show_at(self, feet: float, curves: Sequence[Curve]) -> None:
        """Read every path at a distance."""
        self._feet = feet
        self._rows = [(c.name, c.series, *c.at(feet)) for c in curves]
        self.setAccessibleName(self.text())
        self.update()

    def speed_unit(self) -> str:
        """“mph” or “km/h”."""
        return "km/h" if self.system == "metric" else "mph"

    def speed(self, mph: float) -> str:
        """“14.2”."""
        return f"{mph * (MPH_MPS / KMH_MPS if self.system == 'metric' else 1.0):.1f}"

    def text(self) -> str:
        """The whole read-out in words."""
        unit = self.speed_unit()
        told = [f"{name} board {b:.0f}, {s:.0f} % skid left, {self.speed(v)} {unit}" for name, _, b, s, v in self._rows]
        return f"At {self._feet:.0f} ft: " + "; ".join(told)

    def _heads(self) -> tuple[int, int]:
        """Heights of the line that says where, and of the heads of the columns."""
        return look().px(18), look().px(19)

    def wanted_height(self, rows: int) -> int:
        """Height for both heads and so many rows."""
        return sum(self._heads()) + look().px(4 + ROW * rows)

    def _edges(self) -> tuple[int, int, int]:
        """Right edges of board, skid left and speed: speed at the end, skid left halfway to the sample lines."""
        metrics = QFontMetricsF(look().font(13, 600))
        gap = look().px(9)
        speed = max(metrics.horizontalAdvance("20.0"), metrics.horizontalAdvance(self.speed_unit()))
        left = round(self.width() - speed - gap)
        board = round(left - metrics.horizontalAdvance("100 %") - look().px(6))
        return board, left, self.width()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw heads and rows."""
        painter, now = QPainter(self), look()
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        edges, (above, head) = self._edges(), self._heads()
        painter.setFont(now.font(12, 600))
        painter.setPen(now.color("hand"))
        painter.drawText(QRect(0, 0, self.width(), above), Qt.AlignmentFlag.AlignVCenter, f"At {self._feet:.0f} ft")
        painter.setFont(now.font(12))
        painter.setPen(now.color("ink2"))
        for text, edge in zip(("board", "left", self.speed_unit()), edges, strict=True):
            painter.drawText(QRect(0, above, edge, head), right, text)
        top = above + head
        paint.hairline(painter, 0, self.width(), top)
        step = min(now.px(ROW), max(now.px(14), (self.height() - top - 2) // max(1, len(self._rows))))
        for number, row in enumerate(self._rows):
            self._paint_row(painter, QRect(0, top + 2 + number * step, self.width(), step), row, edges)
        painter.end()

    def _paint_row(
        self, painter: QPainter, box: QRect, row: tuple[str, int, float, float, float], edges: tuple[int, int, int]
    ) -> None:
        now = look()
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        _, series, board, skid, mph = row
        with paint.kept(painter):
            painter.setPen(now.what_if_pen() if series == WHAT_IF else now.series_pen(series))
            painter.drawLine(QPointF(0, box.center().y()), QPointF(now.px(28), box.center().y()))
        told = ((f"{board:.0f}", 600 if series == 0 else 400), (f"{skid:.0f} %", 600), (self.speed(mph), 400))
        painter.setPen(now.color("ink"))
        for (text, weight), edge in zip(told, edges, strict=True):
            painter.setFont(now.font(13, weight))
            painter.drawText(QRect(0, box.top(), edge, box.height()), right, text)
