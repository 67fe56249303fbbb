"""“If it is light, high, through the nose, quits”: the feet first, then the ball, from the order's own numbers.

Each is reckoned: a move on the lane as such a miss shows it, a ball down from the room each ball has on
its own best line. What does not come out is left out, never guessed.
"""

from __future__ import annotations

from arsenal.acts import moves
from arsenal.acts.shop import Shop
from arsenal.acts.views import CardMove, LaneSide
from arsenal.motion.records import BestLine
from arsenal.order.records import OrderRow

HOLDS = 0.10
"""A ball holds where it strikes boards 17 to 18 this often on its best line (our own assumption)."""
MISSED_BOARDS = 1.5
"""How far a light or high hit is taken to land from flush (our own assumption)."""
LESS_BOARDS = 2.0


def card_moves(shop: Shop, side: LaneSide, row: OrderRow) -> tuple[CardMove, ...]:
    """Up to four rows for the ball in hand."""
    if not isinstance(row.best, BestLine):
        return ()
    rows = side.order.rows
    at = rows.index(row)
    stronger, weaker = rows[:at][::-1], rows[at + 1 :]
    found = []
    for saw, others in (("light", stronger), ("high", weaker)):
        feet = _feet(shop, side, row, saw)
        if feet:
            found.append(CardMove(saw, feet, _holds(others) or "none holds"))
    much = _holds([other for other in weaker if row.boards - other.boards >= LESS_BOARDS])
    later = _holds([other for other in weaker if _reads_later(other, row)])
    if much:
        found.append(CardMove("through the nose", "ball down now", much))
    if later:
        found.append(CardMove("quits", "ball down now", later))
    return tuple(found)


def _feet(shop: Shop, side: LaneSide, row: OrderRow, saw: str) -> str:
    """The smallest move that brings such a miss back; nothing where none brings half of it."""
    tried = moves.moves(shop, side, row.ball.id, saw=saw, boards_off=MISSED_BOARDS).corrections
    return next((c.words for c in tried if c.kind == "move"), "")


def _holds(rows: list[OrderRow] | tuple[OrderRow, ...]) -> str:
    """The first ball that has room on a line of its own."""
    for row in rows:
        if isinstance(row.best, BestLine) and row.best.room >= HOLDS and not row.trace.rolls_out:
            return row.ball.name
    return ""


def _reads_later(other: OrderRow, row: OrderRow) -> bool:
    """True where `other` keeps its skid clearly longer."""
    if row.first_read_m is None or other.first_read_m is None:
        return other.first_read_m is None and row.first_read_m is not None
    return other.first_read_m - row.first_read_m > row.first_read_sd_m
