"""A ball as a rigid body with three radii of gyration: turning free, or sliding and rolling over a level lane.

Floats in SI, everything per unit mass. Space axes: x down the lane, y toward the hook side, z up; body axes: low,
middle and high RG. Orientation is a unit quaternion. Steps are classical Runge–Kutta on place, velocity, angular
momentum and the rotation vector since the step began, whose exponential then turns the quaternion (Munthe-Kaas's
method, fourth order: Hairer, Lubich & Wanner, Geometric Numerical Integration, ch. IV). A free body keeps its angular
momentum exactly, and energy tells the error.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Vector = tuple[float, float, float]
Quaternion = tuple[float, float, float, float]
State = list[float]
"""x, y, v_x, v_y, the three of L (m²/s) and of the rotation vector since the step began."""
MOST_S = 30.0
"""A ball that is not down the lane by then never will be."""
Pull = Callable[[State, Vector], tuple[float, float]]
"""Horizontal acceleration of the centre (m/s²) from the state and the angular velocity in space axes."""


class Motion(NamedTuple):
    """What a body did at n times: `t` (n,), `place` and `velocity` (n, 2) of its centre, `momentum` (n, 3) about it in
    space axes per unit mass (m²/s), `orientation` (n, 4) as unit quaternions from body to space axes, scalar first.
    """

    t: Floats
    place: Floats
    velocity: Floats
    momentum: Floats
    orientation: Floats


def squared_rgs(rg_low_m: float, differential_m: float, intermediate_m: float) -> Vector:
    """k² about the low, middle and high RG axes (m²); the middle one lies `intermediate_m` under the high one."""
    high = rg_low_m + differential_m
    return rg_low_m**2, max(high - intermediate_m, rg_low_m) ** 2, high**2


def facing(body: Vector, space: Vector) -> Quaternion:
    """The shortest turn that takes the unit vector `body` to the unit vector `space`."""
    (a, b, c), (p, q, r) = body, space
    double = math.hypot(a + p, b + q, c + r)
    if double < 1e-7:  # opposite: half a turn about anything square to it
        side = (-b, a, 0.0) if abs(c) < 0.9 else (0.0, -c, b)
        size = math.hypot(*side)
        return 0.0, side[0] / size, side[1] / size, side[2] / size
    found = 0.5 * double, (b * r - c * q) / double, (c * p - a * r) / double, (a * q - b * p) / double
    size = math.hypot(*found)
    return found[0] / size, found[1] / size, found[2] / size, found[3] / size


def _turned(q: Quaternion, x: float, y: float, z: float) -> Quaternion:
    """The orientation `q` turned on by the rotation vector (x, y, z) in space axes."""
    size = math.sqrt(x * x + y * y + z * z)
    scale = math.sin(0.5 * size) / size if size > 1e-8 else 0.5
    w, x, y, z = math.cos(0.5 * size), scale * x, scale * y, scale * z
    p, i, j, k = q
    return (
        w * p - x * i - y * j - z * k, w * i + x * p + y * k - z * j,
        w * j + y * p + z * i - x * k, w * k + z * p + x * j - y * i,
    )  # fmt: skip


def _spin(k2: Vector, momentum: list[float], q: Quaternion) -> Vector:
    """ω = Q K⁻¹ Qᵀ L in space axes."""
    (lx, ly, lz), (w, x, y, z) = momentum, q
    xx, yy, zz, xy, xz, yz = x * x, y * y, z * z, x * y, x * z, y * z
    wx, wy, wz = w * x, w * y, w * z
    a1, a2, a3 = 1.0 - 2.0 * (yy + zz), 2.0 * (xy - wz), 2.0 * (xz + wy)
    b1, b2, b3 = 2.0 * (xy + wz), 1.0 - 2.0 * (xx + zz), 2.0 * (yz - wx)
    c1, c2, c3 = 2.0 * (xz - wy), 2.0 * (yz + wx), 1.0 - 2.0 * (xx + yy)
    low = (a1 * lx + b1 * ly + c1 * lz) / k2[0]
    mid = (a2 * lx + b2 * ly + c2 * lz) / k2[1]
    high = (a3 * lx + b3 * ly + c3 * lz) / k2[2]
    return a1 * low + a2 * mid + a3 * high, b1 * low + b2 * mid + b3 * high, c1 * low + c2 * mid + c3 * high


def _rates(state: State, q: Quaternion, k2: Vector, radius: float, pull: Pull | None) -> State:
    """Newton's and Euler's equations, dv/dt = a and dL/dt = (−Rẑ) × a, and for the rotation vector θ since `q`
    dθ/dt = ω − ½ θ × ω + ⅟₁₂ θ × (θ × ω), the inverse of the exponential's derivative to the order needed.
    """
    x, y, z = state[7:]
    spin = ox, oy, oz = _spin(k2, state[4:7], _turned(q, x, y, z))
    cx, cy, cz = y * oz - z * oy, z * ox - x * oz, x * oy - y * ox
    ax, ay = (0.0, 0.0) if pull is None else pull(state, spin)
    return [
        state[2], state[3], ax, ay, radius * ay, -radius * ax, 0.0,
        ox - 0.5 * cx + (y * cz - z * cy) / 12.0,
        oy - 0.5 * cy + (z * cx - x * cz) / 12.0,
        oz - 0.5 * cz + (x * cy - y * cx) / 12.0,
    ]  # fmt: skip


def _step(state: State, q: Quaternion, k2: Vector, radius: float, pull: Pull | None, h: float) -> State:
    half = 0.5 * h
    a = _rates(state, q, k2, radius, pull)
    b = _rates([s + half * r for s, r in zip(state, a, strict=True)], q, k2, radius, pull)
    c = _rates([s + half * r for s, r in zip(state, b, strict=True)], q, k2, radius, pull)
    d = _rates([s + h * r for s, r in zip(state, c, strict=True)], q, k2, radius, pull)
    sixth = h / 6.0
    return [s + sixth * (e + 2.0 * (f + g) + i) for s, e, f, g, i in zip(state, a, b, c, d, strict=True)]


def _on(
    state: State, q: Quaternion, k2: Vector, radius: float, pull: Pull | None, h: float
) -> tuple[State, Quaternion]:
    """One step, its rotation taken into the quaternion."""
    new = _step(state, q, k2, radius, pull, h)
    w, x, y, z = _turned(q, new[7], new[8], new[9])
    size = math.sqrt(w * w + x * x + y * y + z * z)
    return [*new[:7], 0.0, 0.0, 0.0], (w / size, x / size, y / size, z / size)


def _motion(states: list[State], orientations: list[Quaternion], step_s: float) -> Motion:
    all_of = np.array(states, np.float64)
    t = np.arange(len(states), dtype=np.float64) * step_s
    return Motion(t, all_of[:, :2], all_of[:, 2:4], all_of[:, 4:7], np.array(orientations, np.float64))


def _momentum(k2: Vector, spin: Vector, q: Quaternion) -> State:
    """L = Q K Qᵀ ω in space axes, as plain floats: the steps are twice as quick with them."""
    turn = turns(np.array([q]))[0]
    return [float(v) for v in turn @ (np.array(k2) * (turn.T @ np.array(spin)))]


def free(k2: Vector, spin: Vector, orientation: Quaternion, step_s: float, steps: int) -> Motion:
    """A free body from angular velocity `spin` (rad/s, space axes) on, at `steps` + 1 even times."""
    state, q = [0.0] * 4 + _momentum(k2, spin, orientation) + [0.0] * 3, orientation
    states, orientations = [state], [q]
    for _ in range(steps):
        state, q = _on(state, q, k2, 0.0, None, step_s)
        states.append(state)
        orientations.append(q)
    return _motion(states, orientations, step_s)


class Throw(NamedTuple):
    """A ball as it leaves the hand: lateral y, velocity, angular velocity in space axes, orientation."""

    y: float
    velocity: tuple[float, float]
    spin: Vector
    orientation: Quaternion


def coulomb(friction: Callable[[float, float], float], radius: float, gravity: float, soft: float) -> Pull:
    """Kinetic friction −μ(x, y) g û at the contact, û the direction of u = v + ω × (−R ẑ).

    Below the slip speed `soft` (m/s) it fades as u/√(u² + soft²), which stands in for the grip of a rolling ball; steps
    must stay under about 2.5 soft/(μ g (1 + R²/k²)).
    """

    def pull(state: State, spin: Vector) -> tuple[float, float]:
        ux, uy = state[2] - radius * spin[1], state[3] + radius * spin[0]
        size = -friction(state[0], state[1]) * gravity / math.sqrt(ux * ux + uy * uy + soft * soft)
        return size * ux, size * uy

    return pull


def down_lane(k2: Vector, radius: float, throw: Throw, pull: Pull, length: float, step_s: float) -> Motion:
    """The ball under `pull` until its centre is `length` down the lane, or MOST_S is over.

    The last state lies at most one step past the length.
    """
    q = throw.orientation
    state = [0.0, throw.y, *throw.velocity, *_momentum(k2, throw.spin, q), 0.0, 0.0, 0.0]
    states, orientations = [state], [q]
    while state[0] < length and len(states) * step_s < MOST_S:
        state, q = _on(state, q, k2, radius, pull, step_s)
        states.append(state)
        orientations.append(q)
    return _motion(states, orientations, step_s)


def turns(orientation: Floats) -> Floats:
    """Matrices (n, 3, 3) of unit quaternions (n, 4): body axes to space axes."""
    w, x, y, z = orientation.T
    rows = [
        [1.0 - 2.0 * (y * y + z * z), 2.0 * (x * y - w * z), 2.0 * (x * z + w * y)],
        [2.0 * (x * y + w * z), 1.0 - 2.0 * (x * x + z * z), 2.0 * (y * z - w * x)],
        [2.0 * (x * z - w * y), 2.0 * (y * z + w * x), 1.0 - 2.0 * (x * x + y * y)],
    ]
    return np.moveaxis(np.array(rows), 2, 0)


def spin_in_body(motion: Motion, k2: Vector) -> Floats:
    """Angular velocity in body axes (n, 3), rad/s: K⁻¹ Qᵀ L."""
    return np.asarray(np.einsum("nij,ni->nj", turns(motion.orientation), motion.momentum) / np.array(k2))


def energy(motion: Motion, k2: Vector) -> Floats:
    """Kinetic energy per unit mass (n,), J/kg: ½v² + ½ω·L."""
    spin = spin_in_body(motion, k2)
    return np.asarray(0.5 * (motion.velocity**2).sum(axis=1) + 0.5 * (spin**2 * np.array(k2)).sum(axis=1))
