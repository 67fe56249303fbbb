"""Balls nobody means to throw: each gets an answer, and none a warning."""

import math

import numpy as np
import pytest

from arsenal.motion import Body, Path, Release, grid, roll, steps
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.units import LANE_WIDTH_M

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
    assert stepped.distance_m.max() == pytest.approx(cells.distance_m.max(), abs=1e-6)
    assert stepped.lateral_m[-1] == pytest.approx(cells.lateral_m[-1], abs=1e-6)
    assert stepped.time_s[-1] == pytest.approx(cells.time_s[-1], abs=1e-6)


def test_strong_topspin_is_never_slower_than_at_the_hand() -> None:
    # topspin so strong that friction pushes it down the lane: never slower than at the hand
    path = roll(BODY, Release(1.0, 300.0, 0.0, 0.0, 0.0, 0.5), steps([(0.0, 0.05), (2.0, 0.3)]))
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


BAD = (math.nan, math.inf, -math.inf)


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize(
    "field", ["speed_mps", "rev_rate_radps", "axis_rotation_rad", "axis_tilt_rad", "launch_rad", "lateral_m"]
)
def test_a_release_that_is_not_a_number_is_refused(field: str, bad: float) -> None:
    usual = {"speed_mps": 8.0, "rev_rate_radps": 40.0, "axis_rotation_rad": 0.8}
    with pytest.raises(OutOfRange):
        roll(BODY, Release(**(usual | {field: bad})), DRY)


@pytest.mark.parametrize("bad", [*BAD, 0.0, -1.0])
@pytest.mark.parametrize("field", ["radius_m", "mass_kg", "rg_m"])
def test_a_body_that_cannot_be_is_refused(field: str, bad: float) -> None:
    usual = {"radius_m": 0.1091, "mass_kg": 6.8, "rg_m": 0.0635}
    with pytest.raises(OutOfRange):
        roll(Body(**(usual | {field: bad})), Release(8.0, 40.0, 0.8), DRY)


def test_an_rg_over_the_radius_names_both() -> None:
    with pytest.raises(OutOfRange, match=r"RG is 2\.5 m; it must be smaller than the ball's radius"):
        roll(Body(0.1091, 6.8, 2.5), Release(8.0, 40.0, 0.8), DRY)  # inches typed for metres


def test_200_mph_is_refused() -> None:
    with pytest.raises(OutOfRange, match="speed"):
        roll(BODY, Release(89.4, 40.0, 0.8), DRY)


@pytest.mark.parametrize("bad", [*BAD, -0.01, 20.0])
def test_friction_that_cannot_be_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="friction"):
        steps([(0.0, 0.04), (12.0, bad)])
    with pytest.raises(OutOfRange, match="friction"):
        grid([[0.1, 0.1], [0.1, bad]], [0.0, 18.0], [0.0, 1.0])


def test_maps_that_are_no_maps_are_refused() -> None:
    with pytest.raises(OutOfRange, match="at least one"):
        steps([])
    with pytest.raises(OutOfRange, match="growing"):
        steps([(3.0, 0.1), (1.0, 0.2)])
    with pytest.raises(OutOfRange, match="at least two"):
        grid([[0.1, 0.1]], [0.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="growing"):
        grid([[0.1, 0.1], [0.1, 0.1]], [0.0, 0.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="2 distances × 2 lateral"):
        grid([[0.1, 0.1]], [0.0, 1.0], [0.0, 1.0])


def test_a_map_that_stops_short_goes_on_by_its_edge_and_says_so() -> None:
    release = Release(8.0, 40.0, 0.8, lateral_m=0.2)
    short = grid([[0.04, 0.04], [0.2, 0.2]], [0.0, 6.0], [0.0, 1.1])
    longer = grid([[0.04, 0.04], [0.2, 0.2], [0.2, 0.2]], [0.0, 6.0, 30.0], [0.0, 1.1])
    a, b = roll(BODY, release, short), roll(BODY, release, longer)
    assert a.lateral_m[-1] == pytest.approx(b.lateral_m[-1], abs=1e-9)
    assert [f.code for f in a.findings] == ["friction.short"]
    assert b.findings == ()


@pytest.mark.parametrize("how", [{"length_m": 0.0}, {"length_m": math.nan}, {"gravity_mps2": -9.8}])
def test_a_lane_that_cannot_be_is_refused(how: dict[str, float]) -> None:
    with pytest.raises(KnownError):
        roll(BODY, Release(8.0, 40.0, 0.8), DRY, **how)
