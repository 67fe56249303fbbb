"""One ball's room at one stage as a bar out of a centre tick, with its words under it."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from arsenal.acts.event_views import RoomCell
from arsenal.desk.event.rows import says_room
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import write
from arsenal.desk.theme import look

BAR_SHARE, BAR_MOST, REACH = 0.74, 132.0, 3.0
"""Width of the scale as a share of the column, at most, and the boards it shows each way unless some ball has more."""
THIN, THICK = 6.0, 10.0


def bar(painter: QPainter, box: QRect, cell: RoomCell, reach: float, ground: str) -> None:
    """The scale in `box`: inside misses to the left, outside ones to the right; thick and `ink` for the best."""
    now = look()
    wide = min(now.px(BAR_MOST), round(BAR_SHARE * box.width()))
    middle, half = box.left() + wide // 2, wide / 2.0
    y = box.center().y()
    paint.hairline(painter, box.left(), box.left() + wide, y)
    strong = "ink" if cell.best else "edge"
    if cell.in_boards is not None and cell.out_boards is not None:
        left = middle - round(min(1.0, max(0.0, cell.in_boards) / reach) * half)
        right = middle + round(min(1.0, max(0.0, cell.out_boards) / reach) * half)
        thick = now.px(THICK if cell.best else THIN)
        told = cell.best or says_room(cell)
        color = now.color(strong) if told else now.tint(strong, ground, 0.6)
        painter.fillRect(QRect(left, y - thick // 2, max(1, right - left), thick), color)
    tick, high = now.line(1), now.px(12)
    painter.fillRect(QRect(middle, y - high // 2, tick, high), now.color("ink2"))
    if cell.best:
        painter.fillRect(QRect(middle, y - now.px(THICK) // 2, tick, now.px(THICK)), now.color(ground))


def cell_words(painter: QPainter, box: QRect, cell: RoomCell, *, px: float = 13, two_lines: bool = False) -> None:
    """“2 in, 1½ out” in `box`; the best is 600 and `ink`."""
    font = look().font(px, 600 if cell.best else 400)
    token = "ink" if cell.best else "ink2"
    parts = cell.words.split(", ", 1)
    if two_lines and len(parts) == 2 and QFontMetricsF(font).horizontalAdvance(cell.words) > box.width():
        half = box.height() // 2
        write(painter, QRect(box.left(), box.top(), box.width(), half), parts[0] + ",", font, token)
        write(painter, QRect(box.left(), box.top() + half, box.width(), half), parts[1], font, token)
        return
    painter.setFont(font)
    painter.setPen(look().color(token))
    flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine
    metrics = QFontMetricsF(font)
    painter.drawText(box, flags, metrics.elidedText(cell.words, Qt.TextElideMode.ElideRight, box.width() + 1))
