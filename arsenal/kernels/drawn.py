"""One path between its stations: what a plot draws. Cubic Hermite, numpy arrays in SI; new arrays are returned."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from arsenal.kernels.shapes import Floats, Start, Stations


def _cubic(values: Floats, slopes: Floats, k: npt.NDArray[np.intp], share: Floats) -> Floats:
    a, b, da, db = values[k], values[k + 1], slopes[k], slopes[k + 1]
    rise = b - a
    return np.asarray(a + share * (da + share * (3.0 * rise - 2.0 * da - db + share * (da + db - 2.0 * rise))))


def drawn(one: Stations, start: Start, h: float, x: Floats, roll_at: float) -> tuple[Floats, Floats]:
    """(lateral, spent impulse) of the first path at distances x (n,), sliding to `roll_at` and straight from there.

    Stations lie `h` apart.
    """
    y, s, pull = (a[:, 0] for a in one)
    vx, vy, ux, uy, budget = (float(a[0]) for a in start[1:])
    down = np.maximum(vx - ux * s, 1e-3 * vx)
    sliding = np.minimum(x, roll_at)
    k = np.clip((sliding / h).astype(np.intp), 0, s.size - 2)
    share = sliding / h - k
    lateral = _cubic(y, h * (vy - uy * s) / down, k, share)
    lateral += (vy - uy * budget) / (vx - ux * budget) * (x - sliding)
    spent = np.minimum(_cubic(s, h * pull / down, k, np.clip(share, 0.0, 1.0)), budget)
    return lateral, np.where(x >= roll_at, min(budget, float(s[-1])), spent) if roll_at < h * (s.size - 1) else spent
