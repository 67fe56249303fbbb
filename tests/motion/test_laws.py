"""Laws every path obeys, whatever the release and the friction."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from arsenal.motion import Body, Friction, Path, Release, grid, roll, steps
from arsenal.trade.units import INCH_M

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


@st.composite
def mapped(draw: st.DrawFn) -> Friction:
    values = draw(st.lists(st.floats(0.01, 0.25), min_size=20, max_size=20))
    return grid(np.reshape(values, (5, 4)), np.linspace(0.0, 18.0, 5), np.linspace(0.0, 1.06, 4))


frictions = st.one_of(stepped, mapped())


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
    once, twice = (roll(BODY, release, steps([(0.0, m)]), length_m=2000.0) for m in (mu, 2.0 * mu))
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


@given(releases, frictions, st.floats(0.0, 1.0))
@settings(max_examples=40, deadline=None)
def test_time_and_distance_name_the_same_place(release: Release, friction: Friction, share: float) -> None:
    path = roll(BODY, release, friction)
    assume(path.reaches_pins)
    at = path.at_distance(share * path.length_m)
    assert path.at_time(at.time_s).distance_m == pytest.approx(share * path.length_m, abs=1e-9)
