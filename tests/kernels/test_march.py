"""Many paths at once: finer steps change nothing worth telling, and one path alone is the same path."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from arsenal.kernels import batch, friction
from arsenal.kernels import film as films
from arsenal.kernels import path as paths
from arsenal.kernels.shapes import MARKS, Contact, Film, Start, Stations
from arsenal.trade.units import (
    BOARD_M,
    DEGREE_RAD,
    FOOT_M,
    GRAVITY_MPS2,
    INCH_M,
    LANE_LENGTH_M,
    LANE_WIDTH_M,
    MPH_MPS,
    RPM_RADPS,
)

LANDING, ROLLS = MARKS.index("landing"), MARKS.index("rolls")


def films_on(steps: int, rng: np.random.Generator, n: int) -> Film:
    """n different films, from burnt to heavy, at evenly spaced stations."""
    stations = 2 * steps + 1
    length, volume = rng.uniform(36, 47, n) * FOOT_M, rng.uniform(8e-6, 30e-6, n)
    ratio = rng.uniform(1.5, 12.0, n)
    peak = films.height_scale(volume, length, ratio, None, LANE_LENGTH_M, BOARD_M)
    along = films.along(np.linspace(0.0, LANE_LENGTH_M, stations), length[:, None]) * peak[:, None]
    rows = films.cross(np.arange(157.0) / 4.0 + 0.5, ratio[:, None])
    return Film(rows, np.repeat(np.arange(n)[:, None], stations, axis=1), along, BOARD_M / 4.0)


def throws_of(rng: np.random.Generator, n: int) -> tuple[Start, Contact]:
    slip = paths.slip_of(
        rng.uniform(14, 20, n) * MPH_MPS, rng.uniform(-4, 0, n) * DEGREE_RAD, rng.uniform(120, 520, n) * RPM_RADPS,
        rng.uniform(10, 80, n) * DEGREE_RAD, rng.uniform(0, 20, n) * DEGREE_RAD, 0.1091,
        rng.uniform(2.46, 2.7, n) * INCH_M,
    )  # fmt: skip
    lateral = rng.uniform(12, 32, n) * BOARD_M
    contact = Contact(
        rng.uniform(0.1, 0.2, n), np.full(n, 0.013), rng.uniform(0.4e-6, 1.2e-6, n), rng.uniform(0.8, 2.0, n),
        rng.uniform(0, 0.3e-6, n), rng.choice([0.0, 0.02, 0.33], n), rng.uniform(1.0, 4.0, n),
    )  # fmt: skip
    return Start(lateral, slip.vx, slip.vy, slip.ux, slip.uy, slip.budget), contact


def marks_of(film: Film, start: Start, contact: Contact, maps: np.ndarray) -> np.ndarray:
    out = np.empty((maps.size, len(MARKS)))
    nothing = np.empty((film.along.shape[1] // 2 + 1, 0))
    batch.ride(
        0, maps.size, film, maps, start, contact, friction.load_share_series(), GRAVITY_MPS2, LANE_LENGTH_M,
        LANE_WIDTH_M, 0.25 * BOARD_M, np.zeros(film.along.shape[0]), out, Stations(nothing, nothing, nothing),
    )  # fmt: skip
    return out


def ran(seed: int, n: int, steps: int, only: slice = slice(None)) -> np.ndarray:
    """Marks of n seeded paths, each on a film of its own."""
    rng = np.random.default_rng(seed)
    film = films_on(steps, rng, n)
    start, contact = throws_of(rng, n)
    start, contact = Start(*(a[only] for a in start)), Contact(*(a[only] for a in contact))
    return marks_of(film, start, contact, np.arange(n)[only])


def test_halving_the_step_converges() -> None:
    fine = ran(5, 600, 480)[:, LANDING]
    errors = [np.quantile(np.abs(ran(5, 600, n)[:, LANDING] - fine), 0.99) for n in (20, 40, 80)]
    assert errors[1] < errors[0] / 5.0
    assert errors[2] < errors[1] / 2.0  # the film's quarter-board nodes are kinks; past that they set the pace


def test_the_usual_steps_hold_a_millimetre() -> None:
    far = np.abs(ran(6, 2000, 40)[:, LANDING] - ran(6, 2000, 480)[:, LANDING])
    assert far.max() < 1e-3
    assert np.quantile(far, 0.99) < 3.5e-4


def test_one_path_alone_is_the_path_it_is_in_a_crowd() -> None:
    crowd, alone = ran(7, 150, 40), ran(7, 150, 40, slice(131, 132))
    np.testing.assert_allclose(alone[0], crowd[131], rtol=1e-12, atol=1e-12)


def test_compiled_and_plain_python_are_one_law() -> None:
    """The same source run by the interpreter, in a process of its own without the compiler."""
    script = "import test_march, sys; test_march.ran(8, 3, 12).tofile(sys.argv[1])"
    with tempfile.TemporaryDirectory() as home:
        told = Path(home) / "marks"
        paths_ = os.pathsep.join((str(Path(__file__).parent), *sys.path))
        subprocess.run(  # noqa: S603
            [sys.executable, "-c", script, str(told)], check=True,
            env={**os.environ, "NUMBA_DISABLE_JIT": "1", "PYTHONPATH": paths_},
        )  # fmt: skip
        plain = np.fromfile(told).reshape(3, len(MARKS))
    np.testing.assert_allclose(ran(8, 3, 12), plain, rtol=1e-9, atol=1e-9)


def test_the_series_of_the_load_share_is_the_law() -> None:
    ratio = np.concatenate([np.linspace(0.0, 5.0, 4001), np.geomspace(5.0, 500.0, 2001)])
    rest = 1.0 / (1.0 + ratio)
    series = np.polynomial.polynomial.polyval(np.sqrt(ratio * rest), friction.load_share_series()) * rest * rest
    assert np.abs(series - friction.load_share(ratio)).max() < 3e-6


@pytest.mark.parametrize("soaks", [False, True])
def test_a_path_agrees_with_scipy_on_the_same_equations(soaks: bool) -> None:
    """SciPy DOP853 at 1e-10 on y, s and own film, film as the formulas of kernels.film give it."""
    rng = np.random.default_rng(9)
    for _ in range(12):
        length, volume, ratio = rng.uniform(37, 45) * FOOT_M, rng.uniform(10e-6, 30e-6), rng.uniform(2, 10)
        peak = float(films.height_scale(volume, length, ratio, None, LANE_LENGTH_M, BOARD_M))
        stations = np.linspace(0.0, LANE_LENGTH_M, 81)
        film = Film(
            films.cross(np.arange(157.0) / 4.0 + 0.5, ratio)[None, :], np.zeros((1, 81), np.intp),
            peak * films.along(stations, length)[None, :], BOARD_M / 4.0,
        )  # fmt: skip
        start, contact = throws_of(rng, 1)
        contact = contact._replace(gain=np.array([0.3 if soaks else 0.0]))
        v = [float(a[0]) for a in start]
        c = [float(a[0]) for a in contact]

        def rates(x: float, z: np.ndarray) -> list[float]:
            y, s, w = z
            vx = v[1] - v[3] * s  # noqa: B023
            h = peak * float(films.along(np.array(x), length)) * float(films.cross(y / BOARD_M + 0.5, ratio))  # noqa: B023
            mu = float(friction.friction(c[3] * h + c[4] + w, c[2], c[0], c[1]))  # noqa: B023
            return [(v[2] - v[4] * s) / vx, mu * GRAVITY_MPS2 / vx, (c[5] * h - w) / c[6]]  # noqa: B023

        def rolls(_x: float, z: np.ndarray) -> float:
            return float(z[1]) - v[5]  # noqa: B023

        rolls.terminal = True  # type: ignore[attr-defined]
        found = solve_ivp(
            rates, (0, LANE_LENGTH_M), [v[0], 0.0, 0.0], method="DOP853", rtol=1e-10, atol=1e-12, events=rolls
        )
        x, y, s = found.t[-1], found.y[0, -1], found.y[1, -1]
        landing = y + (LANE_LENGTH_M - x) * (v[2] - v[4] * s) / (v[1] - v[3] * s)
        ours = marks_of(film, start, contact, np.zeros(1, np.intp))[0]
        assert ours[LANDING] == pytest.approx(landing, abs=1e-3)
        if found.t_events[0].size:
            assert ours[ROLLS] == pytest.approx(x, abs=5e-3)
