"""Painters of the small marks: fall, diverging bar, due mark, meter, key cap, hairline, focus ring.

Each takes a QPainter and a rectangle and leaves the painter as it found it. Colours come from the look.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from arsenal.desk import icons
from arsenal.desk.theme import look

FALL_LOW, FALL_HIGH = 420.0, 5600.0
FALL_SIZE = (32, 34)
"""Width and height of the glyph at base text size."""


def search_frame(field: QWidget, glass: int, at: int, *, focus: bool) -> None:
    """The frame of a search field with the glass in it, `glass` large and `at` from the left."""
    painter, now = QPainter(field), look()
    with kept(painter):
        width = 2 if focus else 1
        painter.setBrush(now.color("sheet"))
        painter.setPen(QPen(now.color("hand" if focus else "edge"), width))
        half = width / 2
        painter.drawRoundedRect(field.rect().toRectF().adjusted(half, half, -half, -half), 4, 4)
    icon = icons.pixmap("search", glass, "ink2", field.devicePixelRatioF())
    painter.drawPixmap(QPoint(at, (field.height() - glass) // 2), icon)
    painter.end()


@contextmanager
def kept(painter: QPainter, *, smooth: bool = True) -> Iterator[QPainter]:
    """Save and restore the painter around a drawing."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)
    try:
        yield painter
    finally:
        painter.restore()


def hairline(painter: QPainter, left: int, right: int, y: int, token: str = "rule") -> None:
    """A 1 px line from `left` to `right`, filled rather than stroked so that it stays crisp."""
    painter.fillRect(QRect(left, y, right - left, 1), look().color(token))


def focus_ring(painter: QPainter, rect: QRect, radius: float = 0.0) -> None:
    """The 2 px ring of the focused thing, inside `rect`."""
    with kept(painter, smooth=radius > 0):
        painter.setPen(QPen(look().color("hand"), 2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(QRectF(rect).adjusted(1, 1, -1, -1), radius, radius)


def chosen_ground(painter: QPainter, rect: QRect, *, focused: bool) -> None:
    """A chosen row: `sel`, the 4 px `hand` edge, and the ring only when focused."""
    painter.fillRect(rect, look().color("sel"))
    painter.fillRect(QRect(rect.left(), rect.top(), 4, rect.height()), look().color("hand"))
    if focused:
        focus_ring(painter, rect)


def fall_y(grit: float, rect: QRectF) -> float:
    """Height of a grit in the fall's box: log scale, rougher is up."""
    share = math.log(min(FALL_HIGH, max(FALL_LOW, grit)) / FALL_LOW) / math.log(FALL_HIGH / FALL_LOW)
    return rect.top() + share * rect.height()


def _falling(left: float, tick: float, reach: float, top: float, end: float) -> QPainterPath:
    line = QPainterPath(QPointF(left, top))
    line.lineTo(left + tick, top)
    span = reach - left - tick
    line.cubicTo(
        QPointF(left + tick + span * 0.30, top + (end - top) * 0.72),
        QPointF(left + tick + span * 0.60, end),
        QPointF(reach, end),
    )
    return line


def fall(
    painter: QPainter,
    rect: QRectF,
    set_grit: float | None,
    now_grit: float | None,
    *,
    low: float | None = None,
    high: float | None = None,
    token: str = "ink2",
    bold: float = 1.6,
) -> None:
    """A finish falling: tick where it was set, line down to where it is, dot with a bar (10th to 90th) for now.

    An unknown finish is a dotted level line, so that a ball nobody has told about still has its place.
    """
    color = look().color(token)
    with kept(painter):
        width = bold * max(1.0, look().scale)
        if now_grit is None:
            painter.setPen(QPen(look().color("edge"), width, Qt.PenStyle.DotLine))
            painter.drawLine(QPointF(rect.left(), rect.center().y()), QPointF(rect.right(), rect.center().y()))
            return
        started = set_grit if set_grit else now_grit
        dot = 1.6 * bold * max(1.0, look().scale)
        tick, reach = rect.width() * 0.16, rect.right() - dot - 0.5
        top, end = fall_y(started, rect), fall_y(now_grit, rect)
        painter.setPen(QPen(color, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawPath(_falling(rect.left(), tick, reach, top, end))
        if low and high:
            painter.drawLine(QPointF(reach, fall_y(low, rect)), QPointF(reach, fall_y(high, rect)))
        painter.setBrush(color)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawEllipse(QPointF(reach, end), dot, dot)


def whisker(painter: QPainter, left: float, right: float, y: float, half: float, token: str = "ink") -> None:
    """A 2 px whisker with end bars from `left` to `right`, snapped to pixels."""
    color, thick = look().color(token), look().line(2)
    a, b = sorted((round(left), round(right)))
    level, reach = round(y), round(half)
    painter.fillRect(QRect(a, level - thick // 2, max(thick, b - a), thick), color)
    for x in (a, b - thick if b - a > thick else a + 1):
        painter.fillRect(QRect(x, level - reach, thick, 2 * reach), color)


def diverging_bar(
    painter: QPainter,
    rect: QRect,
    zero_x: float,
    per_board: float,
    mean: float,
    low: float,
    high: float,
    *,
    token: str = "edge",
    ground: str = "sheet",
) -> None:
    """Boards left and right of the benchmark's line: solid to the near end, 35 % tint to the mean, whisker low–high.

    The whisker never crosses the solid part; where low and high straddle zero nothing is solid.
    """
    near = low if mean >= 0 else high
    solid = near if near * mean > 0 else 0.0
    with kept(painter, smooth=False):
        thick = look().px(9)
        top = rect.center().y() - thick // 2

        def block(start: float, end: float, color: QColor) -> None:
            a, b = sorted((round(zero_x + start * per_board), round(zero_x + end * per_board)))
            painter.fillRect(QRect(a, top, b - a, thick), color)

        block(solid, mean, look().tint(token, ground, 0.35))
        block(0.0, solid, look().color(token))
        whisker(
            painter, zero_x + low * per_board, zero_x + high * per_board, top + thick // 2, look().px(13) / 2.0
        )  # fmt: skip


def benchmark_block(painter: QPainter, rect: QRect, zero_x: float) -> None:
    """The benchmark's own mark: a block on the line."""
    painter.fillRect(
        QRect(round(zero_x) - look().px(3), rect.center().y() - look().px(8), look().px(7), look().px(16)),
        look().color("series3"),
    )


def due_mark(painter: QPainter, rect: QRectF, state: str) -> None:
    """Shape of a due state: ring fine, half disc soon, full disc due, diamond with ! over, ring with ✓ done."""
    with kept(painter):
        token = {"fine": "edge", "soon": "warn", "due": "warn", "over": "bad", "done": "good"}[state]
        color, width = look().color(token), 1.6 * max(1.0, look().scale)
        box = rect.adjusted(width / 2, width / 2, -width / 2, -width / 2)
        painter.setPen(QPen(color, width))
        if state == "over":
            _diamond(painter, rect, color)
            return
        painter.setBrush(color if state == "due" else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(box)
        if state == "soon":
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(color)
            painter.drawPie(box, 180 * 16, 180 * 16)
        elif state == "done":
            _tick(painter, box, color, width)


def _diamond(painter: QPainter, rect: QRectF, color: QColor) -> None:
    middle, half = rect.center(), min(rect.width(), rect.height()) / 2
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(color)
    path = QPainterPath(QPointF(middle.x(), middle.y() - half))
    for dx, dy in ((half, 0), (0, half), (-half, 0)):
        path.lineTo(middle.x() + dx, middle.y() + dy)
    path.closeSubpath()
    painter.drawPath(path)
    painter.setPen(QPen(look().color("sheet"), max(1.6, half * 0.24), Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.drawLine(QPointF(middle.x(), middle.y() - half * 0.50), QPointF(middle.x(), middle.y() + half * 0.10))
    painter.drawPoint(QPointF(middle.x(), middle.y() + half * 0.48))


def _tick(painter: QPainter, box: QRectF, color: QColor, width: float) -> None:
    painter.setPen(QPen(color, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin))
    x, y, w = box.left(), box.top(), box.width()
    mark = QPainterPath(QPointF(x + 0.27 * w, y + 0.52 * w))
    mark.lineTo(x + 0.45 * w, y + 0.69 * w)
    mark.lineTo(x + 0.74 * w, y + 0.34 * w)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(mark)


def meter(
    painter: QPainter, rect: QRect, share: float, low: float, high: float, *, due_at: float = 1.0, most: float = 2.0,
    token: str = "edge", ground: str = "sheet",
) -> None:  # fmt: skip
    """A bar of how far to due with a tick where it is due: solid to the low end, tint to the mean, whisker BELOW."""
    with kept(painter, smooth=False):
        thick = look().px(8)
        bar = QRect(rect.left(), rect.center().y() - thick // 2 - look().px(2), rect.width(), thick)
        painter.fillRect(bar, look().color("well"))

        def x(value: float) -> int:
            return bar.left() + round(min(1.0, max(0.0, value / most)) * bar.width())

        painter.fillRect(QRect(bar.left(), bar.top(), x(share) - bar.left(), thick), look().tint(token, ground, 0.5))
        painter.fillRect(QRect(bar.left(), bar.top(), x(low) - bar.left(), thick), look().color(token))
        if high > low:
            whisker(painter, x(low), x(high), bar.bottom() + look().px(5), look().px(7) / 2.0)
        painter.fillRect(
            QRect(x(due_at) - 1, bar.top() - look().px(4), look().line(2), thick + look().px(8)), look().color("ink")
        )


def key_cap(painter: QPainter, rect: QRectF, text: str, *, token: str = "ink", edge: str = "edge") -> None:
    """A key with its letter."""
    with kept(painter):
        painter.setPen(QPen(look().color(edge), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        painter.setPen(look().color(token))
        painter.setFont(look().font(12, 500))
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)
