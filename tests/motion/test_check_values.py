"""Motion against published worked examples and what follows exactly from the equations."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from arsenal.motion import Body, Friction, Path, Release, grid, roll, steps, word_of
from arsenal.trade.units import (
    BOARD_M,
    DEGREE_RAD,
    FOOT_M,
    INCH_M,
    MPH_MPS,
    RPM_RADPS,
    board_to_lateral_m,
    lateral_m_to_board,
    mirror_board,
)

RADIUS = 4.2965 * INCH_M
USUAL = Body(radius_m=RADIUS, mass_kg=6.8, rg_m=2.50 * INCH_M)


def thrown(mph: float, rpm: float, rotation: float = 45.0, launch: float = 0.0, board: float = 20.0) -> Release:
    return Release(
        mph * MPH_MPS, rpm * RPM_RADPS, rotation * DEGREE_RAD, 0.0, launch * DEGREE_RAD, board_to_lateral_m(board)
    )


def oiled(mu: float) -> Friction:
    return steps([(0.0, mu), (40.0 * FOOT_M, 0.20)])


def heading(path: Path, time_s: float) -> float:
    vx, vy = path.at_time(time_s).velocity_mps
    return math.degrees(math.atan2(vy, vx))


BENCHMARK_BALL = Body(radius_m=0.10795, mass_kg=6.35, rg_m=math.sqrt(0.0296 / 6.35))
UNIFORM = {
    "closed form": steps([(0.0, 0.12)]),
    "cell by cell": grid(np.full((7, 5), 0.12), np.linspace(0.0, 18.3, 7), np.linspace(-0.1, 1.06, 5)),
}


@pytest.mark.parametrize("friction", UNIFORM.values(), ids=UNIFORM.keys())
class TestOpenMultibodyBenchmark:
    """Source: the bowling_ball benchmark of the drake robotics toolkit (closed form; roll at 2.054 ± 0.002 s there)."""

    @staticmethod
    def path(friction: Friction) -> Path:
        return roll(BENCHMARK_BALL, Release(8.0, 8.0 * math.pi, math.pi / 2), friction, gravity_mps2=9.8)

    def test_after_one_second(self, friction: Friction) -> None:
        at = self.path(friction).at_time(1.0)
        assert (at.distance_m, at.lateral_m) == pytest.approx((7.44315099, 0.188846948), abs=2e-7)
        assert tuple(at.velocity_mps) == pytest.approx((6.88630198, 0.377693896), abs=2e-7)

    def test_where_it_rolls(self, friction: Friction) -> None:
        path = self.path(friction)
        assert path.roll_time_s == pytest.approx(2.0524, abs=5e-5)
        assert path.roll_time_s == pytest.approx(2.054, abs=2e-3)
        beta = 0.0296 / (6.35 * 0.10795**2)
        slip = math.hypot(8.0, 8.0 * math.pi * 0.10795)
        assert path.roll_time_s == pytest.approx(slip * beta / ((1.0 + beta) * 0.12 * 9.8), abs=2e-7)
        at = path.at_time(path.roll_time_s)
        assert tuple(at.velocity_mps) == pytest.approx((5.71423797, 0.775181741), abs=2e-7)

    def test_while_it_rolls(self, friction: Friction) -> None:
        at = self.path(friction).at_time(2.4)
        assert (at.distance_m, at.lateral_m) == pytest.approx((16.0598286, 1.06494181), abs=2e-7)
        assert tuple(at.velocity_mps) == pytest.approx((5.71423797, 0.775181741), abs=2e-7)


def test_the_worked_engineering_example_slides_its_distance() -> None:
    # source: worked engineering-dynamics problem: circumference 27 in, RG 3.28 in, 20 ft/s, no spin, μ 0.20, 32.2 ft/s²
    body = Body(radius_m=27.0 * INCH_M / (2.0 * math.pi), mass_kg=7.0, rg_m=3.28 * INCH_M)
    path = roll(body, Release(20.0 * FOOT_M, 0.0, 0.0), steps([(0.0, 0.20)]), gravity_mps2=32.2 * FOOT_M)
    assert path.roll_distance_m is not None
    assert path.roll_distance_m / FOOT_M == pytest.approx(18.6566, abs=1e-3)


@given(st.floats(2.0, 10.0), st.floats(0.05, 0.4))
def test_a_uniform_sphere_without_spin_follows_the_textbook_rule(speed: float, mu: float) -> None:
    # source: rigid-body textbook rule, v = 5/7 v₀ after t = 2v₀/(7μg) and 12v₀²/(49μg)
    body = Body(radius_m=0.1, mass_kg=5.0, rg_m=0.1 * math.sqrt(0.4))
    path = roll(body, Release(speed, 0.0, 0.0), steps([(0.0, mu)]), length_m=400.0, gravity_mps2=9.81)
    assert path.roll_time_s == pytest.approx(2.0 * speed / (7.0 * mu * 9.81), rel=1e-12)
    assert path.roll_distance_m == pytest.approx(12.0 * speed**2 / (49.0 * mu * 9.81), rel=1e-12)
    assert path.velocity_mps[-1, 0] == pytest.approx(5.0 / 7.0 * speed, rel=1e-12)


@given(st.lists(st.floats(0.02, 0.3), min_size=12, max_size=12), st.floats(0.01, 0.3))
@settings(max_examples=40, deadline=None)
def test_the_rolling_velocity_does_not_depend_on_the_friction_met(values: list[float], mu: float) -> None:
    # source: Broholm, lecture notes, Johns Hopkins 1997 (angular momentum about a point of the lane)
    uneven = grid(np.reshape(values, (4, 3)), [0.0, 5.0, 11.0, 18.0], [0.0, 0.5, 1.05])
    stepped = steps([(0.0, values[0]), (5.0, values[1]), (11.0, values[2])])
    frictions = (uneven, stepped, steps([(0.0, mu)]))
    ends = [roll(USUAL, thrown(17.9, 416), friction, length_m=400.0).velocity_mps[-1] for friction in frictions]
    assert tuple(ends[0]) == pytest.approx(tuple(ends[2]), rel=1e-10)
    assert tuple(ends[1]) == pytest.approx(tuple(ends[2]), rel=1e-10)


def test_rolling_speed_and_turn_of_the_usual_release() -> None:
    # source: follows exactly from the equations (17.9 mph, 416 rpm, 45°, RG 2.50 in, R 4.2965 in)
    path = roll(USUAL, thrown(17.9, 416), steps([(0.0, 0.12)]))
    assert math.hypot(*path.velocity_mps[-1]) / MPH_MPS == pytest.approx(15.39, abs=5e-3)
    assert heading(path, path.time_s[-1]) == pytest.approx(7.10, abs=5e-3)


@pytest.mark.parametrize(
    ("mu", "rolls_ft", "hook_in"),
    [
        (0.02, 54.0, 26.3), (0.03, 52.0, 31.4), (0.04, 50.0, 36.3),
        (0.05, 48.0, 41.0), (0.06, 46.0, 45.5), (0.08, 42.0, 53.7),
    ],
)  # fmt: skip
def test_oil_friction_moves_the_roll_and_the_hook(mu: float, rolls_ft: float, hook_in: float) -> None:
    # source: follows exactly from the equations, μ to 40 ft and 0.20 beyond, g 9.80665
    path = roll(USUAL, thrown(17.9, 416), oiled(mu))
    assert path.roll_distance_m is not None
    assert path.roll_distance_m / FOOT_M == pytest.approx(rolls_ft, abs=0.06)
    assert (path.lateral_m[-1] - path.lateral_m[0]) / INCH_M == pytest.approx(hook_in, abs=0.06)


@pytest.mark.parametrize(("rg", "share"), [(2.46, 0.2469), (2.50, 0.2529), (2.60, 0.2680), (2.80, 0.2981)])
def test_share_of_the_slip_that_speed_pays(rg: float, share: float) -> None:
    # source: follows exactly, β/(1 + β) at R 4.2965 in; a ball thrown without spin loses just that share
    path = roll(Body(RADIUS, 7.0, rg * INCH_M), Release(8.0, 0.0, 0.0), steps([(0.0, 0.3)]), length_m=60.0)
    assert 1.0 - path.velocity_mps[-1, 0] / 8.0 == pytest.approx(share, abs=5e-5)


@pytest.mark.parametrize("mu", [0.03, 0.04, 0.05])
@pytest.mark.parametrize(("mph", "rpm"), [(18.61, 436), (17.83, 297)], ids=["men", "women"])
def test_the_mean_releases_take_their_time_to_the_pins(mph: float, rpm: float, mu: float) -> None:
    # source: mean releases of a televised professional league, 2020 (30 men, 10 women); 2.0 to 2.6 s is common practice
    path = roll(USUAL, thrown(mph, rpm), oiled(mu))
    assert path.reaches_pins
    assert 2.0 < path.time_s[-1] < 2.6


@pytest.mark.parametrize(
    ("mph", "rpm", "loses"), [(18.61, 436, 2.6), (17.83, 297, 3.1), (16.5, 120, 3.6)], ids=["men", "women", "slow"]
)
def test_speed_lost_between_hand_and_pins(mph: float, rpm: float, loses: float) -> None:
    # source: coaching press, 2 to 2.5 mph or 2.5 to 3; at 45° what a release loses follows exactly. Men and women are
    # the means of a televised professional league, 2020. Slow and few revs comes without numbers: 16.5 mph and 120 rpm
    # are our own reading of it
    path = roll(USUAL, thrown(mph, rpm), oiled(0.04))
    lost = mph - math.hypot(*path.velocity_mps[-1]) / MPH_MPS
    assert lost == pytest.approx(loses, abs=0.06)


def test_the_best_entry_meets_the_head_pin_off_centre() -> None:
    # source: USBC pin-carry study 2009 as restated in the press; Hooper, Physics Today, Oct 2025: 6 to 6.8 cm
    assert 0.06 <= (20.0 - 17.5) * BOARD_M <= 0.068
    assert [word_of(board_to_lateral_m(b)) for b in (17.0, 17.5, 18.0)] == ["flush"] * 3


def test_a_published_simulation_reaches_the_pocket() -> None:
    # source: simulation study of 2025, conditions as reported in the press: board 12, 17.9 mph, 416 rpm, 45°,
    # 1.8° toward the channel, RG 2.50 in, 0.20 beyond 40 ft; board 17½ at about 5° for some oil friction of 0.02–0.035.
    # “From the hand side” is read as counted from the bowler's own gutter, the ball's centre over the board's centre
    release = thrown(17.9, 416, launch=-1.8, board=12.0)

    def boards_high(mu: float) -> float:
        return lateral_m_to_board(float(roll(USUAL, release, oiled(mu)).lateral_m[-1])) - 17.5

    mu = brentq(boards_high, 0.02, 0.035)
    path = roll(USUAL, release, oiled(mu))
    assert mu == pytest.approx(0.0244, abs=1e-4)
    assert heading(path, path.time_s[-1]) == pytest.approx(5.0, abs=0.5)
    assert path.left_lane_m is None


def test_counted_from_the_other_gutter_the_published_simulation_misses_the_pocket() -> None:
    # board 28 from the own gutter: even the least oil friction reported ends far beyond the head pin
    release = thrown(17.9, 416, launch=-1.8, board=mirror_board(12.0))
    assert lateral_m_to_board(float(roll(USUAL, release, oiled(0.02)).lateral_m[-1])) > 25.0


def test_a_ball_of_27_inches_round_has_its_diameter() -> None:
    # source: geometry; USBC gives 26.704 to 27.002 in round and 8.500 to 8.595 in across
    assert 26.704 / math.pi == pytest.approx(8.500, abs=1e-3)
    assert 27.002 / math.pi == pytest.approx(8.595, abs=1e-3)
