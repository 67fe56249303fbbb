"""The marks of a reaction, read from one path at its stations: skid spent, the turn, the roll, the landing.

Cubic Hermite interpolation between stations; past the pins the lane goes on with its last friction, in closed form.
SI; inputs are read only; a mark that does not exist is NaN.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from arsenal.kernels.compiled import compiled
from arsenal.kernels.shapes import Floats

TINY = 1e-12


class Ridden(NamedTuple):
    """One path: y, spent impulse s and pull (stations × lanes) in its `lane`, `h` metres apart and good up to station
    `last`; its start.
    """

    y: Floats
    s: Floats
    pull: Floats
    lane: int
    last: int
    h: float
    vx: float
    vy: float
    ux: float
    uy: float
    budget: float


class Lane(NamedTuple):
    """What the marks are held against: length, width, where the oil ends, and how near the turn is “flat” (m)."""

    length: float
    width: float
    oil_end: float
    near: float


@compiled
def speed_down(p: Ridden, s: float) -> float:
    """Down-lane speed at spent impulse s, never below a sliver of the launch speed."""
    return max(p.vx - p.ux * s, 1e-3 * p.vx)


@compiled
def cubic(a: float, b: float, da: float, db: float, share: float) -> float:
    """The cubic from a to b whose end slopes, times the interval, are da and db."""
    rise = b - a
    return a + share * (da + share * (3.0 * rise - 2.0 * da - db + share * (da + db - 2.0 * rise)))


@compiled
def spent_inside(p: Ridden, k: int, share: float) -> float:
    """Spent impulse within interval k."""
    da, db = (
        p.h * p.pull[k, p.lane] / speed_down(p, p.s[k, p.lane]),
        p.h * p.pull[k + 1, p.lane] / speed_down(p, p.s[k + 1, p.lane]),
    )
    return cubic(p.s[k, p.lane], p.s[k + 1, p.lane], da, db, share)


@compiled
def lateral_inside(p: Ridden, k: int, share: float) -> float:
    """Lateral place within interval k."""
    da = p.h * (p.vy - p.uy * p.s[k, p.lane]) / speed_down(p, p.s[k, p.lane])
    db = p.h * (p.vy - p.uy * p.s[k + 1, p.lane]) / speed_down(p, p.s[k + 1, p.lane])
    return cubic(p.y[k, p.lane], p.y[k + 1, p.lane], da, db, share)


@compiled
def first_past(p: Ridden, level: float, at: int) -> int:
    """First station from `at` on whose s reaches `level`; last + 1 where none does."""
    while at <= p.last and p.s[at, p.lane] < level:
        at += 1
    return at


@compiled
def crossing(p: Ridden, level: float, high: int, length: float) -> float:
    """Distance at which s reaches `level`, first reached at station `high`; continued past the last; NaN for never."""
    if level <= 0.0:
        return 0.0
    if high > p.last:
        if p.pull[p.last, p.lane] <= 1e-9:
            return math.nan
        slower = p.ux * 0.5 * (level + p.s[p.last, p.lane])
        return float(length + (p.vx - slower) * (level - p.s[p.last, p.lane]) / p.pull[p.last, p.lane])
    low = high - 1
    rise = p.s[high, p.lane] - p.s[low, p.lane]
    share = (level - p.s[low, p.lane]) / rise if rise > TINY else 0.0
    slope = p.h * p.pull[low, p.lane] / speed_down(p, p.s[low, p.lane])
    end = p.h * p.pull[high, p.lane] / speed_down(p, p.s[high, p.lane])
    second, third = 3.0 * rise - 2.0 * slope - end, slope + end - 2.0 * rise
    for _ in range(2):
        steep = slope + share * (2.0 * second + share * 3.0 * third)
        gap = p.s[low, p.lane] + share * (slope + share * (second + share * third)) - level
        if abs(steep) > TINY:
            share -= gap / steep
        share = min(max(share, 0.0), 1.0)
    return (low + share) * p.h


@compiled
def lateral_at(p: Ridden, x: float) -> float:
    """Lateral place of the sliding motion at distance x within the stations."""
    k = min(max(int(x / p.h), 0), p.last - 1)
    return lateral_inside(p, k, x / p.h - k)


@compiled
def spent_at(p: Ridden, x: float) -> float:
    """Spent impulse at distance x, cut at the slip budget."""
    k = int(x / p.h)
    if k >= p.last:
        return float(min(p.s[p.last, p.lane], p.budget))
    return float(min(spent_inside(p, max(k, 0), min(max(x / p.h - k, 0.0), 1.0)), p.budget))


@compiled
def leaves(p: Ridden, roll_at: float, y_roll: float, slope: float, lane: Lane) -> float:
    """First distance at which the centre passes y = 0 or the width, sliding or rolling; NaN where it stays on."""
    if p.y[0, p.lane] < 0.0 or p.y[0, p.lane] > lane.width:
        return 0.0
    k = 0
    while k < p.last and k * p.h < roll_at:
        end = min(1.0, roll_at / p.h - k)
        y = p.y[k + 1, p.lane] if end == 1.0 else y_roll
        if y < 0.0 or y > lane.width:
            edge = 0.0 if y < 0.0 else lane.width
            low, high = 0.0, end
            for _ in range(40):
                middle = 0.5 * (low + high)
                if (lateral_inside(p, k, middle) > edge) == (y > edge):
                    high = middle
                else:
                    low = middle
            return (k + high) * p.h
        k += 1
    landing = y_roll + slope * (lane.length - roll_at)
    if 0.0 <= landing <= lane.width:
        return math.nan
    return roll_at + ((0.0 if landing < 0.0 else lane.width) - y_roll) / slope


@compiled
def reach(p: Ridden, turn: float, level: float, roll_at: float, y_roll: float, slope: float) -> float:
    """How long the path stays under `level` around its turn, linear between stations."""
    k = int(turn / p.h)
    near, y_near = turn, p.y[min(k, p.last), p.lane]
    while k >= 0 and p.y[k, p.lane] < level:
        near, y_near = k * p.h, p.y[k, p.lane]
        k -= 1
    if k >= 0:
        near -= p.h * (level - y_near) / max(p.y[k, p.lane] - y_near, TINY)
    far, y_far = turn, lateral_at(p, turn)
    k = int(turn / p.h) + 1
    while k <= p.last and k * p.h < roll_at and p.y[k, p.lane] < level:
        far, y_far = k * p.h, p.y[k, p.lane]
        k += 1
    if k <= p.last and k * p.h < roll_at:
        return float(far + p.h * (level - y_far) / max(p.y[k, p.lane] - y_far, TINY) - near)
    return roll_at + max((level - y_roll) / slope, 0.0) - near if slope > TINY else math.inf


@compiled
def turn_of(p: Ridden, roll_at: float, y_roll: float, slope: float, lane: Lane, out: Floats) -> None:
    """Where the lateral velocity passes through zero: v_y = v₀y − û_y s, so it is a level of s like the others."""
    out[5], out[6], out[7] = math.nan, math.nan, 0.0
    if p.vy >= 0.0 or p.uy >= 0.0 or p.vy / p.uy >= p.budget:
        return
    level = p.vy / p.uy
    turn = crossing(p, level, first_past(p, level, 0), lane.length)
    if not turn < lane.length:
        return
    out[5], out[6] = turn, lateral_at(p, turn)
    out[7] = reach(p, turn, out[6] + lane.near, roll_at, y_roll, slope)


@compiled
def extremes(p: Ridden, roll_at: float, y_roll: float, out: Floats) -> None:
    """Nearest to either gutter at the stations, at the roll, at the turn and at the pins."""
    low, high = min(y_roll, out[0]), max(y_roll, out[0])
    for k in range(p.last + 1):
        if k * p.h < roll_at:
            low, high = min(low, p.y[k, p.lane]), max(high, p.y[k, p.lane])
    if out[6] < low:  # noqa: PLR1730 - false where there is no turn
        low = out[6]
    out[13], out[14] = low, high


@compiled
def read(p: Ridden, lane: Lane, out: Floats) -> None:
    """All marks of one path into `out` (15,), in the order of MARKS; `flat` is a length in metres."""
    station = 0
    for i in range(4):
        level = 0.25 * (i + 1) * p.budget
        station = first_past(p, level, station)
        out[1 + i] = crossing(p, level, station, lane.length)
    rolls = out[4]
    roll_at = rolls if rolls < lane.length else lane.length
    end_vx, end_vy = p.vx - p.ux * p.budget, p.vy - p.uy * p.budget
    slope = end_vy / end_vx
    y_roll = lateral_at(p, roll_at)
    out[0] = y_roll + slope * (lane.length - roll_at)
    turn_of(p, roll_at, y_roll, slope, lane, out)
    s = min(p.s[p.last, p.lane], p.budget)
    vx, vy = speed_down(p, s), p.vy - p.uy * s
    out[8], out[11] = math.atan2(vy, vx), math.hypot(vx, vy)
    some = p.budget if p.budget > 0.0 else math.inf
    out[9] = 1.0 - spent_at(p, lane.oil_end) / some if p.budget > 0.0 else 0.0
    out[10] = 1.0 - s / some if p.budget > 0.0 else 0.0
    extremes(p, roll_at, y_roll, out)
    stays = out[13] >= 0.0 and out[14] <= lane.width
    out[12] = math.nan if stays else leaves(p, roll_at, y_roll, slope, lane)
