"""From the surface of a ball to its grip, at the means and in draws."""

from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import NORMALS, Grip, batch, bed, body_of, grip, grip_draws, reference
from arsenal.surface.state import Estimate
from arsenal.trade.ball import Cover
from arsenal.trade.units import INCH_M


def test_the_reference_ball_is_the_one_defined() -> None:
    ball, state = reference(PRIORS)
    assert (ball.cover, ball.rg_m, ball.differential_m) == (Cover.SOLID, 2.50 * INCH_M, 0.048 * INCH_M)
    assert state.grit == pytest.approx(2000.0, rel=0.01)
    assert state.oil_kg.mean == 0.0


def test_a_rougher_ball_bridges_more_film() -> None:
    assert grip_of(grit=500).sigma_m[0] > grip_of(grit=2000).sigma_m[0] > grip_of(grit=4000).sigma_m[0]


def test_oil_in_the_cover_costs_grip_but_not_on_polyester() -> None:
    for cover, loses in ((Cover.SOLID, True), (Cover.POLYESTER, False)):
        ball, state = ball_of(cover)
        full = replace(state, oil_share=1.0, oil_kg=Estimate(0.012))
        clean, oily = (grip(ball, s, PRIORS, STYLE, 25e-6).mu_dry[0] for s in (state, full))
        assert oily == pytest.approx(clean * (0.85 if loses else 1.0))


def test_games_since_the_last_resurfacing_cost_grip() -> None:
    ball, state = ball_of()
    old = replace(state, games_since_resurface=Estimate(150.0))
    share = grip(ball, old, PRIORS, STYLE, 25e-6).mu_dry[0] / grip(ball, state, PRIORS, STYLE, 25e-6).mu_dry[0]
    assert share == pytest.approx(1.0 - 0.10 * (1.0 - np.exp(-1.0)))


def test_no_ball_grips_more_than_the_bench_limit() -> None:
    # source: USBC: a ball's friction on the bench may not exceed 0.32
    ball, state = ball_of()
    z = np.zeros((NORMALS, 3))
    z[2] = 50.0
    assert np.all(grip_draws(ball, state, PRIORS, STYLE, 25e-6, normals=z).mu_dry <= 0.32)


def test_a_wiped_ball_in_play_still_carries_a_little_film() -> None:
    assert grip_of().film_on_ball_m[0] == pytest.approx(0.05e-6)
    assert grip_of(volume_m3=30e-6).film_on_ball_m[0] == pytest.approx(0.06e-6)
    assert grip_of(film_m=0.4e-6).film_on_ball_m[0] == pytest.approx(0.4e-6)


def test_flare_brings_clean_cover_to_the_lane() -> None:
    ball, state = ball_of()
    flat = replace(ball, differential_m=0.0)
    assert grip(ball, state, PRIORS, STYLE, 25e-6).pick_up[0] < 0.1 * grip(flat, state, PRIORS, STYLE, 25e-6).pick_up[0]


def test_draws_centre_on_the_means() -> None:
    ball, state = ball_of(sd=0.3)
    state = replace(state, oil_share=0.4, oil_kg=Estimate(0.005, 0.002), film_m=Estimate(0.2e-6, 0.05e-6))
    at, drawn = grip(ball, state, PRIORS, STYLE, 25e-6), grip_draws(ball, state, PRIORS, STYLE, 25e-6, n=4001)
    for name in ("mu_dry", "sigma_m", "film_on_ball_m"):
        assert np.median(getattr(drawn, name)) == pytest.approx(getattr(at, name)[0], rel=0.03)
        assert getattr(drawn, name).std() > 0.0


def test_still_normals_give_the_means() -> None:
    ball, state = ball_of(sd=0.3)
    still = grip_draws(ball, state, PRIORS, STYLE, 25e-6, normals=np.zeros((NORMALS, 1)))
    at = grip(ball, state, PRIORS, STYLE, 25e-6)
    assert (still.mu_dry[0], still.sigma_m[0]) == pytest.approx((at.mu_dry[0], at.sigma_m[0]))


def test_paired_draws_of_one_ball_before_and_after_a_pad_differ_less_than_independent_ones() -> None:
    ball, before = ball_of(grit=3000, sd=0.3)
    after = ball_of(grit=1000, sd=0.2)[1]
    lane, rng = bed(house(), True, PRIORS), np.random.default_rng(1)
    z, other = rng.standard_normal((2, NORMALS, 400))

    def landing(state: object, normals: np.ndarray) -> np.ndarray:
        drawn = grip_draws(ball, state, PRIORS, STYLE, 25e-6, normals=normals)
        return batch(lane, body_of(ball), STYLE.on(LINE), drawn).landing_m

    paired, loose = landing(after, z) - landing(before, z), landing(after, other) - landing(before, z)
    assert paired.std() < 0.6 * loose.std()
    assert np.median(paired) > 0.0


def test_grips_join_and_repeat() -> None:
    a, b = grip_of(), grip_of(Cover.PEARL)
    joined = Grip.join([a, b]).repeat(3)
    assert joined.size == 6
    assert list(joined.mu_dry) == [a.mu_dry[0]] * 3 + [b.mu_dry[0]] * 3
