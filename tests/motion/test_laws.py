"""Laws every path obeys, whatever the release and the friction."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator
from usual import PRIORS, grip_of, house

from arsenal.motion import Body, Friction, Grip, Path, Release, batch, bed, grid, roll, steps
from arsenal.trade.units import GRAVITY_MPS2, INCH_M, LANE_LENGTH_M

LANE = bed(house(), True, PRIORS)
BODY = Body(radius_m=0.1091, mass_kg=6.8, rg_m=2.50 * INCH_M)

releases = st.builds(
    Release,
    speed_mps=st.floats(4.0, 11.0),
    rev_rate_radps=st.floats(0.0, 60.0),
    axis_rotation_rad=st.floats(-0.3, 1.9),
    axis_tilt_rad=st.floats(0.0, 1.0),
    launch_rad=st.floats(-0.1, 0.1),
    lateral_m=st.floats(0.1, 0.9),
)
stepped = st.lists(st.floats(0.01, 0.3), min_size=1, max_size=5).map(
    lambda mu: steps([(3.5 * i, m) for i, m in enumerate(mu)])
)


X, Y = np.linspace(0.0, 18.0, 5), np.linspace(0.0, 1.06, 4)
maps = st.lists(st.floats(0.01, 0.25), min_size=20, max_size=20).map(lambda values: np.reshape(values, (5, 4)))
mapped = maps.map(lambda mu: grid(mu, X, Y))
frictions = st.one_of(stepped, mapped)


def spin_surface(path: Path, body: Body) -> np.ndarray:
    """Slip velocity of the contact point at every sample, from the full velocity and spin."""
    at = path.at_time(path.time_s)
    wx, wy = at.spin_radps[:, 0], at.spin_radps[:, 1]
    return at.velocity_mps + body.radius_m * np.stack([-wy, wx], axis=-1)


@given(releases, frictions)
@settings(max_examples=60, deadline=None)
def test_the_slip_direction_never_turns(release: Release, friction: Friction) -> None:
    slip = spin_surface(roll(BODY, release, friction), BODY)
    size = np.hypot(*slip.T)
    assume(size[0] > 1e-3)
    sliding = size > 1e-6 * size[0]
    direction = slip[sliding] / size[sliding, None]
    assert np.abs(direction - direction[0]).max() < 1e-6


@given(releases, frictions)
@settings(max_examples=60, deadline=None)
def test_it_leaves_the_hand_with_the_spin_it_was_given(release: Release, friction: Friction) -> None:
    spin = roll(BODY, release, friction).at_time(0.0).spin_radps
    toward = release.launch_rad + release.axis_rotation_rad
    flat = release.rev_rate_radps * math.cos(release.axis_tilt_rad)
    assert spin[0] == pytest.approx(-flat * math.sin(toward), abs=1e-9)
    assert spin[1] == pytest.approx(flat * math.cos(toward), abs=1e-9)
    assert spin[2] == pytest.approx(release.rev_rate_radps * math.sin(release.axis_tilt_rad), abs=1e-9)


@given(releases, frictions)
@settings(max_examples=60, deadline=None)
def test_angular_momentum_about_the_lane_is_kept(release: Release, friction: Friction) -> None:
    # friction acts in the lane's plane: it has no moment about a point of the lane under the path
    path = roll(BODY, release, friction)
    at, arm = path.at_time(path.time_s), BODY.rg_m**2 / BODY.radius_m
    kept = at.velocity_mps + arm * np.stack([at.spin_radps[:, 1], -at.spin_radps[:, 0]], axis=-1)
    assert np.abs(kept - kept[0]).max() < 1e-9


@given(releases, maps, st.floats(0.05, 0.95))
@settings(max_examples=60, deadline=None)
def test_friction_pulls_against_the_slip_with_its_size_at_that_place(
    release: Release, mu: np.ndarray, share: float
) -> None:
    # Coulomb's law read off the finished path by differences, μ by another reading of the map
    path = roll(BODY, release, grid(mu, X, Y))
    t, h = share * (path.roll_time_s or path.time_s[-1]), 1e-5
    assume(h < t < path.time_s[-1] - h)
    before, here, after = (path.at_time(v) for v in (t - h, t, t + h))
    at = RegularGridInterpolator((X, Y), mu)((min(here.distance_m, 18.0), min(max(here.lateral_m, 0.0), 1.06)))
    slip = here.velocity_mps + BODY.radius_m * np.array([-here.spin_radps[1], here.spin_radps[0]])
    assume(np.hypot(*slip) > 0.01)
    pull = (after.velocity_mps - before.velocity_mps) / (2.0 * h)
    assert pull == pytest.approx(-float(at) * GRAVITY_MPS2 * slip / np.hypot(*slip), abs=2e-3)
    moved = np.array([after.distance_m - before.distance_m, after.lateral_m - before.lateral_m]) / (2.0 * h)
    assert moved == pytest.approx(here.velocity_mps, abs=1e-6)


@given(releases, frictions, frictions)
@settings(max_examples=40, deadline=None)
def test_the_rolling_velocity_does_not_depend_on_the_friction(release: Release, a: Friction, b: Friction) -> None:
    paths = [roll(BODY, release, friction, length_m=800.0) for friction in (a, b)]
    assume(all(p.roll_time_s is not None for p in paths))
    assert paths[0].velocity_mps[-1] == pytest.approx(paths[1].velocity_mps[-1], abs=1e-9)


@given(releases, frictions)
@settings(max_examples=60, deadline=None)
def test_energy_never_rises(release: Release, friction: Friction) -> None:
    path = roll(BODY, release, friction)
    at = path.at_time(path.time_s)
    energy = (at.velocity_mps**2).sum(axis=-1) + BODY.rg_m**2 * (at.spin_radps**2).sum(axis=-1)
    assert np.all(np.diff(energy) <= 1e-9 * energy[0])


@given(releases, frictions, st.floats(3.0, 7.5))
@settings(max_examples=30, deadline=None)
def test_mass_does_not_matter(release: Release, friction: Friction, mass: float) -> None:
    other = Body(BODY.radius_m, mass, BODY.rg_m)
    paths = [roll(b, release, friction) for b in (BODY, other)]
    assert np.array_equal(paths[0].lateral_m, paths[1].lateral_m)


@given(releases, stepped)
@settings(max_examples=40, deadline=None)
def test_the_mirror_of_a_release_is_the_mirror_of_its_path(release: Release, friction: Friction) -> None:
    mirrored = Release(
        release.speed_mps, release.rev_rate_radps, -release.axis_rotation_rad, release.axis_tilt_rad,
        -release.launch_rad, -release.lateral_m,
    )  # fmt: skip
    a, b = roll(BODY, release, friction), roll(BODY, mirrored, friction)
    assert b.lateral_m == pytest.approx(-a.lateral_m, abs=1e-12)
    assert b.distance_m == pytest.approx(a.distance_m, abs=1e-12)


@given(releases, maps)
@settings(max_examples=40, deadline=None)
def test_the_mirror_holds_over_a_map(release: Release, mu: np.ndarray) -> None:
    width = float(Y[-1])
    mirrored = Release(
        release.speed_mps, release.rev_rate_radps, -release.axis_rotation_rad, release.axis_tilt_rad,
        -release.launch_rad, width - release.lateral_m,
    )  # fmt: skip
    a, b = roll(BODY, release, grid(mu, X, Y)), roll(BODY, mirrored, grid(mu[:, ::-1], X, width - Y[::-1]))
    assert b.lateral_m[-1] == pytest.approx(width - a.lateral_m[-1], abs=1e-9)
    assert b.time_s[-1] == pytest.approx(a.time_s[-1], abs=1e-9)


@given(releases, st.floats(0.02, 0.3), st.floats(-0.2, 0.2))
@settings(max_examples=40, deadline=None)
def test_turning_the_launch_turns_the_path_on_a_uniform_lane(release: Release, mu: float, turn: float) -> None:
    turned = Release(
        release.speed_mps, release.rev_rate_radps, release.axis_rotation_rad, release.axis_tilt_rad,
        release.launch_rad + turn, release.lateral_m,
    )  # fmt: skip
    a, b = (roll(BODY, r, steps([(0.0, mu)])) for r in (release, turned))
    t = 0.7 * min(a.time_s[-1], b.time_s[-1])
    p, q = a.at_time(t), b.at_time(t)
    dx, dy = p.distance_m, p.lateral_m - release.lateral_m
    assert q.distance_m == pytest.approx(dx * math.cos(turn) - dy * math.sin(turn), abs=1e-10)
    assert q.lateral_m - release.lateral_m == pytest.approx(dx * math.sin(turn) + dy * math.cos(turn), abs=1e-10)


@given(releases, st.floats(0.02, 0.3))
@settings(max_examples=40, deadline=None)
def test_twice_the_friction_halves_time_and_distance_to_roll(release: Release, mu: float) -> None:
    for uniform in (lambda m: steps([(0.0, m)]), lambda m: grid(np.full((5, 4), m), X, Y)):
        once, twice = (roll(BODY, release, uniform(m), length_m=2000.0) for m in (mu, 2.0 * mu))
        assume(once.roll_time_s is not None and once.roll_time_s > 1e-6)
        assert twice.roll_time_s == pytest.approx(once.roll_time_s / 2.0, rel=1e-9)
        assert twice.roll_distance_m == pytest.approx(once.roll_distance_m / 2.0, rel=1e-9)


@given(releases, stepped)
@settings(max_examples=40, deadline=None)
def test_tilt_only_shortens_the_horizontal_spin(release: Release, friction: Friction) -> None:
    upright = Release(
        release.speed_mps, release.rev_rate_radps * math.cos(release.axis_tilt_rad), release.axis_rotation_rad, 0.0,
        release.launch_rad, release.lateral_m,
    )  # fmt: skip
    tilted, flat = roll(BODY, release, friction), roll(BODY, upright, friction)
    assert tilted.lateral_m == pytest.approx(flat.lateral_m, abs=1e-11)


@given(st.floats(4.0, 11.0), st.floats(0.0, 60.0), frictions)
@settings(max_examples=40, deadline=None)
def test_no_rotation_and_a_straight_launch_do_not_hook(speed: float, revs: float, friction: Friction) -> None:
    path = roll(BODY, Release(speed, revs, 0.0, 0.0, 0.0, 0.5), friction)
    assert np.abs(path.lateral_m - 0.5).max() < 1e-12


@given(releases, stepped, st.floats(0.061, 0.07), st.floats(0.001, 0.005))
@settings(max_examples=40, deadline=None)
def test_a_lower_rg_rolls_earlier(release: Release, friction: Friction, rg: float, more: float) -> None:
    low, high = (roll(Body(0.1091, 6.8, k), release, friction, length_m=500.0) for k in (rg, rg + more))
    assume(low.roll_time_s is not None and high.roll_time_s is not None)
    assert low.roll_time_s <= high.roll_time_s + 1e-12


@given(releases, frictions)
@settings(max_examples=60, deadline=None)
def test_skid_is_spent_once_and_rolled_stays_rolled(release: Release, friction: Friction) -> None:
    path = roll(BODY, release, friction)
    assert np.all(np.diff(path.skid_left) <= 1e-12)
    assert path.skid_left.min() >= 0.0
    if path.roll_time_s is not None:
        after = path.time_s > path.roll_time_s + 1e-9
        assert np.all(path.skid_left[after] == 0.0)
        assert np.ptp(path.velocity_mps[after], axis=0).max(initial=0.0) < 1e-12 if after.any() else True


@given(releases, frictions)
@settings(max_examples=60, deadline=None)
def test_slip_stops_exactly_and_never_chatters(release: Release, friction: Friction) -> None:
    path = roll(BODY, release, friction, length_m=60.0)
    slip = np.hypot(*spin_surface(path, BODY).T)
    assert np.all(np.diff(slip) <= 1e-9)
    assume(path.roll_time_s is not None)
    assert slip[path.time_s > path.roll_time_s + 1e-9].max(initial=0.0) < 1e-12


@given(releases, frictions, st.floats(0.0, 1.0))
@settings(max_examples=40, deadline=None)
def test_time_and_distance_name_the_same_place(release: Release, friction: Friction, share: float) -> None:
    path = roll(BODY, release, friction)
    assume(path.reaches_pins)
    at = path.at_distance(share * path.length_m)
    assert path.at_time(at.time_s).distance_m == pytest.approx(share * path.length_m, abs=1e-9)


bowled = st.builds(
    Release,
    speed_mps=st.floats(5.5, 10.0),
    rev_rate_radps=st.floats(10.0, 60.0),
    axis_rotation_rad=st.floats(0.0, 1.5),
    axis_tilt_rad=st.floats(0.0, 0.5),
    launch_rad=st.floats(-0.06, 0.02),
    lateral_m=st.floats(0.2, 0.8),
)


@given(bowled, st.integers(500, 4000), st.integers(500, 4000))
@settings(max_examples=40, deadline=None)
def test_many_at_once_a_rolling_balls_speed_and_angle_do_not_depend_on_its_finish(
    release: Release, fine: int, coarse: int
) -> None:
    runs = batch(LANE, BODY, release, Grip.join([grip_of(grit=fine), grip_of(grit=coarse)]))
    assume(np.all(runs.rolls_m < LANE_LENGTH_M))
    assert runs.speed_at_pins_mps[0] == pytest.approx(runs.speed_at_pins_mps[1], abs=1e-9)
    assert runs.entry_rad[0] == pytest.approx(runs.entry_rad[1], abs=1e-9)


@given(bowled, st.floats(3.0, 7.25))
@settings(max_examples=20, deadline=None)
def test_many_at_once_mass_does_not_matter(release: Release, mass: float) -> None:
    runs = batch(LANE, [BODY, Body(BODY.radius_m, mass, BODY.rg_m)], release, grip_of())
    assert runs.landing_m[0] == runs.landing_m[1]


@given(bowled)
@settings(max_examples=40, deadline=None)
def test_many_at_once_a_lane_alike_on_both_sides_is_alike_for_both_hands(release: Release) -> None:
    hands = [batch(bed(house(), left, PRIORS), BODY, release, grip_of()) for left in (True, False)]
    assert hands[0].landing_m[0] == pytest.approx(hands[1].landing_m[0], abs=1e-9)


@given(st.floats(5.5, 10.0), st.floats(10.0, 60.0))
@settings(max_examples=40, deadline=None)
def test_many_at_once_no_rotation_and_a_straight_launch_do_not_hook(speed: float, revs: float) -> None:
    runs = batch(LANE, BODY, Release(speed, revs, 0.0, 0.0, 0.0, 0.5), grip_of())
    assert abs(runs.hook_m[0]) < 1e-9


@given(bowled, st.floats(0.061, 0.067), st.floats(0.001, 0.005))
@settings(max_examples=40, deadline=None)
def test_many_at_once_a_lower_rg_spends_its_skid_earlier(release: Release, rg: float, more: float) -> None:
    runs = batch(LANE, [Body(0.1091, 6.8, k) for k in (rg, rg + more)], release, grip_of())
    assume(not np.isnan(runs.half_m).any())
    assert runs.half_m[0] <= runs.half_m[1] + 1e-6


@given(bowled)
@settings(max_examples=40, deadline=None)
def test_many_at_once_tilt_only_shortens_the_horizontal_spin(release: Release) -> None:
    upright = Release(
        release.speed_mps, release.rev_rate_radps * math.cos(release.axis_tilt_rad), release.axis_rotation_rad, 0.0,
        release.launch_rad, release.lateral_m,
    )  # fmt: skip
    # the film a ball picks up goes by its turns, tilted or not: compared without any
    bare = replace(grip_of(), pick_up=np.zeros(1))
    runs = batch(LANE, BODY, [release, upright], bare)
    assert runs.landing_m[0] == pytest.approx(runs.landing_m[1], abs=1e-9)
