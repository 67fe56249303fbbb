"""A lane as the shots of one outing have shown it, with what is still unknown of it."""

from __future__ import annotations

import math
from dataclasses import replace
from types import MappingProxyType

from arsenal.motion.beds import BOARDS_PER_LN_FILM, MOST_OIL_M3, middle_of
from arsenal.practice.model import DRY, FILM, LENGTH, RATIO
from arsenal.trade.factors import LaneFactors
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.priors import Priors
from arsenal.trade.units import FOOT_M

FLAT = math.sqrt(3.0)
"""Half the width of a flat spread, in its own sd."""
SHORTEST_M, LONGEST_M = 5.0 * FOOT_M, 60.0 * FOOT_M
RATIO_MOST = 20.0
MOST_LN_FILM = math.log(8.0)
"""A lane is taken to hold between an eighth and eight times of what it was said to (our own assumption)."""


def as_seen(lane: Lane, priors: Priors, seen: LaneFactors) -> tuple[Lane, Priors]:
    """`lane` with its film, and `priors` with the doubt, that the outing has left. An unknown house stays one, but a
    narrower one. What two unknowns have in common is left out: each keeps its own spread.
    """
    more = math.exp(_within(seen.mean[FILM], -MOST_LN_FILM, MOST_LN_FILM))
    surface = {kind: of * math.exp(seen.mean[DRY]) for kind, of in priors.friction.lane_surface.items()}
    friction = replace(
        priors.friction, lane_surface=MappingProxyType(surface), lane_surface_ln_sd=seen.sd(DRY)
    )  # fmt: skip
    told = replace(priors, friction=friction, doubt=replace(priors.doubt, lane_ln_sd=seen.sd(FILM)))
    if isinstance(lane.film, UnknownHouse):
        return replace(lane, film=_narrowed(lane.film, seen)), told
    if isinstance(lane.film, FilmSummary):
        return replace(lane, film=replace(lane.film, volume_m3=min(more * lane.film.volume_m3, MOST_OIL_M3))), told
    return replace(lane, film=_measured(lane.film, more)), told


def _measured(film: FilmGrid, more: float) -> FilmGrid:
    return replace(film, height_m=tuple(tuple(more * h for h in row) for row in film.height_m))


def _narrowed(house: UnknownHouse, seen: LaneFactors) -> UnknownHouse:
    middle = middle_of(house)
    length, length_by = middle.length_m + seen.mean[LENGTH], FLAT * seen.sd(LENGTH)
    ratio, ratio_by = math.log(middle.ratio) + seen.mean[RATIO], FLAT * seen.sd(RATIO)
    volume = min(middle.volume_m3 * math.exp(_within(seen.mean[FILM], -MOST_LN_FILM, MOST_LN_FILM)), MOST_OIL_M3)
    return replace(
        house, length_low_m=_within(length - length_by, SHORTEST_M, LONGEST_M),
        length_high_m=_within(length + length_by, SHORTEST_M, LONGEST_M),
        volume_low_m3=volume, volume_high_m3=volume, ratio_low=_within(math.exp(ratio - ratio_by), 1.0, RATIO_MOST),
        ratio_high=_within(math.exp(ratio + ratio_by), 1.0, RATIO_MOST),
        lane_boards_sd=BOARDS_PER_LN_FILM * seen.sd(FILM),
    )  # fmt: skip


def _within(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)
