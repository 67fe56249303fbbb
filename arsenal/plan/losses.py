"""What a ball has lost in boards and feet: to its surface since it settled in, to oil in the cover, to wear.

Computed through the path on the bowler's usual condition, then against now, in paired draws: what is unknown of the
ball and of the lane cancels. Work that undoes one loss leaves the others, so they are kept apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from arsenal import motion
from arsenal.motion import Grip
from arsenal.motion.records import Floats
from arsenal.order import shot as shots
from arsenal.order.shot import Shot
from arsenal.surface import foresee
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.units import BOARD_M, LANE_LENGTH_M

AHEAD_GAMES = (1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 18.0, 27.0, 40.0)
VARIANTS = 4


@dataclass(frozen=True, slots=True)
class Loss:
    """One ball's losses on the usual condition. Boards toward weaker and metres toward later are positive."""

    boards: Estimate
    """To the surface since it settled in; negative where the ball has grown stronger (a polish that dulls)."""
    first_read_m: Estimate
    oil_boards: Estimate
    """Against the same ball with no oil in its cover."""
    wear_boards: Estimate
    """To games since it was last resurfaced."""
    ahead: tuple[tuple[float, float, float, float], ...]
    """(more games, boards lost then, first read lost then in metres, relative doubt), wiped each shot."""


def losses(shot: Shot, owned: Sequence[tuple[Ball, SurfaceState]]) -> dict[int, Loss]:
    """Losses of every ball by id, in two batches: one at the means, one of paired draws."""
    if not owned:
        return {}
    futures = [[_ahead(shot, ball, state, games) for games in AHEAD_GAMES] for ball, state in owned]
    means = _means(shot, owned, futures)
    boards_sd, read_sd = _spreads(shot, owned)
    found = {}
    for i, (ball, _) in enumerate(owned):
        land, read = means[i]
        ahead = tuple(_then(land, read, j, futures[i][j]) for j in range(len(AHEAD_GAMES)))
        found[ball.id] = Loss(
            boards=Estimate(float(land[1] - land[0]), boards_sd[i][0]),
            first_read_m=Estimate(float(read[0] - read[1]), read_sd[i]),
            oil_boards=Estimate(float(land[2] - land[0]), boards_sd[i][1]),
            wear_boards=Estimate(float(land[3] - land[0]), boards_sd[i][2]), ahead=ahead,
        )  # fmt: skip
    return found


def _ahead(shot: Shot, ball: Ball, state: SurfaceState, games: float) -> SurfaceState:
    """The ball after so many games more, shining as fast as practice has shown."""
    known = shot.taught.get(ball.id)
    pace = known.pace if known is not None else None
    return foresee(ball, _wiped(state), games, shot.priors, volume_m3=shot.volume_m3, pace=pace)


def _then(land: Floats, read: Floats, j: int, then: SurfaceState) -> tuple[float, float, float, float]:
    settled, now = VARIANTS + 2 * j, VARIANTS + 2 * j + 1
    return AHEAD_GAMES[j], float(land[settled] - land[now]), float(read[now] - read[settled]), _relative(then)


def _wiped(state: SurfaceState) -> SurfaceState:
    return replace(state, film_m=ZERO)


def _settled(state: SurfaceState) -> SurfaceState:
    """The same ball with the roughness it had settled in at; oil and wear as they are."""
    mark = state.settled_in
    return state if mark is None else replace(state, ln_ra_m=Estimate(mark.ln_ra_m, state.ln_ra_m.sd))


def _oil_free(state: SurfaceState) -> SurfaceState:
    return replace(state, oil_kg=ZERO, oil_share=0.0)


def _unworn(state: SurfaceState) -> SurfaceState:
    return replace(state, games_since_resurface=ZERO)


def _variants(state: SurfaceState) -> list[SurfaceState]:
    """Now, settled in, oil-free, unworn; all of them wiped."""
    now = _wiped(state)
    return [now, _settled(now), _oil_free(now), _unworn(now)]


def _relative(then: SurfaceState) -> float:
    """Doubt of what will have been lost, as a share of it."""
    lost = then.settled_in.lost_ln if then.settled_in else ZERO
    return abs(lost.sd / lost.mean) if abs(lost.mean) > 1e-9 else 1.0


def _means(
    shot: Shot, owned: Sequence[tuple[Ball, SurfaceState]], futures: Sequence[Sequence[SurfaceState]]
) -> list[tuple[Floats, Floats]]:
    """Landing (boards) and first read (m) of each ball's variants, then of each future settled in and as it is then."""
    grips, bodies = [], []
    for (ball, state), ahead in zip(owned, futures, strict=True):
        states = _variants(state)
        for then in ahead:
            states += [_settled(_wiped(then)), _wiped(then)]
        grips += [shot.grip(ball, s) for s in states]
        bodies += [motion.body_of(ball, state)] * len(states)
    runs = motion.batch(shot.bed, bodies, shot.style.on(shot.line), Grip.join(grips))
    shape = (len(owned), VARIANTS + 2 * len(AHEAD_GAMES))
    land, read = (runs.landing_m / BOARD_M).reshape(shape), _reads(runs.first_read_m).reshape(shape)
    return list(zip(land, read, strict=True))


def _reads(first_read_m: Floats) -> Floats:
    """First reads; a ball that never reads on the lane counts as reading at the pins."""
    return np.where(np.isnan(first_read_m), LANE_LENGTH_M, first_read_m)


def _spreads(shot: Shot, owned: Sequence[tuple[Ball, SurfaceState]]) -> tuple[list[list[float]], list[float]]:
    """Spread of each loss in boards (surface, oil, wear) and of first read lost (m), from paired draws."""
    pieces = []
    for ball, state in owned:
        z = shots.rows_of(shot, ball, state)
        now, _, oil_free, unworn = _variants(state)
        pieces += [
            shots.piece(shot, ball, now, z), shots.piece_at(shot, ball, now, _ln_ra_settled(now, z), z),
            shots.piece(shot, ball, oil_free, z), shots.piece(shot, ball, unworn, z),
        ]  # fmt: skip
    drawn = shots.throw(shot, pieces)
    shape = (len(owned), VARIANTS, shot.draws)
    land, read = (drawn.landing_m / BOARD_M).reshape(shape), _reads(drawn.first_read_m).reshape(shape)
    boards = [[float((ball[k] - ball[0]).std()) for k in range(1, VARIANTS)] for ball in land]
    return boards, [float((ball[0] - ball[1]).std()) for ball in read]


def _ln_ra_settled(now: SurfaceState, z: Floats) -> Floats:
    """Draws of ln Ra when the finish had settled in: now less what has been lost since, whose doubt is its own."""
    mark = now.settled_in
    if mark is None:
        return shots.ln_ra_before(now.ln_ra_m, ZERO, None, z)
    return shots.ln_ra_before(now.ln_ra_m, mark.lost_ln, mark.ln_ra_sd, z)


def share_lost(boards: float, first_read_m: float, due_boards: float, due_read_m: float) -> float:
    """How far to due: whichever of boards and first read is nearer, either way."""
    return max(abs(boards) / due_boards, abs(first_read_m) / due_read_m)


def games_until(loss: Loss, due_boards: float, due_read_m: float) -> Estimate | None:
    """Games until that much is lost, with its doubt; None where play alone will not get there in forty games."""
    share_now = share_lost(loss.boards.mean, loss.first_read_m.mean, due_boards, due_read_m)
    points = [(0.0, share_now)] + [(n, share_lost(b, r, due_boards, due_read_m)) for n, b, r, _ in loss.ahead]
    at = _crossing(points, 1.0)
    if at is None:
        return None
    doubt = min(0.8, next((d for n, _, _, d in loss.ahead if n >= at), loss.ahead[-1][3]))
    early = _crossing(points, 1.0 / (1.0 + doubt))
    late = _crossing(points, 1.0 / (1.0 - doubt))
    reach = (at - (early or 0.0), (late if late is not None else 2.0 * at) - at)
    return Estimate(at, 0.5 * (reach[0] + reach[1]))


def _crossing(points: Sequence[tuple[float, float]], level: float) -> float | None:
    """First place where the share reaches `level`, linear between points."""
    if points[0][1] >= level:
        return points[0][0]
    for (a, low), (b, high) in pairwise(points):
        if high >= level:
            return a + (b - a) * (level - low) / (high - low)
    return None
