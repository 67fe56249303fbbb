"""A move of feet and target with the same ball: the line after it, where it ends, the room it has."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import at_arrows, batch, bed, best_line, body_of, landings, roll, steps
from arsenal.motion.attempts import Attempt, Drawn, ends
from arsenal.motion.beds import beds
from arsenal.motion.moves import USUAL, Move, both_ways, moved_line, try_moves
from arsenal.motion.records import WINDOW_HIGH_M, WINDOW_LOW_M, BestLine
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, DEGREE_RAD, board_to_lateral_m

BODY = body_of(ball_of()[0])
LANE = bed(house(), True, PRIORS)
THROWN = Attempt(BODY, STYLE, grip_of(), LINE)

lines = st.builds(Line, st.floats(0.25, 0.9), st.floats(-5 * DEGREE_RAD, DEGREE_RAD))
half_boards = st.integers(-10, 10).map(lambda n: 0.5 * n)
moves = st.builds(Move, half_boards, half_boards)


@given(lines, moves)
def test_a_move_and_its_reverse_are_nothing(line: Line, move: Move) -> None:
    back = moved_line(moved_line(line, move), move.back)
    assert back.lateral_m == pytest.approx(line.lateral_m, abs=1e-12)
    assert back.launch_rad == pytest.approx(line.launch_rad, abs=1e-9)


@given(lines, half_boards)
def test_a_parallel_move_keeps_the_launch(line: Line, boards: float) -> None:
    moved = moved_line(line, Move(boards, boards))
    assert moved.launch_rad == line.launch_rad
    assert moved.lateral_m == pytest.approx(line.lateral_m + boards * BOARD_M)


@given(lines, moves)
def test_two_and_one_opens_the_line_by_one_board_at_the_arrows(line: Line, move: Move) -> None:
    """Feet and target counted apart: at the arrows the ball passes `target` boards over."""
    moved = moved_line(line, move)
    x = 0.5 * (at_arrows(line)[0] + at_arrows(moved)[0])
    over = moved.lateral_m + x * math.tan(moved.launch_rad) - line.lateral_m - x * math.tan(line.launch_rad)
    assert over / BOARD_M == pytest.approx(move.target_boards, abs=1e-6)


@pytest.mark.parametrize("boards", [-3.0, -1.0, 1.0, 2.0])
def test_on_a_film_alike_on_every_board_a_parallel_move_shifts_the_landing_as_much(boards: float) -> None:
    flat = bed(house(41, 25, 1), True, PRIORS)
    at = Attempt(BODY, STYLE, grip_of(), Line(board_to_lateral_m(22), -1.5 * DEGREE_RAD))
    (moved,) = try_moves(flat, at, [Move(boards, boards)])
    before = ends(flat, [at])
    assert (moved.landing_m.mean - before.landing_m[0]) / BOARD_M == pytest.approx(boards, abs=1e-4)


def test_on_a_dry_lane_a_moved_shot_is_the_exact_path_of_the_moved_line() -> None:
    dry, grip = bed(house(41, 0.0), True, PRIORS), replace(grip_of(), film_on_ball_m=np.zeros(1))
    for moved in try_moves(dry, replace(THROWN, grip=grip), both_ways()):
        path = roll(BODY, STYLE.on(moved.line), steps([(0.0, float(grip.mu_dry[0]))]))
        assert moved.landing_m.mean == pytest.approx(path.lateral_m[-1], abs=5e-4)


def test_a_left_hander_on_the_mirrored_lane_has_the_same_moves() -> None:
    right, left = bed(house(41, 25, 8, 3), True, PRIORS), bed(house(41, 25, 3, 8), False, PRIORS)
    for a, b in zip(try_moves(right, THROWN, both_ways()), try_moves(left, THROWN, both_ways()), strict=True):
        assert a.landing_m.mean == pytest.approx(b.landing_m.mean, abs=1e-9)
        assert a.room == pytest.approx(b.room, abs=1e-9)


def test_room_after_a_move_is_the_share_of_thrown_shots_that_land_in_the_window() -> None:
    found = best_line(LANE, BODY, STYLE, grip_of(), PRIORS)
    assert isinstance(found, BestLine)
    rng, n, s = np.random.default_rng(5), 20_000, STYLE.scatter
    for moved in try_moves(LANE, THROWN.on(found.line), (Move(1, 1), Move(-2, -1))):
        z = rng.standard_normal((5, n))
        throws = landings.thrown(
            STYLE, BODY, moved.line.lateral_m + s.laydown_m * z[0], moved.line.launch_rad + s.launch_rad * z[1]
        )
        throws = landings.changed(
            throws,
            speed_mps=STYLE.speed_mps + s.speed_mps * z[2],
            rev_rate_radps=STYLE.rev_rate_radps * (1.0 + s.revs_fraction * z[3]),
            axis_rotation_rad=STYLE.axis_rotation_rad + s.rotation_rad * z[4],
        )
        landing = batch(LANE, None, throws, grip_of()).landing_m
        thrown = np.mean((landing >= WINDOW_LOW_M) & (landing <= WINDOW_HIGH_M))
        assert moved.room == pytest.approx(thrown, abs=0.012)  # 20,000 shots: sd 0.0035


def test_no_move_at_all_keeps_the_room_of_the_best_line() -> None:
    found = best_line(LANE, BODY, STYLE, grip_of(), PRIORS)
    assert isinstance(found, BestLine)
    (still,) = try_moves(LANE, THROWN.on(found.line), [Move(0, 0)])
    assert still.room_change == 0.0
    assert still.room == pytest.approx(found.room, abs=0.01)


def test_a_line_the_bowler_cannot_play_is_marked() -> None:
    low = Line(STYLE.zone.lateral_low_m, -2 * DEGREE_RAD)
    found = try_moves(LANE, THROWN.on(low), [Move(1, 1), Move(-1, -1)])
    assert [m.in_zone for m in found] == [True, False]


def test_the_doubt_of_a_move_is_that_of_the_change_and_has_a_seed() -> None:
    n = 40
    stack = beds(house(), True, PRIORS, rng=np.random.default_rng(2), n=n)
    grips = grip_of().repeat(n)
    spread = np.exp(0.085 * np.random.default_rng(3).standard_normal(n))
    drawn = Drawn(replace(grips, mu_dry=grips.mu_dry * spread), np.full(n, BODY.radius_m), np.full(n, BODY.rg_m))
    at = replace(THROWN, drawn=drawn)
    first, again = (try_moves(LANE, at, USUAL, stack=stack) for _ in range(2))
    assert first == again
    alone = batch(
        stack,
        None,
        landings.thrown(STYLE, BODY, *(np.full(n, v) for v in (LINE.lateral_m, LINE.launch_rad))),
        drawn.grip,
    )
    assert max(m.landing_m.sd for m in first) < alone.landing_m.std()
    (still,) = try_moves(LANE, at, [Move(0, 0)], stack=stack)
    assert still.landing_m.sd == pytest.approx(0.0, abs=1e-12)
    read = 0.5 * BOARD_M * np.random.default_rng(4).standard_normal(n)
    (still,) = try_moves(LANE, at, [Move(0, 0)], stack=stack, started_m=read)
    assert still.landing_m.sd == pytest.approx(read.std())
