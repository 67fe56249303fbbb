"""Moves at the line: what a move of feet and target does with the ball in hand, and what brings a miss back."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal import motion
from arsenal.acts.shop import Shop
from arsenal.acts.views import LaneSide
from arsenal.motion.attempts import Attempt, Drawn
from arsenal.motion.moves import Moved, both_ways, try_moves
from arsenal.motion.records import BestLine
from arsenal.order import shot as shots
from arsenal.order.corrections import Correction
from arsenal.order.records import OrderRow
from arsenal.trade.errors import NotFound
from arsenal.trade.release import Line

DRAWS = 100


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


def moves(
    shop: Shop, side: LaneSide, ball_id: int, *, saw: str = "", boards_off: float | None = None
) -> MovesSheet:  # fmt: skip
    """The moves for one ball of the set in `side`. `saw` is high, light or long, `boards_off` how far from 17½ it
    ended (2 where nobody counted). Raises NotFound where the set does not hold the ball.
    """
    row = _row(side, ball_id)
    key = ("moves", side.bowler, side.lane, side.order.line, side.order.stamp, row.ball, row.state, saw, boards_off)
    return shop.remembered(key, lambda: _sheet(shop, side, row, saw))


def _row(side: LaneSide, ball_id: int) -> OrderRow:
    for row in (*side.order.rows, *side.order.spares):
        if row.ball.id == ball_id:
            return row
    raise NotFound("That ball is not in this set.", next_step="Choose a ball of the set.")


def _sheet(shop: Shop, side: LaneSide, row: OrderRow, saw: str) -> MovesSheet:
    line = row.best.line if isinstance(row.best, BestLine) else side.order.line
    shot = shots.shared_shot(
        side.bowler, side.lane, shop.priors, line=line, seed=side.order.stamp.seed, draws=DRAWS
    )  # fmt: skip
    hold = motion.grip(row.ball, row.state, shop.priors, shot.style, shot.volume_m3)
    piece = shots.piece(shot, row.ball, row.state, shots.normals_of(row.ball.id, shot.seed, shot.draws))
    drawn = Drawn(piece.grip, piece.radius_m, piece.rg_m)
    thrown = Attempt(motion.body_of(row.ball, row.state), shot.style, hold, line, drawn)
    return MovesSheet(
        row.ball.id, saw, line, try_moves(shot.bed, thrown, both_ways(), stack=shot.stack), (), ""
    )  # fmt: skip
