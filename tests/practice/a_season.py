"""Seasons of practice shots thrown by the model itself, from known factors; all invented."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from arsenal import motion
from arsenal.motion.records import Floats
from arsenal.practice import model, sites, straight
from arsenal.practice.cases import Case, Thrown
from arsenal.practice.model import Layout
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import Ball, Cover, FilmSummary, Lane, Line, Style
from arsenal.trade.priors import default_priors
from arsenal.trade.trial import POCKET_M, Sighting, Trial, Word
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS, board_to_lateral_m

PRIORS = default_priors()
HOUSE = Lane(1, "41 ft house, 25 mL", FilmSummary(41.0 * FOOT_M, 25e-6, 8.0))
LINE = Line(board_to_lateral_m(19.0), -2.4 * DEGREE_RAD)
STYLE = Style(17.9 * MPH_MPS, 416.0 * RPM_RADPS, 45.0 * DEGREE_RAD, 0.0)
START = date(2026, 3, 2)
GRITS = (1000.0, 2000.0, 3000.0)
STRIKE = (Cover.SOLID, Cover.HYBRID, Cover.PEARL)


def owned(number: int, grit: float = 2000.0, *, sd: float = 0.15) -> tuple[Ball, SurfaceState]:
    reference, plain = motion.reference(PRIORS)
    cover = STRIKE[number % 3]
    s = PRIORS.surface
    ra = s.ra_at_500_m * s.cover_factor[cover] * (grit / 500.0) ** s.ra_exponent
    ball = replace(reference, id=number, name=f"Ball {number}", nickname=f"b{number}", cover=cover)
    state = replace(
        plain, ball_id=number, cover=cover, ln_ra_m=Estimate(math.log(ra), sd), grit=grit, finish_set_grit=grit,
        settled_grit=s.settled_grit[cover], gap_slow=math.log(s.settled_grit[cover] / grit),
        games_on_finish=Estimate(6.0),
    )  # fmt: skip
    return ball, state


def case(
    seq: int, ball: int = 1, grit: float = 2000.0, outing: str = "a", seen: Sighting | None = None,
    lane: Lane = HOUSE, day: int = 0,
) -> Case:  # fmt: skip
    thing, state = owned(ball, grit)
    trial = Trial(seq, ball, 1, lane.id, START + timedelta(days=day), outing, seen or Sighting())
    return Case(trial, (Thrown(thing, state, lane, outing, STYLE, LINE, hooks_to_left=True),))


def season(balls: int, shots: int, outings: int) -> list[Case]:
    """`shots` of `balls` in turn over `outings`, every ball at several finishes."""
    made = []
    for k in range(shots):
        outing = k * outings // shots
        grit = GRITS[(k // balls + k) % 3]
        made.append(case(k + 1, 1 + k % balls, grit, f"outing {outing}", day=outing))
    return made


def lived(
    cases: Sequence[Case], rng: np.random.Generator, *, words: float = 0.4, ln_scatter: float = 0.0, arrows: float = 0.0
) -> tuple[list[Case], Layout, Floats]:
    """`cases` as seen by somebody whose balls, lanes and shots were drawn from what is believed before; the truth. The
    release scatters e to the `ln_scatter` times as far as said; `arrows` is the share of shots seen at the arrows too.
    """
    where = model.layout(cases, PRIORS)
    truth = np.linalg.cholesky(where.prior) @ rng.standard_normal(where.size)
    for outing in where.outings.values():  # a Student tail with four degrees of freedom, as the model has it
        truth[outing] *= math.sqrt(4.0 / rng.chisquare(4.0))
    lines = straight.straight(cases, where, truth, PRIORS)
    found = []
    wider = lines.noise + math.expm1(2.0 * ln_scatter) * lines.release
    for one, at, noise in zip(cases, lines.at, wider, strict=True):
        spread = sites.ODD_SPREADS if rng.random() < sites.ODD_SHARE else 1.0
        marks = at + spread * np.linalg.cholesky(noise) @ rng.standard_normal(6)
        assert isinstance(one.trial, Trial)
        seen = saw(marks, spoken=rng.random() < words)
        if arrows and rng.random() < arrows:
            seen = replace(seen, arrows_m=float(marks[4]))
        found.append(replace(one, trial=replace(one.trial, seen=seen)))
    return found, where, truth


def saw(marks: Floats, *, spoken: bool) -> Sighting:
    if not spoken:
        return Sighting(landing_m=float(marks[0]), first_read_m=float(marks[1]))
    off = (marks[0] - POCKET_M) / BOARD_M
    steps = ((-2.0, Word.LONG), (-0.5, Word.LIGHT), (0.5, Word.FLUSH), (3.0, Word.HIGH), (math.inf, Word.OVER))
    return Sighting(words=(next(word for top, word in steps if off < top),))
