"""The reduced model of a ball that slides and then rolls: the slip direction never turns, one number is its state.

Down-lane x, lateral y; s = ∫ μ g dt is the spent impulse (m/s): v = v₀ − û s, slip |u| = |u₀| − (1 + 1/β) s, and the
ball rolls from s = S on. Floats or arrays in SI; new arrays are returned.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


class Slip(NamedTuple):
    """A release in the reduced model; each field has the broadcast shape of the inputs.

    `vx, vy` velocity at the hand (m/s), `ux, uy` unit slip direction, `budget` the slip budget S (m/s),
    `slip` the slip speed |u₀| (m/s), `beta` (k/R)².
    """

    vx: Floats
    vy: Floats
    ux: Floats
    uy: Floats
    budget: Floats
    slip: Floats
    beta: Floats


def slip_of(
    speed: Floats | float,
    launch: Floats | float,
    revs: Floats | float,
    rotation: Floats | float,
    tilt: Floats | float,
    radius: Floats | float,
    rg: Floats | float,
) -> Slip:
    """Release (m/s, rad, rad/s, rad, rad) of a ball of `radius` and `rg` (m) as initial slip.

    The spin's surface speed at the contact is R n cos τ along the launch direction turned by the rotation toward the
    hook side; u₀ = v₀ minus that, S = |u₀| β/(1 + β).
    """
    values = (np.asarray(a, float) for a in (speed, launch, revs, rotation, tilt, radius, rg))
    v, a, n, phi, tau, r, k = np.broadcast_arrays(*values)
    vx, vy = v * np.cos(a), v * np.sin(a)
    surface = r * n * np.cos(tau)
    sx, sy = vx - surface * np.cos(a + phi), vy - surface * np.sin(a + phi)
    slip = np.hypot(sx, sy)
    still = slip < 1e-9
    scale = 1.0 / np.where(still, 1.0, slip)
    beta = (k / r) ** 2
    return Slip(
        vx, vy, np.where(still, 1.0, sx * scale), np.where(still, 0.0, sy * scale),
        np.where(still, 0.0, slip * beta / (1.0 + beta)), np.where(still, 0.0, slip), beta,
    )  # fmt: skip


def rolling_velocity(slip: Slip) -> tuple[Floats, Floats]:
    """Velocity once rolling, v₀ − u₀ β/(1 + β), m/s; it does not depend on the friction met on the way."""
    return slip.vx - slip.ux * slip.budget, slip.vy - slip.uy * slip.budget


def surface_velocity_of(
    vx: Floats | float, vy: Floats | float, end_vx: Floats | float, end_vy: Floats | float, beta: Floats | float
) -> tuple[Floats, Floats]:
    """Spin's surface velocity at the contact, w = v_f (1 + 1/β) − v₀/β, m/s, from the velocity at the hand and rolling.

    v_f = v₀ − (v₀ − w) β/(1 + β), solved for w; it holds on any friction.
    """
    b = np.asarray(beta, float)
    return np.asarray(end_vx * (1.0 + 1.0 / b) - vx / b), np.asarray(end_vy * (1.0 + 1.0 / b) - vy / b)
