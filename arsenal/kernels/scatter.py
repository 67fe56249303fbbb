"""A table on even steps read smoothly, and how much of a scatter about a line ends in a window, line by line."""

from __future__ import annotations

import math

import numpy as np

from arsenal.kernels.compiled import compiled
from arsenal.kernels.shapes import Floats, Ints

ROOT_2 = math.sqrt(2.0)
HALVINGS = 12
FAR_SD = 6.0
"""Beyond so many spreads nothing counts (1e-9)."""


@compiled
def taps(first: float, step: float, count: int, at: float) -> tuple[int, float, float, float, float]:
    """First of four nodes around `at` and their cubic-convolution weights (Keys 1981, third order)."""
    place = (at - first) / step
    i = min(max(int(place), 1), count - 3)
    p = min(max(place - i, -1.0), 2.0)
    p2 = p * p
    p3 = p2 * p
    return (
        i - 1, -0.5 * p + p2 - 0.5 * p3, 1.0 - 2.5 * p2 + 1.5 * p3, 0.5 * p + 2.0 * p2 - 1.5 * p3, -0.5 * p2 + 0.5 * p3
    )  # fmt: skip


@compiled
def below(z: float) -> float:
    """Standard normal probability below z, to 1.5e-7 (Abramowitz & Stegun 7.1.26)."""
    x = abs(z) / ROOT_2
    t = 1.0 / (1.0 + 0.3275911 * x)
    poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    tail = 0.5 * poly * math.exp(-x * x)
    return 1.0 - tail if z > 0.0 else tail


@compiled
def smooth(a: Floats, b: Floats, values: Floats, at_a: Floats, at_b: Floats, out: Floats) -> None:
    """`values` (a × b) told on even nodes, read at (at_a, at_b) (n,) into `out` (n,)."""
    for k in range(out.size):
        i, u0, u1, u2, u3 = taps(a[0], a[1] - a[0], a.size, at_a[k])
        j, w0, w1, w2, w3 = taps(b[0], b[1] - b[0], b.size, at_b[k])
        total = 0.0
        for m, u in enumerate((u0, u1, u2, u3)):
            row = values[i + m]
            total += u * (w0 * row[j] + w1 * row[j + 1] + w2 * row[j + 2] + w3 * row[j + 3])
        out[k] = total


@compiled
def _row(a: Floats, values: Floats, at: float, low: int, high: int, out: Floats) -> None:
    """One row of the table at `at`, from `low` to `high` (not included) of b, into `out` (b,)."""
    i, u0, u1, u2, u3 = taps(a[0], a[1] - a[0], a.size, at)
    for j in range(low, high):
        out[j] = u0 * values[i, j] + u1 * values[i + 1, j] + u2 * values[i + 2, j] + u3 * values[i + 3, j]


@compiled
def cross(a: Floats, b: Floats, values: Floats, at_a: Floats, target: float, out: Floats) -> int:
    """Every place on the given a where `values` (a × b) is `target`, as (a, b) into `out` (2, a × b), by halving
    between two nodes; how many. Nodes that hold no number hide what lies about them.
    """
    row, count, step = values[0].copy(), 0, b[1] - b[0]
    for n in range(at_a.size):
        _row(a, values, at_a[n], 0, b.size, row)
        for k in range(b.size - 1):
            here, there = row[k] - target, row[k + 1] - target
            if math.isnan(here) or math.isnan(there) or (here <= 0.0) == (there <= 0.0):
                continue
            low, high = b[k], b[k + 1]
            for _ in range(HALVINGS):
                middle = 0.5 * (low + high)
                j, w0, w1, w2, w3 = taps(b[0], step, b.size, middle)
                over = w0 * row[j] + w1 * row[j + 1] + w2 * row[j + 2] + w3 * row[j + 3] > target
                if over == (there > here):
                    high = middle
                else:
                    low = middle
            out[0, count], out[1, count] = at_a[n], 0.5 * (low + high)
            count += 1
    return count


@compiled
def _lay(b: Floats, middle: float, off: Floats, first: Ints, weights: Floats) -> None:
    """Taps of every place of the quadrature about `middle`: the first node of each, and its weights (places × 4)."""
    for m in range(off.size):
        first[m], weights[m, 0], weights[m, 1], weights[m, 2], weights[m, 3] = taps(
            b[0], b[1] - b[0], b.size, middle + off[m]
        )  # fmt: skip


@compiled
def room(
    a: Floats, b: Floats, landing: Floats, rest_a: Floats, rest_b: Floats, rest_sd: Floats, rest_shift: Floats,
    at_a: Floats, at_b: Floats, off_a: Floats, off_b: Floats, share_a: Floats, share_b: Floats,
    low: float, high: float, least_sd: float, out: Floats,
) -> None:  # fmt: skip
    """Share of the scatter about each line (at_a, at_b) (n,) that lands between `low` and `high`, into `out` (n,); NaN
    where a node that it reads holds no number.

    Offsets (growing) and their shares are a fixed quadrature over both coordinates; at each point a normal with the
    spread and the shift told on the coarser nodes is added to the landing.
    """
    across, sds, shifts, many = landing[0].copy(), rest_sd[0].copy(), rest_shift[0].copy(), off_b.size
    j, r, w, u = np.empty(many, np.intp), np.empty(many, np.intp), np.empty((many, 4)), np.empty((many, 4))
    for n in range(out.size):
        total = 0.0
        _lay(b, at_b[n], off_b, j, w)
        _lay(rest_b, at_b[n], off_b, r, u)
        for k in range(off_a.size):
            here = at_a[n] + off_a[k]
            _row(a, landing, here, j[0], j[-1] + 4, across)
            _row(rest_a, rest_sd, here, r[0], r[-1] + 4, sds)
            _row(rest_a, rest_shift, here, r[0], r[-1] + 4, shifts)
            part = 0.0
            for m in range(many):
                y, sd = 0.0, 0.0
                for q in range(4):
                    y += w[m, q] * across[j[m] + q] + u[m, q] * shifts[r[m] + q]
                    sd += u[m, q] * sds[r[m] + q]
                per_sd = 1.0 / max(sd, least_sd)
                from_z, to_z = (low - y) * per_sd, (high - y) * per_sd
                if not (from_z > FAR_SD or to_z < -FAR_SD):
                    part += share_b[m] * (below(to_z) - below(from_z))
            total += share_a[k] * part
        out[n] = total
