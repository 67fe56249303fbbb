"""A film from its summary holds the volume and the ratio that were typed."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from arsenal.kernels import film
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M, OIL_UNIT_M

volumes, lengths, ratios = st.floats(5e-6, 40e-6), st.floats(30 * FOOT_M, 52 * FOOT_M), st.floats(1.0, 20.0)


@given(volumes, lengths, ratios, ratios)
@settings(max_examples=40)
def test_the_volume_integrates_back(volume: float, length: float, near: float, far: float) -> None:
    peak = film.height_scale(volume, length, near, far, LANE_LENGTH_M, BOARD_M)
    x = (np.arange(3000) + 0.5) * LANE_LENGTH_M / 3000  # midpoints: another rule than the one that made it
    board = 0.5 + (np.arange(3900) + 0.5) / 100
    area = x[1] - x[0], (board[1] - board[0]) * BOARD_M
    held = peak * film.along(x, length).sum() * area[0] * film.cross(board, near, far).sum() * area[1]
    assert held == pytest.approx(volume, rel=1e-3)


@given(ratios)
def test_the_ratio_is_the_one_typed(ratio: float) -> None:
    heights = film.cross(np.arange(1.0, 40.0), ratio)
    assert heights[17:22].mean() / heights[2:7].mean() == pytest.approx(ratio, rel=1e-3)


def test_a_ratio_of_one_is_flat() -> None:
    assert np.ptp(film.cross(np.linspace(0.5, 39.5, 200), 1.0)) == pytest.approx(0.0, abs=1e-12)


def test_left_and_right_may_differ() -> None:
    heights = film.cross(np.arange(1.0, 40.0), 10.0, 2.0)
    assert heights[20] / heights[2:7].mean() == pytest.approx(10.0, rel=0.01)
    assert heights[20] / heights[32:37].mean() == pytest.approx(2.0, rel=0.01)


def test_the_oil_ends_where_it_was_said_to() -> None:
    length = 41 * FOOT_M
    inside, outside = film.along(np.array([length - 3 * FOOT_M, length + 3 * FOOT_M]), length)
    assert inside > 0.4
    assert outside < 0.005


def test_one_unit_of_lane_oil_is_a_height() -> None:
    # source: arithmetic on one unit = 0.0167 mL per square foot (from memory; there is no one agreed unit)
    assert pytest.approx(0.0167e-6 / FOOT_M**2, rel=2e-3) == OIL_UNIT_M


def test_nodes_are_read_like_a_general_interpolator_reads_them() -> None:
    # source: SciPy RegularGridInterpolator, a general reference library
    rng = np.random.default_rng(4)
    rows, columns = np.sort(rng.uniform(0, 18, 12)), np.sort(rng.uniform(0, 1, 9))
    values = rng.uniform(0, 1, (12, 9))
    at = rng.uniform(rows[0], rows[-1], 500), rng.uniform(columns[0], columns[-1], 500)
    outside = RegularGridInterpolator((rows, columns), values)(np.stack(at, axis=-1))
    assert film.bilinear(values, rows, columns, *at) == pytest.approx(outside, abs=1e-12)
    assert film.bilinear(values, rows, columns, np.array(99.0), np.array(-5.0)) == values[-1, 0]
