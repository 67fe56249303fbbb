"""The balls of the bag at the left of the Bench: fall, name, finish, due mark."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from arsenal.desk.bench import words
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, write
from arsenal.desk.theme import look


class BallPainter(RowPainter):
    """One ball a row; the spare ones below a full rule."""

    height = 50
    line_from = 66
    line_to = 20

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        px, state = look().px, row.state
        if row.first_spare:
            paint.hairline(painter, box.left(), box.right() + 1, box.top(), "edge")
        known = state.finish_on is not None or bool(state.finish)
        glyph = QRectF(box.left() + px(16), box.top() + px(8), px(40), px(34))
        paint.fall(
            painter, glyph, state.finish_set_grit if known else None, state.grit if known else None,
            low=state.grit_low, high=state.grit_high, token="hand" if chosen else "ink2",
        )  # fmt: skip
        left, right = box.left() + px(66), box.right() - px(44)
        top = QRect(left, box.top() + px(6), right - left, px(20))
        wide = write(painter, top, row.ball.name, look().font(15, 600), "ink")
        extra = "spare" if row.ball.spare else "" if state.holder.value == "in the bag" else state.holder.value
        if extra:
            rest = top.adjusted(round(wide) + px(8), px(1), 0, 0)
            write(painter, rest, extra, look().font(12), "ink2")
        below = QRect(left, box.top() + px(25), box.right() - px(16) - left, px(18))
        wide = write(painter, below, words.finish(state), look().font(12, 600), "ink")
        rest = below.adjusted(round(wide), 0, 0, 0)
        write(painter, rest, words.line_rest(state), look().font(12), "ink2")
        size = px(15)
        paint.due_mark(painter, QRectF(box.right() - px(20) - size, box.top() + px(9), size, size), row.due)
