"""Grips of balls that practice has taught of: draws, means, and what a pad leaves of what was learned."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from usual import PRIORS, STYLE

from arsenal import motion
from arsenal.motion.grips import kept_share, tie_of
from arsenal.surface.state import Estimate
from arsenal.trade.entries import Step, Tool
from arsenal.trade.factors import BallFactors, WorkBefore, work_key

BALL, STATE = motion.reference(PRIORS)
SD = 0.2
NOW = replace(STATE, ln_ra_m=Estimate(STATE.ln_ra_m.mean, SD))
PAD = (Step(number=1000.0, tool=Tool.SPINNER, wet=True),)


def factors(**fields: object) -> BallFactors:
    plain = BallFactors(BALL.id, (0.0,) * 4, tuple(np.zeros(16)), 1, SD)
    return replace(plain, **fields)  # type: ignore[arg-type]


@pytest.mark.parametrize("tie", [-0.9, -0.4, 0.0, 0.5])
def test_what_is_kept_of_a_surprise_is_the_regression_of_what_is_then_on_what_is_now(tie: float) -> None:
    # outside: least squares through many draws (numpy.polyfit)
    rng = np.random.default_rng(2)
    z = rng.standard_normal((2, 400_000))
    before, change = SD * z[0], 0.15 * (tie * z[0] + np.sqrt(1.0 - tie**2) * z[1])
    after_sd = float(np.sqrt(SD**2 + 0.15**2 + 2.0 * tie * SD * 0.15))
    assert kept_share(SD, Estimate(0.3, 0.15), after_sd) == pytest.approx(
        np.polyfit(before, before + change, 1)[0], abs=0.005
    )
    assert tie_of(SD, 0.15, after_sd) == pytest.approx(np.corrcoef(before, change)[0, 1], abs=0.005)


def test_where_nothing_was_done_all_of_it_stays_and_of_a_known_finish_nothing_after_work() -> None:
    assert kept_share(SD, Estimate(0.0), SD) == 1.0
    assert kept_share(0.0, Estimate(0.3, 0.15), 0.2) == 0.0


def test_rows_draw_what_the_covariance_says_and_hang_together_across_balls() -> None:
    # outside: sample covariance of many draws (numpy.cov)
    rng = np.random.default_rng(3)
    half = 0.1 * rng.standard_normal((8, 8))
    cov = half @ half.T
    values, vectors = np.linalg.eigh(cov)
    root = (vectors * np.sqrt(values)) @ vectors.T
    z = {i: rng.standard_normal((motion.NORMALS, 200_000)) for i in (1, 2)}
    drawn = []
    for k, i in enumerate((1, 2)):
        rows = slice(4 * k, 4 * k + 4)
        shared = tuple((j, tuple(root[rows, 4 * m : 4 * m + 4].ravel())) for m, j in enumerate((1, 2)))
        of = factors(ball_id=i, cov=tuple(cov[rows, rows].ravel()), shared=shared, mean=(0.1, -0.2, 0.05, 0.3))
        made = motion.taught_rows(SD, PRIORS, z[i], of, z)
        doubt = PRIORS.doubt
        drawn += [made[2] * doubt.ball_ln_mu_sd, made[3] * doubt.response_sd, made[5], made[0] * SD]
        assert np.mean(drawn[-4:], axis=1) == pytest.approx([0.1, -0.2, 0.05, 0.3], abs=0.003)
        assert (made[1] == 0.0).all()
    assert np.cov(np.array(drawn)) == pytest.approx(cov, abs=0.002)


def test_the_middle_of_the_draws_is_the_grip_at_the_means() -> None:
    of = factors(mean=(0.05, -0.1, 0.08, 0.2))
    one = motion.grip(BALL, NOW, PRIORS, STYLE, 25e-6, factors=of)
    still = motion.grip_draws(
        BALL, NOW, PRIORS, STYLE, 25e-6, normals=np.zeros((motion.NORMALS, 1)), factors=of
    )  # fmt: skip
    for name in ("mu_dry", "sigma_m", "film_scale"):
        assert getattr(one, name) == pytest.approx(getattr(still, name))


def test_work_done_before_leaves_what_it_left_then() -> None:
    after = replace(NOW, finish=PAD, ln_ra_m=Estimate(NOW.ln_ra_m.mean + 0.8, 0.25), changed_ln=Estimate(0.8, 0.22))
    work = WorkBefore(work_key(PAD), 0.12, 0.03**2, 0.7225)
    of = factors(mean=(0.0, 0.0, 0.0, -0.3), works=(work,))
    found = motion.finish_of(after, of)
    assert found.mean == pytest.approx(after.ln_ra_m.mean + 0.12)
    assert found.sd < after.ln_ra_m.sd
    other = replace(after, finish=(replace(PAD[0], number=500.0),))
    assert motion.finish_of(other, of).mean < other.ln_ra_m.mean


def test_another_pad_of_the_grain_counts_as_the_same_work_and_another_time_does_not() -> None:
    assert work_key((replace(PAD[0], pad_id=3, uses_before=4.0),)) == work_key(PAD)
    assert work_key((replace(PAD[0], sides=2, seconds=15.0),)) != work_key(PAD)
    assert factors().work(PAD) is None
    assert factors(works=(WorkBefore(work_key(PAD), 0.1, 0.0, 0.7),)).work(()) is None
