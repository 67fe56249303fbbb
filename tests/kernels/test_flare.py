"""Flare: rings of the track from RG, differential and pin-to-axis."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.kernels import flare

INCH = 0.0254
RADIUS = 4.2965 * INCH


@pytest.mark.parametrize(("differential", "spacing"), [(0.02, 0.215), (0.04, 0.425), (0.05, 0.528), (0.06, 0.630)])
def test_ring_spacing_at_the_widest_pin(differential: float, spacing: float) -> None:
    # source: exact for free rotation of a symmetric core, d = πR sin 2θ (k_hi² − k_lo²)/k_hi²; low RG 2.48 in, θ 45°
    found = flare.ring_spacing(RADIUS, math.pi / 4, 2.48 * INCH, differential * INCH)
    assert found / INCH == pytest.approx(spacing, abs=6e-4)


def test_the_widest_flare_lies_at_three_and_three_eighths_inches() -> None:
    # source: exact geometry, an arc of 45° on a ball of 4.2965 in radius
    assert flare.axis_angle(3.375 * INCH, RADIUS) == pytest.approx(math.pi / 4, abs=1e-3)


@given(st.floats(0.0, math.pi / 2))
def test_no_pin_position_flares_more_than_45_degrees(angle: float) -> None:
    most = flare.ring_spacing(RADIUS, math.pi / 4, 2.48 * INCH, 0.05 * INCH)
    assert flare.ring_spacing(RADIUS, angle, 2.48 * INCH, 0.05 * INCH) <= most * (1.0 + 1e-12)


@given(st.floats(0.0, 0.03))
def test_openness_is_the_mean_over_the_ring(spacing: float) -> None:
    psi = (np.arange(40_000) + 0.5) * math.pi / 40_000
    mean = np.maximum(0.0, 1.0 - spacing / 7e-3 * np.abs(np.sin(psi))).mean()
    assert flare.openness(spacing, 7e-3) == pytest.approx(mean, abs=1e-6)


def test_a_ball_without_differential_rolls_on_the_same_ring() -> None:
    assert flare.ring_spacing(RADIUS, 1.0, 2.48 * INCH, 0.0) == 0.0
    assert flare.openness(0.0, 7e-3) == 1.0


def test_pick_up_settles_where_the_revolutions_do() -> None:
    film = 0.0
    for _ in range(60):
        film = 0.8 * (0.7 * film + 0.1 * 2e-6)
    gain, revolutions = flare.pick_up(0.8, 0.7, 0.1)
    assert gain * 2e-6 == pytest.approx(film, rel=1e-9)
    assert math.exp(-1.0 / revolutions) == pytest.approx(0.8 * 0.7)


def test_ring_spacing_is_how_far_the_axis_goes_in_a_revolution() -> None:
    angle, spin = 0.6, 45.0
    circled = flare.migration_rate(spin, angle, 2.48 * INCH, 0.05 * INCH) * 2.0 * math.pi / spin
    found = flare.ring_spacing(RADIUS, angle, 2.48 * INCH, 0.05 * INCH)
    assert found == pytest.approx(RADIUS * math.sin(angle) * circled)


def by_revolutions(open_share: float, lane: np.ndarray) -> np.ndarray:
    """Film on the ball after each revolution over `lane` (m), h → o (0.7 h + 0.1 h_lane), nothing at first."""
    held = np.zeros(lane.size + 1)
    for j, height in enumerate(lane):
        held[j + 1] = open_share * (0.7 * held[j] + 0.1 * height)
    return held


def filtered(open_share: float, lane: np.ndarray, inside: int) -> np.ndarray:
    """The first-order filter with pick_up's two numbers, `inside` exact steps a revolution of a lane even in each."""
    gain, revolutions = flare.pick_up(open_share, 0.7, 0.1)
    keeps = math.exp(-1.0 / (revolutions * inside))
    held = np.zeros(lane.size * inside + 1)
    for j, height in enumerate(np.repeat(lane, inside)):
        held[j + 1] = keeps * held[j] + (1.0 - keeps) * gain * height
    return held


@pytest.mark.parametrize("open_share", [0.15, 0.5, 1.0])
def test_the_filter_goes_through_the_revolutions_on_a_film_that_steps(open_share: float) -> None:
    lane = np.repeat([2.5e-6, 1.2e-6, 0.0], [6, 5, 6])
    steps, smooth = by_revolutions(open_share, lane), filtered(open_share, lane, 8)
    assert smooth[::8] == pytest.approx(steps, abs=1e-12)
    between = np.minimum(steps[:-1], steps[1:])[:, None] - 1e-12, np.maximum(steps[:-1], steps[1:])[:, None] + 1e-12
    inside = smooth[:-1].reshape(lane.size, 8)
    assert np.all((inside >= between[0]) & (inside <= between[1]))


@given(st.floats(0.05, 1.0), st.floats(0.0, 1.0))
def test_a_step_within_a_revolution_leaves_the_filter_less_than_one_pick_up_away(open_share: float, at: float) -> None:
    # ring by ring the film jumps once a revolution; the filter never differs by more than what one revolution takes
    inside, step = 40, 2.0e-6
    first = round(at * inside)
    gain, revolutions = flare.pick_up(open_share, 0.7, 0.1)
    keeps = math.exp(-1.0 / (revolutions * inside))
    smooth, ring = 0.0, np.zeros(inside)
    for j in range(first, first + 12 * inside):  # the lane is wet from place `first` of the first ring on
        smooth = keeps * smooth + (1.0 - keeps) * gain * step
        ring[j % inside] = open_share * (0.7 * ring[j % inside] + 0.1 * step)
        assert abs(smooth - ring[j % inside]) <= open_share * 0.1 * step * (1.0 + 1e-9)
    assert smooth == pytest.approx(ring[first % inside], rel=0.02)
