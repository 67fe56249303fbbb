"""Where the columns of the order list stand, from the width of the pane, the fonts and the reach of the bars."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QFontMetricsF

from arsenal.desk.lane_side.rows import Reach
from arsenal.desk.theme import look


@dataclass(frozen=True, slots=True)
class Columns:
    """Pixels from the left edge of the pane; `boards` and `right` are right edges, `zero` the benchmark's line."""

    bracket: int
    place: int
    fall: int
    fall_wide: int
    name: int
    name_wide: int
    read: int
    read_wide: int
    zero: float
    per_board: float
    boards: int
    right: int
    margin: int

    @classmethod
    def of(cls, width: int, reach: Reach, *, compact: bool) -> Columns:
        """Columns at `width`: numbers keep their room, then the bars, then the name."""
        now = look()
        margin = now.px(20)
        right = width - margin
        sd = QFontMetricsF(now.font(12)).horizontalAdvance(reach.doubt)
        wide = QFontMetricsF(now.font(18, 600)).horizontalAdvance(reach.number)
        boards = round(right - sd - now.px(6))
        bar_right = round(boards - wide - now.px(12))
        bar_wide = round(min(width * 0.165, now.px(220)))
        read_wide = round(QFontMetricsF(now.font(12)).horizontalAdvance("medium")) + now.px(6)
        read = bar_right - bar_wide - now.px(8) - read_wide
        name = now.px(64 if compact else 82)
        per_board = bar_wide / (reach.high - reach.low)
        return cls(
            bracket=now.px(6), place=now.px(23), fall=now.px(34), fall_wide=now.px(26 if compact else 40), name=name,
            name_wide=max(now.px(60), read - name - now.px(8)), read=read, read_wide=read_wide,
            zero=bar_right - bar_wide - reach.low * per_board, per_board=per_board, boards=boards, right=right,
            margin=margin,
        )  # fmt: skip
