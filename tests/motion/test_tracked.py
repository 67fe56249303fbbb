"""Revs and rotation from both ends of a tracked shot, on any oil."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from arsenal.motion import Body, Friction, Release, grid, roll, steps
from arsenal.motion.tracked import ReadingDoubt, TrackedShot, release_from
from arsenal.surface.state import Estimate
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.units import DEGREE_RAD, GRAVITY_MPS2, INCH_M, KMH_MPS, MPH_MPS, RPM_RADPS

BODY = Body(4.2965 * INCH_M, 6.8, 2.50 * INCH_M)
TILT = Estimate(12.0 * DEGREE_RAD, 0.0)
RELEASE = Release(17.0 * MPH_MPS, 350.0 * RPM_RADPS, 50.0 * DEGREE_RAD, TILT.mean, -1.5 * DEGREE_RAD, 0.5)
LONG_OIL = steps([(0.0, 0.03), (12.5, 0.2)])
_WILD = 0.06 + 0.05 * np.sin(np.arange(20)).reshape(5, 4)
PATCHY = grid(_WILD, np.linspace(0.0, 18.0, 5), np.linspace(0.0, 1.06, 4))


def tracked(release: Release, friction: Friction, body: Body = BODY) -> TrackedShot:
    path = roll(body, release, friction)
    vx, vy = path.velocity_mps[-1]
    return TrackedShot(
        release.speed_mps, release.launch_rad, float(np.hypot(vx, vy)), math.atan2(vy, vx),
        path.roll_distance_m is not None,
    )  # fmt: skip


@pytest.mark.parametrize("friction", [LONG_OIL, PATCHY, steps([(0.0, 0.2)])])
def test_one_shot_that_rolled_gives_the_release_back_on_any_oil(friction: Friction) -> None:
    shot = tracked(RELEASE, friction)
    assert shot.rolled
    found = release_from(BODY, [shot], tilt=TILT)
    assert found.rev_rate_radps.mean == pytest.approx(RELEASE.rev_rate_radps, rel=1e-6)
    assert found.axis_rotation_rad.mean == pytest.approx(RELEASE.axis_rotation_rad, rel=1e-6)
    assert found.speed_mps.mean == RELEASE.speed_mps


def test_the_worked_release_comes_back_from_its_rolling_speed_and_turn() -> None:
    """17.9 mph, 416 rpm, 45°, no tilt, RG 2.50 in, R 4.2965 in roll at 15.39 mph after a turn of 7.10° (from the
    equations of motion; the two are rounded to their last digit).
    """
    shot = TrackedShot(17.9 * MPH_MPS, 0.0, 15.39 * MPH_MPS, 7.10 * DEGREE_RAD)
    found = release_from(BODY, [shot], tilt=Estimate(0.0, 0.0))
    assert found.rev_rate_radps.mean / RPM_RADPS == pytest.approx(416.0, abs=1.5)
    assert found.axis_rotation_rad.mean / DEGREE_RAD == pytest.approx(45.0, abs=0.3)


def by_scipy(release: Release, body: Body) -> TrackedShot:
    """Velocity and spin integrated in time over a film that changes both ways; none of the program's code."""
    r, k = body.radius_m, body.rg_m
    turn = release.launch_rad + release.axis_rotation_rad
    spin = release.rev_rate_radps * math.cos(release.axis_tilt_rad)

    def rate(_: float, z: np.ndarray) -> list[float]:
        x, y, vx, vy, wx, wy = z
        mu = 0.05 + 0.03 * math.sin(x) + 0.02 * math.cos(9.0 * y)
        ux, uy = vx - r * wx, vy - r * wy
        slip = math.hypot(ux, uy)
        fx, fy = (-mu * GRAVITY_MPS2 * u / slip if slip > 1e-9 else 0.0 for u in (ux, uy))
        return [vx, vy, fx, fy, -r * fx / k**2, -r * fy / k**2]

    def rolls(_: float, z: np.ndarray) -> float:
        return float(math.hypot(z[2] - r * z[4], z[3] - r * z[5]) - 1e-6)

    rolls.terminal = True  # type: ignore[attr-defined]
    start = [
        0.0, release.lateral_m, release.speed_mps * math.cos(release.launch_rad),
        release.speed_mps * math.sin(release.launch_rad), spin * math.cos(turn), spin * math.sin(turn),
    ]  # fmt: skip
    done = solve_ivp(rate, (0.0, 10.0), start, events=rolls, rtol=1e-10, atol=1e-12, max_step=0.01)
    vx, vy = done.y[2:4, -1]
    return TrackedShot(release.speed_mps, release.launch_rad, float(math.hypot(vx, vy)), math.atan2(vy, vx))


def test_it_inverts_the_full_equations_integrated_by_scipy() -> None:
    found = release_from(BODY, [by_scipy(RELEASE, BODY)], tilt=TILT)
    assert found.rev_rate_radps.mean == pytest.approx(RELEASE.rev_rate_radps, rel=1e-5)
    assert found.axis_rotation_rad.mean == pytest.approx(RELEASE.axis_rotation_rad, rel=1e-5)


def test_the_doubt_is_the_spread_of_readings_drawn_at_random() -> None:
    true, doubt, rng, n = tracked(RELEASE, LONG_OIL), ReadingDoubt(), np.random.default_rng(8), 4000
    found = release_from(BODY, [true], rg_sd_m=0.02 * INCH_M)
    z = rng.standard_normal((7, n))
    revs, turned = [], []
    for i in range(n):
        shot = TrackedShot(
            true.speed_mps + doubt.speed_mps * z[0, i], true.launch_rad + doubt.launch_rad * z[1, i],
            true.entry_speed_mps + doubt.entry_speed_mps * z[2, i], true.entry_rad + doubt.entry_rad * z[3, i],
        )  # fmt: skip
        body = replace(
            BODY, rg_m=BODY.rg_m + 0.02 * INCH_M * z[4, i], radius_m=BODY.radius_m + 0.004 * INCH_M * z[5, i]
        )
        one = release_from(body, [shot], tilt=Estimate((15.0 + 5.0 * z[6, i]) * DEGREE_RAD, 0.0))
        revs.append(one.rev_rate_radps.mean)
        turned.append(one.axis_rotation_rad.mean)
    assert found.rev_rate_radps.sd == pytest.approx(np.std(revs), rel=0.08)
    assert found.axis_rotation_rad.sd == pytest.approx(np.std(turned), rel=0.08)


def test_several_shots_are_surer_than_one_but_what_they_share_stays() -> None:
    shots = [tracked(RELEASE, f) for f in (LONG_OIL, PATCHY)] * 8
    one, many = release_from(BODY, shots[:1]), release_from(BODY, shots)
    assert many.rev_rate_radps.sd < one.rev_rate_radps.sd
    shared = release_from(BODY, shots * 50).rev_rate_radps.sd
    assert shared > 0.1 * one.rev_rate_radps.sd
    assert many.shots == 16


def test_a_surer_shot_weighs_more() -> None:
    a = tracked(RELEASE, LONG_OIL)
    b = tracked(replace(RELEASE, rev_rate_radps=420.0 * RPM_RADPS), LONG_OIL)
    rough = replace(b, doubt=ReadingDoubt(0.6 * MPH_MPS, 0.02, 0.6 * MPH_MPS, 0.02))
    found = release_from(BODY, [a, rough], tilt=TILT).rev_rate_radps.mean / RPM_RADPS
    assert 350.0 < found < 365.0


def test_shots_that_differ_more_than_their_readings_explain_are_found() -> None:
    a = tracked(RELEASE, LONG_OIL)
    b = tracked(replace(RELEASE, rev_rate_radps=480.0 * RPM_RADPS), LONG_OIL)
    assert {f.code for f in release_from(BODY, [a, a, b, b]).findings} == {"tracked.spread"}
    assert release_from(BODY, [a, a]).findings == ()


def test_a_shot_still_sliding_at_the_pins_is_a_lower_bound_of_the_rotation() -> None:
    sliding = tracked(RELEASE, steps([(0.0, 0.03)]))
    assert not sliding.rolled
    found = release_from(BODY, [sliding], tilt=TILT)
    assert found.at_least
    assert found.axis_rotation_rad.mean < RELEASE.axis_rotation_rad
    assert [f.code for f in found.findings] == ["tracked.sliding"]


def test_a_sliding_shot_is_left_out_where_others_rolled() -> None:
    shots = [tracked(RELEASE, LONG_OIL), tracked(RELEASE, steps([(0.0, 0.03)]))]
    found = release_from(BODY, shots, tilt=TILT)
    assert (found.shots, found.at_least) == (1, False)
    assert found.rev_rate_radps.mean == pytest.approx(RELEASE.rev_rate_radps, rel=1e-6)
    assert "1 shot was left out" in found.findings[0].sentence


def test_a_left_hander_has_the_same_numbers_counted_toward_his_own_hook_side() -> None:
    shot = tracked(RELEASE, LONG_OIL)
    mirrored = replace(shot, launch_rad=-shot.launch_rad, entry_rad=-shot.entry_rad)
    found, other = release_from(BODY, [shot], tilt=TILT), _raw(mirrored)
    assert other == pytest.approx(-found.axis_rotation_rad.mean)


def _raw(shot: TrackedShot) -> float:
    return release_from(BODY, [replace(shot, rolled=False)], tilt=TILT).axis_rotation_rad.mean


@pytest.mark.parametrize(
    ("hand", "pins", "words"),
    [
        (17.0, 18.5, "gaining speed"),
        (17.0, 7.0, "nobody throws"),
        (17.0, 15.5 * KMH_MPS / MPH_MPS, "nobody throws"),  # the pins read in km/h
    ],
)
def test_ends_that_no_release_gives_are_named(hand: float, pins: float, words: str) -> None:
    shot = TrackedShot(hand * MPH_MPS, 0.0, pins * MPH_MPS, 5.0 * DEGREE_RAD)
    with pytest.raises(KnownError, match=words):
        release_from(BODY, [shot])


def test_a_number_that_cannot_be_is_named_before_anything_is_reckoned() -> None:
    good = tracked(RELEASE, LONG_OIL)
    for field, value in (
        ("speed_mps", 17.0), ("speed_mps", math.nan), ("launch_rad", -1.5), ("entry_speed_mps", 15.4),
        ("entry_rad", 4.5), ("entry_rad", math.inf),
    ):  # fmt: skip
        with pytest.raises(OutOfRange):
            release_from(BODY, [replace(good, **{field: value})])  # type: ignore[arg-type]
    with pytest.raises(OutOfRange, match="doubt"):
        release_from(BODY, [replace(good, doubt=ReadingDoubt(0.0))])
    with pytest.raises(KnownError, match="no shot"):
        release_from(BODY, [])
