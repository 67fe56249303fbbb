"""Many paths at once: finer stations change nothing worth telling, and one path alone is the same path."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from arsenal.kernels import film as films
from arsenal.kernels import friction, sweep
from arsenal.kernels import path as paths
from arsenal.kernels.marks import Reader
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, GRAVITY_MPS2, INCH_M, LANE_LENGTH_M, MPH_MPS, RPM_RADPS


def films_on(stations: int, rng: np.random.Generator, n: int) -> sweep.Film:
    """n different films, from burnt to heavy, at evenly spaced stations."""
    length, volume = rng.uniform(36, 47, n) * FOOT_M, rng.uniform(8e-6, 30e-6, n)
    ratio = rng.uniform(1.5, 12.0, n)
    peak = films.height_scale(volume, length, ratio, None, LANE_LENGTH_M, BOARD_M)
    along = films.along(np.linspace(0.0, LANE_LENGTH_M, stations), length[:, None]) * peak[:, None]
    rows = films.cross(np.arange(157.0) / 4.0 + 0.5, ratio[:, None])
    return sweep.Film(rows, np.repeat(np.arange(n)[:, None], stations, axis=1), along, BOARD_M / 4.0)


def throws_of(rng: np.random.Generator, n: int) -> tuple[sweep.Start, sweep.Contact]:
    slip = paths.slip_of(
        rng.uniform(14, 20, n) * MPH_MPS, rng.uniform(-4, 0, n) * DEGREE_RAD, rng.uniform(120, 520, n) * RPM_RADPS,
        rng.uniform(10, 80, n) * DEGREE_RAD, rng.uniform(0, 20, n) * DEGREE_RAD, 0.1091,
        rng.uniform(2.46, 2.7, n) * INCH_M,
    )  # fmt: skip
    lateral = rng.uniform(12, 32, n) * BOARD_M
    contact = sweep.Contact(
        rng.uniform(0.1, 0.2, n), np.full(n, 0.013), rng.uniform(0.4e-6, 1.2e-6, n), rng.uniform(0.8, 2.0, n),
        rng.uniform(0, 0.3e-6, n), rng.choice([0.0, 0.02, 0.33], n), rng.uniform(1.0, 4.0, n),
    )  # fmt: skip
    return sweep.Start(lateral, slip.vx, slip.vy, slip.ux, slip.uy, slip.budget), contact


def ran(seed: int, n: int, intervals: int, windows: int, only: slice = slice(None)) -> tuple[np.ndarray, np.ndarray]:
    """(landing, rolls at) of n seeded paths."""
    rng = np.random.default_rng(seed)
    film = films_on(intervals * windows + 1, rng, n)
    start, contact = throws_of(rng, n)
    start, contact = sweep.Start(*(a[only] for a in start)), sweep.Contact(*(a[only] for a in contact))
    maps = np.arange(n)[only]
    found = sweep.march(film, maps, start, contact, GRAVITY_MPS2, LANE_LENGTH_M, intervals, windows)
    read = Reader(found, start, LANE_LENGTH_M / (intervals * windows))
    rolls = read.where(start.budget)
    return read.cut(np.where(np.isnan(rolls), LANE_LENGTH_M, rolls))[-1], rolls


def test_halving_the_step_converges() -> None:
    fine = ran(5, 600, 15, 32)[0]
    errors = [np.quantile(np.abs(ran(5, 600, n, 2)[0] - fine), 0.99) for n in (15, 30, 60)]
    assert errors[1] < errors[0] / 5.0
    assert errors[2] < errors[1] / 2.0  # the film's quarter-board nodes are kinks; past that they set the pace


def test_the_usual_stations_hold_a_millimetre() -> None:
    landing, rolls = ran(7, 2000, 30, 2)
    fine_landing, fine_rolls = ran(7, 2000, 15, 32)
    assert np.abs(landing - fine_landing).max() < 0.3e-3
    assert np.quantile(np.abs(rolls - fine_rolls), 0.99) < 3e-3


def test_windows_do_not_matter() -> None:
    assert ran(9, 300, 30, 2)[0] == pytest.approx(ran(9, 300, 10, 6)[0], abs=2e-3)


def test_a_path_alone_is_the_path_in_a_batch() -> None:
    together = ran(11, 900, 30, 2)[0]
    for i in (0, 450, 899):
        assert ran(11, 900, 30, 2, slice(i, i + 1))[0][0] == pytest.approx(together[i], abs=5e-6)


def test_constant_friction_is_exact() -> None:
    rng = np.random.default_rng(2)
    start, contact = throws_of(rng, 50)
    dry = sweep.Film(np.zeros((1, 5)), np.zeros((1, 61), np.intp), np.ones((1, 61)), BOARD_M * 10)
    contact = contact._replace(film_on_ball=np.zeros(50), gain=np.zeros(50))
    found = sweep.march(dry, np.zeros(50, np.intp), start, contact, GRAVITY_MPS2, LANE_LENGTH_M, 30, 2)
    rolls = Reader(found, start, LANE_LENGTH_M / 60).where(start.budget)
    time = start.budget / (contact.mu_dry * GRAVITY_MPS2)
    closed = (start.vx - 0.5 * start.ux * start.budget) * time
    inside = closed < LANE_LENGTH_M
    assert inside.any()
    assert rolls[inside] == pytest.approx(closed[inside], abs=2e-5)


def test_a_film_steeper_than_any_lane_still_settles() -> None:
    rng = np.random.default_rng(3)
    start, contact = throws_of(rng, 40)
    heights = np.where(np.arange(157) % 8 < 4, 0.0, 40e-6)[None, :]
    film = sweep.Film(heights, np.zeros((1, 61), np.intp), np.ones((1, 61)), BOARD_M / 4.0)
    found = sweep.march(film, np.zeros(40, np.intp), start, contact, GRAVITY_MPS2, LANE_LENGTH_M, 30, 2)
    assert np.all(np.isfinite(found.y))


def test_the_balls_own_film_follows_its_filter() -> None:
    # source: SciPy solve_ivp, a general reference library, on the same filter as a state of its own
    rng = np.random.default_rng(21)
    film = films_on(61, rng, 1)
    start, contact = throws_of(rng, 1)
    contact = contact._replace(gain=np.array([0.33]), gain_length=np.array([2.0]))
    found = sweep.march(film, np.zeros(1, np.intp), start, contact, GRAVITY_MPS2, LANE_LENGTH_M, 30, 2)
    c = sweep.Contact(*(float(a[0]) for a in contact))
    x0 = np.linspace(0.0, LANE_LENGTH_M, 61)
    nodes = np.arange(157) * BOARD_M / 4.0

    def rates(x: float, z: np.ndarray) -> list[float]:
        y, s, own = z
        lane = float(np.interp(x, x0, film.along[0]) * np.interp(y, nodes, film.rows[0]))
        mu = friction.friction(c.film_scale * lane + c.film_on_ball + own, c.sigma, c.mu_dry, c.mu_oil)
        vx = start.vx[0] - start.ux[0] * s
        return [
            (start.vy[0] - start.uy[0] * s) / vx,
            float(mu) * GRAVITY_MPS2 / vx,
            (c.gain * lane - own) / c.gain_length,
        ]

    end = 0.6 * LANE_LENGTH_M
    outside = solve_ivp(rates, (0.0, end), [start.y[0], 0.0, 0.0], rtol=1e-9, atol=1e-12, max_step=0.02)
    assert outside.y[1, -1] < start.budget[0]
    assert found.y[36, 0] == pytest.approx(outside.y[0, -1], abs=0.5e-3)
    assert found.s[36, 0] == pytest.approx(outside.y[1, -1], rel=2e-3)
