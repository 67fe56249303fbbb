"""What was expected of a shot before anybody had seen it: the belief with that shot and all later ones taken out."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice.posterior import Posterior


@dataclass(frozen=True, slots=True)
class Forecast:
    """The six marks of one shot as they would be seen: mean (6,) and one sd (6,), SI; NaN where there is no mark.

    The spread holds what was unknown of ball and lane, the scatter of the release, and how well the eye reads.
    """

    mean: Floats
    sd: Floats


def forecasts(found: Posterior, wanted: Collection[int]) -> dict[int, Forecast]:
    """Of each shot in `wanted` (its place in `found.cases`) what was expected of it from the shots before it.

    The shots' own factors are taken out of the posterior one by one, the last first: one inverse a shot instead of
    learning everything again for each. The straight lines, and how far the bowler scatters, stay those of the whole
    season.
    """
    lines, told, noise = found.straight, found.told, noise_of(found)
    precision = np.linalg.inv(found.cov)
    pull = precision @ found.mean
    about = lines.at - np.einsum("nkd,d->nk", lines.slope, found.mean)
    made = {}
    for i in range(len(found.cases) - 1, min(wanted, default=len(found.cases)) - 1, -1):
        slope = lines.slope[i]
        weighed = slope.T @ told.precision[i]
        precision = precision - weighed @ slope
        pull = pull - slope.T @ told.shift[i] + weighed @ about[i]
        if i in wanted:
            cov = np.linalg.inv(0.5 * (precision + precision.T))
            mean = about[i] + slope @ (cov @ pull)
            var = np.einsum("kd,de,ke->k", slope, cov, slope) + np.diag(noise[i])
            there = lines.readable[i] > 0.0
            made[i] = Forecast(np.where(there, mean, np.nan), np.where(there, np.sqrt(np.maximum(var, 0.0)), np.nan))
    return made


def noise_of(found: Posterior) -> Floats:
    """The noise of each shot (n, 6, 6) of bowlers who scatter as it is believed by now."""
    middle = {bowler: of.mean for bowler, of in found.scatter.items()}
    return found.seen.noise_at(np.array([middle.get(case.trial.bowler_id, 0.0) for case in found.cases]))
