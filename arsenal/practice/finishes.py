"""What a finish did to a ball, as its shots have shown: one sentence a change of finish, its ± from all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice import straight
from arsenal.practice.cases import Thrown
from arsenal.practice.posterior import Posterior
from arsenal.practice.taught import FIRST_READ, LANDING
from arsenal.surface.state import Estimate
from arsenal.trade.entries import Abrasive, Step, Tool
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.units import FOOT_M

MEDIUM = Lane(-1, "medium oil", FilmSummary(41.0 * FOOT_M, 25e-6, 8.0))
"""A house a bowler would call medium (common practice, no source)."""
SURE = 1.2815515655446004
"""Standard normal 90th percentile: under it nobody can say which way."""


@dataclass(frozen=True, slots=True)
class FinishTaught:
    """From one finish of a ball to a later one on medium oil: first read (negative is earlier) and landing, metres."""

    ball_id: int
    before: Thrown
    after: Thrown
    first_read_m: Estimate
    landing_m: Estimate
    shots: int
    sentence: str


def finishes_taught(found: Posterior, lane: Lane = MEDIUM) -> tuple[FinishTaught, ...]:
    """Each change of finish that a ball was thrown before and after, in the order they came."""
    made = []
    for ball_id in found.where.balls:
        own = [t for case in found.cases for t in case.thrown if t.ball.id == ball_id]
        firsts = list({t.finish: t for t in reversed(own)}.values())[::-1]
        for a, b in pairwise(firsts):
            made.append(_one(found, a, b, lane, sum(t.finish in (a.finish, b.finish) for t in own)))
    return tuple(made)


def _one(found: Posterior, before: Thrown, after: Thrown, lane: Lane, shots: int) -> FinishTaught:
    first, landing = contrast(found, before, after, lane)
    said = sentence(after, first, lane, shots)
    return FinishTaught(before.ball.id, before, after, first, landing, shots, said)


def contrast(found: Posterior, before: Thrown, after: Thrown, lane: Lane) -> tuple[Estimate, Estimate]:
    """How much later the ball reads and how much higher it ends with the later finish, both on `lane` as it is."""
    theta = found.mean.copy()
    for key in found.where.outings:
        theta[found.where.outing(key)] = 0.0
    pair = [replace(t, lane=lane, outing=before.outing, line=after.line, style=after.style) for t in (before, after)]
    pair[0] = replace(pair[0], hooks_to_left=after.hooks_to_left)
    a, b = straight.answers_of(pair, found.where, theta, found.priors)
    slope = b.slope - a.slope
    slope[:, found.where.outing(before.outing)] = 0.0
    return _estimate(found, b.at - a.at, slope, FIRST_READ), _estimate(found, b.at - a.at, slope, LANDING)


def _estimate(found: Posterior, apart: Floats, slope: Floats, mark: int) -> Estimate:
    row = slope[mark]
    return Estimate(float(apart[mark]), float(np.sqrt(max(row @ found.cov @ row, 0.0))))


def sentence(after: Thrown, first: Estimate, lane: Lane, shots: int) -> str:
    """“1000 by hand makes Rook read 2.1 ± 0.5 ft earlier on medium oil; 7 trials.”"""
    feet, doubt = first.mean / FOOT_M, first.sd / FOOT_M
    counted = f"{shots} trial{'s' if shots > 1 else ''}"
    what, name = finish_words(after.state.finish, after.state.finish_set_grit), after.ball.name
    if abs(feet) < SURE * doubt:
        change = f"{abs(feet):.1f} ± {doubt:.1f} ft"
        return f"{what} changes where {name} reads by {change}, not surely either way, on {lane.name}; {counted}."
    way = "earlier" if feet < 0.0 else "later"
    return f"{what} makes {name} read {abs(feet):.1f} ± {doubt:.1f} ft {way} on {lane.name}; {counted}."


def finish_words(steps: Sequence[Step], grit: float) -> str:
    """“1000 by hand”, “500/2000 on the spinner”, “polish”; a finish nobody described by what it plays like."""
    if not steps:
        return f"A finish that plays about {grit:.0f}"
    said = "/".join(f"{s.number:g}" if s.abrasive is Abrasive.GRIT and s.number else s.abrasive.value for s in steps)
    where = {Tool.HAND: "by hand", Tool.SPINNER: "on the spinner", Tool.MACHINE: "in the machine"}[steps[-1].tool]
    return f"{said} {where}"
