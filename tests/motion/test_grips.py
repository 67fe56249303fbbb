"""From the surface of a ball to its grip, at the means and in draws."""

from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import NORMALS, Grip, batch, bed, body_of, grip, grip_draws, reference
from arsenal.surface.state import Estimate
from arsenal.trade.ball import Cover
from arsenal.trade.errors import KnownError, OutOfRange
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


def test_a_grip_that_is_no_number_is_refused() -> None:
    lane = bed(house(), True, PRIORS)
    for bad in ({"mu_dry": np.array([np.nan])}, {"sigma_m": np.zeros(1)}, {"film_scale": np.array([-1.0])}):
        with pytest.raises(OutOfRange):
            batch(lane, body_of(ball_of()[0]), STYLE.on(LINE), replace(grip_of(), **bad))


def test_what_was_measured_last_wins_over_the_box() -> None:
    ball, state = ball_of()
    worn = replace(state, radius_m=Estimate(0.1085), mass_kg=6.7, pin_to_axis_m=0.1)
    body = body_of(ball, worn)
    assert (body.radius_m, body.mass_kg, body.pin_to_axis_m) == (0.1085, 6.7, 0.1)
    assert body_of(ball).radius_m == ball.radius_m


def test_throws_that_do_not_pair_up_are_refused() -> None:
    lane, body = bed(house(), True, PRIORS), body_of(ball_of()[0])
    with pytest.raises(KnownError, match="do not pair up"):
        batch(lane, [body] * 2, [STYLE.on(LINE)] * 3, grip_of())
    with pytest.raises(KnownError, match="do not pair up"):
        batch(lane, body, [STYLE.on(LINE)] * 3, grip_of().repeat(2))
    with pytest.raises(KnownError, match="need a body"):
        batch(lane, None, STYLE.on(LINE), grip_of())
    with pytest.raises(OutOfRange, match="speed"):
        batch(lane, body, replace(STYLE, speed_mps=np.nan).on(LINE), grip_of())
    with pytest.raises(OutOfRange, match="RG"):
        batch(lane, replace(body, rg_m=0.2), STYLE.on(LINE), grip_of())


def test_grips_join_and_repeat() -> None:
    a, b = grip_of(), grip_of(Cover.PEARL)
    joined = Grip.join([a, b]).repeat(3)
    assert joined.size == 6
    assert list(joined.mu_dry) == [a.mu_dry[0]] * 3 + [b.mu_dry[0]] * 3
