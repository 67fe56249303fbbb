"""“If it is light, high, through the nose, quits”: the feet first, then the ball, from the order's own numbers.

Each is reckoned: a parallel move by tracing the ball beside its best line, a ball down from the room each ball has on
its own best line. What does not come out is left out, never guessed.
"""

from __future__ import annotations

from arsenal.acts import own_side
from arsenal.acts.shop import Shop
from arsenal.acts.views import CardMove, LaneSide
from arsenal.motion import bed, body_of, grip, trace
from arsenal.motion.records import BestLine
from arsenal.order.records import OrderRow
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M

HOLDS = 0.10
"""A ball holds where it strikes boards 17 to 18 this often on its best line (our own assumption)."""
MISSED_BOARDS = 1.5
"""How far a light or high hit is taken to land from flush (our own assumption)."""
PART_OF_IT = 0.5
"""A move that brings back less than this share of the miss is no answer."""
FEET = (1, 2, 3)
LESS_BOARDS = 2.0


def moves(shop: Shop, side: LaneSide, row: OrderRow) -> tuple[CardMove, ...]:
    """Up to four rows for the ball in hand."""
    if not isinstance(row.best, BestLine):
        return ()
    rows = side.order.rows
    at = rows.index(row)
    stronger, weaker = rows[:at][::-1], rows[at + 1 :]
    found = []
    for saw, miss, others in (("light", -MISSED_BOARDS, stronger), ("high", MISSED_BOARDS, weaker)):
        feet = _feet(shop, side, row, row.best.line, miss)
        if feet:
            found.append(CardMove(saw, feet, _holds(others) or "none holds"))
    much = _holds([other for other in weaker if row.boards - other.boards >= LESS_BOARDS])
    later = _holds([other for other in weaker if _reads_later(other, row)])
    if much:
        found.append(CardMove("through the nose", "ball down now", much))
    if later:
        found.append(CardMove("quits", "ball down now", later))
    return tuple(found)


def _feet(shop: Shop, side: LaneSide, row: OrderRow, line: Line, missed_boards: float) -> str:
    """The parallel move in whole boards that best brings a miss back; nothing where none brings half of it back."""
    style = side.bowler.style
    if style is None:
        return ""
    film = bed(side.lane, side.bowler.hooks_to_left, shop.priors)
    hold = grip(row.ball, row.state, shop.priors, style, float(film.volume_m3[0]))
    body = body_of(row.ball, row.state)

    def landing_boards(move: int) -> float:
        moved = Line(line.lateral_m + move * BOARD_M, line.launch_rad)
        return trace(film, body, style.on(moved), hold).landing_m / BOARD_M

    flush = landing_boards(0)
    left = {}
    for feet in FEET:
        for move in (feet, -feet):
            lateral_m = line.lateral_m + move * BOARD_M
            if style.zone.lateral_low_m <= lateral_m <= style.zone.lateral_high_m:
                left[move] = abs(missed_boards + landing_boards(move) - flush)
    best = min(left, key=lambda move: (left[move], abs(move)), default=None)
    if best is None or left[best] > (1.0 - PART_OF_IT) * abs(missed_boards):
        return ""
    way = own_side.inward(side.bowler) if best > 0 else own_side.outward(side.bowler)
    return f"{abs(best)} {way}"


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
