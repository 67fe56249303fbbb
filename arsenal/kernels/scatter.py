"""A table on even steps read smoothly, and how much of a scatter about a line ends in a window, line by line."""

from __future__ import annotations

import math

from arsenal.kernels.compiled import compiled
from arsenal.kernels.shapes import Floats

ROOT_2 = math.sqrt(2.0)


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
def _row(a: Floats, b: Floats, values: Floats, at: float, out: Floats) -> None:
    """One row of the table at `at`, all of b, into `out` (b,)."""
    i, u0, u1, u2, u3 = taps(a[0], a[1] - a[0], a.size, at)
    for j in range(b.size):
        out[j] = u0 * values[i, j] + u1 * values[i + 1, j] + u2 * values[i + 2, j] + u3 * values[i + 3, j]


@compiled
def room(
    a: Floats, b: Floats, landing: Floats, rest_a: Floats, rest_b: Floats, rest_sd: Floats, rest_shift: Floats,
    at_a: Floats, at_b: Floats, off_a: Floats, off_b: Floats, share_a: Floats, share_b: Floats,
    low: float, high: float, least_sd: float, out: Floats,
) -> None:  # fmt: skip
    """Share of the scatter about each line (at_a, at_b) (n,) that lands between `low` and `high`, into `out` (n,).

    Offsets and their shares are a fixed quadrature over both coordinates; at each point a normal with the spread and
    the shift told on the coarser nodes is added to the landing.
    """
    across, sds, shifts = landing[0].copy(), rest_sd[0].copy(), rest_shift[0].copy()
    for n in range(out.size):
        total = 0.0
        for k in range(off_a.size):
            here = at_a[n] + off_a[k]
            _row(a, b, landing, here, across)
            _row(rest_a, rest_b, rest_sd, here, sds)
            _row(rest_a, rest_b, rest_shift, here, shifts)
            part = 0.0
            for m in range(off_b.size):
                turned = at_b[n] + off_b[m]
                j, w0, w1, w2, w3 = taps(b[0], b[1] - b[0], b.size, turned)
                y = w0 * across[j] + w1 * across[j + 1] + w2 * across[j + 2] + w3 * across[j + 3]
                j, w0, w1, w2, w3 = taps(rest_b[0], rest_b[1] - rest_b[0], rest_b.size, turned)
                y += w0 * shifts[j] + w1 * shifts[j + 1] + w2 * shifts[j + 2] + w3 * shifts[j + 3]
                sd = max(w0 * sds[j] + w1 * sds[j + 1] + w2 * sds[j + 2] + w3 * sds[j + 3], least_sd)
                part += share_b[m] * (below((high - y) / sd) - below((low - y) / sd))
            total += share_a[k] * part
        out[n] = total
