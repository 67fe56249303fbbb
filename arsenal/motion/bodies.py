"""The ball as a body, and the reference ball every strength is told against."""

from __future__ import annotations

import math

from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball, Body
from arsenal.trade.priors import Priors


def body_of(ball: Ball, state: SurfaceState | None = None) -> Body:
    """The rigid body of `ball`; what was measured last (radius, weight, pin-to-axis) wins where `state` knows it."""
    radius, mass, pin = ball.radius_m, ball.mass_kg, None
    if state is not None:
        radius = state.radius_m.mean or radius
        mass = state.mass_kg or mass
        pin = state.pin_to_axis_m
    return Body(radius, mass, ball.rg_m, ball.differential_m, ball.intermediate_m, pin)


def grit_of(ra_m: float, ball: Ball, priors: Priors) -> float:
    """Grit equivalent of a roughness on this cover, g = 500 (Ra₅₀₀·cover factor/Ra)^(1/0.75)."""
    s = priors.surface
    return float(500.0 * (ra_m / (s.ra_at_500_m * s.cover_factor[ball.cover])) ** (1.0 / s.ra_exponent))


def reference(priors: Priors) -> tuple[Ball, SurfaceState]:
    """The reference ball, clean and with no oil in its cover; its roughness is exact, for it is a definition."""
    r = priors.reference
    ball = Ball(
        id=-1, name="reference", nickname="reference", owner_id=-1, cover=r.cover, mass_kg=r.mass_kg,
        radius_m=r.radius_m, rg_m=r.rg_m, differential_m=r.differential_m,
    )  # fmt: skip
    grit = grit_of(r.ra_m, ball, priors)
    state = SurfaceState(
        ball_id=-1, cover=r.cover, on=None, ln_ra_m=Estimate(math.log(r.ra_m)), grit=grit, grit_low=grit,
        grit_high=grit, settled_grit=priors.surface.settled_grit[r.cover], finish=(), finish_on=None,
        finish_set_grit=grit, radius_m=Estimate(r.radius_m), mass_kg=r.mass_kg,
    )  # fmt: skip
    return ball, state
