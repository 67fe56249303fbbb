"""Room on a ball's own line as it is and after each of many recipes, with what the doubt of the finish does to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from arsenal import motion
from arsenal.motion.lines import best_lines, most_room
from arsenal.motion.records import BestLine, Floats, NoLine
from arsenal.order.shot import Piece, Shot
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball

POINTS = 7
"""At least so many points of the curve of room over roughness."""


@dataclass(frozen=True, slots=True)
class Lines:
    """The ball's own line now, and after each recipe; `now` None where nobody asked."""

    now: BestLine | NoLine | None
    after: tuple[BestLine | NoLine, ...]
    room_sds: tuple[float, ...]
    shares: tuple[float, ...]
    """Share of the draws in which it rolls out there."""

    def then(self, index: int) -> BestLine | NoLine | None:
        """The line after one recipe."""
        return self.after[index] if self.after else None

    def room_sd(self, index: int) -> float | None:
        """Spread of the room there, None without one."""
        return self.room_sds[index] if self.after and isinstance(self.after[index], BestLine) else None

    def rolls_out_share(self, index: int, *, rolls_out: bool) -> float:
        """Share of draws that roll out; where no line was asked for, all or none."""
        return self.shares[index] if self.shares else float(rolls_out)


def lines(
    shot: Shot, ball: Ball, now: SurfaceState, states: Sequence[SurfaceState], pieces: Sequence[Piece]
) -> Lines:  # fmt: skip
    """The lines of `ball` as it is and in each of `states`; `pieces` are those states in draws."""
    every = [now, *states]
    grips = [shot.grip(ball, s) for s in every]
    found = best_lines(shot.bed, motion.body_of(ball, now), shot.style, grips, shot.priors)
    after = tuple(found[1:])
    sds = _room_sds(shot, ball, states, after) if states else ()
    return Lines(found[0], after, sds, tuple(_share(shot, p, f) for p, f in zip(pieces, after, strict=True)))


def _room_sds(
    shot: Shot, ball: Ball, states: Sequence[SurfaceState], after: Sequence[BestLine | NoLine]
) -> tuple[float, ...]:  # fmt: skip
    """Half of what one spread of ln Ra either way does to the room, read off one curve of room over ln Ra: but for
    roughness these states of one ball are alike, so that their own rooms are points of it.
    """
    finishes = [_finish(shot, ball, s) for s in states]
    reach = [(f.mean - f.sd, f.mean + f.sd) for f in finishes]
    low, high = min(a for a, _ in reach), max(b for _, b in reach)
    if high - low < 1e-9:
        return tuple(0.0 for _ in states)
    more = np.linspace(low, high, max(2, POINTS - len(states)))
    at = [replace(states[0], ln_ra_m=Estimate(float(k), 0.0)) for k in more]
    factors = shot.taught.get(ball.id)
    plain = factors.without_finish if factors else None
    grips = [motion.grip(ball, s, shot.priors, shot.style, shot.volume_m3, factors=plain) for s in at]
    rooms = dict(
        zip(more.tolist(), most_room(shot.bed, motion.body_of(ball, states[0]), shot.style, grips), strict=True)
    )
    rooms |= {s.mean: f.room if isinstance(f, BestLine) else 0.0 for s, f in zip(finishes, after, strict=True)}
    places = np.array(sorted(rooms))
    curve = np.array([rooms[float(place)] for place in places])
    return tuple(0.5 * _swing(places, curve, a, b) for a, b in reach)


def _finish(shot: Shot, ball: Ball, state: SurfaceState) -> Estimate:
    """The ln Ra of a state with what practice has taught of it."""
    factors = shot.taught.get(ball.id)
    return motion.finish_of(state, factors) if factors else state.ln_ra_m


def _swing(knots: Floats, curve: Floats, low: float, high: float) -> float:
    """How far the curve goes up and down between two places, linear between knots."""
    inside = knots[(knots > low) & (knots < high)]
    values = np.interp(np.concatenate([[low], inside, [high]]), knots, curve)
    return float(values.max() - values.min())


def _share(shot: Shot, piece: Piece, found: BestLine | NoLine) -> float:
    own = found.line if isinstance(found, BestLine) else found.closest or shot.line
    thrown = replace(
        shot.thrown, radius_m=piece.radius_m, rg_m=piece.rg_m,
        launch_rad=shot.thrown.launch_rad + own.launch_rad - shot.line.launch_rad,
        lateral_m=shot.thrown.lateral_m + own.lateral_m - shot.line.lateral_m,
    )  # fmt: skip
    return float(motion.batch(shot.stack, None, thrown, piece.grip).rolls_out.mean())
