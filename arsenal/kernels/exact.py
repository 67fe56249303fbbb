"""One ball followed exactly in time: in closed form where friction is constant, cell by cell on a map of it.

The reduced model's three equations dx/dt = v₀ₓ − ûₓ s, dy/dt = v₀ᵧ − ûᵧ s, ds/dt = μ g, until s reaches the slip
budget; then straight on. Plain floats in SI; a Track is only ever appended to by the functions here.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

LONGEST_STEP_S = 0.01
LONGEST_STEP_M = 0.04
MOST_NODES = 400_000
ON_EDGE_M = 1e-12


class Throw(NamedTuple):
    """A release in the reduced model (kernels.path.Slip as floats) from lateral place `y`."""

    y: float
    vx: float
    vy: float
    ux: float
    uy: float
    budget: float


@dataclass(slots=True)
class Track:
    """Nodes of a path: time, x, y, s at each; pull μ g just after a node and just before the next, by segment."""

    t: list[float] = field(default_factory=list)
    x: list[float] = field(default_factory=list)
    y: list[float] = field(default_factory=list)
    s: list[float] = field(default_factory=list)
    pull_from: list[float] = field(default_factory=list)
    pull_to: list[float] = field(default_factory=list)
    rolls_at: int | None = None
    """Node from which it rolls."""
    ended: str = "pins"
    """pins, came back, stopped."""

    def start(self, y: float) -> None:
        """The first node, at the foul line."""
        self.t, self.x, self.y, self.s = [0.0], [0.0], [y], [0.0]

    def add(self, dt: float, x: float, y: float, s: float, pulls: tuple[float, float]) -> None:
        """One more segment of length `dt`."""
        self.t.append(self.t[-1] + dt)
        self.x.append(x)
        self.y.append(y)
        self.s.append(s)
        self.pull_from.append(pulls[0])
        self.pull_to.append(pulls[1])


def first_passage(gap: float, speed: float, half_pull: float) -> float:
    """First time > 0 at which speed·t − half_pull·t² = gap; infinity where never."""
    if half_pull == 0.0:
        return gap / speed if speed != 0.0 and gap / speed > 0.0 else math.inf
    under = speed * speed - 4.0 * half_pull * gap
    if under < 0.0:
        return math.inf
    q = 0.5 * (speed + math.copysign(math.sqrt(under), speed))
    roots = [q / half_pull] + ([gap / q] if q != 0.0 else [])
    return min((r for r in roots if r > 0.0), default=math.inf)


def follow_steps(throw: Throw, starts: Sequence[float], mu: Sequence[float], length: float, gravity: float) -> Track:
    """Path over friction that is `mu[i]` from `starts[i]` (ascending) to the next one; the first goes back to −∞."""
    track = Track()
    track.start(throw.y)
    if throw.budget <= 0.0:
        return _roll_on(track, throw, length)
    piece = max(bisect_right(starts, 0.0) - 1, 0)
    while True:
        x, s, pull = track.x[-1], track.s[-1], mu[piece] * gravity
        vx, half = throw.vx - throw.ux * s, 0.5 * throw.ux * pull
        above = starts[piece + 1] if piece + 1 < len(starts) else math.inf
        below = max(starts[piece], 0.0) if piece > 0 else 0.0
        to_roll = (throw.budget - s) / pull if pull > 0.0 else math.inf
        to_above = first_passage(min(above, length) - x, vx, half)
        to_below = first_passage(below - x, vx, half)
        dt = min(to_roll, to_above, to_below)
        if not math.isfinite(dt):
            track.ended = "stopped"
            return track
        rolls = to_roll <= dt * (1.0 + 1e-12)
        _advance(track, throw, dt, pull, throw.budget if rolls else None)
        if rolls:
            return _roll_on(track, throw, length)
        if to_above == dt:
            track.x[-1] = min(above, length)
            piece += 1
            if above >= length:
                return track
        else:
            track.x[-1] = below
            if below <= 0.0:
                track.ended = "came back"
                return track
            piece -= 1


def _advance(track: Track, throw: Throw, dt: float, pull: float, s_end: float | None) -> None:
    s = track.s[-1]
    x = track.x[-1] + (throw.vx - throw.ux * s - 0.5 * throw.ux * pull * dt) * dt
    y = track.y[-1] + (throw.vy - throw.uy * s - 0.5 * throw.uy * pull * dt) * dt
    track.add(dt, x, y, s + pull * dt if s_end is None else s_end, (pull, pull))


def _roll_on(track: Track, throw: Throw, length: float) -> Track:
    """Straight on from where it rolls, to the pins or back to the foul line."""
    track.rolls_at = len(track.t) - 1
    vx, vy = throw.vx - throw.ux * throw.budget, throw.vy - throw.uy * throw.budget
    x, y = track.x[-1], track.y[-1]
    if vx > 1e-12:
        if x < length:
            dt = (length - x) / vx
            track.add(dt, length, y + vy * dt, throw.budget, (0.0, 0.0))
    elif vx < -1e-12 and x > 0.0:
        dt = -x / vx
        track.add(dt, 0.0, y + vy * dt, throw.budget, (0.0, 0.0))
        track.ended = "came back"
    else:
        track.ended = "stopped"
    return track


def _within(share: float) -> float:
    return min(max(share, -1.0), 2.0)


class Cells:
    """A friction map `mu[i][j]` at `x[i]`, `y[j]`: bilinear between nodes, edge values beyond."""

    def __init__(self, mu: Sequence[Sequence[float]], x: Sequence[float], y: Sequence[float]) -> None:
        self.mu, self.x, self.y = mu, x, y
        self.rows, self.columns = len(x), len(y)

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """The cell that holds a place: −1 before the first node, the last index after the last."""
        return bisect_right(self.x, x) - 1, bisect_right(self.y, y) - 1

    def bounds(self, i: int, j: int) -> tuple[float, float, float, float]:
        """Edges of cell i, j: x low, x high, y low, y high."""
        return (
            self.x[i] if i >= 0 else -math.inf,
            self.x[i + 1] if i + 1 < self.rows else math.inf,
            self.y[j] if j >= 0 else -math.inf,
            self.y[j + 1] if j + 1 < self.columns else math.inf,
        )

    def at(self, x: float, y: float, i: int, j: int) -> float:
        """μ at a place by the formula of cell i, j, which goes on smoothly a little beyond its edges."""
        near, far = max(i, 0), min(i + 1, self.rows - 1)
        left, right = max(j, 0), min(j + 1, self.columns - 1)
        p = _within((x - self.x[near]) / (self.x[far] - self.x[near])) if far > near else 0.0
        q = _within((y - self.y[left]) / (self.y[right] - self.y[left])) if right > left else 0.0
        a, b = self.mu[near], self.mu[far]
        low = a[left] + (a[right] - a[left]) * q
        high = b[left] + (b[right] - b[left]) * q
        return low + (high - low) * p


State = tuple[float, float, float]


def _step(throw: Throw, cells: Cells, state: State, cell: tuple[int, int], dt: float, gravity: float) -> State:
    """Classical fourth-order step inside one cell."""
    x, y, s = state
    i, j = cell
    vx, vy, ux, uy = throw.vx, throw.vy, throw.ux, throw.uy
    half = 0.5 * dt
    k1 = gravity * cells.at(x, y, i, j)
    ax, ay = vx - ux * s, vy - uy * s
    s2 = s + half * k1
    k2 = gravity * cells.at(x + half * ax, y + half * ay, i, j)
    bx, by = vx - ux * s2, vy - uy * s2
    s3 = s + half * k2
    k3 = gravity * cells.at(x + half * bx, y + half * by, i, j)
    cx, cy = vx - ux * s3, vy - uy * s3
    s4 = s + dt * k3
    k4 = gravity * cells.at(x + dt * cx, y + dt * cy, i, j)
    dx, dy = vx - ux * s4, vy - uy * s4
    sixth = dt / 6.0
    return (
        x + sixth * (ax + 2.0 * (bx + cx) + dx),
        y + sixth * (ay + 2.0 * (by + cy) + dy),
        s + sixth * (k1 + 2.0 * (k2 + k3) + k4),
    )


def _longest(vx: float, vy: float, length: float, width: float) -> float:
    """A step that stays smooth and does not carry a cell's formula far past its edges."""
    return min(
        LONGEST_STEP_S,
        LONGEST_STEP_M / max(math.hypot(vx, vy), 1e-9),
        1.25 * length / max(abs(vx), 1e-9),
        1.25 * width / max(abs(vy), 1e-9),
    )


def _share(a: float, b: float, da: float, db: float, level: float) -> float:
    """Share of a step at which the cubic from a to b (end slopes da, db times the step) passes `level`."""
    low, high = 0.0, 1.0
    rise = b - a
    c2, c3 = 3.0 * rise - 2.0 * da - db, da + db - 2.0 * rise
    up = b > level
    for _ in range(60):
        p = 0.5 * (low + high)
        if (a + p * (da + p * (c2 + p * c3)) > level) == up:
            high = p
        else:
            low = p
        if high - low < 1e-15:
            break
    return high


def _exits(
    throw: Throw, a: State, b: State, pulls: tuple[float, float], box: tuple[float, ...], dt: float
) -> tuple[float, str]:
    """Earliest share of the step at which it leaves the cell or rolls, and through what ("" where it stays)."""
    found = (1.0, "")
    if b[2] >= throw.budget:
        found = min(found, (_share(a[2], b[2], pulls[0] * dt, pulls[1] * dt, throw.budget), "roll"))
    for axis, v, u, names in ((0, throw.vx, throw.ux, ("near", "far")), (1, throw.vy, throw.uy, ("left", "right"))):
        low, high = box[2 * axis], box[2 * axis + 1]
        edge, name = (low, names[0]) if b[axis] < low - ON_EDGE_M else (high, names[1])
        if low - ON_EDGE_M <= b[axis] <= high + ON_EDGE_M:
            continue
        da, db = (v - u * a[2]) * dt, (v - u * b[2]) * dt
        found = min(found, (_share(a[axis], b[axis], da, db, edge), name))
    return found


MOVES = {"near": (-1, 0), "far": (1, 0), "left": (0, -1), "right": (0, 1)}


def follow_cells(throw: Throw, cells: Cells, length: float, gravity: float) -> Track:
    """Path over a friction map; every cell edge it crosses and the roll point are nodes."""
    track = Track()
    track.start(throw.y)
    if throw.budget <= 0.0:
        return _roll_on(track, throw, length)
    state: State = (0.0, throw.y, 0.0)
    cell = cells.cell(0.0, throw.y)
    while len(track.t) < MOST_NODES:
        vx, vy = throw.vx - throw.ux * state[2], throw.vy - throw.uy * state[2]
        low, high, left, right = cells.bounds(*cell)
        dt = _longest(vx, vy, high - low, right - left)
        box = (max(low, 0.0), min(high, length), left, right)
        after = _step(throw, cells, state, cell, dt, gravity)
        pulls = gravity * cells.at(*state[:2], *cell), gravity * cells.at(*after[:2], *cell)
        share, through = _exits(throw, state, after, pulls, box, dt)
        if through:
            dt *= share
            after = _step(throw, cells, state, cell, dt, gravity)
            after = _placed(after, through, box, throw.budget)
        if dt > 1e-13:
            track.add(dt, *after, (pulls[0], gravity * cells.at(*after[:2], *cell)))
        if through == "roll":
            return _roll_on(track, throw, length)
        state = after
        if through == "far" and box[1] >= length:
            return track
        if through == "near" and box[0] <= 0.0:
            track.ended = "came back"
            return track
        if through:
            cell = cell[0] + MOVES[through][0], cell[1] + MOVES[through][1]
    track.ended = "stopped"
    return track


def _placed(state: State, through: str, box: tuple[float, ...], budget: float) -> State:
    x, y, s = state
    if through == "roll":
        return x, y, budget
    edge = box[("near", "far", "left", "right").index(through)]
    return (edge, y, s) if through in ("near", "far") else (x, edge, s)
