"""How large a ball is and how much cover its surface work took off: each corrects the other when it is measured."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from arsenal.surface.state import CoverTaken, Estimate
from arsenal.trade.ball import Ball
from arsenal.trade.priors import SurfacePriors
from arsenal.trade.units import INCH_M

RADIUS, OFF, RATE = range(3)
"""The radius (m), the cover taken off it in the ball's life (m), and how much more every job takes from this ball than
the usual share of a grain."""
LEAST_RATE = -0.9
FIRST_SD_M = 0.03 * INCH_M
"""Our own assumption: how far a first reading of the radius may lie from what was taken for it."""
MEMORY = 9


@dataclass(frozen=True, slots=True)
class Job:
    """One surface work by the usual share of a grain."""

    seq: int
    on: date
    label: str
    taken_m: float
    own_var: float


class Size:
    """Three numbers and their covariance: a Kalman filter, plain floats."""

    __slots__ = ("_s", "_seen", "jobs", "p", "x")

    def __init__(self, ball: Ball, s: SurfacePriors) -> None:
        self._s = s
        self.x = [ball.radius_m, 0.0, 0.0]
        self.p = [[0.0] * 3 for _ in range(3)]
        self.p[RADIUS][RADIUS], self.p[RATE][RATE] = s.radius_sd_m**2, s.grain_taken_ball_sd**2
        self.jobs: list[Job] = []
        self._seen = False

    def arrive(self) -> None:
        """Its log begins here: nothing taken off yet that anybody knows of."""
        self.x[OFF] = 0.0
        for i in range(3):
            self.p[OFF][i] = self.p[i][OFF] = 0.0
        self.jobs = []

    def take(self, taken_m: float, own_var: float) -> None:
        """One surface work that usually takes so much, with what is its own of the doubt (m²)."""
        if taken_m <= 0.0:
            return
        x, p = self.x, self.p
        now = taken_m * (1.0 + x[RATE])
        x[RADIUS] -= now
        x[OFF] += now
        for row in p:  # p ← A p Aᵀ: the radius loses and the cover off gains what the rate makes of this job
            row[RADIUS] -= taken_m * row[RATE]
            row[OFF] += taken_m * row[RATE]
        less, more = [taken_m * v for v in p[RATE]], [taken_m * v for v in p[RATE]]
        p[RADIUS] = [a - b for a, b in zip(p[RADIUS], less, strict=True)]
        p[OFF] = [a + b for a, b in zip(p[OFF], more, strict=True)]
        p[RADIUS][RADIUS] += own_var
        p[OFF][OFF] += own_var
        p[RADIUS][OFF] -= own_var
        p[OFF][RADIUS] -= own_var

    def measured(self, radius_m: float, most_spreads: float) -> float:
        """A diameter reading: Bayes. Returns how many spreads it lay from the log; beyond `most_spreads` the radius and
        the reading are both given doubt enough to bear it. The first one ever sets the radius: what it was taken for
        before was no more than what such balls usually are.
        """
        x, p, var = self.x, self.p, self._s.caliper_sd_m**2
        if not self._seen:
            p[RADIUS][RADIUS] += FIRST_SD_M**2
            self._seen = True
        off, total = radius_m - x[RADIUS], p[RADIUS][RADIUS] + var
        spreads = abs(off) / math.sqrt(total)
        if spreads > most_spreads:
            excess = 0.5 * ((off / most_spreads) ** 2 - total)
            p[RADIUS][RADIUS] += excess
            total += 2.0 * excess
        tied = [row[RADIUS] for row in p]
        for i in range(3):
            gain = tied[i] / total
            x[i] += gain * off
            for j in range(3):
                p[i][j] -= gain * tied[j]
        x[RATE] = max(x[RATE], LEAST_RATE)
        return spreads

    @property
    def radius(self) -> Estimate:
        """Of the ball now, m."""
        return Estimate(self.x[RADIUS], math.sqrt(max(self.p[RADIUS][RADIUS], 0.0)))

    @property
    def off(self) -> Estimate:
        """Cover taken off the radius in the ball's life, m."""
        return Estimate(max(self.x[OFF], 0.0), math.sqrt(max(self.p[OFF][OFF], 0.0)))

    def taken(self, usual_m: float, own_var: float) -> Estimate:
        """What a job that usually takes so much took from this ball, as it is believed now."""
        doubt = math.sqrt(max(usual_m**2 * self.p[RATE][RATE] + own_var, 0.0))
        return Estimate(usual_m * (1.0 + self.x[RATE]), doubt)

    def each(self) -> tuple[CoverTaken, ...]:
        """Every job in the log that took any, first to last."""
        return tuple(CoverTaken(j.seq, j.on, j.label, self.taken(j.taken_m, j.own_var)) for j in self.jobs)

    def memory(self) -> tuple[float, ...]:
        """What `recall` needs."""
        return (*self.x, *(self.p[i][j] for i in range(3) for j in range(i, 3)))

    def recall(self, memory: tuple[float, ...]) -> None:
        """Take up again what `memory` kept."""
        self.x = list(memory[:3])
        rest = iter(memory[3:MEMORY])
        for i in range(3):
            for j in range(i, 3):
                self.p[i][j] = self.p[j][i] = next(rest)
