"""A shot ended where it was not reckoned to: the lane as it then seems, at the mean and in every draw."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from arsenal import motion
from arsenal.motion import attempts, seen
from arsenal.motion.attempts import Attempt, Drawn
from arsenal.motion.records import POCKET_M, Floats
from arsenal.order import shot as shots
from arsenal.order.shot import Piece, Shot
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M

HIGH, LIGHT, LONG = "high", "light", "long"
SAW = {HIGH: 1.0, LIGHT: -1.0, LONG: -1.0}
"""What a shot looked like, and the side of the pocket it ended on. Long: it read late and ended light."""
USUAL_BOARDS = 2.0
"""How far off a shot is taken to have ended where nobody counted (our own assumption)."""
MOST_BOARDS = 10.0
READ_SD_M = 0.5 * BOARD_M
"""How well the place of a hit is read from the foul line (our own assumption)."""
LONGER_STEP_M, LONGER_STEPS, LONGEST_OIL_M = 1.0 * FOOT_M, 10, LANE_LENGTH_M - 2.0 * FOOT_M
SEEN_STREAM = 4


@dataclass(frozen=True, slots=True)
class Missed:
    """One shot and the lane as it seems after it. `shot` and `thrown` hold that lane; draws are n."""

    shot: Shot
    ball: Ball
    state: SurfaceState
    thrown: Attempt
    saw: str
    seen_m: float
    """Where it ended at the head pin."""
    started_m: Floats
    """Where it ended in the draws (n,): as read, with the doubt of reading it."""
    factor: float
    factors: Floats
    """Film on the lane over what it was said to hold, at the mean and in the draws (n,)."""
    longer_m: float
    """How much farther the oil was taken to go on, for a shot that read late."""
    hooks_to_left: bool
    explained: bool
    """False where no film within an eighth to eight times lets the shot end there: nothing is then reckoned from it."""


def attempt(shot: Shot, ball: Ball, state: SurfaceState, line: Line, piece: Piece | None = None) -> Attempt:
    """The ball on `line` on the lane of `shot`, at the means and in draws; `piece` where its draws are at hand."""
    hold = shot.grip(ball, state)
    drawn = piece or shots.piece(shot, ball, state, shots.rows_of(shot, ball, state))
    return Attempt(
        motion.body_of(ball, state), shot.style, hold, line, Drawn(drawn.grip, drawn.radius_m, drawn.rg_m)
    )  # fmt: skip


def missed(
    bowler: Person, lane: Lane, ball: Ball, state: SurfaceState, priors: Priors, *,
    line: Line, saw: str, boards_off: float | None = None, seed: int = 1, draws: int = 100,
    taught: Mapping[int, BallFactors] = {},
) -> Missed:  # fmt: skip
    """The lane as it seems when `ball` on `line` ended `boards_off` boards (2 where nobody counted) high or light.

    Long is taken as oil that goes on farther, and what is left as more of it; high and light as less and more of it.
    `taught` is what practice shots have taught of balls, by id.
    Raises KnownError for another word, OutOfRange for boards that cannot be.
    """
    if saw not in SAW:
        raise KnownError(f"A shot that ended “{saw}” is not known here.", next_step="Say high, light or long.")
    off = USUAL_BOARDS if boards_off is None else boards_off
    if not (math.isfinite(off) and 0.0 < off <= MOST_BOARDS):
        raise OutOfRange("boards off", f"{off:g}", f"above 0 and at most {MOST_BOARDS:g}")
    seen_m = POCKET_M + SAW[saw] * off * BOARD_M
    shot = shots.shared_shot(bowler, lane, priors, line=line, seed=seed, draws=draws, taught=taught)
    longer_m = 0.0
    if saw == LONG:
        longer_m = _goes_on(bowler, lane, priors, attempt(shot, ball, state, line), seen_m, shot.bed.length_m)
    if longer_m:
        lane = seen.longer(lane, longer_m, shot.bed.length_m)
        shot = shots.shared_shot(bowler, lane, priors, line=line, seed=seed, draws=draws, taught=taught)
    thrown = attempt(shot, ball, state, line)
    started = seen_m + READ_SD_M * shots.common_normals(seed, SEEN_STREAM, draws)
    found = seen.film_factor(shot.bed, thrown, seen_m)
    factors = seen.film_factors(shot.stack, thrown, started) if found else np.ones(draws)
    factor = found or 1.0
    return Missed(
        shot, ball, state, seen.as_seen(thrown, factor, factors), saw, seen_m, started, factor, factors, longer_m,
        bowler.hooks_to_left, found is not None,
    )  # fmt: skip


def _goes_on(
    bowler: Person, lane: Lane, priors: Priors, thrown: Attempt, seen_m: float, oil_end_m: float
) -> float:  # fmt: skip
    """How much farther the oil goes, in whole feet, for the shot to come nearest to where it ended; 0 on a dry lane."""
    if oil_end_m <= 0.0:
        return 0.0
    best, nearest = 0.0, math.inf
    for step in range(LONGER_STEPS + 1):
        by = step * LONGER_STEP_M
        if step and oil_end_m + by > LONGEST_OIL_M:
            break
        bed = motion.bed(seen.longer(lane, by, oil_end_m), bowler.hooks_to_left, priors)
        left = float(attempts.lands(bed, [thrown]).landing_m[0]) - seen_m
        if abs(left) < nearest:
            best, nearest = by, abs(left)
        if left <= 0.0:
            break
    return best
