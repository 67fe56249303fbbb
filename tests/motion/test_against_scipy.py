"""P8: paths against SciPy solve_ivp on the full velocity and spin equations, with two-dimensional friction.

Source: SciPy, a general reference library; the equations (scripts/exactness.py) are Newton's and Euler's for a sphere
with one RG in a frame fixed to the lane, with none of the reduced model and no mirror in them.
"""

from __future__ import annotations

import math
from dataclasses import replace

import exactness
import numpy as np
import pytest
from exactness import (
    BODY,
    Thrown,
    World,
    draw_thrown,
    film_of,
    film_study,
    follow,
    on_film,
    our_map,
    ours,
    own_side,
    some_thrown,
    study,
)
from scipy.interpolate import RectBivariateSpline
from usual import PRIORS, grip_of, house

from arsenal.kernels import exact
from arsenal.motion import Grip, Release, batch, bed, grid, roll, steps
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M, LANE_WIDTH_M

HANDS = pytest.mark.parametrize("left_handed", [False, True], ids=["right-hander", "left-hander"])


def smooth(x: float, y: float, _: float) -> float:
    """Low on the oil, high beyond, a wall toward the right gutter and another toward the left: no edges anywhere."""
    across = 0.7 + 0.2 * math.tanh((y - 0.25) / 0.06) - 0.1 * math.tanh((y - 0.75) / 0.09)
    return 0.2 - 0.165 * 0.5 * (1.0 + math.tanh((12.3 - x) / 0.5)) * across


@HANDS
@pytest.mark.parametrize("seed", range(5))
def test_a_smooth_map_is_followed_within_a_fifth_of_a_millimetre(seed: int, left_handed: bool) -> None:
    thrown = draw_thrown(np.random.default_rng(seed), left_handed=left_handed)
    x, y = np.linspace(0.0, LANE_LENGTH_M, 800), np.linspace(0.0, LANE_WIDTH_M, 300)
    world = World(np.array([[smooth(a, b, 0.0) for b in y] for a in x]), x, y)
    full = follow(thrown, smooth, step_s=0.02)
    path = roll(BODY, ours(thrown, left_handed=left_handed), our_map(world, left_handed=left_handed))
    assert path.lateral_m[-1] == pytest.approx(own_side(full.landing, left_handed=left_handed), abs=0.2e-3)
    if full.rolls_x is not None:
        assert path.roll_distance_m == pytest.approx(full.rolls_x, abs=2e-3)


def check(found: exactness.Study, releases: int) -> None:
    assert found.releases == releases
    assert found.path_m < 0.2e-3
    assert found.landing_m < 0.2e-3
    assert found.roll_m < 2e-3
    assert found.left_out <= 0.01 * releases


def test_edges_one_cell_wide_are_followed_by_both_hands() -> None:
    check(study(range(40)), 40)


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_a_thousand_releases_over_edges() -> None:
    check(study(range(1000)), 1000)


@HANDS
@pytest.mark.parametrize("seed", range(3))
def test_the_spin_on_the_way_is_the_full_equations_spin(seed: int, left_handed: bool) -> None:
    rng = np.random.default_rng([77, seed])
    thrown, world = draw_thrown(rng, left_handed=left_handed), exactness.draw_world(rng)
    full = follow(thrown, world.reader())
    path = roll(BODY, ours(thrown, left_handed=left_handed), our_map(world, left_handed=left_handed))
    slides = full.t < (path.roll_time_s or path.time_s[-1])
    # a mirror turns the two components of a spin that lie in its plane
    side = np.array([-1.0, 1.0, -1.0]) if left_handed else np.ones(3)
    assert path.at_time(full.t[slides]).spin_radps == pytest.approx(side * full.spin[slides], abs=1e-3)


@pytest.mark.parametrize("seed", range(4))
def test_steps_are_followed_as_exactly_as_a_map(seed: int) -> None:
    thrown = draw_thrown(np.random.default_rng([11, seed]), left_handed=False)
    stepped = [(0.0, 0.05), (4.0, 0.03), (9.0, 0.08), (12.2, 0.2)]

    def mu(x: float, _y: float, _film: float) -> float:
        return [m for d, m in stepped if d <= max(x, 0.0)][-1]

    full, path = follow(thrown, mu), roll(BODY, ours(thrown, left_handed=False), steps(stepped))
    assert path.lateral_m[-1] == pytest.approx(full.landing, abs=0.2e-3)
    if full.rolls_x is not None:
        assert path.roll_distance_m == pytest.approx(full.rolls_x, abs=2e-3)


def test_the_reference_has_settled() -> None:
    # four times shorter steps must not move what the paths are held to
    for seed in range(4):
        rng = np.random.default_rng(seed)
        thrown, world = draw_thrown(rng, left_handed=bool(seed % 2)), exactness.draw_world(rng)
        ends = [follow(thrown, world.reader(), step_s=step).landing for step in (0.004, 0.001)]
        assert ends[0] == pytest.approx(ends[1], abs=2e-6)


def test_left_handers_hook_to_the_other_side_of_the_lane() -> None:
    for left_handed, side in ((False, 1.0), (True, -1.0)):
        thrown = draw_thrown(np.random.default_rng(3), left_handed=left_handed)
        full = follow(thrown, smooth, step_s=0.02)
        straight = thrown.y + LANE_LENGTH_M * thrown.vy / thrown.vx
        assert side * (full.landing - straight) > 0.1


def test_a_landing_that_a_hair_decides_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    assert exactness.compare(0, left_handed=False) is not None
    monkeypatch.setattr(exactness, "MOST_TIMES_THE_SHIFT", 0.1)
    assert exactness.compare(0, left_handed=False) is None


LANES = {"house": house(), "long": house(46, 28, 3, left=5.0), "burnt": house(38, 14, 5), "flat": house(40, 25, 2.5)}
SHARES = {"no pick-up": 0.0, "some pick-up": 0.02, "much pick-up": 0.3}


@pytest.mark.parametrize("share", SHARES.values(), ids=SHARES.keys())
@pytest.mark.parametrize("lane", LANES.values(), ids=LANES.keys())
def test_a_batch_on_a_film_holds_a_millimetre(lane: Lane, share: float) -> None:
    assert isinstance(lane.film, FilmSummary)
    found = film_study(lane.film, gripping(share), 2)
    assert found.landing_m < 1e-3
    assert found.roll_m < 5e-3


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("share", SHARES.values(), ids=SHARES.keys())
@pytest.mark.parametrize("lane", LANES.values(), ids=LANES.keys())
def test_a_hundred_and_twenty_releases_of_a_batch_on_a_film_hold_a_millimetre(lane: Lane, share: float) -> None:
    assert isinstance(lane.film, FilmSummary)
    found = film_study(lane.film, gripping(share), 60)
    assert found.releases == 120
    assert found.landing_m < 1e-3
    assert found.roll_m < 5e-3


def gripping(share: float) -> Grip:
    """A usual ball with a film left on it, which this shot's own pick-up brings to `share` of the lane's film."""
    return replace(grip_of(film_m=0.1e-6), pick_up=np.array([share]), pick_up_revs=np.array([1.5]))


def test_pick_up_is_felt_where_it_is_checked() -> None:
    lane, thrown = house(), some_thrown(5, 1, left_handed=False)[0]
    assert isinstance(lane.film, FilmSummary)
    ends = [on_film(thrown, film_of(lane.film), gripping(share)) for share in (0.0, 0.3)]
    assert ends[0].landing - ends[1].landing > 0.01


@HANDS
@pytest.mark.parametrize("ends_ft", [36.9, 39.6, 43.0])
def test_a_batch_on_a_measured_film_that_ends_within_a_foot_holds_a_millimetre(
    ends_ft: float, left_handed: bool
) -> None:
    boards, rng = np.arange(1.0, 40.0), np.random.default_rng(8)
    distance = np.array([0.0, 2.0, 9.0, 20.0, 31.0, ends_ft - 1.0, ends_ft, 60.0]) * FOOT_M
    across = 0.12 + 0.88 / (1.0 + np.exp(-(np.minimum(boards, 40.0 - boards) - 9.0) / 0.9))
    heights = rng.uniform(0.85, 1.15, (8, 39)) * across * 4e-6 * (1.0 - distance[:, None] / 22.0)
    heights[-2:] = 0.0
    measured = FilmGrid(tuple(distance), tuple(boards), tuple(tuple(row) for row in heights))
    at = RectBivariateSpline(distance, (boards - 0.5) * BOARD_M, heights, kx=1, ky=1)

    def height(x: float, y: float) -> float:
        return float(at.ev(min(max(x, 0.0), distance[-1]), min(max(y, 0.5 * BOARD_M), 38.5 * BOARD_M)))

    grip, thrown = gripping(0.02), some_thrown(9, 4, left_handed=left_handed)
    lane = bed(Lane(1, "measured", measured), not left_handed, PRIORS)
    runs = batch(lane, BODY, [ours(t, left_handed=left_handed) for t in thrown], grip)
    for i, t in enumerate(thrown):
        landing = own_side(on_film(t, height, grip).landing, left_handed=left_handed)
        assert runs.landing_m[i] == pytest.approx(landing, abs=1e-3)


def landings(film: FilmSummary | FilmGrid, releases: list[Thrown]) -> np.ndarray:
    lane = bed(Lane(1, "film", film), True, PRIORS)
    return batch(lane, BODY, [ours(t, left_handed=False) for t in releases], grip_of()).landing_m


def test_twice_the_stations_of_a_measured_film_bring_the_batch_nearer_to_its_formula() -> None:
    summary = house().film
    assert isinstance(summary, FilmSummary)
    height, thrown = film_of(summary), some_thrown(5, 20, left_handed=False)
    boards = np.arange(0.5, 39.75, 0.25)
    off = []
    for every_ft in (2.0, 1.0, 0.5):
        x = np.arange(0.0, 60.01, every_ft) * FOOT_M
        values = tuple(tuple(height(a, (b - 0.5) * BOARD_M) for b in boards) for a in x)
        measured = FilmGrid(tuple(x), tuple(boards), values)
        off.append(np.abs(landings(measured, thrown) - landings(summary, thrown)).max())
    assert off[0] > 2.0 * off[1] > 4.0 * off[2]
    assert off[2] < 1.5e-3


def stepping(monkeypatch: pytest.MonkeyPatch, step_s: float) -> None:
    monkeypatch.setattr(exact, "LONGEST_STEP_S", step_s)
    monkeypatch.setattr(exact, "LONGEST_STEP_M", 100.0 * step_s)


def test_halving_the_step_of_the_exact_mode_leaves_a_sixteenth_of_its_error(monkeypatch: pytest.MonkeyPatch) -> None:
    twisted = grid([[0.03, 0.2], [0.25, 0.02]], [0.0, 25.0], [-1.0, 2.0])
    release = Release(7.8, 40.0, 0.8, 0.1, -0.03, 0.4)
    ends = {}
    for step_s in (0.4, 0.2, 0.1, 0.02, 0.0025):
        stepping(monkeypatch, step_s)
        path = roll(BODY, release, twisted)
        ends[step_s] = np.array([path.lateral_m[-1], path.at_distance(9.0).lateral_m])
    off = {step_s: np.abs(end - ends[0.0025]) for step_s, end in ends.items()}
    for coarse, fine in ((0.4, 0.2), (0.2, 0.1)):
        assert off[coarse] / off[fine] == pytest.approx(16.0, rel=0.25)
    assert off[0.02].max() < 1e-9


def test_steps_a_quarter_as_long_move_no_path_over_edges(monkeypatch: pytest.MonkeyPatch) -> None:
    seconds, metres = exact.LONGEST_STEP_S, exact.LONGEST_STEP_M
    for seed in range(20):
        rng = np.random.default_rng([2026, seed])
        left_handed = bool(seed % 2)
        release = ours(draw_thrown(rng, left_handed=left_handed), left_handed=left_handed)
        friction = our_map(exactness.draw_world(rng), left_handed=left_handed)
        ends = []
        for share in (1.0, 0.25):
            monkeypatch.setattr(exact, "LONGEST_STEP_S", share * seconds)
            monkeypatch.setattr(exact, "LONGEST_STEP_M", share * metres)
            path = roll(BODY, release, friction)
            ends.append((path.lateral_m[-1], path.roll_distance_m or LANE_LENGTH_M))
        assert ends[0][0] == pytest.approx(ends[1][0], abs=1e-6)
        assert ends[0][1] == pytest.approx(ends[1][1], abs=2e-5)
