"""A table read smoothly and the share of a scatter that ends in a window, against SciPy and 100,000 throws."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from arsenal.kernels import scatter

A, B = np.linspace(0.1, 1.0, 34), np.linspace(-0.03, 0.12, 43)
COARSE_A, COARSE_B = np.linspace(0.1, 1.0, 17), np.linspace(-0.03, 0.12, 22)
SD_A, SD_B, SD = 0.015, 0.005, 0.02
LOW, HIGH = 0.44, 0.47


def landing(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return 0.3 + 0.25 * a - 2.0 * b + 8.0 * b * b


def test_a_smooth_table_goes_through_a_parabola() -> None:
    # cubic convolution in Keys's third-order form repeats polynomials of the second degree exactly
    rng = np.random.default_rng(1)
    a, b, out = rng.uniform(0.2, 0.9, 200), rng.uniform(-0.01, 0.1, 200), np.empty(200)
    scatter.smooth(A, B, landing(*np.meshgrid(A, B, indexing="ij")), a, b, out)
    assert out == pytest.approx(landing(a, b), abs=1e-12)


def test_the_normal_probability_is_that_of_the_reference_library() -> None:
    for z in np.linspace(-6.0, 6.0, 101):
        assert scatter.below(float(z)) == pytest.approx(norm.cdf(z), abs=1.5e-7)


def test_where_a_table_crosses_a_value_is_where_its_parabola_does() -> None:
    table, at = landing(*np.meshgrid(A, B, indexing="ij")), np.array([0.31, 0.47, 0.48])
    out = np.empty((2, at.size * B.size))
    count = scatter.cross(A, B, table, at, 0.4, out)
    # 8 b² − 2 b + 0.25 a − 0.1 = 0, the smaller root (Vieta); the larger lies past the table
    wanted = [(2.0 - np.sqrt(4.0 - 32.0 * (0.25 * a - 0.1))) / 16.0 for a in at]
    assert count == 3
    assert out[0, :count].tolist() == at.tolist()
    assert out[1, :count] == pytest.approx(wanted, abs=(B[1] - B[0]) / 2**12)
    table[:, 20:] = np.nan
    assert scatter.cross(A, B, table, at, 0.4, out) == 3 - sum(w > B[18] for w in wanted)


def test_room_on_a_table_is_the_share_of_thrown_shots_that_end_in_the_window() -> None:
    table = landing(*np.meshgrid(A, B, indexing="ij"))
    spread, none = np.full((17, 22), SD), np.zeros((17, 22))
    at_a, at_b = np.array([0.6, 0.7, 0.8]), np.array([0.0, 0.01, 0.02])
    off_a, off_b = SD_A * np.linspace(-2.8, 2.8, 9), SD_B * np.linspace(-3.2, 3.2, 33)
    shares = [np.exp(-0.5 * (o / s) ** 2) for o, s in ((off_a, SD_A), (off_b, SD_B))]
    found = np.empty(3)
    scatter.room(
        A, B, table, COARSE_A, COARSE_B, spread, none, at_a, at_b, off_a, off_b, *(s / s.sum() for s in shares),
        LOW, HIGH, 1e-4, found,
    )  # fmt: skip
    rng = np.random.default_rng(2)
    for k in range(3):
        ends = landing(at_a[k] + rng.normal(0.0, SD_A, 100_000), at_b[k] + rng.normal(0.0, SD_B, 100_000))
        ends += rng.normal(0.0, SD, 100_000)
        share = float(np.mean((ends >= LOW) & (ends <= HIGH)))
        assert 0.05 < share < 0.6
        assert found[k] == pytest.approx(share, abs=0.006)
