"""How a ball flares: the rings of its track on the oil, how far they lie apart, and how clean that keeps the cover.

A symmetric core has the same ring spacing all the way, in closed form. With an asymmetric core the spin axis wanders
between the pin (low RG) and the mass bias (high RG), and the rings come from the rigid body turning free: over a
revolution the lane's friction turns once around in the ball and hardly moves the axis in it. A ball that has come to
roll flares less than this; there is no oil left to pick up by then.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from arsenal.kernels import flare as symmetric
from arsenal.kernels import rigid, track
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.priors import Priors
from arsenal.trade.release import Style
from arsenal.trade.units import FOOT_M, INCH_M

USUAL_PIN_TO_AXIS_M = 3.375 * INCH_M
"""Where nobody typed it: the distance of the widest flare (45° on a sphere; exact geometry)."""
USUAL_DRILLING_ANGLE_RAD = math.radians(60.0)
"""Angle at the pin between mass bias and axis, which no entry holds (our own assumption). Openness at this angle lies
near its mean over all of them; another angle moves the reference ball by about a tenth of a board."""
OILED_M = 40.0 * FOOT_M
"""How far the rings that show are drawn: oil usually ends about here (our own assumption)."""
FEWEST_RINGS, MOST_RINGS = 2, 18
"""A skid of three quarters of the oil to a revolution, and a ball that rolls all the way."""
STEPS_A_TURN = 12
KEY_DIGITS = 5
"""Lengths are kept to 0.01 mm, so that a sanding, which takes less off the radius, finds the same flare again."""


@dataclass(frozen=True, slots=True)
class Flare:
    """The flare of one ball thrown by one bowler, over the oil.

    `rings_m` widest distance of each ring from the one before, one a revolution; `spacing_m` their mean; `openness`
    share of the contact band that meets the same cover a revolution later, 1 without flare; `axis_from_pin_rad` angle
    of the spin axis from the pin at the start of each revolution and at the end; `axis_migration_rad` how far the axis
    went over the ball.
    """

    spacing_m: float
    openness: float
    rings_m: tuple[float, ...]
    axis_from_pin_rad: tuple[float, ...]
    axis_migration_rad: float
    asymmetric: bool

    @property
    def total_m(self) -> float:
        """From the first ring to the last where they lie widest apart: what the trade measures on an oily ball."""
        return sum(self.rings_m)


def rings_of(style: Style, radius_m: float) -> int:
    """Revolutions over the oil at the speed and revs of the hand."""
    turn = 2.0 * math.pi * abs(style.speed_mps) / max(abs(style.rev_rate_radps), 1.0)
    turn = max(2.0 * math.pi * radius_m, turn)  # in this order a turn that is no number is left to who throws the ball
    return min(max(round(OILED_M / turn), FEWEST_RINGS), MOST_RINGS)


def flare_of(ball: Ball, state: SurfaceState, style: Style, priors: Priors) -> Flare:
    """The flare of `ball` as it is drilled now; pin-to-axis at the widest flare where nobody typed it."""
    radius = state.radius_m.mean or ball.radius_m
    pin = USUAL_PIN_TO_AXIS_M if state.pin_to_axis_m is None else state.pin_to_axis_m
    rings, band = rings_of(style, radius), priors.oil.band_m
    if ball.intermediate_m > 0.0 and ball.differential_m > 0.0:
        return _asymmetric(
            round(radius, KEY_DIGITS), ball.rg_m, ball.differential_m, ball.intermediate_m, round(pin, KEY_DIGITS),
            band, rings,
        )  # fmt: skip
    return _symmetric(radius, ball.rg_m, ball.differential_m, pin, band, rings)


def _symmetric(radius: float, rg: float, differential: float, pin: float, band: float, rings: int) -> Flare:
    angle = symmetric.axis_angle(pin, radius)
    spacing = symmetric.ring_spacing(radius, angle, rg, differential)
    share = symmetric.openness(spacing, band)
    return Flare(spacing, share, (spacing,) * rings, (angle,) * (rings + 1), rings * spacing / radius, False)


@lru_cache(maxsize=2048)
def _asymmetric(
    radius: float, rg: float, differential: float, intermediate: float, pin: float, band: float, rings: int
) -> Flare:
    k2 = rigid.squared_rgs(rg, differential, intermediate)
    angle = symmetric.axis_angle(pin, radius)
    aside, turn = math.sin(angle), USUAL_DRILLING_ANGLE_RAD
    level = rigid.facing((math.cos(angle), aside * math.sin(turn), aside * math.cos(turn)), (0.0, 1.0, 0.0))
    a_turn = 2.0 * math.pi  # rad/s: a revolution a second, for the rings do not depend on how fast they are drawn
    turned = rigid.free(k2, (0.0, a_turn, 0.0), level, 1.0 / STEPS_A_TURN, STEPS_A_TURN * (rings + 1) + 2)
    drawn = track.track(turned, k2)
    apart = track.distances(drawn, radius)[:rings]
    axis = drawn.axis[: rings + 1, 0]
    steps = np.arccos(np.clip((axis[1:] * axis[:-1]).sum(axis=1), -1.0, 1.0))
    widest = apart.max(axis=1)
    return Flare(
        float(widest.mean()), float(track.shares_open(apart, band).mean()), tuple(map(float, widest)),
        tuple(map(float, np.arccos(np.clip(axis[:, 0], -1.0, 1.0)))), float(steps.sum()), True,
    )  # fmt: skip
