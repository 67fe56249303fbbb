"""One ball followed exactly from the hand to the pins: the public face of motion."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from arsenal.kernels import exact
from arsenal.kernels.path import slip_of
from arsenal.motion.checks import GRAVITY, check_body, check_release, doubts, positive
from arsenal.motion.maps import Friction, Steps
from arsenal.motion.records import Floats
from arsenal.trade.ball import Body
from arsenal.trade.errors import OutOfRange
from arsenal.trade.findings import Finding
from arsenal.trade.release import Release
from arsenal.trade.units import GRAVITY_MPS2, LANE_LENGTH_M, LANE_WIDTH_M

SAMPLES = 241
SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Place:
    """The ball at one time (floats) or at several (arrays, the times first).

    `velocity_mps` (…, 2) down-lane and toward the hook side; `spin_radps` (…, 3) angular velocity about the down-lane
    axis, the axis toward the hook side and the upward one, as a right-handed set for a ball that hooks to the left.
    """

    time_s: Any
    distance_m: Any
    lateral_m: Any
    velocity_mps: Floats
    spin_radps: Floats
    skid_left: Any


class Path:
    """One ball's path. Arrays over about 240 times and every node; `at_time` and `at_distance` anywhere between.

    `time_s`, `distance_m`, `lateral_m`, `skid_left` (n,); `velocity_mps` (n, 2). `roll_distance_m` and `roll_time_s`
    are None where it never rolls within the length. `ended` is “pins”, “came back” or “stopped”.
    """

    def __init__(self, track: exact.Track, throw: exact.Throw, body: Body, release: Release, length_m: float) -> None:
        self._t, self._x, self._y, self._s = (np.array(v) for v in (track.t, track.x, track.y, track.s))
        self._from, self._to = np.array(track.pull_from), np.array(track.pull_to)
        self._throw, self._body, self._release, self.length_m = throw, body, release, length_m
        self.ended = track.ended
        self.roll_time_s: float | None = None
        self.roll_distance_m: float | None = None
        if track.rolls_at is not None:
            self.roll_time_s = float(self._t[track.rolls_at])
            self.roll_distance_m = float(self._x[track.rolls_at])
        self.findings: tuple[Finding, ...] = ()
        even = np.linspace(0.0, float(self._t[-1]), SAMPLES)
        at = self.at_time(np.union1d(even, self._t))
        self.time_s: Floats = at.time_s
        self.distance_m: Floats = at.distance_m
        self.lateral_m: Floats = at.lateral_m
        self.velocity_mps: Floats = at.velocity_mps
        self.skid_left: Floats = at.skid_left

    @property
    def reaches_pins(self) -> bool:
        """Whether it gets to the length asked for, gutter or not."""
        return self.ended == "pins"

    @cached_property
    def left_lane_m(self) -> float | None:
        """Distance at which the centre first passes a lane edge (0 or the lane's width); None where it stays on."""
        out = (self.lateral_m < -SLACK) | (self.lateral_m > LANE_WIDTH_M + SLACK)
        if not out.any():
            return None
        k = int(np.argmax(out))
        if k == 0:
            return float(self.distance_m[0])
        edge = 0.0 if self.lateral_m[k] < 0.0 else LANE_WIDTH_M
        low, high = float(self.time_s[k - 1]), float(self.time_s[k])
        beyond = self.lateral_m[k] > edge
        for _ in range(60):
            middle = 0.5 * (low + high)
            if (self.at_time(middle).lateral_m > edge) == beyond:
                high = middle
            else:
                low = middle
        found: float = self.at_time(high).distance_m
        return found

    def at_time(self, time_s: npt.ArrayLike) -> Place:
        """The ball at `time_s` (a number or an array). Raises OutOfRange outside the path's time."""
        t = np.asarray(time_s, float)
        end = float(self._t[-1])
        if not np.all((t >= -SLACK) & (t <= end + SLACK)):
            raise OutOfRange("time", f"{t.ravel()[0]:g} s" if t.size == 1 else "outside the path", f"0 to {end:g} s")
        t = np.clip(t, 0.0, end)
        if self._t.size == 1:
            return self._place(
                t, np.full(t.shape, self._x[0]), np.full(t.shape, self._y[0]), np.full(t.shape, self._s[0])
            )
        k = np.clip(np.searchsorted(self._t, t, side="right") - 1, 0, self._t.size - 2)
        s, spent = self._inside(k, t - self._t[k])
        x = self._x[k] + (self._throw.vx - self._throw.ux * self._s[k]) * (t - self._t[k]) - self._throw.ux * spent
        y = self._y[k] + (self._throw.vy - self._throw.uy * self._s[k]) * (t - self._t[k]) - self._throw.uy * spent
        return self._place(t, x, y, s)

    def _inside(self, k: npt.NDArray[np.intp], tau: Floats) -> tuple[Floats, Floats]:
        """Spent impulse `tau` into segment k, and the integral of what was spent since its start."""
        dt = self._t[k + 1] - self._t[k]
        p = tau / dt
        rise = self._s[k + 1] - self._s[k]
        a, b = self._from[k] * dt, self._to[k] * dt
        c2, c3 = 3.0 * rise - 2.0 * a - b, a + b - 2.0 * rise
        gained = p * (a + p * (c2 + p * c3))
        return self._s[k] + gained, dt * p * p * (a / 2.0 + p * (c2 / 3.0 + p * c3 / 4.0))

    def at_distance(self, distance_m: npt.ArrayLike) -> Place:
        """The ball when it first is `distance_m` down the lane. Raises OutOfRange where it never is."""
        d = np.asarray(distance_m, float)
        most = float(self.distance_m.max())
        if not np.all((d >= -SLACK) & (d <= most + SLACK)):
            shown = f"{d.ravel()[0]:g} m" if d.size == 1 else "outside the path"
            why = "" if self.reaches_pins else f"The ball {self.ended} and gets no farther."
            raise OutOfRange("distance", shown, f"0 to {most:g} m", next_step=why)
        d = np.clip(d, 0.0, most)
        times = np.array([self._first_time(float(v)) for v in d.ravel()]).reshape(d.shape)
        return self.at_time(times)

    def _first_time(self, distance: float) -> float:
        reached = self.distance_m >= distance - 1e-15
        k = int(np.argmax(reached)) if reached.any() else int(np.argmax(self.distance_m))
        if k == 0 or self.distance_m[k] == distance:
            return float(self.time_s[k])
        low, high = float(self.time_s[k - 1]), float(self.time_s[k])
        t: float = low + (high - low) * (distance - self.distance_m[k - 1]) / (
            self.distance_m[k] - self.distance_m[k - 1]
        )
        for _ in range(50):
            place = self.at_time(t)
            gap = float(place.distance_m) - distance
            low, high = (low, t) if gap > 0.0 else (t, high)
            vx = float(place.velocity_mps[0])
            step = t - gap / vx if vx > 1e-9 else 0.5 * (low + high)
            if not low <= step <= high:
                step = 0.5 * (low + high)
            if abs(step - t) < 1e-15:
                break
            t = step
        return t

    def _place(self, t: Floats, x: Floats, y: Floats, s: Floats) -> Place:
        th, r, release = self._throw, self._body.radius_m, self._release
        vx, vy = th.vx - th.ux * s, th.vy - th.uy * s
        slip = self._slip_left(s)
        spin = np.stack(
            [
                (th.uy * slip - vy) / r,
                (vx - th.ux * slip) / r,
                np.full(t.shape, release.rev_rate_radps * math.sin(release.axis_tilt_rad)),
            ],
            axis=-1,
        )
        budget = th.budget
        left = np.clip(1.0 - s / budget, 0.0, 1.0) if budget > 0.0 else np.zeros(t.shape)
        velocity = np.stack([vx, vy], axis=-1)
        if t.ndim == 0:
            return Place(float(t), float(x), float(y), velocity, spin, float(left))
        return Place(t, x, y, velocity, spin, left)

    def _slip_left(self, s: Floats) -> Floats:
        beta = (self._body.rg_m / self._body.radius_m) ** 2
        return np.asarray(np.maximum(self._throw.budget - s, 0.0) * (1.0 + beta) / beta)


def roll(
    body: Body,
    release: Release,
    friction: Friction,
    length_m: float = LANE_LENGTH_M,
    gravity_mps2: float = GRAVITY_MPS2,
) -> Path:
    """The path of one ball from the foul line to `length_m`; lateral may pass the lane's edges (see `left_lane_m`).

    In closed form for `steps`, cell by cell for a `grid`. Raises OutOfRange, before anything is computed, for values
    that cannot be true.
    """
    check_body(body)
    check_release(release)
    positive("length", length_m)
    GRAVITY.check(gravity_mps2)
    friction.check(length_m)
    slip = slip_of(
        release.speed_mps, release.launch_rad, release.rev_rate_radps, release.axis_rotation_rad,
        release.axis_tilt_rad, body.radius_m, body.rg_m,
    )  # fmt: skip
    throw = exact.Throw(
        release.lateral_m, float(slip.vx), float(slip.vy), float(slip.ux), float(slip.uy), float(slip.budget)
    )
    if isinstance(friction, Steps):
        track = exact.follow_steps(throw, friction.distance_m, friction.mu, length_m, gravity_mps2)
    else:
        cells = exact.Cells(friction.mu.tolist(), friction.distance_m.tolist(), friction.lateral_m.tolist())
        track = exact.follow_cells(throw, cells, length_m, gravity_mps2)
    path = Path(track, throw, body, release, length_m)
    path.findings = doubts(body, release) + friction.findings(length_m)
    return path
