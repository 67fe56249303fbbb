"""The rings a track is made of, from the rigid body, against the closed forms of a symmetric core."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from arsenal.kernels import flare, rigid, track

INCH = 0.0254
RADIUS = 4.2965 * INCH
LOW = 2.48 * INCH
BAND = 7e-3
TURN = 2.0 * math.pi


def turning(k2: rigid.Vector, theta: float, delta: float = 0.9, *, tilt: float = 0.0, a_turn: int = 24) -> rigid.Motion:
    """Fourteen free revolutions about an axis θ from the pin and δ from the mass bias, tilted up by `tilt`."""
    body = (math.cos(theta), math.sin(theta) * math.sin(delta), math.sin(theta) * math.cos(delta))
    space = (0.0, math.cos(tilt), math.sin(tilt))
    spin = (0.0, TURN * space[1], TURN * space[2])
    return rigid.free(k2, spin, rigid.facing(body, space), 1.0 / a_turn, 15 * a_turn)


@given(st.floats(0.02, 0.06), st.floats(15.0, 75.0), st.floats(0.0, 20.0))
@settings(max_examples=10, deadline=None)
def test_rings_of_a_symmetric_core_lie_as_far_apart_as_the_closed_form_says(
    differential: float, degrees: float, tilt: float
) -> None:
    # a ring is drawn about the angular momentum, which lies farther from the pin than the spin by a share a cos² θ of
    # sin θ, a the anisotropy (5 % at most): the closed form knows the spin alone
    k2 = rigid.squared_rgs(LOW, differential * INCH, 0.0)
    theta = math.radians(degrees)
    apart = track.distances(track.track(turning(k2, theta, tilt=math.radians(tilt)), k2), RADIUS)
    spacing = flare.ring_spacing(RADIUS, theta, LOW, differential * INCH)
    spacing *= 1.0 + flare.anisotropy(LOW, differential * INCH) * math.cos(theta) ** 2
    assert apart.max(axis=1) == pytest.approx(spacing, rel=0.01)
    assert track.shares_open(apart, BAND).mean() == pytest.approx(flare.openness(spacing, BAND), abs=0.01)


def test_every_ring_crosses_the_one_before_where_it_lies_closest() -> None:
    # the bow tie: distances along a ring go as |sin ψ| from the crossing
    k2 = rigid.squared_rgs(LOW, 0.04 * INCH, 0.0)
    ring = track.distances(track.track(turning(k2, math.pi / 4), k2), RADIUS)[5]
    crossing = int(ring.argmin())
    psi = (np.arange(ring.size) - crossing) * TURN / ring.size
    assert ring == pytest.approx(ring.max() * np.abs(np.sin(psi)), abs=0.1 * ring.max())


def test_without_differential_every_ring_is_the_same_great_circle() -> None:
    k2 = (LOW**2,) * 3
    found = track.track(turning(k2, 0.7), k2)
    assert np.abs((found.axis * found.contact).sum(axis=2)).max() < 1e-12
    apart = track.distances(found, RADIUS)
    assert apart.max() < 1e-12
    assert track.shares_open(apart, BAND) == pytest.approx(1.0)


def test_a_ball_that_turns_about_a_principal_axis_draws_one_ring() -> None:
    k2 = rigid.squared_rgs(LOW, 0.05 * INCH, 0.02 * INCH)
    for theta, delta in ((0.0, 0.0), (math.pi / 2, 0.0)):
        assert track.distances(track.track(turning(k2, theta, delta), k2), RADIUS).max() < 1e-9


def test_twelve_steps_a_revolution_draw_the_rings_of_two_hundred() -> None:
    k2 = rigid.squared_rgs(LOW, 0.06 * INCH, 0.025 * INCH)
    few, many = (track.distances(track.track(turning(k2, 0.8, a_turn=n), k2), RADIUS)[:13] for n in (12, 200))
    assert few == pytest.approx(many, abs=1e-4)


def test_less_than_a_revolution_is_no_ring() -> None:
    k2 = (LOW**2,) * 3
    with pytest.raises(ValueError, match="no ring"):
        track.track(rigid.free(k2, (0.0, TURN, 0.0), (1.0, 0.0, 0.0, 0.0), 0.1, 9), k2)


def test_a_sliding_ball_draws_the_rings_of_a_free_one() -> None:
    # the pull turns once around in the ball while it turns once, and so hardly moves the axis in it
    k2 = rigid.squared_rgs(LOW, 0.05 * INCH, 0.0)
    body = (math.cos(math.pi / 4), 0.0, math.sin(math.pi / 4))
    axis = (-math.sin(0.75), math.cos(0.75), 0.0)
    throw = rigid.Throw(0.5, (8.0, -0.33), (43.6 * axis[0], 43.6 * axis[1], 0.0), rigid.facing(body, axis))
    pull = rigid.coulomb(lambda _x, _y: 0.04, RADIUS, 9.80665, 5e-3)
    slid = rigid.down_lane(k2, RADIUS, throw, pull, 12.2, 1e-3)
    apart = track.distances(track.track(slid, k2), RADIUS)
    assert apart.shape[0] >= 9
    assert apart.max(axis=1) == pytest.approx(flare.ring_spacing(RADIUS, math.pi / 4, LOW, 0.05 * INCH), rel=0.03)
