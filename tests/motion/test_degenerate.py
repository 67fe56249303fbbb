"""Balls nobody means to throw: each gets an answer, and none a warning."""

import math

import numpy as np
import pytest
from usual import PRIORS

from arsenal.motion import Body, Grip, Path, Release, batch, bed, grid, roll, steps
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.units import FOOT_M, LANE_LENGTH_M, LANE_WIDTH_M

BODY = Body(radius_m=0.1091, mass_kg=6.8, rg_m=0.0635)
SPHERE_BETA = (0.0635 / 0.1091) ** 2
DRY = steps([(0.0, 0.2)])


def both(release: Release, mu: float, **how: float) -> tuple[Path, Path]:
    """The same uniform friction in closed form and cell by cell."""
    flat = grid(np.full((4, 3), mu), [0.0, 6.0, 12.0, 20.0], [0.0, 0.5, 1.1])
    return roll(BODY, release, steps([(0.0, mu)]), **how), roll(BODY, release, flat, **how)


def test_no_spin() -> None:
    for path in both(Release(8.0, 0.0, 0.0, lateral_m=0.5), 0.2):
        assert path.velocity_mps[-1, 0] == pytest.approx(8.0 / (1.0 + SPHERE_BETA), rel=1e-9)
        assert path.reaches_pins


def test_backspin_only_slows_it() -> None:
    for path in both(Release(8.0, -30.0, 0.0, lateral_m=0.5), 0.2):
        assert path.reaches_pins
        assert path.velocity_mps[-1, 0] < 8.0 / (1.0 + SPHERE_BETA)


def test_backspin_so_strong_that_it_comes_back() -> None:
    for path in both(Release(2.0, -80.0, 0.0, lateral_m=0.5), 0.2):
        assert path.ended == "came back"
        assert path.distance_m[-1] == pytest.approx(0.0, abs=1e-9)
        farthest = path.distance_m.max()
        assert path.at_distance(0.5 * farthest).velocity_mps[0] > 0.0  # the first time it is there
        with pytest.raises(OutOfRange, match="came back"):
            path.at_distance(18.0)


def test_backspin_that_comes_back_over_a_change_of_friction() -> None:
    release = Release(2.0, -80.0, 0.3, 0.0, 0.0, 0.5)
    stepped = roll(BODY, release, steps([(-1.0, 0.3), (0.0, 0.1), (0.4, 0.05), (0.8, 0.2)]))
    nodes = [0.0, 0.4, 0.4 + 1e-9, 0.8, 0.8 + 1e-9, 20.0]
    steep = np.repeat([[0.1], [0.1], [0.05], [0.05], [0.2], [0.2]], 2, axis=1)
    cells = roll(BODY, release, grid(steep, nodes, [0.0, 1.1]))
    assert stepped.ended == cells.ended == "came back"
    assert stepped.distance_m.max() > 0.8
    # the farthest of the sampled places: the turn itself lies between two of them
    assert stepped.distance_m.max() == pytest.approx(cells.distance_m.max(), abs=1e-4)
    assert stepped.lateral_m[-1] == pytest.approx(cells.lateral_m[-1], abs=1e-6)
    assert stepped.time_s[-1] == pytest.approx(cells.time_s[-1], abs=1e-6)


def test_strong_topspin_is_never_slower_than_at_the_hand() -> None:
    # topspin so strong that friction pushes it down the lane: never slower than at the hand
    path = roll(BODY, Release(1.0, 240.0, 0.0, 0.0, 0.0, 0.5), steps([(0.0, 0.05), (2.0, 0.3)]))
    assert path.reaches_pins
    assert np.all(np.diff(path.velocity_mps[:, 0]) >= -1e-12)


def test_without_friction_a_ball_rolls_nowhere_but_goes_on() -> None:
    path = roll(BODY, Release(8.0, 40.0, 0.8, lateral_m=0.2), steps([(0.0, 0.0), (9.0, 0.2)]))
    assert path.at_distance(9.0).skid_left == pytest.approx(1.0)
    assert path.skid_left[-1] < 1.0


def test_backspin_that_just_stops_it() -> None:
    still = -2.0 / (0.1091 * SPHERE_BETA)  # rolls at zero speed: v₀ = u₀ β/(1 + β)
    for path in both(Release(2.0, still, 0.0, lateral_m=0.5), 0.2):
        assert path.ended in ("stopped", "came back")
        assert abs(path.velocity_mps[-1, 0]) < 1e-6


def test_already_rolling() -> None:
    for path in both(Release(8.0, 8.0 / 0.1091, 0.0, lateral_m=0.5), 0.2):
        assert (path.roll_distance_m, path.roll_time_s) == (0.0, 0.0)
        assert np.all(path.skid_left == 0.0)
        assert path.velocity_mps[-1, 0] == pytest.approx(8.0, rel=1e-12)


def test_over_spun_balls_speed_up() -> None:
    for path in both(Release(6.0, 90.0, 0.0, lateral_m=0.5), 0.2):
        assert path.velocity_mps[-1, 0] > 6.0
        assert path.roll_distance_m is not None


def test_rolling_exactly_at_the_lanes_end() -> None:
    release = Release(8.0, 30.0, 0.7, 0.0, 0.0, 0.2)
    length = roll(BODY, release, DRY, length_m=100.0).roll_distance_m
    for path in both(release, 0.2, length_m=length):
        assert path.reaches_pins
        assert path.skid_left[-1] == pytest.approx(0.0, abs=1e-9)
        assert path.distance_m[-1] == pytest.approx(length, abs=1e-9)
    assert roll(BODY, release, DRY, length_m=length).roll_distance_m == pytest.approx(length, abs=1e-9)


def test_no_friction_at_all() -> None:
    for path in both(Release(8.0, 40.0, 0.8, 0.0, -0.03, 0.5), 0.0):
        assert path.roll_distance_m is None
        assert path.roll_time_s is None
        assert np.all(path.skid_left == 1.0)
        assert path.lateral_m[-1] == pytest.approx(0.5 + math.tan(-0.03) * 18.288, abs=1e-9)


def test_a_gutter_ball_says_where_it_fell() -> None:
    for path in both(Release(8.0, 10.0, 0.2, 0.0, -0.1, 0.5), 0.02):
        assert path.left_lane_m is not None
        assert path.at_distance(path.left_lane_m).lateral_m == pytest.approx(0.0, abs=1e-9)
    over = roll(BODY, Release(8.0, 10.0, 0.2, 0.0, 0.1, 0.5), DRY)
    assert over.at_distance(over.left_lane_m).lateral_m == pytest.approx(LANE_WIDTH_M, abs=1e-9)


def test_a_ball_that_stays_on_the_lane_fell_nowhere() -> None:
    assert roll(BODY, Release(8.0, 10.0, 0.0, lateral_m=0.5), DRY).left_lane_m is None


def test_it_never_rolls_on_a_lane_that_short() -> None:
    path = roll(BODY, Release(8.0, 40.0, 0.8, lateral_m=0.2), steps([(0.0, 0.04)]), length_m=3.0)
    assert path.roll_distance_m is None
    assert path.distance_m[-1] == pytest.approx(3.0)


def test_times_outside_the_path_are_named() -> None:
    path = roll(BODY, Release(8.0, 40.0, 0.8, lateral_m=0.2), DRY)
    with pytest.raises(OutOfRange, match="time is"):
        path.at_time(99.0)
    with pytest.raises(OutOfRange, match="time is"):
        path.at_time(-1.0)
    assert path.at_time(0.0).distance_m == 0.0


LANE = bed(Lane(1, "dry", FilmSummary(40.0 * FOOT_M, 0.0, 1.0)), True, PRIORS)


def gripping(mu: float) -> Grip:
    """The same friction everywhere: no film on the lane, none on the ball."""
    one = np.ones(1)
    return Grip(mu * one, mu * one, 5e-7 * one, one, 0.0 * one, 0.0 * one, one)


@pytest.mark.parametrize(
    "release",
    [
        Release(8.0, 0.0, 0.0, lateral_m=0.5),
        Release(8.0, -30.0, 0.0, lateral_m=0.5),
        Release(8.0, 8.0 / 0.1091, 0.0, lateral_m=0.5),
        Release(6.0, 90.0, 0.3, lateral_m=0.3),
        Release(8.0, 10.0, 0.2, 0.0, -0.1, 0.5),
        Release(8.0, 40.0, math.pi, 0.0, 0.0, 0.5),
        Release(8.0, 40.0, 0.8, math.pi / 2.0, -0.02, 0.5),
    ],
    ids=["no spin", "backspin", "already rolling", "over-spun", "gutter ball", "rotation backward", "spins like a top"],
)
@pytest.mark.parametrize("mu", [0.0, 0.03, 0.2])
def test_many_paths_at_once_answer_such_balls_as_one_path_does(release: Release, mu: float) -> None:
    runs, path = batch(LANE, BODY, release, gripping(mu)), roll(BODY, release, steps([(0.0, mu)]))
    assert runs.landing_m[0] == pytest.approx(path.lateral_m[-1], abs=1e-4)
    assert runs.skid_left_at_pins[0] == pytest.approx(path.skid_left[-1], abs=1e-4)
    assert runs.speed_at_pins_mps[0] == pytest.approx(math.hypot(*path.velocity_mps[-1]), abs=1e-3)
    if path.roll_distance_m is not None:
        assert runs.rolls_m[0] == pytest.approx(path.roll_distance_m, abs=1e-3)
    else:
        assert np.isnan(runs.rolls_m[0]) or runs.rolls_m[0] > LANE_LENGTH_M
    if path.left_lane_m is None:
        assert np.isnan(runs.left_lane_m[0])
    else:
        assert runs.left_lane_m[0] == pytest.approx(path.left_lane_m, abs=5e-3)


def test_many_paths_at_once_roll_exactly_at_the_lanes_end() -> None:
    release = Release(8.0, 30.0, 0.7, 0.0, 0.0, 0.2)
    mu = 0.2 * float(roll(BODY, release, DRY, length_m=100.0).roll_distance_m or 0.0) / LANE_LENGTH_M
    runs = batch(LANE, BODY, release, gripping(mu))
    assert runs.rolls_m[0] == pytest.approx(LANE_LENGTH_M, abs=1e-4)
    assert runs.skid_left_at_pins[0] == pytest.approx(0.0, abs=1e-5)


def test_many_paths_at_once_name_a_ball_that_never_reaches_the_pins() -> None:
    for release in (Release(2.0, -80.0, 0.0, lateral_m=0.5), Release(0.0, 40.0, 0.5, lateral_m=0.5)):
        with pytest.raises(KnownError):
            batch(LANE, BODY, [Release(8.0, 40.0, 0.8, lateral_m=0.5), release], gripping(0.2))


def test_one_path_says_how_a_ball_that_never_reaches_the_pins_ended() -> None:
    for path in both(Release(2.0, -80.0, 0.0, lateral_m=0.5), 0.2):
        assert not path.reaches_pins
        assert path.ended == "came back"
        assert 0.0 < path.distance_m.max() < LANE_LENGTH_M
