"""Flare of a ball as it is drilled and thrown, what it does to the film on the ball, and what it leaves alone."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.kernels import flare, rigid, track
from arsenal.motion import batch, bed, body_of, grip, roll, steps, with_film
from arsenal.motion.flaring import USUAL_DRILLING_ANGLE_RAD, Flare, flare_of, rings_of
from arsenal.surface.state import Estimate
from arsenal.trade.ball import Body
from arsenal.trade.release import Release
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, GRAVITY_MPS2, INCH_M, LANE_LENGTH_M

BAND_M = PRIORS.oil.band_m


def flaring(differential_in: float = 0.05, intermediate_in: float = 0.0, pin_in: float | None = None) -> Flare:
    """Of a ball like the reference with another core and drilling."""
    ball, state = ball_of()
    ball = replace(ball, differential_m=differential_in * INCH_M, intermediate_m=intermediate_in * INCH_M)
    pin = None if pin_in is None else pin_in * INCH_M
    return flare_of(ball, replace(state, pin_to_axis_m=pin), STYLE, PRIORS)


@pytest.mark.parametrize(("differential", "spacing"), [(0.02, 0.215), (0.04, 0.425), (0.05, 0.528), (0.06, 0.630)])
def test_a_symmetric_core_flares_as_the_closed_form_says(differential: float, spacing: float) -> None:
    # exact for free rotation of a symmetric core, low RG 2.48 in, at the pin of the widest flare
    ball, state = ball_of()
    ball = replace(ball, rg_m=2.48 * INCH_M, differential_m=differential * INCH_M)
    found = flare_of(ball, state, STYLE, PRIORS)
    assert [r / INCH_M for r in found.rings_m] == pytest.approx([spacing] * len(found.rings_m), abs=6e-4)
    assert found.spacing_m / INCH_M == pytest.approx(spacing, abs=6e-4)
    assert found.openness == flare.openness(found.spacing_m, BAND_M)
    assert not found.asymmetric


@pytest.mark.common_practice
def test_a_strong_core_at_the_widest_pin_leaves_five_inches_of_flare_on_the_oil() -> None:
    assert 4.5 < flaring(0.05).total_m / INCH_M < 6.5
    assert flaring(0.015).total_m / INCH_M < 2.0


def test_rings_are_revolutions_over_the_oil() -> None:
    # 17.9 mph and 416 rpm: a revolution goes 3.79 ft of skid, forty feet hold ten and a half
    assert rings_of(STYLE, 0.1091) == 11
    assert len(flaring().rings_m) == 11
    assert rings_of(replace(STYLE, rev_rate_radps=1.0), 0.1091) == 2
    assert rings_of(replace(STYLE, rev_rate_radps=200.0), 0.1091) == 18
    assert rings_of(replace(STYLE, rev_rate_radps=-STYLE.rev_rate_radps), 0.1091) == 11


def test_the_pin_over_the_axis_flares_nothing_and_an_unknown_pin_flares_widest() -> None:
    for intermediate in (0.0, 0.02):
        over = flaring(intermediate_in=intermediate, pin_in=0.0)
        assert over.total_m < 1e-6
        assert over.openness == pytest.approx(1.0)
        assert flaring(intermediate_in=intermediate) == flaring(intermediate_in=intermediate, pin_in=3.375)
    assert flaring(pin_in=3.375).spacing_m > max(flaring(pin_in=p).spacing_m for p in (1.0, 2.0, 5.0, 6.0))


def test_a_core_that_is_hardly_asymmetric_flares_like_a_symmetric_one() -> None:
    nearly, quite = flaring(intermediate_in=1e-4), flaring()
    assert nearly.asymmetric
    assert nearly.rings_m == pytest.approx(quite.rings_m, rel=0.025)
    assert nearly.axis_from_pin_rad == pytest.approx(quite.axis_from_pin_rad, abs=0.01)
    assert nearly.axis_migration_rad == pytest.approx(quite.axis_migration_rad, rel=0.03)
    assert nearly.openness == pytest.approx(quite.openness, abs=5e-3)


def test_the_axis_of_a_symmetric_core_keeps_its_distance_from_the_pin_and_that_of_an_asymmetric_one_does_not() -> None:
    symmetric, other = flaring(), flaring(intermediate_in=0.02)
    assert np.ptp(symmetric.axis_from_pin_rad) == 0.0
    assert np.ptp(other.axis_from_pin_rad) > 3.0 * DEGREE_RAD
    assert np.ptp(other.rings_m) > 0.05 * INCH_M
    assert len(other.axis_from_pin_rad) == len(other.rings_m) + 1


def test_the_axis_of_an_asymmetric_core_stays_where_energy_and_momentum_let_it() -> None:
    # free rotation: n·K·n / n·K²·n is kept along the axis path (energy over momentum squared, whatever the pace)
    k2 = np.array(rigid.squared_rgs(2.5 * INCH_M, 0.06 * INCH_M, 0.03 * INCH_M))
    motion = rigid.free(tuple(k2), (3.0, 4.0, 3.5), (1.0, 0.0, 0.0, 0.0), 0.02, 1200)
    axis = track.track(motion, tuple(k2)).axis[:, 0]
    kept = (axis**2 @ k2) / (axis**2 @ k2**2)
    assert np.ptp(kept) < 1e-5 * kept[0]
    assert np.ptp(axis, axis=0).min() > 0.1


def laid(differential_in: float, intermediate_in: float, pin_rad: float, delta: float, release: Release) -> tuple:
    """The same ball as a full rigid body on the way: k², and how it leaves the hand."""
    k2 = rigid.squared_rgs(2.5 * INCH_M, differential_in * INCH_M, intermediate_in * INCH_M)
    turned, tilt = release.launch_rad + release.axis_rotation_rad, release.axis_tilt_rad
    axis = (-math.sin(turned) * math.cos(tilt), math.cos(turned) * math.cos(tilt), math.sin(tilt))
    body = (math.cos(pin_rad), math.sin(pin_rad) * math.sin(delta), math.sin(pin_rad) * math.cos(delta))
    v, a, w = release.speed_mps, release.launch_rad, release.rev_rate_radps
    velocity = (v * math.cos(a), v * math.sin(a))
    spin = (w * axis[0], w * axis[1], w * axis[2])
    return k2, body, rigid.Throw(release.lateral_m, velocity, spin, rigid.facing(body, axis))


RADIUS_M = 4.2965 * INCH_M
OIL_END_M = 40.0 * FOOT_M


def oil_then_dry(x: float, _y: float) -> float:
    return 0.04 if x < OIL_END_M else 0.20


def test_rings_of_an_asymmetric_core_are_those_a_full_rigid_body_draws_down_the_oil() -> None:
    found = flaring(0.05, 0.02)
    pin = flare.axis_angle(3.375 * INCH_M, RADIUS_M)
    k2, _, throw = laid(0.05, 0.02, pin, USUAL_DRILLING_ANGLE_RAD, STYLE.on(LINE))
    pull = rigid.coulomb(oil_then_dry, RADIUS_M, GRAVITY_MPS2, 5e-3)
    slid = rigid.down_lane(k2, RADIUS_M, throw, pull, OIL_END_M, 1e-3)
    drawn = track.track(slid, k2)
    apart = track.distances(drawn, RADIUS_M)
    n = apart.shape[0]
    assert n >= 9
    assert found.rings_m[:n] == pytest.approx(apart.max(axis=1), rel=0.05)
    assert found.openness == pytest.approx(track.shares_open(apart, BAND_M).mean(), abs=0.015)
    from_pin = np.arccos(drawn.axis[:, 0, 0])
    assert found.axis_from_pin_rad[: n + 1] == pytest.approx(from_pin, abs=1.0 * DEGREE_RAD)


def bent_boards(seed: int, differential_in: float) -> float:
    """How far three RGs move a landing against one RG, the one about the axis at the hand."""
    rng = np.random.default_rng(seed)
    release = Release(
        rng.uniform(7.2, 8.9), rng.uniform(25.0, 54.0), rng.uniform(0.25, 1.3), rng.uniform(0.0, 0.35),
        rng.uniform(-0.06, 0.0), 0.5,
    )  # fmt: skip
    pin, delta = rng.uniform(0.15, 1.45), rng.uniform(-math.pi, math.pi)
    k2, body, throw = laid(differential_in, rng.uniform(0.0, 0.5) * differential_in, pin, delta, release)
    pull = rigid.coulomb(oil_then_dry, RADIUS_M, GRAVITY_MPS2, 5e-3)
    motion = rigid.down_lane(k2, RADIUS_M, throw, pull, LANE_LENGTH_M, 1e-3)
    full = np.interp(LANE_LENGTH_M, motion.place[-2:, 0], motion.place[-2:, 1])
    one_rg = math.sqrt(sum(k * n * n for k, n in zip(k2, body, strict=True)))
    reduced = roll(Body(RADIUS_M, 6.8, one_rg), release, steps([(0.0, 0.04), (OIL_END_M, 0.20)])).lateral_m[-1]
    return float(full - reduced) / BOARD_M


def test_with_one_rg_the_full_body_goes_where_the_reduced_model_says() -> None:
    assert max(abs(bent_boards(seed, 0.0)) for seed in range(3)) < 2e-3


@pytest.mark.parametrize(("differential_in", "least", "most"), [(0.05, 0.8, 1.0), (0.06, 1.0, 1.2)])
def test_anisotropy_itself_bends_the_path_about_a_board_at_most(
    differential_in: float, least: float, most: float
) -> None:
    # derived: flare acts by bringing clean cover to the lane. Of 300 such releases all stay under a board at 0.05 in
    # and all but two at 0.06 in, the most a rule book lets pass; seed 54 is the worst of them, the usual is 0.2
    bent = [abs(bent_boards(seed, differential_in)) for seed in (*range(12), 54)]
    assert least < max(bent) == bent[-1] < most
    assert np.median(bent) < 0.4


def test_sandings_that_take_a_hair_off_the_radius_find_the_same_flare() -> None:
    ball, state = ball_of()
    ball = replace(ball, intermediate_m=0.02 * INCH_M)
    a, b = (flare_of(ball, replace(state, radius_m=Estimate(0.1091 + less)), STYLE, PRIORS) for less in (0.0, -2e-6))
    assert a is b


def test_flare_sets_how_much_of_its_own_film_a_ball_carries_and_nothing_else() -> None:
    ball, state = ball_of()
    grips = [
        grip(replace(ball, differential_m=d * INCH_M, intermediate_m=i * INCH_M), state, PRIORS, STYLE, 25e-6)
        for d, i in ((0.0, 0.0), (0.02, 0.0), (0.05, 0.0), (0.05, 0.02))
    ]
    gains = [float(g.pick_up[0]) for g in grips]
    assert gains[0] == pytest.approx(0.1 / 0.3)
    assert gains[0] > gains[1] > gains[3] > gains[2] > 0.0
    for name in ("mu_dry", "mu_oil", "sigma_m", "film_scale", "film_on_ball_m"):
        assert len({float(getattr(g, name)[0]) for g in grips}) == 1


def test_film_of_earlier_shots_and_this_shots_own_are_kept_apart() -> None:
    wiped, unwiped = grip_of(), grip_of(film_m=0.2e-6)
    assert (wiped.pick_up[0], wiped.pick_up_revs[0]) == (unwiped.pick_up[0], unwiped.pick_up_revs[0])
    assert with_film(unwiped, 0.05e-6).film_on_ball_m == wiped.film_on_ball_m
    dry = bed(house(41, 0.0), True, PRIORS)  # no oil to pick up: only what was left on the ball acts
    own = [replace(g, pick_up=g.pick_up * share) for g in (wiped, unwiped) for share in (0.0, 1.0)]
    landing = [batch(dry, body_of(ball_of()[0]), STYLE.on(LINE), g).landing_m[0] for g in own]
    assert landing[0] == landing[1] > landing[2] == landing[3]


@pytest.mark.common_practice
def test_a_fifth_of_a_micrometre_on_the_ball_costs_two_or_three_boards_and_two_feet() -> None:
    # our own calibration target: 0.2 μm held constant, against the reference ball wiped, on the usual line
    runs = [
        batch(bed(house(), True, PRIORS), body_of(ball_of()[0]), STYLE.on(LINE), grip_of(film_m=f))
        for f in (0.0, 0.2e-6)
    ]
    wiped, unwiped = runs
    assert 2.0 < (wiped.landing_m[0] - unwiped.landing_m[0]) / BOARD_M < 3.0
    assert 1.5 < (unwiped.breakpoint_m[0] - wiped.breakpoint_m[0]) / FOOT_M < 2.5
