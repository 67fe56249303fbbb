"""The track a ball's contact point draws on its own cover: rings, a revolution each, and how far they lie apart.

Arrays in SI, unit vectors in body axes (low, middle, high RG); new arrays are returned.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from arsenal.kernels import rigid

Floats = npt.NDArray[np.float64]

AROUND = 48
"""Places on a ring at which its distance to the one before is taken."""


class Track(NamedTuple):
    """Rings 0 … n of a track: `axis` and `contact` (n + 1, around, 3) unit vectors at even turns of the ball."""

    axis: Floats
    contact: Floats


def track(motion: rigid.Motion, k2: rigid.Vector, around: int = AROUND) -> Track:
    """Every whole revolution of `motion`, cut at `around` even angles; a revolution is ∫ |ω| dt = 2π.

    Between two times the ball turns about the axis of the nearer one; twelve steps a revolution hold the distances
    between rings to 0.1 mm. Raises ValueError for less than one revolution.
    """
    spin = rigid.spin_in_body(motion, k2)
    rate = np.sqrt((spin**2).sum(axis=1))
    turned = np.concatenate([[0.0], np.cumsum(0.5 * (rate[1:] + rate[:-1]) * np.diff(motion.t))])
    count = int(turned[-1] / (2.0 * math.pi) + 1e-9)
    if count < 1:
        raise ValueError("less than one revolution draws no ring")
    wanted = np.arange(count * around) * (2.0 * math.pi / around)
    k = np.searchsorted(turned, wanted)
    k -= (k > 0) & (wanted - turned[k - 1] < turned[k] - wanted)
    axis = spin / rate[:, None]
    contact = _turn_back(-rigid.turns(motion.orientation)[k, 2], axis[k], wanted - turned[k])
    between = np.stack([np.interp(wanted, turned, axis[:, i]) for i in range(3)], axis=1)
    between /= np.sqrt((between**2).sum(axis=1))[:, None]
    return Track(between.reshape(count, around, 3), contact.reshape(count, around, 3))


def _turn_back(v: Floats, axis: Floats, angle: Floats) -> Floats:
    """What stands still in space, seen from a body that turns by `angle` about `axis`: v turned by −angle."""
    c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
    along = (axis * v).sum(axis=1)[:, None] * axis
    return np.asarray(along + c * (v - along) - s * np.cross(axis, v))


def distances(found: Track, radius_m: float) -> Floats:
    """How far each ring lies from the one before at each of its places, (n, around) metres, square to the ring."""
    axis, here = found.axis[1:], found.contact[1:]
    off = axis - (axis * here).sum(axis=2, keepdims=True) * here
    off /= np.sqrt((off**2).sum(axis=2, keepdims=True))
    return np.asarray(radius_m * np.abs(((here - found.contact[:-1]) * off).sum(axis=2)))


def shares_open(apart_m: Floats, band_m: float) -> Floats:
    """Share of the contact band that meets the same cover as a revolution before, for each ring, from `distances`."""
    return np.asarray(np.maximum(0.0, 1.0 - apart_m / band_m).mean(axis=1))
