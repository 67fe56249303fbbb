"""Where the columns of the room's table stand: the ball, the stages in a row, carrydown apart."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect

from arsenal.desk.theme import look

BALL, BALL_LEAST, BALL_SHARE = 276.0, 186.0, 0.262
STAGE, STAGE_LEAST, STAGE_NARROW = 119.0, 80.0, 104.0
APART, MARGIN = 17.0, 20.0
TICK, FALL, NAME, HOME_NAME = 20.0, 46.0, 98.0, 44.0
FALL_WIDE = 40.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths in pixels: the ball's column, then one a stage; a variant stands `apart` from what is left of it."""

    ball: int
    stages: tuple[int, ...]
    apart: tuple[bool, ...]

    @classmethod
    def of(cls, width: int, variants: tuple[bool, ...]) -> Columns:
        """Columns for a table that wide; narrower than the least widths it has to be scrolled."""
        px, number = look().px, max(1, len(variants))
        apart = tuple(here and (at == 0 or not variants[at - 1]) for at, here in enumerate(variants))
        extra = sum(apart) * px(APART) + px(MARGIN)
        roomy = width - extra - number * px(STAGE)
        ball = max(px(BALL), round(BALL_SHARE * width)) if roomy >= px(BALL) else max(px(BALL_LEAST), roomy)
        each = max(px(STAGE_LEAST), (width - extra - ball) // number)
        wide = [each + (px(APART) if away else 0) for away in apart]
        if wide:
            wide[-1] = max(wide[-1] + px(MARGIN), width - ball - sum(wide[:-1]))
        return cls(ball, tuple(wide), apart)

    def stage_box(self, number: int, cell: QRect) -> QRect:
        """What of a stage's cell may be written in."""
        left = look().px(APART) if self.apart[number] else 0
        right = look().px(MARGIN) if number == len(self.stages) - 1 else look().px(8)
        return cell.adjusted(left, 0, -right, 0)

    @property
    def narrow(self) -> bool:
        """Whether a cell's words go in two lines."""
        return bool(self.stages) and self.stages[0] < look().px(STAGE_NARROW)

    def name_at(self, *, compact: bool) -> float:
        """Where a ball's name begins: after the fall, which gives way where there is little room."""
        return HOME_NAME if compact or self.narrow else NAME
