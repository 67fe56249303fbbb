"""Balls, bowlers and lanes that the motion tests share."""

from __future__ import annotations

import math
from dataclasses import replace

from arsenal.motion import Grip, grip, reference
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.priors import Priors, default_priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS, board_to_lateral_m

PRIORS: Priors = default_priors()
STYLE = Style(17.9 * MPH_MPS, 416.0 * RPM_RADPS, 45.0 * DEGREE_RAD, 0.0)
LINE = Line(board_to_lateral_m(19.0), -2.4 * DEGREE_RAD)


def house(length_ft: float = 41.0, volume_ml: float = 25.0, ratio: float = 8.0, left: float | None = None) -> Lane:
    """A condition as a house will tell it."""
    return Lane(1, "house", FilmSummary(length_ft * FOOT_M, volume_ml * 1e-6, ratio, left))


def ball_of(cover: Cover = Cover.SOLID, grit: float = 2000.0, *, sd: float = 0.0) -> tuple[Ball, SurfaceState]:
    """A ball like the reference with another cover and finish."""
    ball, state = reference(PRIORS)
    s = PRIORS.surface
    ra = s.ra_at_500_m * s.cover_factor[cover] * (grit / 500.0) ** s.ra_exponent
    return replace(ball, cover=cover), replace(state, cover=cover, ln_ra_m=Estimate(math.log(ra), sd), grit=grit)


def grip_of(cover: Cover = Cover.SOLID, grit: float = 2000.0, *, film_m: float = 0.0, volume_m3: float = 25e-6) -> Grip:
    """Its grip at the means, wiped unless a film is left on it."""
    ball, state = ball_of(cover, grit)
    return grip(ball, replace(state, film_m=Estimate(film_m)), PRIORS, STYLE, volume_m3)
