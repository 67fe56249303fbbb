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
    assert stepped.distance_m.max() == pytest.approx(cells.distance_m.max(), abs=1e-6)
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
    with pytest.raises(OutOfRange, match=r"RG is 0\.12 m; it must be smaller than the ball's radius, 0\.1091 m"):
        roll(Body(0.1091, 6.8, 0.12), Release(8.0, 40.0, 0.8), DRY)


ANOTHER_UNIT = [  # field, value, what it likely is
    ("speed_mps", 17.9, "mph"),
    ("speed_mps", 28.8, "mph"),
    ("rev_rate_radps", 416.0, "rpm"),
    ("rev_rate_radps", 275.0, "rpm"),
    ("axis_rotation_rad", 45.0, "degrees"),
    ("axis_tilt_rad", 15.0, "degrees"),
    ("launch_rad", -1.8, "degrees"),
    ("lateral_m", 12.0, "boards"),
    ("radius_m", 4.29, "inches"),
    ("radius_m", 0.2159, "diameter"),
    ("radius_m", 10.8, "inches"),
    ("mass_kg", 15.0, "pounds"),
    ("rg_m", 2.5, "inches"),
    ("differential_m", 0.048, "inches"),
    ("intermediate_m", 0.015, "inches"),
    ("pin_to_axis_m", 4.5, "inches"),
]
GOOD_RELEASE = {"speed_mps": 8.0, "rev_rate_radps": 40.0, "axis_rotation_rad": 0.8, "lateral_m": 0.4}
GOOD_BODY = {"radius_m": 0.1091, "mass_kg": 6.8, "rg_m": 0.0635}


@pytest.mark.parametrize(("field", "value", "likely"), ANOTHER_UNIT)
def test_another_unit_is_named_before_anything_is_computed(
    field: str, value: float, likely: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("arsenal.motion.rolling.slip_of", lambda *_: pytest.fail("computed before it was checked"))
    release = Release(**(GOOD_RELEASE | ({field: value} if field in Release.__slots__ else {})))
    body = Body(**(GOOD_BODY | ({field: value} if field in Body.__slots__ else {})))
    with pytest.raises(OutOfRange, match=likely) as named:
        roll(body, release, DRY)
    assert f"{value:g}".replace("-", "−") in named.value.sentence


@pytest.mark.parametrize(
    ("speed", "revs", "mass", "code"),
    [(14.0, 40.0, 6.8, "speed.unit"), (8.0, 150.0, 6.8, "revs.unit"), (8.0, 40.0, 9.0, "mass.unit")],
)
def test_a_number_that_may_be_another_unit_is_a_finding(speed: float, revs: float, mass: float, code: str) -> None:
    # a slow bowler's mph and rpm and a light ball's pounds lie among what a textbook may ask in SI
    path = roll(Body(0.1091, mass, 0.0635), Release(speed, revs, 0.3, lateral_m=0.4), DRY)
    assert [f.code for f in path.findings] == [code]


@pytest.mark.parametrize(
    ("speed", "revs", "rotation"), [(2.0, 10.0, 0.2), (5.4, 16.0, 0.7), (8.32, 45.7, 0.79), (8.9, 61.0, 1.05)]
)
def test_what_people_bowl_passes_without_a_word(speed: float, revs: float, rotation: float) -> None:
    # a child off a ramp, a junior, a tour player, a strong two-handed release (common practice, no source)
    for mass in (2.73, 7.25):
        path = roll(Body(0.1085, mass, 0.0635), Release(speed, revs, rotation, 0.2, -0.03, 0.4), DRY)
        assert path.findings == ()


@pytest.mark.parametrize("oil_ends", [32.0, 41.0, 52.0])
def test_a_map_in_feet_is_named(oil_ends: float) -> None:
    release = Release(**GOOD_RELEASE)
    with pytest.raises(OutOfRange, match="feet"):
        roll(BODY, release, steps([(0.0, 0.04), (oil_ends, 0.2)]))
    feet = np.arange(0.0, 61.0)
    values = np.repeat(np.where(feet < oil_ends, 0.04, 0.2)[:, None], 2, axis=1)
    with pytest.raises(OutOfRange, match="feet"):
        roll(BODY, release, grid(values, feet, [0.0, 1.054]))


def test_a_map_in_boards_is_named() -> None:
    boards = np.arange(1.0, 40.0)
    values = np.tile(np.where(abs(boards - 20.0) < 12.0, 0.04, 0.2), (2, 1))
    with pytest.raises(OutOfRange, match="boards"):
        roll(BODY, Release(**GOOD_RELEASE), grid(values, [0.0, 18.3], boards))


def test_a_map_with_more_nodes_than_lane_is_no_other_unit() -> None:
    flat = grid(np.full((2, 2), 0.1), [0.0, 100.0], [-10.0, 10.0])
    longer = steps([(0.0, 0.04), (12.0, 0.2), (25.0, 0.1)])
    assert roll(BODY, Release(**GOOD_RELEASE), flat).findings == ()
    assert roll(BODY, Release(**GOOD_RELEASE), longer, length_m=3.0).findings == ()
    assert roll(BODY, Release(**GOOD_RELEASE), steps([(0.0, 0.04), (50.0, 0.2)]), length_m=60.0).reaches_pins


def test_a_map_that_may_be_in_feet_is_a_finding() -> None:
    values = np.where(np.arange(61.0) < 28.0, 0.04, 0.2)[:, None] * np.array([[1.0, 1.0, 0.9]])
    path = roll(BODY, Release(**GOOD_RELEASE), grid(values, np.arange(61.0), [0.0, 1.7, 3.46]))
    assert {f.code for f in path.findings} == {"friction.long", "friction.wide"}


@pytest.mark.parametrize(("gravity", "likely"), [(32.2, "ft/s²"), (math.nan, "finite"), (0.0, "above 0")])
def test_a_gravity_that_cannot_be_is_named(gravity: float, likely: str) -> None:
    with pytest.raises(OutOfRange, match=likely):
        roll(BODY, Release(**GOOD_RELEASE), DRY, gravity_mps2=gravity)


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
    with pytest.raises(OutOfRange, match="at least two"):
        grid([[0.1], [0.1]], [0.0, 1.0], [0.5])
    with pytest.raises(OutOfRange, match="2 distances × 2 lateral"):
        grid([[0.1, 0.1]], [0.0, 1.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="as many in each row"):
        grid([[0.1, 0.1], [0.1]], [0.0, 1.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="pairs"):
        steps([0.1, 0.2])
    with pytest.raises(OutOfRange, match="friction is “oil”"):
        steps([(0.0, "oil")])
    with pytest.raises(OutOfRange, match="percent"):
        steps([(0.0, 4.0)])
    for axis in ([0.0, math.nan], [0.0, math.inf], [[0.0, 1.0]]):
        with pytest.raises(OutOfRange):
            grid([[0.1, 0.1], [0.1, 0.1]], axis, [0.0, 1.0])
        with pytest.raises(OutOfRange):
            grid([[0.1, 0.1], [0.1, 0.1]], [0.0, 1.0], axis)


def test_a_map_that_stops_short_goes_on_by_its_edge_and_says_so() -> None:
    release = Release(8.0, 40.0, 0.8, lateral_m=0.2)
    short = grid([[0.04, 0.04], [0.2, 0.2]], [0.0, 6.0], [0.0, 1.1])
    longer = grid([[0.04, 0.04], [0.2, 0.2], [0.2, 0.2]], [0.0, 6.0, 30.0], [0.0, 1.1])
    a, b = roll(BODY, release, short), roll(BODY, release, longer)
    assert a.lateral_m[-1] == pytest.approx(b.lateral_m[-1], abs=1e-9)
    assert [f.code for f in a.findings] == ["friction.short"]
    assert b.findings == ()


def test_a_map_narrower_than_the_lane_goes_on_by_its_edges_and_says_so() -> None:
    release = Release(8.0, 40.0, 0.8, lateral_m=0.1)
    narrow = grid([[0.2, 0.04], [0.2, 0.15]], [0.0, 18.3], [0.3, 0.7])
    wide = grid([[0.2, 0.2, 0.04, 0.04], [0.2, 0.2, 0.15, 0.15]], [0.0, 18.3], [0.0, 0.3, 0.7, 1.1])
    a, b = roll(BODY, release, narrow), roll(BODY, release, wide)
    assert a.lateral_m[-1] == pytest.approx(b.lateral_m[-1], abs=1e-9)
    assert [f.code for f in a.findings] == ["friction.narrow"]
    assert b.findings == ()


def test_steps_that_start_past_the_foul_line_go_on_before_and_say_so() -> None:
    path = roll(BODY, Release(**GOOD_RELEASE), steps([(3.0, 0.05), (12.0, 0.2)]))
    assert [f.code for f in path.findings] == ["friction.short"]
    assert path.at_distance(1.0).skid_left < 1.0


@pytest.mark.parametrize("how", [{"length_m": 0.0}, {"length_m": math.nan}, {"gravity_mps2": -9.8}])
def test_a_lane_that_cannot_be_is_refused(how: dict[str, float]) -> None:
    with pytest.raises(KnownError):
        roll(BODY, Release(8.0, 40.0, 0.8), DRY, **how)
