"""Moves at the line: what a move of feet and target does with the ball in hand, and what brings a miss back."""

from __future__ import annotations

import math
from dataclasses import dataclass

from arsenal.acts import lane_side, own_side, rules_now
from arsenal.acts.recipes import recipes_for
from arsenal.acts.shop import Shop
from arsenal.acts.views import LaneSide
from arsenal.motion.attempts import Attempt
from arsenal.motion.moves import Moved, both_ways, try_moves
from arsenal.motion.records import POCKET_M, BestLine, Floats
from arsenal.order import shot as shots
from arsenal.order import words
from arsenal.order.corrections import At, Correction, corrections
from arsenal.order.missed import LONG, Missed, attempt, missed
from arsenal.order.records import OrderRow
from arsenal.order.shot import Shot
from arsenal.trade.errors import NotFound
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M

DRAWS = 100
FINE_ROOM_BOARDS = 1.0
"""Under this much room in all, moves are counted by half boards."""


@dataclass(frozen=True, slots=True)
class MovesSheet:
    """What the moves panel shows for the ball in hand."""

    ball_id: int
    saw: str
    """high, light, long; empty where nothing was seen and the ball is taken as it is reckoned."""
    line: Line
    """Where it was thrown: the ball's own best line, or the shared shot's where it has none."""
    moved: tuple[Moved, ...]
    """The usual moves, each both ways."""
    corrections: tuple[Correction, ...]
    """The smallest of each kind that brings it back, side by side; empty where nothing was seen."""
    sentence: str
    """“Ended 2 high: 2 and 1 left holds 17½ ± 1.”"""
    boards_off: float = 0.0
    """How far from 17½ it was seen to end, toward high."""
    film_factor: float = 1.0
    """Film on the lane as it then seems, over what the condition says."""
    stance_board: float | None = None
    """Where the feet stand for `line`, from the own gutter; None where the bowler's drift was never measured."""


def moves(
    shop: Shop, side: LaneSide, ball_id: int, *, saw: str = "", boards_off: float | None = None
) -> MovesSheet:  # fmt: skip
    """The moves for one ball of the set in `side`. `saw` is high, light or long, `boards_off` how far from 17½ it
    ended (2 where nobody counted). Raises NotFound where the set does not hold the ball, KnownError for another word,
    OutOfRange for boards that cannot be.
    """
    row = _row(side, ball_id)
    rule, recipes = rules_now.rule_state(shop, side.bowler.id), recipes_for(shop, side.bowler.id, row.ball)
    owned = tuple((r.ball, r.state) for r in (*side.order.rows, *side.order.spares))
    known = lane_side.known_of(shop, side)
    key = ("moves", known.key, side.lane_now, side.order.line, side.order.stamp.seed, row.ball, owned, recipes,
           shop.pads(), rule.pads_allowed, saw, boards_off)  # fmt: skip

    def make() -> MovesSheet:
        if not saw:
            return _as_reckoned(shop, side, row)
        at = At(owned, recipes, shop.pads_by_id(), rule.pads_allowed, _step(row))
        return _after(shop, side, row, saw, boards_off, at)

    return shop.remembered(key, make)


def _row(side: LaneSide, ball_id: int) -> OrderRow:
    for row in (*side.order.rows, *side.order.spares):
        if row.ball.id == ball_id:
            return row
    raise NotFound("That ball is not in this set.", next_step="Choose a ball of the set.")


def _line(side: LaneSide, row: OrderRow) -> Line:
    return row.best.line if isinstance(row.best, BestLine) else side.order.line


def _step(row: OrderRow) -> float:
    if not isinstance(row.best, BestLine):
        return 1.0
    return 0.5 if row.best.room_in_boards + row.best.room_out_boards < FINE_ROOM_BOARDS else 1.0


def _as_reckoned(shop: Shop, side: LaneSide, row: OrderRow) -> MovesSheet:
    line, stamp, known = _line(side, row), side.order.stamp, lane_side.known_of(shop, side)
    shot = shots.shared_shot(
        known.bowler, side.lane_now, known.priors, line=line, seed=stamp.seed, draws=DRAWS, taught=known.taught
    )  # fmt: skip
    thrown = attempt(shot, row.ball, row.state, line)
    return MovesSheet(row.ball.id, "", line, _usual(shot, thrown), (), "", stance_board=_stance(side, line))


def _after(
    shop: Shop, side: LaneSide, row: OrderRow, saw: str, boards_off: float | None, at: At
) -> MovesSheet:  # fmt: skip
    line, known = _line(side, row), lane_side.known_of(shop, side)
    miss = missed(
        known.bowler, side.lane_now, row.ball, row.state, known.priors, line=line, saw=saw, boards_off=boards_off,
        seed=side.order.stamp.seed, draws=DRAWS, taught=known.taught,
    )  # fmt: skip
    off = (miss.seen_m - POCKET_M) / BOARD_M
    found = corrections(miss, at)
    usual = _usual(miss.shot, miss.thrown, miss.started_m)
    return MovesSheet(
        row.ball.id, saw, line, usual, found, _sentence(side, miss, off, found), off, miss.factor, _stance(side, line)
    )  # fmt: skip


def _usual(shot: Shot, thrown: Attempt, started_m: Floats | float = 0.0) -> tuple[Moved, ...]:
    return try_moves(shot.bed, thrown, both_ways(), stack=shot.stack, started_m=started_m)


def _stance(side: LaneSide, line: Line) -> float | None:
    drift = side.bowler.stance_to_laydown_boards
    return None if drift is None else own_side.board(side.bowler, line.lateral_m) + drift


def _sentence(side: LaneSide, miss: Missed, off: float, found: tuple[Correction, ...]) -> str:
    """What was seen, and the first thing that brings it back in the order bowlers try them."""
    ended = f"Ended {words.halves(off)} {'high' if off > 0.0 else 'light'}"
    if miss.saw == LONG:
        ended += " and read late"
        if miss.longer_m:
            ended += f", as if the oil went {miss.longer_m / FOOT_M:.0f} ft farther"
    if not miss.explained:
        return f"{ended}, which no film on this lane explains: look at the release and at what is on the ball."
    best = next((c for c in found if c.reaches and c.allowed and c.landing_m), None)
    if best is not None and best.landing_m is not None:
        board = own_side.board(side.bowler, best.landing_m.mean)
        sd = best.landing_m.sd / BOARD_M
        return f"{ended}: {best.words} holds {words.amount(board, sd)} ± {words.doubt(sd)}."
    near = min((c for c in found if c.allowed and c.landing_m), key=_off, default=None)
    if near is None:
        return f"{ended}: there is nothing to change here."
    return f"{ended}: nothing tried brings it back; nearest is {near.words}, which {near.why_not}."


def _off(one: Correction) -> float:
    return abs(one.landing_m.mean - POCKET_M) if one.landing_m else math.inf
