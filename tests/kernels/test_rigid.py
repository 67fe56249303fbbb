"""A ball with three radii of gyration, turning free and sliding down a lane: closed forms and another engine."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ellipj

from arsenal.kernels import flare, rigid

INCH = 0.0254
RADIUS = 4.2965 * INCH
LOW = 2.48 * INCH
TURN = 2.0 * math.pi
UPRIGHT = (1.0, 0.0, 0.0, 0.0)
COREY = rigid.squared_rgs(LOW, 0.06 * INCH, 0.025 * INCH)
"""An asymmetric core near the most a rule book lets pass."""


def started(k2: rigid.Vector, spin: tuple[float, float, float], turns: int, a_turn: int) -> rigid.Motion:
    """Free, body axes along space axes at first, `turns` revolutions at 7 a second."""
    return rigid.free(k2, spin, UPRIGHT, 1.0 / (7.0 * a_turn), turns * a_turn)


def about(theta: float, delta: float) -> tuple[float, float, float]:
    """Seven revolutions a second, θ from the pin, δ from the mass bias around it."""
    rate = 7.0 * TURN
    return (
        rate * math.cos(theta), rate * math.sin(theta) * math.sin(delta), rate * math.sin(theta) * math.cos(delta)
    )  # fmt: skip


@given(st.floats(0.05, 1.5), st.floats(-3.1, 3.1))
@settings(max_examples=10, deadline=None)
def test_a_free_ball_keeps_its_energy_and_its_angular_momentum(theta: float, delta: float) -> None:
    # invariants of free rotation (general textbooks on rigid-body motion)
    motion = started(COREY, about(theta, delta), 15, 24)
    energy, spin = rigid.energy(motion, COREY), rigid.spin_in_body(motion, COREY)
    size = np.sqrt((spin**2 * np.array(COREY) ** 2).sum(axis=1))
    assert np.ptp(energy) < 3e-7 * energy[0]
    assert np.ptp(size) < 1e-13 * size[0]
    assert np.ptp(motion.momentum, axis=0).max() == 0.0
    assert np.abs((motion.orientation**2).sum(axis=1) - 1.0).max() < 1e-14


def test_half_the_step_leaves_a_sixteenth_of_the_error() -> None:
    spin = about(0.8, 0.9)
    ends = [started(COREY, spin, 10, n).orientation[-1] for n in (24, 48, 384)]
    coarse, fine = (float(np.abs(q - ends[2]).max()) for q in ends[:2])
    assert 12.0 < coarse / fine < 40.0
    assert fine < 1e-6


@pytest.mark.parametrize("degrees", [15.0, 45.0, 70.0])
def test_the_axis_of_a_symmetric_core_circles_the_pin_at_the_rate_of_the_closed_form(degrees: float) -> None:
    # exact for a symmetric core: Ω = ω cos θ (k_hi² − k_lo²)/k_hi²
    theta, differential = math.radians(degrees), 0.05 * INCH
    k2 = rigid.squared_rgs(LOW, differential, 0.0)
    motion = started(k2, about(theta, 0.0), 15, 96)
    spin = rigid.spin_in_body(motion, k2)
    circled = np.unwrap(np.arctan2(spin[:, 1], spin[:, 2]))
    rate = flare.migration_rate(7.0 * TURN, theta, LOW, differential)
    assert np.abs(np.abs(circled) - rate * motion.t).max() < 1e-7
    assert np.arccos(spin[:, 0] / (7.0 * TURN)) == pytest.approx(theta, abs=1e-8)


@pytest.mark.parametrize(("theta", "delta"), [(0.35, 0.4), (1.2, 0.3), (0.9, -0.8), (1.35, 1.2)])
def test_a_free_asymmetric_core_turns_as_jacobis_functions_say(theta: float, delta: float) -> None:
    # source: Landau & Lifshitz, Mechanics, § 37, the asymmetrical top; elliptic functions by SciPy
    motion = started(COREY, about(theta, delta), 15, 96)
    spin = rigid.spin_in_body(motion, COREY)
    assert spin == pytest.approx(_free_spin(COREY, spin[0], motion.t), abs=1e-7 * 7.0 * TURN)
    assert np.ptp(spin, axis=0).max() > 0.2 * 7.0 * TURN


def _free_spin(k2: rigid.Vector, spin: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Angular velocity (n, 3) of a free body, k₁² < k₂² < k₃², as cn, sn and dn of a shifted time."""
    order = list(range(3))
    i = np.array(k2)
    twice, square = float((i * spin**2).sum()), float((i**2 * spin**2).sum())
    if square < twice * i[1]:  # circles the low axis: the book's formulas with axes 1 and 3 exchanged
        order = [2, 1, 0]
    i1, i2, i3 = i[order]
    w = spin[order]
    a1 = math.sqrt((twice * i3 - square) / (i1 * (i3 - i1)))
    a2 = math.sqrt((twice * i3 - square) / (i2 * (i3 - i2)))
    a3 = math.sqrt((square - twice * i1) / (i3 * (i3 - i1)))
    rate = math.sqrt((i3 - i2) * (square - twice * i1) / (i1 * i2 * i3))
    m = (i2 - i1) * (twice * i3 - square) / ((i3 - i2) * (square - twice * i1))
    hand = math.copysign(1.0, w[2])  # the axis it circles keeps its sign, and the middle one takes it
    phi = math.atan2(hand * w[1] / a2, w[0] / a1)
    grid = np.linspace(0.0, phi, 20_001)
    shift = float(np.trapezoid(1.0 / np.sqrt(1.0 - m * np.sin(grid) ** 2), grid))
    sn, cn, dn, _ = ellipj(rate * t + shift, m)
    found = np.empty((t.size, 3))
    found[:, order[0]], found[:, order[1]], found[:, order[2]] = a1 * cn, hand * a2 * sn, hand * a3 * dn
    return found


def test_only_the_middle_axis_does_not_hold() -> None:
    # Euler: stable about the axes of the smallest and the largest RG, unstable about the middle one
    pushed = 1e-3 * 7.0 * TURN
    for main, holds in ((0, True), (1, False), (2, True)):
        spin = [pushed] * 3
        spin[main] = 7.0 * TURN
        axis = rigid.spin_in_body(started(COREY, (spin[0], spin[1], spin[2]), 120, 32), COREY)
        least = float((axis[:, main] / np.sqrt((axis**2).sum(axis=1))).min())
        assert (least > 0.9999) is holds
        assert holds or least < -0.99


def test_a_push_off_the_middle_axis_grows_at_the_rate_of_the_linear_equations() -> None:
    # Euler's equations near the middle axis: rate ω √((k₂² − k₁²)(k₃² − k₂²)/(k₁² k₃²))
    one, two, three = COREY
    rate = 7.0 * TURN * math.sqrt((two - one) * (three - two) / (one * three))
    push = 1e-6 * 7.0 * TURN
    spin = rigid.spin_in_body(started(COREY, (push, 7.0 * TURN, 0.0), 70, 64), COREY)
    t = np.arange(spin.shape[0]) / (7.0 * 64)
    late = (rate * t > 3.0) & (rate * t < 6.0)
    assert np.polyfit(t[late], np.log(np.abs(spin[late, 0])), 1)[0] == pytest.approx(rate, rel=0.01)


@given(st.lists(st.floats(-1.0, 1.0), min_size=6, max_size=6))
def test_a_ball_is_laid_with_any_axis_where_it_should_lie(numbers: list[float]) -> None:
    body, space = (np.array(numbers[i : i + 3]) for i in (0, 3))
    if min(np.abs(body).max(), np.abs(space).max()) < 1e-3:
        return
    body, space = body / np.sqrt(body @ body), space / np.sqrt(space @ space)
    for target in (space, -body, body):
        turn = rigid.turns(np.array([rigid.facing(tuple(body), tuple(target))]))[0]
        assert turn @ body == pytest.approx(target, abs=1e-6)
        assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)


def test_a_middle_rg_never_lies_under_the_low_one() -> None:
    assert rigid.squared_rgs(LOW, 0.05, 0.05) == pytest.approx((LOW**2, LOW**2, (LOW + 0.05) ** 2))
    assert rigid.squared_rgs(LOW, 0.01, 0.02)[1] == LOW**2


def even(_x: float, _y: float) -> float:
    return 0.12


def test_with_one_rg_it_slides_and_rolls_as_the_open_multibody_benchmark() -> None:
    # source: benchmark `bowling_ball` of the drake robotics toolkit: R 0.10795 m, m 6.35 kg, I 0.0296 kg m², μ 0.12,
    # g 9.8, 8 m/s, spin 8π rad/s wholly sideways; state at 1 s and rolling point from its closed form
    radius, k2 = 0.10795, 0.0296 / 6.35
    throw = rigid.Throw(0.0, (8.0, 0.0), (-8.0 * math.pi, 0.0, 0.0), UPRIGHT)
    motion = rigid.down_lane((k2,) * 3, radius, throw, rigid.coulomb(even, radius, 9.8, 1e-3), 17.0, 2e-4)
    assert motion.place[5000] == pytest.approx([7.44315099, 0.188846948], abs=2e-7)
    assert motion.velocity[5000] == pytest.approx([6.88630198, 0.377693896], abs=2e-7)
    assert motion.velocity[-1] == pytest.approx([5.71423797, 0.775181741], abs=1e-6)


def test_friction_only_takes_energy() -> None:
    throw = rigid.Throw(0.5, (8.0, -0.3), (-30.0, 30.0, 8.0), UPRIGHT)
    motion = rigid.down_lane(COREY, RADIUS, throw, rigid.coulomb(even, RADIUS, 9.80665, 2e-3), 18.0, 5e-4)
    energy = rigid.energy(motion, COREY)
    assert np.diff(energy).max() < 1e-8 * energy[0]
    assert energy[-1] < 0.9 * energy[0]


def test_a_ball_that_comes_back_is_given_up_after_half_a_minute() -> None:
    throw = rigid.Throw(0.5, (1.0, 0.0), (0.0, -60.0, 0.0), UPRIGHT)
    motion = rigid.down_lane(COREY, RADIUS, throw, rigid.coulomb(even, RADIUS, 9.80665, 0.05), 18.0, 5e-3)
    assert motion.place[-1, 0] < 0.0
    assert motion.t[-1] == pytest.approx(30.0, abs=0.01)


@pytest.fixture(scope="module")
def mujoco() -> Any:
    return pytest.importorskip("mujoco", reason="MuJoCo is not installed: no second engine to hold the rigid body to")


def engine(mujoco: Any, k2: rigid.Vector, step_s: float) -> tuple[Any, Any]:
    """A body of 6.8 kg in MuJoCo with a free joint, no gravity and no contact, by its Runge–Kutta integrator."""
    inertia = " ".join(f"{6.8 * k:.17g}" for k in k2)
    model = mujoco.MjModel.from_xml_string(
        f'<mujoco><option gravity="0 0 0" integrator="RK4" timestep="{step_s}"/><worldbody><body><freejoint/>'
        f'<inertial pos="0 0 0" mass="6.8" diaginertia="{inertia}"/></body></worldbody></mujoco>'
    )
    return model, mujoco.MjData(model)


@pytest.mark.parametrize("spin", [about(0.8, 0.9), about(1.3, -0.4)], ids=["near the pin", "near the mass bias"])
def test_mujoco_turns_the_same_free_ball_the_same_way(mujoco: Any, spin: rigid.Vector) -> None:
    # source: MuJoCo, an independent rigid-body library
    model, data = engine(mujoco, COREY, 5e-4)
    data.qvel[3:] = spin  # body axes lie along space axes at first
    mujoco.mj_step(model, data, 4000)
    ours = rigid.free(COREY, spin, UPRIGHT, 5e-4, 4000)
    same = math.copysign(1.0, ours.orientation[-1] @ data.qpos[3:])
    assert same * ours.orientation[-1] == pytest.approx(data.qpos[3:], abs=1e-8)
    assert rigid.spin_in_body(ours, COREY)[-1] == pytest.approx(data.qvel[3:], abs=1e-6)


def test_mujoco_slides_and_rolls_the_same_ball_down_the_same_lane(mujoco: Any) -> None:
    # source: MuJoCo, an independent rigid-body library, given Coulomb's force at the contact as an outside force
    spin, velocity, soft, step_s, steps = (-31.0, 30.0, 4.0), (8.0, -0.3), 0.05, 5e-4, 4000
    model, data = engine(mujoco, COREY, step_s)
    data.qvel[:2], data.qvel[3:] = velocity, spin
    lever = np.array([0.0, 0.0, -RADIUS])

    def slip_of(now: Any) -> tuple[np.ndarray, np.ndarray]:
        turn = np.empty(9)
        mujoco.mju_quat2Mat(turn, now.qpos[3:])
        turn = turn.reshape(3, 3)
        return turn, (now.qvel[:3] + np.cross(turn @ now.qvel[3:], lever))[:2]

    def friction(_model: Any, now: Any) -> None:
        turn, slip = slip_of(now)
        force = np.zeros(3)
        force[:2] = -6.8 * 9.80665 * 0.12 * slip / np.sqrt(slip @ slip + soft**2)
        now.qfrc_passive[:3] += force
        now.qfrc_passive[3:] += turn.T @ np.cross(lever, force)

    mujoco.set_mjcb_passive(friction)
    try:
        mujoco.mj_step(model, data, steps)
    finally:
        mujoco.set_mjcb_passive(None)
    throw = rigid.Throw(0.0, velocity, spin, UPRIGHT)
    ours = rigid.down_lane(COREY, RADIUS, throw, rigid.coulomb(even, RADIUS, 9.80665, soft), 17.0, step_s)
    assert np.hypot(*slip_of(data)[1]) < 2.0 * soft
    assert ours.place[steps] == pytest.approx(data.qpos[:2], abs=1e-7)
    assert ours.velocity[steps] == pytest.approx(data.qvel[:2], abs=1e-7)
    assert rigid.spin_in_body(ours, COREY)[steps] == pytest.approx(data.qvel[3:], abs=1e-5)
