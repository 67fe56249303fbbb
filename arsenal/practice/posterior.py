"""What practice shots teach, all together: balls, finishes and lanes at once, with how sure it is.

Straight lines about what is believed (Gauss–Newton), each shot a factor of its own (`sites`), until neither moves. An
outing's lane may be an odd one: its prior has a Student tail with four degrees of freedom, by its scale mixture (EM).
Nothing is random: the same shots, the same numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice import model, sites, straight
from arsenal.practice.cases import Case
from arsenal.practice.model import Layout, Straight
from arsenal.practice.sites import Scatter, Seen, Told
from arsenal.surface.state import Estimate
from arsenal.trade.errors import KnownError
from arsenal.trade.priors import Priors

LEARN_VERSION = "2"
"""Changes whenever the same shots would teach something else."""
ROUNDS, SWEEPS = 5, 6
MOVED = 0.05
"""Nothing moves any more: no unknown by more than so much of its own spread."""
TAIL = 4.0
FARTHEST, FARTHEST_LN_FILM, FARTHEST_LN_SCATTER = 6.0, 1.5, 1.5
"""Straight lines are drawn no farther out than so many prior spreads, or so far in ln of a lane's film: beyond that a
path hardly answers any more, and a shot no film explains would be chased without end. Nor does anybody scatter more
than e to the 1½ times as far as he was said to, or less than that part of it."""
Progress = Callable[[float], None]


@dataclass(frozen=True, slots=True)
class Posterior:
    """What is believed after `cases`: mean (D,) and covariance (D, D) of the unknowns of `where`.

    `expected` (n, 6) are the marks at the mean, in SI, NaN where there is none; `odd` (n,) how likely each shot was not
    what it was entered as; `lane_weight` how much of its usual weight the prior of each outing's lane still had. The
    noise in `straight` and `seen` is that of a bowler who scatters as he was said to.
    """

    cases: tuple[Case, ...]
    where: Layout
    mean: Floats
    cov: Floats
    straight: Straight
    seen: Seen
    odd: Floats
    lane_weight: dict[str, float]
    priors: Priors
    told: Told
    """What each shot said: its factor on its marks."""
    scatter: Mapping[int, Estimate] = field(default_factory=dict)
    """Ln of how far each bowler scatters against what was said of him, by id."""

    def sd(self) -> Floats:
        """One sd of each unknown (D,)."""
        return np.asarray(np.sqrt(np.diag(self.cov)))

    @property
    def noise(self) -> Floats:
        """How far each shot's marks scatter as the bowler has shown to throw, read as they were read, (n, 6, 6)."""
        by = np.array([self.scatter[case.trial.bowler_id].mean for case in self.cases])
        return self.seen.noise_at(by)

    @property
    def expected(self) -> Floats:
        """The marks of each shot at the mean, (n, 6)."""
        return np.where(self.straight.readable > 0.0, self.straight.at, np.nan)


def learn(cases: Sequence[Case], priors: Priors, *, progress: Progress = lambda _: None) -> Posterior:
    """The posterior of `cases`. `progress` hears from 0 to 1. Raises KnownError without a single case."""
    if not cases:
        raise KnownError("There is no practice shot to learn from yet.", next_step="Log what one shot did.")
    where = model.layout(cases, priors)
    who = {bowler: i for i, bowler in enumerate(sorted({case.trial.bowler_id for case in cases}))}
    thrower = np.array([who[case.trial.bowler_id] for case in cases])
    state, prior = _State.before(where, thrower), np.asarray(np.linalg.inv(where.prior))
    for done in range(1, ROUNDS + 1):
        here = _within(where, state.mean)
        lines = straight.straight(cases, where, here, priors)
        seen = _readable(model.seen_of(cases, lines.noise, lines.release), lines)
        before = state.mean
        about = lines.at - np.einsum("nkd,d->nk", lines.slope, here)
        for _ in range(SWEEPS):
            last = state
            state = state.swept(where, prior, lines.slope, about, seen)
            if state.settled_from(last):
                break
        progress(done / (ROUNDS + 1))
        if np.all(np.abs(state.mean - before) <= MOVED * np.sqrt(np.diag(state.cov))) and done > 1:
            break
    here = _within(where, state.mean)
    lines = straight.straight(cases, where, here, priors)
    lines = replace(lines, at=lines.at + np.einsum("nkd,d->nk", lines.slope, state.mean - here))
    progress(1.0)
    return Posterior(
        tuple(cases), where, state.mean, state.cov, lines, seen, state.told.odd, dict(state.weights), priors,
        state.told, {bowler: state.scatter_of(i) for bowler, i in who.items()},
    )  # fmt: skip


def _within(where: Layout, mean: Floats) -> Floats:
    """The place nearest to `mean` where straight lines are drawn."""
    most = FARTHEST * np.sqrt(np.diag(where.prior))
    films = [first + model.FILM for first in where.outings.values()]
    most[films] = np.minimum(most[films], FARTHEST_LN_FILM)
    return np.clip(mean, -most, most)


def _readable(seen: Seen, lines: Straight) -> Seen:
    """Marks that no path of this shot has say nothing."""
    there = lines.readable > 0.0
    return replace(seen, low=np.where(there, seen.low, -np.inf), high=np.where(there, seen.high, np.inf))


@dataclass(frozen=True, slots=True)
class _State:
    """What is believed at one moment of the search."""

    mean: Floats
    cov: Floats
    told: Told
    weights: dict[str, float]
    thrower: np.ndarray
    """(n,) which bowler threw each shot, counted from 0."""

    @staticmethod
    def before(where: Layout, thrower: np.ndarray) -> _State:
        told = sites.silent(thrower.size, 6)
        return _State(np.zeros(where.size), where.prior.copy(), told, dict.fromkeys(where.outings, 1.0), thrower)

    def scatter_of(self, bowler: int) -> Estimate:
        """What is believed of ln of the factor on one bowler's scatter."""
        precision, shift = (total[bowler] for total in self._scatter())
        mean = min(max(float(shift / precision), -FARTHEST_LN_SCATTER), FARTHEST_LN_SCATTER)
        return Estimate(mean, float(precision**-0.5))

    def _scatter(self) -> tuple[Floats, Floats]:
        """Precision, and precision × mean, of ln of each bowler's factor."""
        told = (np.bincount(self.thrower, of).astype(float) for of in (self.told.ln_precision, self.told.ln_shift))
        precision, shift = told
        return np.maximum(precision, 0.0) + model.SCATTER_LN_SD**-2, shift

    def _others_say(self) -> Scatter:
        """The same for each shot, itself left out."""
        precision, shift = (total[self.thrower] for total in self._scatter())
        left = np.maximum(precision - self.told.ln_precision, 0.5 * model.SCATTER_LN_SD**-2)
        mean = np.clip((shift - self.told.ln_shift) / left, -FARTHEST_LN_SCATTER, FARTHEST_LN_SCATTER)
        return Scatter(mean, left**-0.5)

    def swept(self, where: Layout, prior: Floats, slope: Floats, about: Floats, seen: Seen) -> _State:
        """Every shot's factor once more, then all of them together."""
        touched, own = touched_of(slope)
        at = about + np.einsum("nkc,nc->nk", own, self.mean[touched])
        spread = own @ self.cov[touched[:, :, None], touched[:, None, :]] @ own.transpose(0, 2, 1)
        told = sites.retold(self.told, at, spread, seen, self._others_say())
        weights = {key: _tail(where, key, self.mean, self.cov) for key in where.outings}
        mean, cov = together(_weighted(where, prior, weights), slope, about, told)
        return replace(self, mean=mean, cov=cov, told=told, weights=weights)

    def settled_from(self, last: _State) -> bool:
        """Whether the last sweep moved nothing worth the name."""
        sd, was = np.sqrt(np.diag(self.cov)), np.sqrt(np.diag(last.cov))
        return bool(np.all(np.abs(self.mean - last.mean) <= MOVED * sd) and np.all(np.abs(sd - was) <= MOVED * sd))


def together(prior: Floats, slope: Floats, about: Floats, told: Told) -> tuple[Floats, Floats]:
    """Mean and covariance of the unknowns, prior mean 0 and precision `prior`, from factors on `about + slope·θ`."""
    touched, own = touched_of(slope)
    precision, toward = prior.copy(), np.zeros(prior.shape[0])
    blocks = own.transpose(0, 2, 1) @ (told.precision @ own)
    np.add.at(precision, (touched[:, :, None], touched[:, None, :]), blocks)
    pull = told.shift - np.einsum("nij,nj->ni", told.precision, about)
    np.add.at(toward, touched, np.einsum("nkc,nk->nc", own, pull))
    cov = np.linalg.inv(0.5 * (precision + precision.T))
    cov = 0.5 * (cov + cov.T)
    return np.asarray(cov @ toward), cov


def touched_of(slope: Floats) -> tuple[np.ndarray, Floats]:
    """The few unknowns that each shot touches, (n, c), and its slopes in them, (n, k, c): of a season's hundreds of
    unknowns one shot knows a ball, a finish and a lane. Where it touches fewer than another, slopes of 0 fill up.
    """
    there = (slope != 0.0).any(axis=1)
    most = max(int(there.sum(axis=1).max(initial=0)), 1)
    touched = np.argsort(~there, axis=1, kind="stable")[:, :most]
    return touched, np.take_along_axis(slope, touched[:, None, :], axis=2)


def _weighted(where: Layout, prior: Floats, weights: dict[str, float]) -> Floats:
    precision = prior.copy()
    for key, weight in weights.items():
        film = where.outings[key] + model.FILM
        precision[film, film] *= weight
    return precision


def _tail(where: Layout, key: str, mean: Floats, cov: Floats) -> float:
    """Weight of an outing's prior on film: 1 on the lane it was said to be, less the farther off it lies."""
    film = where.outings[key] + model.FILM
    off = (mean[film] ** 2 + cov[film, film]) / where.prior[film, film]
    return float((TAIL + 1.0) / (TAIL + min(off, FARTHEST**2)))
