"""Friction along a lane as a user gives it: steps that change with distance, or a map with nodes both ways."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from arsenal.motion.checks import FRICTION, finite
from arsenal.motion.records import Floats
from arsenal.trade.errors import OutOfRange
from arsenal.trade.findings import Finding
from arsenal.trade.units import LANE_LENGTH_M, LANE_WIDTH_M

FARTHEST_LENGTHS = 1.7
"""Friction that still changes this many lanes down is in another unit: 32 ft of oil would be 1.75 lanes in metres."""
WIDEST_M, WIDE_M = 5.0, 2.5
"""Friction that changes this far to the side of a lane 1.05 m wide is in another unit; from the second on it may be."""


@dataclass(frozen=True, slots=True)
class Steps:
    """Friction `mu[i]` from `distance_m[i]` on, to the next one; the first value also holds before its distance."""

    distance_m: tuple[float, ...]
    mu: tuple[float, ...]

    def check(self, length_m: float) -> None:
        """OutOfRange where the friction changes so far down that its distances must be in another unit."""
        changes = [d for d, (a, b) in zip(self.distance_m[1:], pairwise(self.mu), strict=True) if a != b]
        _not_far_past(max(changes, default=0.0), length_m)

    def findings(self, length_m: float) -> tuple[Finding, ...]:
        """What a reader should know of how the steps were extended."""
        del length_m
        if self.distance_m[0] > 0.0:
            return (
                Finding("friction.short", "The friction starts past the foul line; its first value goes on before."),
            )
        return ()


@dataclass(frozen=True, slots=True)
class Grid:
    """Friction `mu[i, j]` at `distance_m[i]`, `lateral_m[j]`: bilinear between nodes, edge values beyond."""

    mu: Floats
    distance_m: Floats
    lateral_m: Floats

    def check(self, length_m: float) -> None:
        """OutOfRange where the friction changes so far down or so far aside that it must be in another unit."""
        _not_far_past(self._farthest_change(), length_m)
        aside = self._widest_change()
        if aside > WIDEST_M:
            raise OutOfRange(
                "lateral", f"{aside:g} m where the friction still changes",
                f"within {WIDEST_M:g} m of a lane {LANE_WIDTH_M:.2f} m wide (is it in boards or inches?)",
            )  # fmt: skip

    def _farthest_change(self) -> float:
        changes = np.flatnonzero(np.any(np.diff(self.mu, axis=0) != 0.0, axis=1))
        return float(self.distance_m[changes[-1] + 1]) if changes.size else 0.0

    def _widest_change(self) -> float:
        changes = np.flatnonzero(np.any(np.diff(self.mu, axis=1) != 0.0, axis=0))
        return float(np.abs(self.lateral_m[[changes[0], changes[-1] + 1]]).max()) if changes.size else 0.0

    def findings(self, length_m: float) -> tuple[Finding, ...]:
        """Says so where the map stops short of the lane and goes on by its edge, and where it may be in feet."""
        found = []
        if self._widest_change() > WIDE_M:
            found.append(Finding("friction.wide", "The friction map is far wider than the lane; check its unit."))
        if self._farthest_change() > 0.0 and self.distance_m[-1] > FARTHEST_LENGTHS * max(length_m, LANE_LENGTH_M):
            found.append(Finding("friction.long", "The friction map goes on far past the pins; check its unit."))
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


def _not_far_past(distance_m: float, length_m: float) -> None:
    most = FARTHEST_LENGTHS * max(length_m, LANE_LENGTH_M)
    if distance_m > most:
        raise OutOfRange(
            "distance", f"{distance_m:g} m where the friction still changes",
            f"at most {most:.0f} m on a lane of {length_m:g} m (is it in feet?)",
        )  # fmt: skip


def _friction(value: float) -> float:
    return FRICTION.check(finite(FRICTION.field, value))


def steps(pairs: Iterable[tuple[float, float]]) -> Steps:
    """Friction from (distance in metres, μ) pairs in growing order of distance.

    Raises OutOfRange for nothing, NaN, infinities, negative friction, or distances out of order.
    """
    try:
        split = [(d, m) for d, m in pairs]
    except (TypeError, ValueError):
        raise OutOfRange("friction", "not a list of pairs", "(distance, μ) pairs") from None
    if not split:
        raise OutOfRange("friction", "empty", "at least one (distance, μ) pair")
    distances = tuple(finite("distance", d) for d, _ in split)
    mu = tuple(_friction(m) for _, m in split)
    if any(b <= a for a, b in pairwise(distances)):
        raise OutOfRange("distance", "out of order", "growing from one step to the next")
    return Steps(distances, mu)


def _numbers(name: str, values: npt.ArrayLike) -> Floats:
    try:
        return np.array(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise OutOfRange(name, "no table of numbers", "numbers, as many in each row") from None


def _axis(name: str, values: npt.ArrayLike) -> Floats:
    axis = _numbers(name, values)
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
    values = _numbers("friction map", mu)
    if values.shape != (x.size, y.size):
        raise OutOfRange("friction map", f"{values.shape}", f"{x.size} distances × {y.size} lateral places")
    FRICTION.check_all(values)
    for array in (values, x, y):
        array.setflags(write=False)
    return Grid(values, x, y)
