"""Where the columns of the coach's sheet stand; in a narrow window the least of them give way."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect
from PySide6.QtGui import QFontMetricsF

from arsenal.desk.theme import look

WIDE, NARROW = 1200, 900
"""Logical widths under which the next ball down, and then last seen, due and the fall, have no column."""
KEY_WIDE, KEY_HIGH, KEY_GAP, KEYS = 48, 41, 6, 4
SHARES = {"name": 17.0, "hand": 23.0, "down": 17.0, "seen": 15.0, "due": 15.0}
"""Shares of what is left once tick, fall, boards and keys have their room."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Rectangles of a row; a column that is not shown has no width. `boards` is for the number, `doubt` for its ±."""

    tick: QRect
    name: QRect
    fall: QRect
    hand: QRect
    boards: QRect
    doubt: QRect
    down: QRect
    seen: QRect
    due: QRect
    keys: QRect

    @property
    def narrow(self) -> bool:
        """Whether last seen and due stand under the name."""
        return self.seen.width() == 0

    @classmethod
    def of(cls, box: QRect, number: str = "−8½", doubt: str = "± 1½") -> Columns:
        """Columns of a row in `box`; `number` and `doubt` are the widest texts of the boards."""
        px = look().px
        shown = _shown(look().logical(box.width()))
        keys_wide = keys_width()
        left, right = box.left() + px(52), box.right() + 1 - px(20) - keys_wide - px(12)
        number_wide = round(QFontMetricsF(look().font(18, 600)).horizontalAdvance(number)) + px(4)
        doubt_wide = round(QFontMetricsF(look().font(12)).horizontalAdvance(doubt)) + px(22)
        fall_wide = px(54) if "seen" in shown else 0
        room = right - left - fall_wide - number_wide - doubt_wide
        total = sum(SHARES[name] for name in shown)
        wide = {name: round(room * SHARES[name] / total) for name in shown}

        def at(x: int, width: int) -> QRect:
            return QRect(x, box.top(), max(0, width), box.height())

        gap = px(12)
        name = at(left, wide["name"] - gap)
        fall = at(left + wide["name"], max(0, fall_wide - px(8)))
        hand = at(left + wide["name"] + fall_wide, wide["hand"] - px(6))
        boards = at(left + wide["name"] + fall_wide + wide["hand"], number_wide)
        sd = at(boards.right() + 1 + px(5), doubt_wide - px(5))
        x = boards.right() + 1 + doubt_wide
        rest: dict[str, QRect] = {}
        for column in ("down", "seen", "due"):
            rest[column] = at(x, wide[column] - gap if column in wide else 0)
            x += wide.get(column, 0)
        tick = at(box.left() + px(20), px(18))
        keys = at(box.right() + 1 - px(20) - keys_wide, keys_wide)
        return cls(tick, name, fall, hand, boards, sd, rest["down"], rest["seen"], rest["due"], keys)


def keys_width() -> int:
    """Width of the four log keys."""
    return look().px(KEYS * KEY_WIDE + (KEYS - 1) * KEY_GAP)


def _shown(logical: float) -> tuple[str, ...]:
    if logical >= WIDE:
        return ("name", "hand", "down", "seen", "due")
    return ("name", "hand", "seen", "due") if logical >= NARROW else ("name", "hand")
