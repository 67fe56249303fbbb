"""The posterior of a small case against an independent sampler that knows only the model's paths and the noise."""

from __future__ import annotations

import numpy as np
import pytest
from a_season import PRIORS, case
from scipy import stats

from arsenal import motion
from arsenal.motion.records import Floats
from arsenal.practice import model, posterior, sites, straight
from arsenal.practice.cases import Thrown
from arsenal.trade.trial import Mark, Sighting, Word
from arsenal.trade.units import BOARD_M, FOOT_M

emcee = pytest.importorskip("emcee", reason="the sampler emcee is not installed; it comes with the [test] extra")

WALKERS, STEPS, BURN = 64, 1500, 300


def shots() -> list:  # type: ignore[type-arg]
    plain = [case(1, 1, 1000.0), case(2, 1, 3000.0), case(3, 2), case(4, 2)]
    where = model.layout(plain, PRIORS)
    at = straight.straight(plain, where, np.zeros(where.size), PRIORS).at
    return [
        case(1, 1, 1000.0, seen=Sighting(landing_m=at[0, 0] + 2.0 * BOARD_M, first_read_m=at[0, 1] - 2.0 * FOOT_M)),
        case(2, 1, 3000.0, seen=Sighting(landing_m=at[1, 0] + 1.0 * BOARD_M)),
        case(3, 2, seen=Sighting(words=(Word.LIGHT,))),
        case(4, 2, seen=Sighting(landing_m=at[3, 0] - 1.5 * BOARD_M)),
    ]


class Chance:
    """log of prior × likelihood at many points, marks by the paths themselves and probabilities by scipy.stats. The
    last of a point is ln of the factor on the bowler's scatter.
    """

    def __init__(self, cases: list, where: model.Layout, noise: Floats, release: Floats) -> None:  # type: ignore[type-arg]
        self.cases, self.where, self.noise, self.release = cases, where, noise, release
        self.prior = np.linalg.inv(where.prior)
        lane = [where.outings["a"] + model.FILM]
        self.film, self.film_var = lane[0], where.prior[lane[0], lane[0]]
        self.prior[self.film, self.film] = 0.0

    def __call__(self, every: Floats) -> Floats:
        points, wide = every[:, :-1], np.exp(every[:, -1])
        off = points[:, self.film] / np.sqrt(self.film_var)
        total = -0.5 * np.einsum("wi,ij,wj->w", points, self.prior, points) + stats.t.logpdf(off, posterior.TAIL)
        total += stats.norm.logpdf(every[:, -1], 0.0, model.SCATTER_LN_SD)
        for i, one in enumerate(self.cases):
            total += self.one(i, self.marks(one.thrown[0], points), wide)
        return np.asarray(total)

    def marks(self, t: Thrown, points: Floats) -> Floats:
        bed = motion.bed(t.lane, t.hooks_to_left, PRIORS)
        values = np.stack([model.values_of(t, self.where, theta, PRIORS) for theta in points])
        grips = model.grips_at(t, values, float(bed.volume_m3[0]), PRIORS)
        runs = motion.batch(bed, motion.body_of(t.ball, t.state), t.style.on(t.line), grips)
        return model.marks_of(runs, np.zeros(len(points)))

    def one(self, i: int, at: Floats, wide: Floats) -> Floats:
        seen = self.cases[i].trial.seen
        chances = np.zeros(len(at))
        for spread, share in ((1.0, 1.0 - sites.ODD_SHARE), (sites.ODD_SPREADS, sites.ODD_SHARE)):
            read = self.noise[i] - self.release[i]
            noise = spread**2 * (read + wide[:, None, None] ** 2 * self.release[i])
            sd = np.sqrt(noise[:, 0, 0])
            if seen.words:
                interval = seen.intervals()[Mark.LANDING]
                low, high = (stats.norm.cdf(end, at[:, 0], sd) for end in (interval.low, interval.high))
                chances += share * (high - low)
            else:
                assert seen.landing_m is not None
                first = seen.landing_m - at[:, 0]
                chance = stats.norm.pdf(first, 0.0, sd)
                if seen.first_read_m is not None:  # the second mark given the first
                    tie = noise[:, 0, 1] / noise[:, 0, 0]
                    left = np.sqrt(noise[:, 1, 1] - tie * noise[:, 0, 1])
                    chance *= stats.norm.pdf(seen.first_read_m - at[:, 1], tie * first, left)
                chances += share * chance
        return np.asarray(np.log(chances))


def test_mean_and_spread_agree_with_emcee_within_its_own_error() -> None:
    # outside: emcee's affine-invariant ensemble sampler on the same paths, with no straight lines
    cases = shots()
    found = posterior.learn(cases, PRIORS)
    release = found.seen.release
    assert release is not None
    chance = Chance(cases, found.where, found.seen.noise, release)
    scatter = found.scatter[1]
    mean, sd = np.append(found.mean, scatter.mean), np.append(found.sd(), scatter.sd)
    rng = np.random.default_rng(11)
    start = np.column_stack([
        rng.multivariate_normal(found.mean, found.cov, WALKERS), rng.normal(scatter.mean, scatter.sd, WALKERS)
    ])  # fmt: skip
    np.random.seed(11)  # noqa: NPY002 - the sampler draws from the global generator
    sampler = emcee.EnsembleSampler(WALKERS, mean.size, chance, vectorize=True)
    sampler.run_mcmc(start, STEPS)
    chain = sampler.get_chain(discard=BURN)
    flat = chain.reshape(-1, mean.size)
    length = np.maximum(emcee.autocorr.integrated_time(chain, tol=0), 1.0)
    error = flat.std(axis=0) / np.sqrt(flat.shape[0] / length)
    assert (np.abs(flat.mean(axis=0) - mean) <= 4.0 * error + 0.1 * sd).all()
    apart = np.abs(flat.std(axis=0) / sd - 1.0)
    assert np.delete(apart, chance.film).max() <= 0.15
    assert apart[chance.film] <= 0.2  # the Student tail is taken by its weight, which is a little narrower
