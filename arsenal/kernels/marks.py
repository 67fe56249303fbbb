"""The marks of a reaction, read from paths at stations: where the skid is spent, the turn, the roll, the landing.

Cubic Hermite interpolation between stations; past the last one the lane goes on with its last friction, in closed
form. SI; inputs are read only; every answer is a new array (n,), NaN where a mark does not exist.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from arsenal.kernels.sweep import Start, Stations

Floats = npt.NDArray[np.float64]
TINY = 1e-12


class Reader:
    """Reads marks from `stations` of paths that began at `start`, `h` metres apart."""

    def __init__(self, stations: Stations, start: Start, h: float) -> None:
        self.at, self.start, self.h = stations, start, h
        self.intervals = stations.y.shape[0] - 1
        self.length = h * self.intervals
        self.column = np.arange(start.y.size)
        self.end_vx = start.vx - start.ux * start.budget
        self.end_vy = start.vy - start.uy * start.budget

    def vx_at(self, s: Floats) -> Floats:
        """Down-lane speed at spent impulse s, never below a sliver of the launch speed."""
        return np.asarray(np.maximum(self.start.vx - self.start.ux * s, 1e-3 * self.start.vx))

    def _hermite(self, i: npt.NDArray[np.intp], level: Floats) -> Floats:
        """Share of interval `i` at which s passes `level`: the cubic through both ends, by Newton from the chord."""
        c, h = self.column, self.h
        a, b = self.at.s[i, c], self.at.s[i + 1, c]
        da = h * self.at.pull[i, c] / self.vx_at(a)
        db = h * self.at.pull[i + 1, c] / self.vx_at(b)
        rise = b - a
        p = np.clip((level - a) / np.where(rise > TINY, rise, 1.0), 0.0, 1.0)
        c2, c3 = 3.0 * rise - 2.0 * da - db, da + db - 2.0 * rise
        for _ in range(4):
            value = a + p * (da + p * (c2 + p * c3)) - level
            steep = da + p * (2.0 * c2 + p * 3.0 * c3)
            p = np.clip(p - value / np.where(np.abs(steep) > TINY, steep, np.inf), 0.0, 1.0)
        return p

    def where(self, level: Floats) -> Floats:
        """Distance at which s reaches `level` (n,), continued past the last station; NaN where it never does.

        An infinite level is never reached.
        """
        never = ~np.isfinite(level)
        level = np.where(never, 0.0, level)
        reached = self.at.s[-1] >= level
        i = np.clip((self.at.s < level).sum(axis=0) - 1, 0, self.intervals - 1)
        inside = (i + self._hermite(i, level)) * self.h
        last_s, last_pull = self.at.s[-1], self.at.pull[-1]
        more = (level - last_s) / np.where(last_pull > 1e-9, last_pull, np.nan)
        beyond = self.length + (self.start.vx - self.start.ux * 0.5 * (level + last_s)) * more
        found = np.where(level <= 0.0, 0.0, np.where(reached, inside, beyond))
        return np.where(never, np.nan, found)

    def lateral(self, x: Floats) -> Floats:
        """Lateral place of the unclipped motion at distance x within the stations (n,)."""
        i = np.clip((x / self.h).astype(np.intp), 0, self.intervals - 1)
        p = x / self.h - i
        c = self.column
        a, b = self.at.y[i, c], self.at.y[i + 1, c]
        da, db = self._slope(i) * self.h, self._slope(i + 1) * self.h
        rise = b - a
        return np.asarray(a + p * (da + p * (3.0 * rise - 2.0 * da - db + p * (da + db - 2.0 * rise))))

    def _slope(self, i: npt.NDArray[np.intp]) -> Floats:
        s = self.at.s[i, self.column]
        return np.asarray((self.start.vy - self.start.uy * s) / self.vx_at(s))

    def spent_at(self, x: Floats) -> Floats:
        """Spent impulse at distance x (n,), cut at the slip budget."""
        i = np.clip((x / self.h).astype(np.intp), 0, self.intervals - 1)
        p = np.clip(x / self.h - i, 0.0, 1.0)
        c, h = self.column, self.h
        a, b = self.at.s[i, c], self.at.s[i + 1, c]
        da, db = h * self.at.pull[i, c] / self.vx_at(a), h * self.at.pull[i + 1, c] / self.vx_at(b)
        rise = b - a
        s = a + p * (da + p * (3.0 * rise - 2.0 * da - db + p * (da + db - 2.0 * rise)))
        return np.minimum(s, self.start.budget)

    def cut(self, rolls: Floats) -> Floats:
        """Lateral place at the stations, with the straight roll after `rolls` (n,; NaN or beyond: none)."""
        rolls_here = np.where(rolls < self.length, rolls, self.length)
        y_roll = self.lateral(rolls_here)
        x = np.arange(self.intervals + 1)[:, None] * self.h
        straight = y_roll + (self.end_vy / self.end_vx) * (x - rolls_here)
        return np.where(x > rolls_here, straight, self.at.y)

    def leaves(self, y: Floats, width: float) -> Floats:
        """First distance at which the centre passes y = 0 or `width`, from cut stations y; NaN where it stays."""
        out = (y < 0.0) | (y > width)
        k = out.argmax(axis=0)
        gone = out[k, self.column]
        before = np.maximum(k - 1, 0)
        a, b = y[before, self.column], y[k, self.column]
        edge = np.where(b < 0.0, 0.0, width)
        step = np.where(np.abs(b - a) > TINY, b - a, 1.0)
        share = np.where(k > 0, np.clip((edge - a) / step, 0.0, 1.0), 0.0)
        return np.where(gone, (before + share) * self.h, np.nan)
