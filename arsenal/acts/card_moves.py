"""“If it is light, high, through the nose, quits”: the feet first, then the ball, from the order's own numbers.

Each is reckoned: a move by tracing the ball beside its best line, a ball down from the room each ball has on
its own best line. What does not come out is left out, never guessed.
"""

from __future__ import annotations

import math

from arsenal.acts import own_side
from arsenal.acts.shop import Shop
from arsenal.acts.views import CardMove, LaneSide
from arsenal.motion import at_arrows, bed, body_of, grip, trace
from arsenal.motion.records import BestLine
from arsenal.order.records import OrderRow
from arsenal.trade.release import Line, Style
from arsenal.trade.units import BOARD_M

HOLDS = 0.10
"""A ball holds where it strikes boards 17 to 18 this often on its best line (our own assumption)."""
MISSED_BOARDS = 1.5
"""How far a light or high hit is taken to land from flush (our own assumption)."""
PART_OF_IT = 0.5
"""A move that brings back less than this share of the miss is no answer."""
FEET_AND_EYES = ((1, 1), (2, 2), (3, 3), (2, 1), (3, 2), (3, 1))
"""Boards for the feet and for the eyes: parallel moves, and those that turn the line."""
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
    """The move, feet and eyes in whole boards, that best brings a miss back; nothing where none brings half of it.

    The way is common practice: toward the dry outside for light, toward the oil inside for high. How far is reckoned.
    """
    style = side.bowler.style
    if style is None:
        return ""
    film = bed(side.lane, side.bowler.hooks_to_left, shop.priors)
    hold = grip(row.ball, row.state, shop.priors, style, float(film.volume_m3[0]))
    body = body_of(row.ball, row.state)

    def landing_boards(moved: Line) -> float:
        return trace(film, body, style.on(moved), hold).landing_m / BOARD_M

    flush = landing_boards(line)
    way = 1 if missed_boards > 0 else -1
    left = {}
    for feet, eyes in FEET_AND_EYES:
        moved = _moved(line, way * feet, way * eyes)
        if _can(style, moved):
            left[feet, eyes] = abs(missed_boards + landing_boards(moved) - flush)
    best = min(left, key=lambda move: (round(left[move], 1), move), default=None)
    if best is None or left[best] > (1.0 - PART_OF_IT) * abs(missed_boards):
        return ""
    word = own_side.inward(side.bowler) if way > 0 else own_side.outward(side.bowler)
    return f"{best[0]} {word}" if best[0] == best[1] else f"{best[0]} and {best[1]} {word}"


def _moved(line: Line, feet: int, eyes: int) -> Line:
    """The line with the laydown `feet` boards and the place over the arrows `eyes` boards further in."""
    arrows_m = at_arrows(line)[0]
    turned = (eyes - feet) * BOARD_M / arrows_m
    return Line(line.lateral_m + feet * BOARD_M, math.atan(math.tan(line.launch_rad) + turned))


def _can(style: Style, line: Line) -> bool:
    zone = style.zone
    return (
        zone.lateral_low_m <= line.lateral_m <= zone.lateral_high_m
        and zone.launch_low_rad <= line.launch_rad <= zone.launch_high_rad
    )


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
