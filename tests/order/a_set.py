"""A bowler, lanes and balls to put in order in a test; all invented."""

from __future__ import annotations

import math
from dataclasses import replace

from arsenal import motion
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import Ball, Cover, FilmSummary, Lane, Line, Person, Style
from arsenal.trade.entries import Step, Tool
from arsenal.trade.priors import default_priors
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS, board_to_lateral_m

PRIORS = default_priors()
HOUSE = Lane(1, "41 ft house, 25 mL", FilmSummary(41.0 * FOOT_M, 25e-6, 8.0))
DRY = Lane(2, "dry", FilmSummary(41.0 * FOOT_M, 0.0, 8.0))
LINE = Line(board_to_lateral_m(19.0), -2.4 * DEGREE_RAD)
STYLE = Style(17.9 * MPH_MPS, 416.0 * RPM_RADPS, 45.0 * DEGREE_RAD, 0.0)
NAMES = ("Umber", "Quarry", "Tide", "Lantern", "Bramble", "Moth", "Rook", "Gate")


def bowler(benchmark: int | None = 1, **fields: object) -> Person:
    return Person(**{"id": 1, "name": "Mirel", "style": STYLE, "benchmark_ball_id": benchmark, **fields})  # type: ignore[arg-type]


def ra_m(cover: Cover, grit: float) -> float:
    s = PRIORS.surface
    return s.ra_at_500_m * s.cover_factor[cover] * (grit / 500.0) ** s.ra_exponent


def owned(
    number: int = 1,
    cover: Cover = Cover.SOLID,
    grit: float = 2000.0,
    *,
    sd: float = 0.15,
    film_m: float = 0.0,
    **fields: object,
) -> tuple[Ball, SurfaceState]:
    """A ball at `grit` as it plays now, with `sd` of ln Ra."""
    reference, plain = motion.reference(PRIORS)
    name = NAMES[(number - 1) % len(NAMES)]
    ball = replace(reference, **{"id": number, "name": name, "nickname": name.lower(), "cover": cover, **fields})  # type: ignore[arg-type]
    state = replace(
        plain, ball_id=number, cover=cover, ln_ra_m=Estimate(math.log(ra_m(cover, grit)), sd), grit=grit,
        finish=(Step(number=grit, tool=Tool.MACHINE, wet=True),), finish_set_grit=grit, film_m=Estimate(film_m),
        settled_grit=PRIORS.surface.settled_grit[cover],
        gap_slow=math.log(PRIORS.surface.settled_grit[cover] / grit),
    )  # fmt: skip
    return ball, state
