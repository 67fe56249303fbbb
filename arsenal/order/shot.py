"""The shared shot: one line for every ball, the lane it is thrown on, and draws of both that all balls have in common.

Each ball's own draws come from the seed and its id alone, so another ball in the set changes nothing for it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from arsenal import motion
from arsenal.motion import Bed, BedStack, Grip, Throws
from arsenal.motion.records import BestLine, Floats, NoLine, Trace
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.errors import KnownError
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import DEGREE_RAD, INCH_M

LANE_STREAM, RELEASE_STREAM, BALL_STREAM = 1, 2, 3
ROW_ROUGHNESS, ROW_CHANGE, ROW_SPEC = 0, motion.NORMALS, motion.NORMALS + 1
ROWS = ROW_OIL = motion.NORMALS + 2
"""A ball that practice has taught of has one more row: ln of its response to oil."""
NORMALS_KEPT = 128
SPEC_RG_SD_M = 0.03 * INCH_M
"""Our own assumption: how far the RG of a ball nobody looked up may lie from the default."""
SPEC_RG_LOW_M, SPEC_RG_HIGH_M = 2.43 * INCH_M, 2.80 * INCH_M
FALLBACK_LAUNCH_RAD = -2.0 * DEGREE_RAD
WIPE_OVER = 2.0
"""A ball wants wiping when its film is over twice what a wipe leaves (our own assumption)."""


def _rng(seed: int, stream: int, which: int = 0) -> np.random.Generator:
    return np.random.default_rng([seed % 2**32, stream, which % 2**32])


@lru_cache(NORMALS_KEPT)
def normals_of(ball_id: int, seed: int, n: int) -> Floats:
    """Standard normals (ROWS, n) of one ball: the same in every set, on every lane, before and after a pad. Only to be
    read.
    """
    made = _rng(seed, BALL_STREAM, ball_id).standard_normal((ROWS, n))
    made.flags.writeable = False
    return made


def common_normals(seed: int, stream: int, n: int) -> Floats:
    """Standard normals (n,) of something that all balls have in common."""
    return _rng(seed, stream).standard_normal(n)


@dataclass(frozen=True, slots=True)
class Shot:
    """The shared shot. `stack` holds one lane a draw; `thrown` one release a draw, arrays (n,)."""

    bed: Bed
    stack: BedStack
    style: Style
    line: Line
    line_is_own: bool
    thrown: Throws
    priors: Priors
    seed: int
    draws: int
    said: str = ""
    """Why the line is not the bowler's own, where that wants saying."""
    taught: Mapping[int, BallFactors] = field(default_factory=dict)
    """What practice shots have taught of balls, by id."""

    def grip(self, ball: Ball, state: SurfaceState) -> Grip:
        """How a ball grips on this lane, at the means."""
        return motion.grip(ball, state, self.priors, self.style, self.volume_m3, factors=self.taught.get(ball.id))

    @property
    def volume_m3(self) -> float:
        """Oil on the lane at the mean."""
        return float(self.bed.volume_m3[0])


@dataclass(frozen=True, slots=True)
class Draws:
    """What k balls did in n paired draws, arrays (k, n) in metres; NaN where a mark does not exist."""

    landing_m: Floats
    first_read_m: Floats
    rolls_m: Floats
    shape_m: Floats


def style_of(bowler: Person) -> Style:
    """The bowler's release. Raises KnownError where nobody has said."""
    if bowler.style is None:
        raise KnownError(
            f"Nobody has said how {bowler.name} throws, so no path can be computed.",
            next_step="Type speed and revs; a rough guess will do to begin with.",
        )
    return bowler.style


def line_for(bowler: Person, lane: Lane, bed: Bed, priors: Priors) -> tuple[Line, bool, str]:
    """The bowler's own line on the lane, else the best line of the reference ball; whether own; what wants saying."""
    own = dict(bowler.lines).get(lane.id)
    if own is not None:
        return own, True, ""
    style = style_of(bowler)
    ball, state = motion.reference(priors)
    grip = motion.grip(ball, state, priors, style, float(bed.volume_m3[0]))
    found = motion.best_line(bed, motion.body_of(ball, state), style, grip, priors)
    if isinstance(found, BestLine):
        return found.line, False, ""
    zone = style.zone
    middle = Line(0.5 * (zone.lateral_low_m + zone.lateral_high_m), FALLBACK_LAUNCH_RAD)
    return found.closest or middle, False, found.sentence


def shared_shot(
    bowler: Person, lane: Lane, priors: Priors, *, line: Line | None, seed: int, draws: int,
    taught: Mapping[int, BallFactors] = {},
) -> Shot:  # fmt: skip
    """The shot all balls are compared on; `taught` is what practice shots have taught of them. Raises KnownError
    without a release, OutOfRange for an impossible film.
    """
    style = style_of(bowler)
    if draws < 1:
        raise KnownError(f"{draws} draws make no doubt; at least one is needed.")
    bed = motion.bed(lane, bowler.hooks_to_left, priors)
    chosen, own, said = (line, True, "") if line is not None else line_for(bowler, lane, bed, priors)
    stack = motion.beds(lane, bowler.hooks_to_left, priors, rng=_rng(seed, LANE_STREAM), n=draws)
    z, scatter = _rng(seed, RELEASE_STREAM).standard_normal((5, draws)), style.scatter
    one = np.ones(draws)
    thrown = Throws(
        speed_mps=style.speed_mps + scatter.speed_mps * z[0],
        rev_rate_radps=style.rev_rate_radps * (1.0 + scatter.revs_fraction * z[1]),
        axis_rotation_rad=style.axis_rotation_rad + scatter.rotation_rad * z[2],
        axis_tilt_rad=style.axis_tilt_rad * one,
        launch_rad=chosen.launch_rad + scatter.launch_rad * z[3],
        lateral_m=chosen.lateral_m + scatter.laydown_m * z[4],
        radius_m=one, rg_m=one,
    )  # fmt: skip
    return Shot(bed, stack, style, chosen, own, thrown, priors, seed, draws, said, taught)


@dataclass(frozen=True, slots=True)
class Piece:
    """One ball ready to be thrown in draws: its grips (n,) and its radius and RG (n,)."""

    grip: Grip
    radius_m: Floats
    rg_m: Floats


def rows_of(shot: Shot, ball: Ball, state: SurfaceState) -> Floats:
    """The normals of a ball in `state` as it is now (ROWS, n); moved and one more where practice has taught of it, so
    that whatever is drawn by them is drawn of that.
    """
    own, factors = normals_of(ball.id, shot.seed, shot.draws), shot.taught.get(ball.id)
    if factors is None:
        return own
    others = {i: normals_of(i, shot.seed, shot.draws) for i, _ in factors.shared}
    rows = motion.taught_rows(state.ln_ra_m.sd, shot.priors, own, factors, others)
    return np.concatenate([rows[: motion.NORMALS], own[motion.NORMALS :], rows[motion.NORMALS :]])


def piece(shot: Shot, ball: Ball, state: SurfaceState, rows: Floats) -> Piece:
    """A ball with its doubt: roughness, oil, ball factor, response, film; RG too where nobody looked it up. `rows` are
    those of `rows_of`.
    """
    of_grip = np.concatenate([rows[: motion.NORMALS], rows[ROW_OIL:]])
    grip = motion.grip_draws(ball, state, shot.priors, shot.style, shot.volume_m3, normals=of_grip, n=shot.draws)
    body = motion.body_of(ball, state)
    rg = np.full(shot.draws, body.rg_m)
    if not ball.spec_known:
        rg = np.clip(rg + SPEC_RG_SD_M * rows[ROW_SPEC], SPEC_RG_LOW_M, SPEC_RG_HIGH_M)
    return Piece(grip, np.full(shot.draws, body.radius_m), rg)


def piece_at(shot: Shot, ball: Ball, state: SurfaceState, ln_ra: Floats, rows: Floats) -> Piece:
    """A ball whose roughness is given draw by draw, `ln_ra` (n,) of Ra in metres; the rest as in `piece`."""
    moved = rows.copy()
    moved[ROW_ROUGHNESS] = ln_ra
    return piece(shot, ball, replace(state, ln_ra_m=Estimate(0.0, 1.0)), moved)


def changed_ln_ra(before: Estimate, change: Estimate, after_sd: float, normals: Floats) -> Floats:
    """Draws of ln Ra after a change, paired with `before.mean + before.sd · normals[ROW_ROUGHNESS]`.

    The covariance of the state before and the change follows from the three spreads; what it does not explain comes
    from a second row of normals.
    """
    z, own = normals[ROW_ROUGHNESS], normals[ROW_CHANGE]
    start = before.mean + before.sd * z
    if change.sd <= 0.0:
        return np.asarray(start + change.mean)
    tie = motion.tie_of(before.sd, change.sd, after_sd)
    return np.asarray(start + change.mean + change.sd * (tie * z + np.sqrt(1.0 - tie * tie) * own))


def ln_ra_before(now: Estimate, since: Estimate, then_sd: float | None, normals: Floats) -> Floats:
    """Draws of ln Ra before it moved by `since` to what it is `now`, paired with those of now; `then_sd` is its own
    spread then, None where nobody kept it.
    """
    back = Estimate(-since.mean, since.sd)
    return changed_ln_ra(now, back, float(np.hypot(now.sd, since.sd)) if then_sd is None else then_sd, normals)


def worked_on(shot: Shot, ball: Ball, now: SurfaceState, after: SurfaceState, rows: Floats) -> Piece:
    """The ball with its doubt after surface work, paired with `piece` of it `now`; the same where nothing was done."""
    if after is now:
        return piece(shot, ball, now, rows)
    ln_ra = changed_ln_ra(now.ln_ra_m, after.changed_ln, after.ln_ra_m.sd, rows)
    factors = shot.taught.get(ball.id)
    if factors is not None and factors.work(after.finish) is not None:
        ln_ra = _as_before(ln_ra, now, after, factors, rows)
    return piece_at(shot, ball, after, ln_ra, rows)


def _as_before(ln_ra: Floats, now: SurfaceState, after: SurfaceState, factors: BallFactors, rows: Floats) -> Floats:
    """Draws of ln Ra after work that was done before: about what it left then, and as sure as that is. What hangs
    together with the finish as it is now stays as drawn.
    """
    sds = now.ln_ra_m.sd, after.changed_ln.sd, after.ln_ra_m.sd
    known, kept = motion.finish_of(after, factors), motion.kept_share(sds[0], after.changed_ln, sds[2])
    tied = now.ln_ra_m.mean + kept * sds[0] * rows[ROW_ROUGHNESS]
    own = ln_ra - after.changed_ln.mean - tied
    left = max(known.sd**2 - kept**2 * factors.cov[15], 0.0) ** 0.5
    wide = float(sds[1] * (1.0 - motion.tie_of(*sds) ** 2) ** 0.5)
    narrower = min(left / wide, 1.0) if wide > 0.0 else 0.0
    return np.asarray(tied - kept * factors.mean[3] + known.mean - now.ln_ra_m.mean + narrower * own)


def throw(shot: Shot, pieces: Sequence[Piece]) -> Draws:
    """All balls in all draws: draw i of every ball meets the same lane and the same release.

    One batch a ball, so that its numbers are the same to the last digit whatever else is in the set.
    """
    if not pieces:
        return Draws(*(np.empty((0, shot.draws)) for _ in range(4)))
    runs = [
        motion.batch(shot.stack, None, replace(shot.thrown, radius_m=p.radius_m, rg_m=p.rg_m), p.grip) for p in pieces
    ]
    return Draws(*(np.stack([getattr(r, name) for r in runs]) for name in Draws.__slots__))


def mean_trace(shot: Shot, ball: Ball, state: SurfaceState) -> Trace:
    """The ball's path on the shared shot at the means."""
    return motion.trace(shot.bed, motion.body_of(ball, state), shot.style.on(shot.line), shot.grip(ball, state))


def wants_wiping(shot: Shot, state: SurfaceState) -> bool:
    """Film on the ball over twice what a wipe leaves on this lane."""
    oil = shot.priors.oil
    return state.film_m.mean > WIPE_OVER * oil.film_wiped_m * max(1.0, shot.volume_m3 / oil.reference_volume_m3)


def own_line(shot: Shot, ball: Ball, state: SurfaceState) -> BestLine | NoLine:
    """The ball's own best line on this lane."""
    return motion.best_line(
        shot.bed, motion.body_of(ball, state), shot.style, shot.grip(ball, state), shot.priors
    )  # fmt: skip
