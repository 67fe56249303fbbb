"""Boards of the order against paths integrated by SciPy from the textbook equations, written out here once more.

Full velocity and spin in the lane's plane, Coulomb friction opposite the slip (UC Davis sports biomechanics lab), mixed
lubrication with load shared by asperities, ξ = (1 + λ^1.517)^−1.327; none of the program's path or friction code.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from a_set import HOUSE, LINE, PRIORS, STYLE, bowler, owned
from scipy.integrate import solve_ivp

from arsenal import motion
from arsenal.order import order
from arsenal.order import shot as shots
from arsenal.order.compare import Reaction, overlap
from arsenal.order.parting import part, reaction
from arsenal.surface import after_work
from arsenal.surface.state import SurfaceState
from arsenal.trade import Ball, Cover, Line
from arsenal.trade.units import BOARD_M, DEGREE_RAD, GRAVITY_MPS2, LANE_LENGTH_M, board_to_lateral_m

SET = [
    owned(1, Cover.SOLID, 2000.0), owned(2, Cover.SOLID, 500.0), owned(3, Cover.PEARL, 4000.0, film_m=0.2e-6),
    owned(4, Cover.URETHANE, 1000.0, rg_m=0.066),
]  # fmt: skip


def landing_by_scipy(ball: Ball, state: SurfaceState, line: Line) -> float:
    """Where the ball's centre passes the head pin: v and ω integrated in time, with friction met on the way."""
    bed = motion.bed(HOUSE, True, PRIORS)
    g = motion.grip(ball, state, PRIORS, STYLE, 25e-6)
    dry, oil, sigma, scale, on_ball, gain = (
        float(a[0]) for a in (g.mu_dry, g.mu_oil, g.sigma_m, g.film_scale, g.film_on_ball_m, g.pick_up)
    )
    turn = 2.0 * math.pi * STYLE.speed_mps / STYLE.rev_rate_radps
    length = float(g.pick_up_revs[0]) * min(max(turn, 2.0 * math.pi * ball.radius_m), 3.0)
    r, k = ball.radius_m, ball.rg_m
    roll = line.launch_rad + STYLE.axis_rotation_rad
    surface = r * STYLE.rev_rate_radps * math.cos(STYLE.axis_tilt_rad)

    def rate(_: float, z: np.ndarray) -> list[float]:
        x, y, vx, vy, wx, wy, own = z
        film = float(bed.height_m(x, y))
        lam = (scale * film + own + on_ball) / sigma
        share = (1.0 + lam**1.517) ** -1.327
        mu = share * dry + (1.0 - share) * oil
        ux, uy = vx - r * wx, vy - r * wy  # wx, wy: spin that carries the contact along x and y
        slip = math.hypot(ux, uy)
        fx, fy = (-mu * GRAVITY_MPS2 * ux / slip, -mu * GRAVITY_MPS2 * uy / slip) if slip > 1e-9 else (0.0, 0.0)
        spin = -r / (k * k)
        return [vx, vy, fx, fy, spin * fx, spin * fy, vx * (gain * film - own) / length]

    def rolls(_: float, z: np.ndarray) -> float:
        return float(math.hypot(z[2] - r * z[4], z[3] - r * z[5]) - 1e-3)

    def at_pins(_: float, z: np.ndarray) -> float:
        return float(z[0] - LANE_LENGTH_M)

    rolls.terminal = at_pins.terminal = True  # type: ignore[attr-defined]
    start = [
        0.0, line.lateral_m, STYLE.speed_mps * math.cos(line.launch_rad), STYLE.speed_mps * math.sin(line.launch_rad),
        surface * math.cos(roll) / r, surface * math.sin(roll) / r, 0.0,
    ]  # fmt: skip
    done = solve_ivp(rate, (0.0, 5.0), start, events=(rolls, at_pins), rtol=1e-8, atol=1e-10, max_step=0.02)
    x, y, vx, vy = done.y[:4, -1]
    return float(y + (LANE_LENGTH_M - x) * vy / vx)


@pytest.mark.parametrize("line", [LINE, Line(board_to_lateral_m(24.0), -3.0 * DEGREE_RAD)])
def test_boards_stronger_agree_with_an_independent_integration(line: Line) -> None:
    found = order(bowler(1), HOUSE, SET, PRIORS, line=line, rooms=False, draws=5)
    zero = landing_by_scipy(*SET[0], line)
    for row in found.rows:
        expected = (landing_by_scipy(row.ball, row.state, line) - zero) / BOARD_M
        assert row.boards == pytest.approx(expected, abs=0.06)


def test_the_spread_of_the_order_is_the_spread_of_balls_thrown_one_by_one() -> None:
    """10th and 90th percentile against single paths traced ball by ball with the same normals."""
    found = order(bowler(1), HOUSE, SET[:2], PRIORS, line=LINE, rooms=False, draws=25)
    shot = shots.shared_shot(bowler(1), HOUSE, PRIORS, line=LINE, seed=1, draws=25)
    pieces = [shots.piece(shot, b, s, shots.normals_of(b.id, 1, 25)) for b, s in SET[:2]]
    boards = []
    for i in range(25):
        t = shot.thrown
        told = (t.speed_mps, t.rev_rate_radps, t.axis_rotation_rad, t.axis_tilt_rad, t.launch_rad, t.lateral_m)
        release = motion.Release(*(float(column[i]) for column in told))
        ends = [
            motion.trace(shot.stack.of(i), motion.body_of(b, s), release, p.grip.take(slice(i, i + 1))).landing_m
            for (b, s), p in zip(SET[:2], pieces, strict=True)
        ]
        boards.append((ends[1] - ends[0]) / BOARD_M)
    row = next(r for r in found.rows if r.ball.id == 2)
    assert (row.boards_low, row.boards_high) == pytest.approx(tuple(np.percentile(boards, [10, 90])), abs=0.01)


def test_the_pad_that_is_said_to_part_two_balls_parts_them() -> None:
    pair = [owned(1, Cover.SOLID, 2000.0), owned(2, Cover.SOLID, 2100.0)]
    shot = shots.shared_shot(bowler(1), HOUSE, PRIORS, line=LINE, seed=1, draws=5)
    zero = shots.mean_trace(shot, *pair[0]).landing_m
    reactions: dict[int, Reaction] = {b.id: reaction(b.id, shots.mean_trace(shot, b, s), zero) for b, s in pair}
    assert overlap(reactions[1], reactions[2])
    found = part(shot, pair[1:], (1, 2), reactions, zero)
    assert found is not None
    after = after_work(*pair[1], found.recipe.steps, PRIORS)
    again = order(bowler(1), HOUSE, [pair[0], (pair[1][0], after)], PRIORS, line=LINE, rooms=False, draws=5)
    assert again.overlaps == ()
    assert next(r for r in again.rows if r.ball.id == 2).boards == pytest.approx(found.boards, abs=1e-3)
