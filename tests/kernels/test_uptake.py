"""Lane oil: the balance of a shot, the shape of uptake, the limit of a visit."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from arsenal.kernels import uptake

GRAM = 1e-3
MASS = st.floats(0, 1e-3)


@given(MASS, MASS, MASS, MASS, st.floats(0, 1))
def test_what_leaves_the_lane_is_in_the_cover_on_the_ball_in_the_towel_or_carried_down(
    lifted: float, film: float, takes: float, most: float, wiped: float
) -> None:
    b = uptake.shot(lifted, film, takes, most, wiped)
    assert b.cover + (b.film - film) + b.towel + b.carrydown == pytest.approx(lifted, abs=1e-12)
    assert min(b) >= -1e-18


@given(st.lists(st.tuples(MASS, st.floats(0, 1)), min_size=1, max_size=40), MASS, MASS)
def test_nothing_is_lost_over_a_session(shots: list[tuple[float, float]], takes: float, most: float) -> None:
    film = cover = elsewhere = 0.0
    for lifted, wiped in shots:
        b = uptake.shot(lifted, film, takes, most, wiped)
        film, cover, elsewhere = b.film, cover + b.cover, elsewhere + b.towel + b.carrydown
    assert film + cover + elsewhere == pytest.approx(sum(lifted for lifted, _ in shots), abs=1e-11)


def test_a_cover_never_drinks_more_than_is_there() -> None:
    assert uptake.shot(1e-6, 0.0, 1.0, 1.0, 0.75).cover == 1e-6


def test_uptake_agrees_with_a_general_integrator() -> None:
    # dm/dn = k (1 − m/M) solved by SciPy's RK45
    k, full = 0.12 * GRAM, 12 * GRAM
    reference = solve_ivp(lambda _n, m: k * (1 - m / full), (0, 80), [1 * GRAM], rtol=1e-10, atol=1e-14).y[0, -1]
    assert uptake.taken_up(1 * GRAM, k, full, 80) == pytest.approx(reference, rel=1e-8)


@given(st.floats(0, 12), st.floats(0, 1), st.floats(0, 400), st.floats(0, 400))
def test_games_add_up_in_the_cover(m: float, k: float, a: float, b: float) -> None:
    once = uptake.taken_up(m * GRAM, k * GRAM, 12 * GRAM, a + b)
    assert uptake.taken_up(uptake.taken_up(m * GRAM, k * GRAM, 12 * GRAM, a), k * GRAM, 12 * GRAM, b) == pytest.approx(
        once, abs=1e-9
    )
    assert m * GRAM - 1e-12 <= once <= 12 * GRAM + 1e-12


def test_uptake_is_fast_and_then_slow() -> None:
    # shape as measured, governing-body lab article on oil absorption
    first, second, third = (uptake.taken_up(0, 0.28 * GRAM, 12 * GRAM, n) for n in (20, 40, 60))
    assert first > second - first > third - second > 0


@given(st.floats(0.01, 1000))
def test_a_drop_test_moves_uptake_by_a_factor_of_three_at_most(minutes: float) -> None:
    assert 1 / 3 <= uptake.drop_factor(minutes, 6, 3) <= 3


def test_a_six_minute_drop_is_usual() -> None:
    assert uptake.drop_factor(6, 6, 3) == 1


@given(st.floats(0, 12), st.lists(st.floats(0, 1), max_size=20))
def test_one_visit_never_takes_more_than_85_percent(grams: float, shares: list[float]) -> None:
    found = oil = grams * GRAM
    for share in shares:
        less = uptake.left_after(oil, share, found, 0.85)
        assert less <= oil
        oil = less
    assert oil >= 0.15 * found * (1 - 1e-12)


@given(st.floats(0, 0.99), st.floats(0, 20))
def test_passes_compound(share: float, passes: float) -> None:
    assert uptake.passes_share(share, passes) == pytest.approx(1 - (1 - share) ** passes, abs=1e-12)


def test_a_reactive_cover_soaks_half_the_film_in_ten_minutes() -> None:
    assert uptake.soaked(0.2e-6, 10, 10) == pytest.approx(0.1e-6)


def test_an_unwiped_ball_fills_its_film_in_a_few_shots() -> None:
    assert uptake.film_unwiped_m(0, 0.2e-6, 2, 2) == pytest.approx(0.2e-6 * (1 - math.exp(-1)))
    assert uptake.film_unwiped_m(0, 0.2e-6, 100, 2) == pytest.approx(0.2e-6)


def test_no_layer_takes_no_oil_and_a_thick_one_takes_most() -> None:
    assert uptake.layer_share(0.0, 250e-6) == 0
    assert uptake.layer_share(25.4e-6, 250e-6) == pytest.approx(0.097, abs=0.001)
    assert uptake.layer_share(1.0, 250e-6) == 1
