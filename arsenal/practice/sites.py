"""What one shot says of what was expected of it: numbers, intervals and odd shots alike, as a Gaussian factor.

Expectation propagation (Minka 2001; Rasmussen & Williams 2006, ch. 3.6): each shot's factor is matched to the first two
moments of what was seen under everything else that is believed. n shots of k marks; arrays (n, k) and (n, k, k) in the
marks' own SI units; nothing is changed in place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from arsenal.motion.records import Floats

ODD_SHARE = 0.05
"""A: one shot in twenty is not what it was entered as."""
ODD_SPREADS = 4.0
"""A: such a shot says this many times less sharply where the ball went."""
DAMPED = 0.7
LEAST = 1e-12


@dataclass(frozen=True, slots=True)
class Seen:
    """Bounds (n, k) on what was seen, equal where it was a number, infinite where nobody looked; noise (n, k, k)."""

    low: Floats
    high: Floats
    noise: Floats


@dataclass(frozen=True, slots=True)
class Told:
    """Each shot's factor as precision (n, k, k) and precision × mean (n, k); how likely it was an odd one (n,)."""

    precision: Floats
    shift: Floats
    odd: Floats


def silent(n: int, k: int) -> Told:
    """Shots that have said nothing yet."""
    return Told(np.zeros((n, k, k)), np.zeros((n, k)), np.full(n, ODD_SHARE))


def truncated(mean: Floats, sd: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats, Floats]:
    """Log probability, mean and variance of a normal variable between two bounds (Johnson & Kotz 1970, §13.10)."""
    from scipy.special import log_ndtr  # noqa: PLC0415 - slow to load, and only learning needs it

    a, b = (low - mean) / sd, (high - mean) / sd
    flip = a + b > 0.0
    a, b = np.where(flip, -b, a), np.where(flip, -a, b)
    with np.errstate(divide="ignore"):
        upper = log_ndtr(b)
        log_mass = upper + np.log1p(-np.exp(np.minimum(log_ndtr(a) - upper, -LEAST)))
    pa, pb = (np.exp(-0.5 * e * e - 0.5 * math.log(2.0 * math.pi) - log_mass) for e in (a, b))
    ends = np.where(np.isinf(a), 0.0, a) * pa - np.where(np.isinf(b), 0.0, b) * pb
    off = pa - pb
    var = np.clip(1.0 + ends - off * off, 1e-6, 1.0)
    return log_mass, mean + sd * np.where(flip, -off, off), sd * sd * var


def _take(mean: Floats, cov: Floats, j: int, seen: Seen, logs: Floats, *, numbers: bool) -> None:
    """Condition the rows' own arrays on mark j, in place: where it is a number, or where it is an interval."""
    low, high = seen.low[:, j], seen.high[:, j]
    which = low == high if numbers else (low < high) & (np.isfinite(low) | np.isfinite(high))
    if not which.any():
        return
    m, v, column = mean[which, j], cov[which, j, j], cov[which, :, j]
    if numbers:
        at, left = low[which], np.zeros(m.size)
        logs[which] += -0.5 * ((at - m) ** 2 / v + np.log(2.0 * math.pi * v))
    else:
        mass, at, left = truncated(m, np.sqrt(v), low[which], high[which])
        logs[which] += mass
    gain = column / v[:, None]
    mean[which] += gain * (at - m)[:, None]
    cov[which] += gain[:, :, None] * gain[:, None, :] * (left - v)[:, None, None]


def _one(mean: Floats, cov: Floats, seen: Seen, spread: float) -> tuple[Floats, Floats, Floats]:
    """Log evidence and its first two derivatives by the mean, for shots that scatter `spread` times as far."""
    total = cov + spread**2 * seen.noise
    at, left, logs = mean.copy(), total.copy(), np.zeros(mean.shape[0])
    for numbers in (True, False):
        for j in range(mean.shape[1]):
            _take(at, left, j, seen, logs, numbers=numbers)
    inverse = np.linalg.inv(total)
    slope = np.einsum("nij,nj->ni", inverse, at - mean)
    return logs, slope, inverse @ left @ inverse - inverse


def evidence(mean: Floats, cov: Floats, seen: Seen) -> tuple[Floats, Floats, Floats, Floats]:
    """Log evidence (n,), its slope (n, k) and curvature (n, k, k) by the mean, and the odds of an odd shot (n,)."""
    plain, odd = _one(mean, cov, seen, 1.0), _one(mean, cov, seen, ODD_SPREADS)
    logs = np.stack([plain[0] + math.log1p(-ODD_SHARE), odd[0] + math.log(ODD_SHARE)])
    whole = np.logaddexp(logs[0], logs[1])
    share = np.exp(logs - whole)
    slope = share[0, :, None] * plain[1] + share[1, :, None] * odd[1]
    curve = -slope[:, :, None] * slope[:, None, :]
    for w, (_, g, h) in zip(share, (plain, odd), strict=True):
        curve += w[:, None, None] * (h + g[:, :, None] * g[:, None, :])
    return whole, slope, curve, share[1]


def retold(told: Told, mean: Floats, cov: Floats, seen: Seen) -> Told:
    """Each factor once more, given what is believed of its marks: `mean` (n, k), `cov` (n, k, k), with itself in it."""
    k = mean.shape[1]
    eye = np.eye(k)
    without = np.linalg.inv(eye - cov @ told.precision)
    others = without @ cov
    others = 0.5 * (others + others.transpose(0, 2, 1))
    middle = np.einsum("nij,nj->ni", without, mean - np.einsum("nij,nj->ni", cov, told.shift))
    sound = np.linalg.eigvalsh(others).min(axis=1) > -LEAST
    others = np.where(sound[:, None, None], others, cov)
    middle = np.where(sound[:, None], middle, mean)
    _, slope, curve, odd = evidence(middle, others, seen)
    precision = -np.linalg.solve(eye + curve @ others, curve)
    values, vectors = np.linalg.eigh(0.5 * (precision + precision.transpose(0, 2, 1)))
    precision = (vectors * np.maximum(values, 0.0)[:, None, :]) @ vectors.transpose(0, 2, 1)
    toward = middle + np.einsum("nij,nj->ni", others, slope)
    shift = np.einsum("nij,nj->ni", precision, toward) + slope
    keep = np.where(sound, DAMPED, 0.0)
    return Told(
        told.precision + keep[:, None, None] * (precision - told.precision),
        told.shift + keep[:, None] * (shift - told.shift), odd,
    )  # fmt: skip
