"""One shot's factor against closed forms and a general library."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from arsenal.practice import posterior, sites


def test_a_truncated_normal_is_that_of_scipy() -> None:
    # outside: the truncated normal of scipy.stats
    mean, sd = np.array([0.0, 1.0, -3.0, 0.2]), np.array([1.0, 2.0, 0.5, 1.0])
    low, high = np.array([-1.0, 4.0, -np.inf, -0.1]), np.array([2.0, np.inf, -4.0, 0.1])
    mass, at, var = sites.truncated(mean, sd, low, high)
    a, b = (low - mean) / sd, (high - mean) / sd
    other = stats.truncnorm(a, b, mean, sd)
    assert at == pytest.approx(other.mean(), rel=1e-8)
    assert var == pytest.approx(other.var(), rel=1e-6)
    assert np.exp(mass) == pytest.approx(stats.norm.cdf(b) - stats.norm.cdf(a), rel=1e-10)


def test_an_interval_far_out_stays_finite() -> None:
    mass, at, var = sites.truncated(np.zeros(2), np.ones(2), np.array([30.0, -31.0]), np.array([31.0, -30.0]))
    assert np.isfinite(mass).all()
    assert at == pytest.approx([30.0, -30.0], abs=0.1)
    assert (var > 0.0).all()


def test_the_slope_and_curve_of_the_evidence_are_those_of_its_logarithm() -> None:
    # outside: central differences, and the evidence itself by quadrature (scipy.integrate)
    noise, cov = np.array([[[0.5]]]), np.array([[[0.8]]])
    seen = sites.Seen(np.array([[0.3]]), np.array([[1.1]]), noise)

    def log_z(m: float) -> float:
        return float(sites.evidence(np.array([[m]]), cov, seen)[0][0])

    h = 1e-4
    _, slope, curve, _ = sites.evidence(np.array([[0.2]]), cov, seen)
    assert slope[0, 0] == pytest.approx((log_z(0.2 + h) - log_z(0.2 - h)) / (2 * h), rel=1e-5)
    assert curve[0, 0, 0] == pytest.approx((log_z(0.2 + h) - 2 * log_z(0.2) + log_z(0.2 - h)) / h**2, rel=1e-3)

    def density(g: float) -> float:
        plain = stats.norm.pdf(g, 0.2, np.sqrt(1.3)) * (1.0 - sites.ODD_SHARE)
        return float(plain + sites.ODD_SHARE * stats.norm.pdf(g, 0.2, np.sqrt(0.8 + 0.5 * sites.ODD_SPREADS**2)))

    assert np.exp(log_z(0.2)) == pytest.approx(integrate.quad(density, 0.3, 1.1)[0], rel=1e-8)


def test_a_straight_gaussian_toy_is_solved_as_numpy_solves_it(monkeypatch: pytest.MonkeyPatch) -> None:
    # outside: the normal equations of Bayesian least squares, by numpy.linalg.solve
    monkeypatch.setattr(sites, "ODD_SHARE", 1e-300)
    rng = np.random.default_rng(5)
    n, k, size = 30, 2, 4
    slope, about, y = rng.normal(size=(n, k, size)), rng.normal(size=(n, k)), rng.normal(size=(n, k))
    half = rng.normal(size=(n, k, k))
    noise = half @ half.transpose(0, 2, 1) + 0.3 * np.eye(k)
    told, prior = sites.silent(n, k), np.diag([1.0, 2.0, 0.5, 4.0])
    mean, cov = np.zeros(size), np.linalg.inv(prior)
    for _ in range(40):
        spread = np.einsum("nkd,de,nje->nkj", slope, cov, slope)
        told = sites.retold(told, about + slope @ mean, spread, sites.Seen(y, y, noise))
        mean, cov = posterior.together(prior, slope, about, told)
    wide, inverse = slope.reshape(-1, size), np.linalg.inv(noise)
    weight = np.zeros((n * k, n * k))
    for i in range(n):
        weight[i * k : i * k + k, i * k : i * k + k] = inverse[i]
    left = prior + wide.T @ weight @ wide
    assert mean == pytest.approx(np.linalg.solve(left, wide.T @ weight @ (y - about).ravel()), rel=1e-6)
    assert cov == pytest.approx(np.linalg.inv(left), rel=1e-6, abs=1e-9)


def test_a_shot_far_from_all_belief_is_held_to_be_odd() -> None:
    seen = sites.Seen(np.array([[0.0], [9.0]]), np.array([[0.0], [9.0]]), np.ones((2, 1, 1)))
    odd = sites.evidence(np.zeros((2, 1)), 0.2 * np.ones((2, 1, 1)), seen)[3]
    assert odd[0] < 0.05
    assert odd[1] > 0.95


def test_what_one_shot_says_of_the_scatter_is_what_quadrature_says() -> None:
    # outside: the tilted density of ln of the factor, integrated by scipy.integrate
    seen = sites.Seen(np.array([[2.5]]), np.array([[2.5]]), np.array([[[1.1]]]), np.array([[[1.0]]]))
    scatter = sites.Scatter(np.array([0.1]), np.array([0.3]))
    told = sites.retold(sites.silent(1, 1), np.zeros((1, 1)), 0.2 * np.ones((1, 1, 1)), seen, scatter)

    def density(x: float) -> float:
        noise = 0.1 + np.exp(2.0 * x)
        plain = stats.norm.pdf(2.5, 0.0, np.sqrt(0.2 + noise)) * (1.0 - sites.ODD_SHARE)
        odd = stats.norm.pdf(2.5, 0.0, np.sqrt(0.2 + sites.ODD_SPREADS**2 * noise)) * sites.ODD_SHARE
        return float((plain + odd) * stats.norm.pdf(x, 0.1, 0.3))

    whole, first, second = (integrate.quad(lambda x, p=p: density(x) * x**p, -3.0, 3.0)[0] for p in range(3))
    mean, var = first / whole, second / whole - (first / whole) ** 2
    precision = 1.0 / 0.3**2 + told.ln_precision[0] / sites.DAMPED
    found = (0.1 / 0.3**2 + told.ln_shift[0] / sites.DAMPED) / precision
    assert found == pytest.approx(mean, abs=0.002)
    assert 1.0 / precision == pytest.approx(var, rel=0.02)


def test_a_wide_shot_says_wider_and_a_near_one_narrower() -> None:
    seen = sites.Seen(np.array([[3.0], [0.0]]), np.array([[3.0], [0.0]]), 1.1 * np.ones((2, 1, 1)), np.ones((2, 1, 1)))
    scatter = sites.Scatter(np.zeros(2), 0.35 * np.ones(2))
    told = sites.retold(sites.silent(2, 1), np.zeros((2, 1)), 0.01 * np.ones((2, 1, 1)), seen, scatter)
    assert told.ln_shift[0] > 0.0 > told.ln_shift[1]
