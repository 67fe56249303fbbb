"""What one shot says of what was expected of it: numbers, intervals and odd shots alike, as a Gaussian factor.

Expectation propagation (Minka 2001; Rasmussen & Williams 2006, ch. 3.6): each shot's factor is matched to the first two
moments of what was seen under everything else that is believed. n shots of k marks; arrays (n, k) and (n, k, k) in the
marks' own SI units; nothing is changed in place. How far a bowler scatters against what was said of him is one more
unknown, ln of a factor, matched likewise and apart from the marks.
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
SUREST = 0.1
"""No one shot takes more than nine tenths of what is unknown of the scatter: five places tell no finer."""
DOUBTED = 0.5
"""A shot may leave the factor on scatter in more doubt than before, never in twice as much variance."""
LEAST = 1e-12
NODES, SHARES = np.polynomial.hermite_e.hermegauss(5)
"""Gauss–Hermite: places in spreads of the factor on scatter, and their shares up to a constant."""


@dataclass(frozen=True, slots=True)
class Seen:
    """Bounds (n, k) on what was seen, equal where it was a number, infinite where nobody looked; noise (n, k, k), and
    how much of it (n, k, k) is the release's, which a factor on its scatter moves; None where no factor is looked for.
    """

    low: Floats
    high: Floats
    noise: Floats
    release: Floats | None = None

    def noise_at(self, ln_scatter: Floats) -> Floats:
        """The noise of a bowler who scatters e to the `ln_scatter` (n,) times as far."""
        if self.release is None:
            return self.noise
        return self.noise + np.expm1(2.0 * ln_scatter)[:, None, None] * self.release


@dataclass(frozen=True, slots=True)
class Scatter:
    """What the other shots say of ln of the factor on each shot's scatter: mean and sd (n,)."""

    mean: Floats
    sd: Floats


@dataclass(frozen=True, slots=True)
class Told:
    """Each shot's factor as precision (n, k, k) and precision × mean (n, k); how likely it was an odd one (n,); and
    what it says of ln of the factor on scatter, precision and precision × mean (n,).
    """

    precision: Floats
    shift: Floats
    odd: Floats
    ln_precision: Floats
    ln_shift: Floats


def silent(n: int, k: int) -> Told:
    """Shots that have said nothing yet."""
    return Told(np.zeros((n, k, k)), np.zeros((n, k)), np.full(n, ODD_SHARE), np.zeros(n), np.zeros(n))


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


def _one(mean: Floats, cov: Floats, seen: Seen, noise: Floats) -> tuple[Floats, Floats, Floats]:
    """Log evidence and its first two derivatives by the mean, for shots of so much noise."""
    total = cov + noise
    at, left, logs = mean.copy(), total.copy(), np.zeros(mean.shape[0])
    for numbers in (True, False):
        for j in range(mean.shape[1]):
            _take(at, left, j, seen, logs, numbers=numbers)
    inverse = np.linalg.inv(total)
    slope = np.einsum("nij,nj->ni", inverse, at - mean)
    return logs, slope, inverse @ left @ inverse - inverse


@dataclass(frozen=True, slots=True)
class _Mixed:
    """What a shot may have been, c ways: log weight and evidence (c, n), their slopes (c, n, k) and curves
    (c, n, k, k), ln of the factor on scatter (c, n), and whether it was an odd one (c,).
    """

    logs: Floats
    slope: Floats
    curve: Floats
    ln_scatter: Floats
    odd: Floats


def _mixed(mean: Floats, cov: Floats, seen: Seen, scatter: Scatter | None) -> _Mixed:
    places = [(np.zeros(mean.shape[0]), 0.0)]
    if scatter is not None:
        shares = np.log(SHARES / SHARES.sum())
        places = [(scatter.mean + x * scatter.sd, float(w)) for x, w in zip(NODES, shares, strict=True)]
    found = []
    for ln_scatter, share in places:
        noise = seen.noise_at(ln_scatter)
        for spread, which in ((1.0, math.log1p(-ODD_SHARE)), (ODD_SPREADS, math.log(ODD_SHARE))):
            logs, slope, curve = _one(mean, cov, seen, spread**2 * noise)
            found.append((logs + share + which, slope, curve, ln_scatter, float(spread != 1.0)))
    logs, slope, curve, at, odd = (np.stack(part) for part in zip(*found, strict=True))
    return _Mixed(logs, slope, curve, at, odd)


def evidence(
    mean: Floats, cov: Floats, seen: Seen, scatter: Scatter | None = None
) -> tuple[Floats, Floats, Floats, Floats]:
    """Log evidence (n,), its slope (n, k) and curvature (n, k, k) by the mean, and the odds of an odd shot (n,)."""
    whole, slope, curve, odd, _ = _together(_mixed(mean, cov, seen, scatter))
    return whole, slope, curve, odd


def _together(mixed: _Mixed) -> tuple[Floats, Floats, Floats, Floats, tuple[Floats, Floats]]:
    """Evidence, slope, curve and odds of an odd shot, and mean and variance of ln of the factor on scatter."""
    whole = np.logaddexp.reduce(mixed.logs, axis=0)
    share = np.exp(mixed.logs - whole)
    slope = np.einsum("cn,cnk->nk", share, mixed.slope)
    curve = np.einsum("cn,cnij->nij", share, mixed.curve) - slope[:, :, None] * slope[:, None, :]
    curve += np.einsum("cn,cni,cnj->nij", share, mixed.slope, mixed.slope)
    at = np.einsum("cn,cn->n", share, mixed.ln_scatter)
    var = np.einsum("cn,cn->n", share, (mixed.ln_scatter - at) ** 2)
    return whole, slope, curve, mixed.odd @ share, (at, var)


def retold(told: Told, mean: Floats, cov: Floats, seen: Seen, scatter: Scatter | None = None) -> Told:
    """Each factor once more, given what is believed of its marks: `mean` (n, k), `cov` (n, k, k), with itself in it.
    `scatter` is what the others say of the factor on scatter; without it that is 1.
    """
    k = mean.shape[1]
    eye = np.eye(k)
    without = np.linalg.inv(eye - cov @ told.precision)
    others = without @ cov
    others = 0.5 * (others + others.transpose(0, 2, 1))
    middle = np.einsum("nij,nj->ni", without, mean - np.einsum("nij,nj->ni", cov, told.shift))
    sound = np.linalg.eigvalsh(others).min(axis=1) > -LEAST
    others = np.where(sound[:, None, None], others, cov)
    middle = np.where(sound[:, None], middle, mean)
    _, slope, curve, odd, of_scatter = _together(_mixed(middle, others, seen, scatter))
    # a shot so far off that its chance is not to be told apart from none says nothing this time
    told_of = np.isfinite(slope).all(axis=1) & np.isfinite(curve).all(axis=(1, 2)) & np.isfinite(of_scatter[1])
    sound &= told_of
    slope, curve = np.where(sound[:, None], slope, 0.0), np.where(sound[:, None, None], curve, 0.0)
    of_scatter = np.where(sound, of_scatter[0], 0.0), np.where(sound, of_scatter[1], 1.0)
    odd = np.where(np.isfinite(odd), odd, 1.0)
    precision = -np.linalg.solve(eye + curve @ others, curve)
    values, vectors = np.linalg.eigh(0.5 * (precision + precision.transpose(0, 2, 1)))
    precision = (vectors * np.maximum(values, 0.0)[:, None, :]) @ vectors.transpose(0, 2, 1)
    toward = middle + np.einsum("nij,nj->ni", others, slope)
    shift = np.einsum("nij,nj->ni", precision, toward) + slope
    keep = np.where(sound, DAMPED, 0.0)
    ln_precision, ln_shift = _said_of(scatter, *of_scatter)
    return Told(
        told.precision + keep[:, None, None] * (precision - told.precision),
        told.shift + keep[:, None] * (shift - told.shift), odd,
        told.ln_precision + keep * (ln_precision - told.ln_precision),
        told.ln_shift + keep * (ln_shift - told.ln_shift),
    )  # fmt: skip


def _said_of(scatter: Scatter | None, mean: Floats, var: Floats) -> tuple[Floats, Floats]:
    """What the shots themselves say of ln of the factor, given its moments with them and, in `scatter`, without."""
    if scatter is None:
        return np.zeros_like(mean), np.zeros_like(mean)
    without = scatter.sd**-2
    precision = np.clip(1.0 / np.maximum(var, SUREST / without) - without, -DOUBTED * without, None)
    return precision, (without + precision) * mean - without * scatter.mean
