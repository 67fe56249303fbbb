"""P8: paths against SciPy solve_ivp on the full velocity and spin equations, with two-dimensional friction.

Source: SciPy, a general reference library; the equations there are Newton's and Euler's for a sphere with one RG, with
none of the reduced model in them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.interpolate import RegularGridInterpolator
from usual import LINE, PRIORS, STYLE, grip_of, house

from arsenal.kernels.friction import friction as mixed
from arsenal.motion import Body, Release, batch, bed, grid, roll
from arsenal.trade.lane import FilmGrid, Lane
from arsenal.trade.units import BOARD_M, FOOT_M, GRAVITY_MPS2, LANE_LENGTH_M

BODY = Body(radius_m=0.1091, mass_kg=6.8, rg_m=0.0637)
ROLLED = 1e-5


def full_equations(
    body: Body, release: Release, mu: Callable[[float, float], float], step_s: float
) -> tuple[float, ...]:
    """(landing, roll distance or NaN): the full equations until it rolls, then straight on."""
    radius, k2 = body.radius_m, body.rg_m**2

    def slip(z: np.ndarray) -> np.ndarray:
        return np.array([z[2] - radius * z[5], z[3] + radius * z[4]])

    def rates(_: float, z: np.ndarray) -> list[float]:
        u = slip(z)
        a = -mu(z[0], z[1]) * GRAVITY_MPS2 * u / np.hypot(*u)
        return [z[2], z[3], a[0], a[1], radius * a[1] / k2, -radius * a[0] / k2]

    def rolls(_: float, z: np.ndarray) -> float:
        return float(np.hypot(*slip(z))) - ROLLED

    def arrives(_: float, z: np.ndarray) -> float:
        return float(z[0]) - LANE_LENGTH_M

    rolls.terminal = arrives.terminal = True  # type: ignore[attr-defined]
    turned = release.launch_rad + release.axis_rotation_rad
    spin = release.rev_rate_radps * np.cos(release.axis_tilt_rad)
    v, a = release.speed_mps, release.launch_rad
    start = [0.0, release.lateral_m, v * np.cos(a), v * np.sin(a), -spin * np.sin(turned), spin * np.cos(turned)]
    found = solve_ivp(rates, (0.0, 6.0), start, events=[rolls, arrives], rtol=1e-10, atol=1e-12, max_step=step_s)
    x, y, vx, vy = found.y[:4, -1]
    rolled = bool(found.t_events[0].size)
    return y + (LANE_LENGTH_M - x) * vy / vx, x if rolled else np.nan


def release_from(rng: np.random.Generator) -> Release:
    return Release(
        speed_mps=rng.uniform(6.0, 8.9), rev_rate_radps=rng.uniform(12.0, 58.0),
        axis_rotation_rad=rng.uniform(0.1, 1.4),
        axis_tilt_rad=rng.uniform(0.0, 0.4), launch_rad=rng.uniform(-0.07, 0.01), lateral_m=rng.uniform(0.3, 0.9),
    )  # fmt: skip


def smooth_map(x: float, y: float) -> float:
    """Low on the oil, high beyond, with a wall toward the gutter: the shape of a lane without its edges."""
    oil = 0.5 * (1.0 + np.tanh((12.3 - x) / 0.5)) * (0.75 + 0.25 * np.tanh((y - 0.25) / 0.06))
    return float(0.2 - 0.165 * oil)


def on_nodes(distance: np.ndarray, lateral: np.ndarray) -> np.ndarray:
    return np.array([[smooth_map(x, y) for y in lateral] for x in distance])


@pytest.mark.parametrize("seed", range(6))
def test_a_smooth_map_is_followed_within_a_millimetre(seed: int) -> None:
    release = release_from(np.random.default_rng(seed))
    distance, lateral = np.linspace(0.0, LANE_LENGTH_M, 400), np.linspace(0.0, 1.06, 160)
    landing, rolls = full_equations(BODY, release, smooth_map, 0.01)
    path = roll(BODY, release, grid(on_nodes(distance, lateral), distance, lateral))
    assert path.lateral_m[-1] == pytest.approx(landing, abs=1e-3)
    if path.roll_distance_m is not None:
        assert path.roll_distance_m == pytest.approx(rolls, abs=5e-3)


def edged_map(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Friction that jumps from oil to dry over one cell, both down the lane and across it."""
    distance, lateral = np.linspace(0.0, 18.3, 62), np.linspace(0.0, 1.06, 40)
    oiled = (distance[:, None] < rng.uniform(11.0, 13.5)) & (np.abs(lateral - 0.53)[None, :] < rng.uniform(0.25, 0.4))
    return np.where(oiled, rng.uniform(0.02, 0.05), rng.uniform(0.15, 0.25)), distance, lateral


def bilinear(values: np.ndarray, distance: np.ndarray, lateral: np.ndarray) -> Callable[[float, float], float]:
    """An independent reading of even nodes."""
    dx, dy = distance[1] - distance[0], lateral[1] - lateral[0]
    rows, columns = values.shape

    def at(x: float, y: float) -> float:
        p = min(max((x - distance[0]) / dx, 0.0), rows - 1.0)
        q = min(max((y - lateral[0]) / dy, 0.0), columns - 1.0)
        i, j = min(int(p), rows - 2), min(int(q), columns - 2)
        p, q = p - i, q - j
        low = values[i, j] * (1.0 - p) + values[i + 1, j] * p
        return float(low * (1.0 - q) + (values[i, j + 1] * (1.0 - p) + values[i + 1, j + 1] * p) * q)

    return at


def check_edged(seeds: range) -> tuple[float, float, int]:
    """Worst landing and roll error over `seeds`, and how many landings were too touchy to compare."""
    landing_worst = roll_worst = 0.0
    touchy = 0
    for seed in seeds:
        rng = np.random.default_rng(1000 + seed)
        release, values = release_from(rng), edged_map(rng)
        friction = grid(*values)
        path = roll(BODY, release, friction)
        nudged = Release(*(*_fields(release)[:-1], release.lateral_m + 1e-6))
        if abs(roll(BODY, nudged, friction).lateral_m[-1] - path.lateral_m[-1]) > 100e-6:
            touchy += 1
            continue
        landing, rolls = full_equations(BODY, release, bilinear(*values), 0.002)
        landing_worst = max(landing_worst, abs(path.lateral_m[-1] - landing))
        if path.roll_distance_m is not None and not np.isnan(rolls):
            roll_worst = max(roll_worst, abs(path.roll_distance_m - rolls))
    return landing_worst, roll_worst, touchy


def _fields(release: Release) -> tuple[float, ...]:
    return (
        release.speed_mps, release.rev_rate_radps, release.axis_rotation_rad, release.axis_tilt_rad,
        release.launch_rad, release.lateral_m,
    )  # fmt: skip


def test_edges_one_cell_wide_are_followed_within_a_fifth_of_a_millimetre() -> None:
    landing, rolls, touchy = check_edged(range(6))
    assert landing < 0.2e-3
    assert rolls < 2e-3
    assert touchy <= 1


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_a_thousand_releases_over_edges() -> None:
    landing, rolls, touchy = check_edged(range(1000))
    assert landing < 0.2e-3
    assert rolls < 2e-3
    assert touchy <= 10


def test_a_batch_on_a_film_holds_a_millimetre() -> None:
    # without this shot's own film μ is a function of the place, and SciPy needs nothing but the lane's
    lane, full = bed(house(), True, PRIORS), grip_of(film_m=0.1e-6)
    grip = replace(full, pick_up=np.zeros(1))
    dry, oil, sigma, scale, on_ball = (
        float(v[0]) for v in (grip.mu_dry, grip.mu_oil, grip.sigma_m, grip.film_scale, grip.film_on_ball_m)
    )

    def mu(x: float, y: float) -> float:
        return float(mixed(scale * lane.height_m(x, y) + on_ball, sigma, dry, oil))

    release = STYLE.on(LINE)
    landing, rolls = full_equations(BODY, release, mu, 0.01)
    runs = batch(lane, BODY, release, grip)
    assert runs.landing_m[0] == pytest.approx(landing, abs=1e-3)
    assert runs.rolls_m[0] == pytest.approx(rolls, abs=5e-3)


@pytest.mark.parametrize("side", [True, False], ids=["hooks left", "hooks right"])
def test_a_batch_on_a_measured_film_with_an_abrupt_end_holds_two_millimetres(side: bool) -> None:
    boards = np.arange(1.0, 40.0)
    rng = np.random.default_rng(8)
    distance = np.array([0.0, 2.0, 9.0, 20.0, 31.0, 38.6, 39.6, 60.0]) * FOOT_M
    across = 0.12 + 0.88 / (1.0 + np.exp(-(np.minimum(boards, 40.0 - boards) - 9.0) / 0.9))
    heights = rng.uniform(0.85, 1.15, (8, 39)) * across * 4e-6 * (1.0 - distance[:, None] / 22.0)
    heights[-2:] = 0.0
    measured = FilmGrid(tuple(distance), tuple(boards), tuple(tuple(row) for row in heights))
    grip = replace(grip_of(), pick_up=np.zeros(1))
    seen = boards if side else 40.0 - boards[::-1]
    at = RegularGridInterpolator((distance, (seen - 0.5) * BOARD_M), heights if side else heights[:, ::-1])

    def mu(x: float, y: float) -> float:
        inside = min(max(x, 0.0), distance[-1]), min(max(y, 0.5 * BOARD_M), 38.5 * BOARD_M)
        film = float(grip.film_scale[0]) * float(at(inside)) + float(grip.film_on_ball_m[0])
        return float(mixed(film, float(grip.sigma_m[0]), float(grip.mu_dry[0]), float(grip.mu_oil[0])))

    release = STYLE.on(LINE)
    landing, _ = full_equations(BODY, release, mu, 0.01)
    lane = Lane(1, "measured", measured)
    assert batch(bed(lane, side, PRIORS), BODY, release, grip).landing_m[0] == pytest.approx(landing, abs=2e-3)
