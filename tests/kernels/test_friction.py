"""Mixed lubrication: the share of the load that asperities carry, and what becomes of friction."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.kernels import friction


@pytest.mark.parametrize(
    ("film_ratio", "share"), [(0.25, 0.858), (0.5, 0.672), (1.0, 0.399), (2.0, 0.167), (3.0, 0.087)]
)
def test_load_share_has_the_tabulated_values(film_ratio: float, share: float) -> None:
    # source: follows from the textbook form of mixed lubrication, (1 + λ^1.517)^−1.327
    assert friction.load_share(film_ratio) == pytest.approx(share, abs=6e-4)


def test_a_dry_lane_grips_with_the_dry_friction_alone() -> None:
    assert friction.friction(0.0, 0.5e-6, 0.2, 0.013) == pytest.approx(0.2, rel=1e-15)


@given(st.floats(0, 20e-6), st.floats(1e-8, 3e-6), st.floats(0.05, 0.32), st.floats(0.001, 0.013))
def test_friction_lies_between_oil_and_dry(film: float, sigma: float, dry: float, oil: float) -> None:
    assert oil - 1e-15 <= friction.friction(film, sigma, dry, oil) <= dry + 1e-15


@given(st.floats(0, 10e-6), st.floats(1e-9, 1e-5))
def test_more_film_never_grips_more(film: float, more: float) -> None:
    assert friction.friction(film + more, 0.5e-6, 0.2, 0.013) <= friction.friction(film, 0.5e-6, 0.2, 0.013)


@given(st.floats(1e-7, 10e-6), st.floats(1.01, 4.0))
def test_a_rougher_ball_grips_more_through_a_film(film: float, rougher: float) -> None:
    assert friction.friction(film, 0.5e-6 * rougher, 0.2, 0.013) > friction.friction(film, 0.5e-6, 0.2, 0.013)


def test_oil_in_the_cover_and_games_cost_grip() -> None:
    # our own assumption: 15 % with a full cover, 10 % after very many games
    assert friction.worn_grip(0.2, 1.0, 0.0, 0.15, 0.10, 150.0) == pytest.approx(0.17)
    assert friction.worn_grip(0.2, 0.0, 1e9, 0.15, 0.10, 150.0) == pytest.approx(0.18)
    assert friction.worn_grip(0.2, 7.0, -3.0, 0.15, 0.10, 150.0) == pytest.approx(0.17)


def test_roughness_answers_with_its_exponent() -> None:
    twice = friction.ball_roughness(np.array([2.0e-7, 4.0e-7]), 2.0e-7, 0.6e-6, 0.65)
    assert twice == pytest.approx([0.6e-6, 0.6e-6 * 2.0**0.65])
