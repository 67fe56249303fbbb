"""The lane as one shot shows it: one factor on its film such that the ball ends where it was seen to end."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from arsenal.motion.attempts import Attempt, drawn_landings, lands
from arsenal.motion.beds import BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.records import Floats
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane

MOST_FACTOR = 8.0
"""Film is looked for between an eighth and eight times what the lane is said to hold (our own assumption)."""
LN_FACTORS: Floats = np.linspace(-math.log(MOST_FACTOR), math.log(MOST_FACTOR), 25)
REFINED = 8
NEAR_M = 1e-5


def on_film(grip: Grip, factor: Floats | float) -> Grip:
    """The same ball where every film on the lane is `factor` times as thick; what earlier shots left on it stays."""
    return replace(grip, film_scale=grip.film_scale * factor, pick_up=grip.pick_up * factor)


def as_seen(thrown: Attempt, factor: float, factors: Floats) -> Attempt:
    """The attempt on the lane as it showed itself: `factor` at the mean, `factors` (n,) in the draws."""
    if thrown.drawn is None:
        raise ValueError("an attempt without draws has no doubt to compute")
    drawn = replace(thrown.drawn, grip=on_film(thrown.drawn.grip, factors))
    return replace(thrown, grip=on_film(thrown.grip, factor), drawn=drawn)


def film_factor(bed: BedStack, thrown: Attempt, seen_m: float) -> float | None:
    """The factor nearest to 1 that lands `thrown` on `seen_m`; None where none within an eighth to eight times does."""
    tries = [replace(thrown, grip=on_film(thrown.grip, math.exp(ln))) for ln in LN_FACTORS]

    def landing(ln: Floats) -> Floats:
        return lands(bed, [replace(thrown, grip=on_film(thrown.grip, math.exp(float(ln[0]))))]).landing_m

    found = float(_solved(lands(bed, tries).landing_m[None, :], landing, np.array([seen_m]))[0])
    return None if math.isnan(found) else math.exp(found)


def film_factors(stack: BedStack, thrown: Attempt, seen_m: Floats) -> Floats:
    """The factor (n,) of each draw, `seen_m` (n,); where no factor does, the one that comes nearest."""
    n = stack.size
    table = drawn_landings(stack, [as_seen(thrown, 1.0, np.full(n, math.exp(ln))) for ln in LN_FACTORS]).T

    def landing(ln: Floats) -> Floats:
        return np.asarray(drawn_landings(stack, [as_seen(thrown, 1.0, np.exp(ln))])[0])

    found = _solved(table, landing, seen_m)
    nearest = LN_FACTORS[np.abs(table - seen_m[:, None]).argmin(axis=1)]
    return np.asarray(np.exp(np.where(np.isnan(found), nearest, found)))


def _solved(table: Floats, landing: Callable[[Floats], Floats], seen_m: Floats) -> Floats:
    """Logarithm of the factor (n,) that lands on `seen_m`, the crossing nearest to 0; NaN where there is none.

    `table` (n × factors) are the landings at LN_FACTORS. False position in the Illinois form, within the bracket.
    """
    gap = table - seen_m[:, None]
    crosses = (gap[:, :-1] <= 0.0) != (gap[:, 1:] <= 0.0)
    middle = 0.5 * np.abs(LN_FACTORS[:-1] + LN_FACTORS[1:])
    k = np.where(crosses, middle, np.inf).argmin(axis=1)
    each = np.arange(k.size)
    low, high, below, above = LN_FACTORS[k], LN_FACTORS[k + 1], gap[each, k], gap[each, k + 1]
    there = crosses[each, k]
    at = 0.5 * (low + high)
    for _ in range(REFINED):
        apart = np.where(below == above, 1.0, below - above)
        at = np.clip(low + below / apart * (high - low), low, high)
        here = landing(at) - seen_m
        if float(np.abs(here[there]).max(initial=0.0)) < NEAR_M:
            break
        same = (here <= 0.0) == (below <= 0.0)
        low, below, above = np.where(same, at, low), np.where(same, here, below), np.where(same, 0.5 * above, above)
        high, above = np.where(same, high, at), np.where(same, above, here)
    return np.where(there, at, np.nan)


def longer(lane: Lane, by_m: float, oil_end_m: float) -> Lane:
    """The lane with its oil `by_m` past `oil_end_m`, as much of it on each foot; a measured film is drawn out."""
    film, share = lane.film, (oil_end_m + by_m) / oil_end_m
    if isinstance(film, FilmGrid):
        return replace(lane, film=replace(film, distance_m=tuple(share * x for x in film.distance_m)))
    if isinstance(film, FilmSummary):
        return replace(lane, film=replace(film, length_m=share * film.length_m, volume_m3=share * film.volume_m3))
    spread = replace(
        film, length_low_m=film.length_low_m + by_m, length_high_m=film.length_high_m + by_m,
        volume_low_m3=share * film.volume_low_m3, volume_high_m3=share * film.volume_high_m3,
    )  # fmt: skip
    return replace(lane, film=spread)
