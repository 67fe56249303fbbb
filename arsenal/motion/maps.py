"""Friction along a lane as a user gives it: steps that change with distance, or a map with nodes both ways."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from arsenal.motion.checks import finite
from arsenal.motion.records import Floats
from arsenal.trade.errors import OutOfRange
from arsenal.trade.findings import Finding
from arsenal.trade.units import LANE_WIDTH_M

MOST_FRICTION = 2.0
"""Far above any ball on any lane (0.01 to 0.3); catches another unit in the column."""


@dataclass(frozen=True, slots=True)
class Steps:
    """Friction `mu[i]` from `distance_m[i]` on, to the next one; the first value also holds before its distance."""

    distance_m: tuple[float, ...]
    mu: tuple[float, ...]

    def findings(self, length_m: float) -> tuple[Finding, ...]:
        """What a reader should know of how the steps were extended."""
        if self.distance_m[0] > 0.0:
            return (
                Finding("friction.short", "The friction starts past the foul line; its first value goes on before."),
            )
        del length_m
        return ()


@dataclass(frozen=True, slots=True)
class Grid:
    """Friction `mu[i, j]` at `distance_m[i]`, `lateral_m[j]`: bilinear between nodes, edge values beyond."""

    mu: Floats
    distance_m: Floats
    lateral_m: Floats

    def findings(self, length_m: float) -> tuple[Finding, ...]:
        """Says so where the map stops short of the lane and goes on by its edge."""
        found = []
        if self.distance_m[0] > 1e-9 or self.distance_m[-1] < length_m - 1e-9:
            found.append(
                Finding("friction.short", "The friction map does not cover the lane's length; its edge goes on.")
            )
        if self.lateral_m[0] > 0.02 * LANE_WIDTH_M or self.lateral_m[-1] < 0.98 * LANE_WIDTH_M:
            found.append(
                Finding("friction.narrow", "The friction map does not cover the lane's width; its edge goes on.")
            )
        return tuple(found)


Friction = Steps | Grid


def _friction(value: float) -> float:
    finite("friction", value)
    if not 0.0 <= value <= MOST_FRICTION:
        raise OutOfRange("friction", f"{value:g}", f"0 to {MOST_FRICTION:g} (a ball on a lane has 0.01 to 0.3)")
    return value


def steps(pairs: Iterable[tuple[float, float]]) -> Steps:
    """Friction from (distance in metres, μ) pairs in growing order of distance.

    Raises OutOfRange for nothing, NaN, infinities, negative friction, or distances out of order.
    """
    found = [(finite("distance", float(d)), _friction(float(m))) for d, m in pairs]
    if not found:
        raise OutOfRange("friction", "empty", "at least one (distance, μ) pair")
    distances = tuple(d for d, _ in found)
    if any(b <= a for a, b in pairwise(distances)):
        raise OutOfRange("distance", "out of order", "growing from one step to the next")
    return Steps(distances, tuple(m for _, m in found))


def _axis(name: str, values: npt.ArrayLike) -> Floats:
    axis = np.array(values, dtype=np.float64)
    if axis.ndim != 1 or axis.size < 2:
        raise OutOfRange(name, f"{axis.size} value{'' if axis.size == 1 else 's'}", "at least two in one row")
    if not np.all(np.isfinite(axis)):
        raise OutOfRange(name, "not a number somewhere", "finite numbers only")
    if np.any(np.diff(axis) <= 0.0):
        raise OutOfRange(name, "out of order", "growing from one node to the next")
    return axis


def grid(mu: npt.ArrayLike, distance_m: npt.ArrayLike, lateral_m: npt.ArrayLike) -> Grid:
    """A friction map `mu[distance, lateral]`, lateral growing toward the hook side.

    Raises OutOfRange for fewer than two nodes either way, a shape that does not fit, NaN, infinities or negative
    friction; a map that stops short of the lane goes on by its edge, and the path's findings say so.
    """
    x, y = _axis("distance", distance_m), _axis("lateral", lateral_m)
    values = np.array(mu, dtype=np.float64)
    if values.shape != (x.size, y.size):
        raise OutOfRange("friction map", f"{values.shape}", f"{x.size} distances × {y.size} lateral places")
    bad = ~np.isfinite(values) | (values < 0.0) | (values > MOST_FRICTION)
    if bad.any():
        _friction(float(values[bad][0]))
    for array in (values, x, y):
        array.setflags(write=False)
    return Grid(values, x, y)
