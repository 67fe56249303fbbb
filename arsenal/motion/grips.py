"""How a ball grips: its surface state turned into the few friction numbers a path needs, at the means or as draws."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from arsenal.kernels import flare, friction
from arsenal.motion.checks import FACTOR, FILM, FRICTION, ROUGHNESS, TURNS
from arsenal.motion.flaring import flare_of
from arsenal.motion.records import Floats
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.factors import BallFactors
from arsenal.trade.priors import Priors
from arsenal.trade.release import Style

NORMALS = 5
"""Rows of standard normals behind one draw: roughness, oil, ball factor, response to roughness, film on the ball."""


@dataclass(frozen=True, slots=True)
class Grip:
    """Friction of n paths, arrays (n,) or single numbers that go for all of them.

    `mu_dry`, `mu_oil` bounds of μ; `sigma_m` combined roughness; `film_scale` effective film over the lane's film;
    `film_on_ball_m` left by earlier shots; `pick_up` share of the lane's film that this shot's own pick-up settles
    at, over `pick_up_revs` revolutions.
    """

    mu_dry: Floats
    mu_oil: Floats
    sigma_m: Floats
    film_scale: Floats
    film_on_ball_m: Floats
    pick_up: Floats
    pick_up_revs: Floats

    @property
    def size(self) -> int:
        """How many paths it describes; 1 where one grip goes for all."""
        return max(np.size(getattr(self, f.name)) for f in fields(self))

    def check(self) -> None:
        """OutOfRange for numbers that cannot be, and for those likely in another unit."""
        for bound, values in (
            (FRICTION, self.mu_dry), (FRICTION, self.mu_oil), (ROUGHNESS, self.sigma_m), (FACTOR, self.film_scale),
            (FILM, self.film_on_ball_m), (FACTOR, self.pick_up), (TURNS, self.pick_up_revs),
        ):  # fmt: skip
            bound.check_all(np.asarray(values, float))

    def take(self, index: slice | np.ndarray) -> Grip:
        """The grips of some of the paths."""
        n = self.size
        return Grip(*(np.broadcast_to(getattr(self, f.name), n)[index] for f in fields(self)))

    def repeat(self, n: int) -> Grip:
        """Each grip n times in a row."""
        return self.take(np.repeat(np.arange(self.size), n))

    @staticmethod
    def join(grips: Sequence[Grip]) -> Grip:
        """Grips of many balls one after the other: one batch for a whole set."""
        sizes = [g.size for g in grips]
        return Grip(
            *(
                np.concatenate([np.broadcast_to(getattr(g, f.name), n) for g, n in zip(grips, sizes, strict=True)])
                for f in fields(Grip)
            )
        )


def _pick_up(ball: Ball, state: SurfaceState, style: Style, priors: Priors) -> tuple[float, float]:
    oil = priors.oil
    return flare.pick_up(flare_of(ball, state, style, priors).openness, oil.pick_up_keeps, oil.pick_up_takes)


def _make(
    ball: Ball,
    state: SurfaceState,
    priors: Priors,
    style: Style,
    ra_m: Floats,
    oil_share: Floats,
    factor: Floats,
    response: Floats,
    film_m: Floats,
) -> Grip:
    f = priors.friction
    ball_sigma = friction.ball_roughness(
        ra_m, f.reference_ra_m, f.sigma_ball_m, np.maximum(f.sigma_exponent * response, 0.0)
    )
    loss = f.oil_grip_loss if ball.cover is not Cover.POLYESTER else 0.0
    games = state.games_since_resurface.mean
    dry = friction.worn_grip(f.mu_dry[ball.cover], oil_share, games, loss, f.wear_grip_loss, f.wear_games) * factor
    gain, revs = _pick_up(ball, state, style, priors)
    mu_dry = np.atleast_1d(np.minimum(dry, f.mu_dry_most))
    mu_oil = np.minimum(np.full(mu_dry.shape, min(f.mu_oil, f.mu_oil_most)), mu_dry)
    return Grip(
        mu_dry=mu_dry,
        mu_oil=mu_oil,
        sigma_m=np.atleast_1d(friction.combined_roughness(ball_sigma, f.sigma_lane_m)),
        film_scale=np.atleast_1d(f.film_factor[ball.cover] * f.phi),
        film_on_ball_m=np.atleast_1d(film_m),
        pick_up=np.atleast_1d(gain),
        pick_up_revs=np.atleast_1d(revs),
    )


def _film_on_ball(state: SurfaceState, priors: Priors, lane_volume_m3: float) -> float:
    """Film at the start of a shot: what the state says, and at least what wiping leaves once the ball is in play."""
    wiped = priors.oil.film_wiped_m * lane_volume_m3 / priors.oil.reference_volume_m3
    return max(state.film_m.mean, wiped)


def grip(
    ball: Ball, state: SurfaceState, priors: Priors, style: Style, lane_volume_m3: float, *,
    factors: BallFactors | None = None,
) -> Grip:  # fmt: skip
    """The grip at the means: one path. `lane_volume_m3` sets how much film wiping leaves on a ball in play; `factors`
    is what practice shots have taught of the ball.
    """
    one = np.ones(1)
    film = one * _film_on_ball(state, priors, lane_volume_m3)
    if factors is None:
        ra = one * math.exp(state.ln_ra_m.mean)
        return _make(ball, state, priors, style, ra, one * state.oil_share, one, one, film)
    mu, response, oil, _ = factors.mean
    made = _make(
        ball, state, priors, style, one * math.exp(finish_of(state, factors).mean), one * state.oil_share,
        one * math.exp(mu), one + response, film,
    )  # fmt: skip
    return replace(made, film_scale=made.film_scale * math.exp(oil))


def grip_draws(
    ball: Ball,
    state: SurfaceState,
    priors: Priors,
    style: Style,
    lane_volume_m3: float,
    *,
    rng: np.random.Generator | None = None,
    normals: Floats | None = None,
    n: int = 200,
    factors: BallFactors | None = None,
) -> Grip:
    """`n` draws of what is not known of this ball's grip.

    Pass `normals` (NORMALS × n standard normals) to pair two states of one ball draw by draw; else `rng` gives them.
    One more row in `normals` is ln of the response to oil on the lane, as `taught_rows` makes them. `factors` is what
    practice shots have taught of the ball; the draws are then of that.
    """
    z = normals if normals is not None else (rng or np.random.default_rng(1)).standard_normal((NORMALS, n))
    if factors is not None:
        # the rows count in spreads of the log's ln Ra, which may be none
        state = replace(state, ln_ra_m=Estimate(state.ln_ra_m.mean, state.ln_ra_m.sd or 1.0))
        z = taught_rows(state.ln_ra_m.sd, priors, z, factors)
    doubt = priors.doubt
    ra = np.exp(state.ln_ra_m.mean + state.ln_ra_m.sd * z[0])
    oil = state.oil_share * _spread(state.oil_kg.mean, state.oil_kg.sd, z[1])
    film = _film_on_ball(state, priors, lane_volume_m3) * _spread(state.film_m.mean, state.film_m.sd, z[4])
    made = _make(
        ball, state, priors, style, ra, oil, np.exp(doubt.ball_ln_mu_sd * z[2]),
        1.0 + doubt.response_sd * z[3], film,
    )  # fmt: skip
    if z.shape[0] == NORMALS:
        return made
    return replace(made, film_scale=made.film_scale * np.exp(z[NORMALS]))


def taught_rows(
    ln_ra_sd: float, priors: Priors, normals: Floats, factors: BallFactors, others: Mapping[int, Floats] = {}
) -> Floats:
    """`normals` (NORMALS, n) of a ball moved so that `grip_draws` draws what practice has taught of it, with one more
    row: ln of the response to oil on the lane.

    Roughness counts in spreads `ln_ra_sd` of the log's ln Ra, where there is any; what the oil in the cover costs is
    part of the friction taught. `others` are the normals of the balls that `factors` shares doubt with.
    """
    doubt, own = priors.doubt, normals[:NORMALS]
    mu, response, oil, rough = _drawn(factors, {**others, factors.ball_id: own})
    rough = rough / ln_ra_sd if ln_ra_sd > 0.0 else np.zeros_like(rough)
    rows = [rough, np.zeros_like(rough), mu / doubt.ball_ln_mu_sd, response / doubt.response_sd, own[4], oil]
    return np.stack(rows)


def _drawn(factors: BallFactors, normals: Mapping[int, Floats]) -> Floats:
    """The four factors in draws (4, n): each ball's normals in the order of the factors."""
    blocks = factors.shared
    if not blocks:
        values, vectors = np.linalg.eigh(np.array(factors.cov).reshape(4, 4))
        root = (vectors * np.sqrt(np.maximum(values, 0.0))) @ vectors.T
        blocks = ((factors.ball_id, tuple(root.ravel())),)
    drawn = np.array(factors.mean)[:, None]
    for ball_id, block in blocks:
        drawn = drawn + np.array(block).reshape(4, 4) @ normals[ball_id][[2, 3, 1, 0]]
    return np.asarray(drawn)


def finish_of(state: SurfaceState, factors: BallFactors) -> Estimate:
    """The ln Ra in metres of a state of the ball: its log and, as far as the finish is still the present one, what
    shots have taught of that; of a finish looked ahead to, as the same work left it before.
    """
    log, work = state.ln_ra_m, factors.work(state.finish) if state.changed_ln != ZERO else None
    if work is not None:
        by, sd = work.after(log.sd)
        return Estimate(log.mean + by, sd)
    kept = kept_share(factors.ln_ra_sd, state.changed_ln, log.sd)
    var = log.sd**2 + kept**2 * (factors.cov[15] - factors.ln_ra_sd**2)
    return Estimate(log.mean + kept * factors.mean[3], math.sqrt(max(var, 0.0)))


def kept_share(before_sd: float, change: Estimate, after_sd: float) -> float:
    """How much of a surprise in ln Ra is still there after it moved by `change`: the regression of what is then on what
    is now. 1 where nothing was done; a full resurfacing leaves little. 0 after a change of a finish with no doubt.
    """
    if change == ZERO:
        return 1.0
    if before_sd <= 0.0:
        return 0.0
    return 1.0 + change.sd / before_sd * tie_of(before_sd, change.sd, after_sd)


def tie_of(before_sd: float, change_sd: float, after_sd: float) -> float:
    """Correlation of a state before a change with the change, from the three spreads; 0 where either has none."""
    if before_sd <= 0.0 or change_sd <= 0.0:
        return 0.0
    tie = (after_sd**2 - before_sd**2 - change_sd**2) / (2.0 * before_sd * change_sd)
    return min(max(tie, -1.0), 1.0)


def _spread(mean: float, sd: float, z: Floats) -> Floats:
    """A factor with median 1 whose logarithm spreads as sd/mean does; ones where the mean is nothing."""
    if mean <= 0.0 or sd <= 0.0:
        return np.ones_like(z)
    return np.exp(math.sqrt(math.log1p(min(sd / mean, 2.0) ** 2)) * z)


def with_film(grip_: Grip, film_on_ball_m: float) -> Grip:
    """The same grip with another film left on the ball: a wipe, or none."""
    return replace(grip_, film_on_ball_m=np.full_like(grip_.mu_dry, film_on_ball_m))
