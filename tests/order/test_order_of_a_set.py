"""The order's laws: benchmark zero, antisymmetry, permutation, common draws, mirror; and what the trade knows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from a_set import DRY, HOUSE, LINE, PRIORS, STYLE, bowler, owned
from hypothesis import given, settings
from hypothesis import strategies as st

from arsenal import motion
from arsenal.motion.records import BestLine
from arsenal.order import Order, OrderRow, order
from arsenal.order import shot as shots
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import Ball, Cover, FilmGrid, FilmSummary, Hand, KnownError, Lane, Line, UnknownHouse, Zone
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, board_to_lateral_m

Owned = tuple[Ball, SurfaceState]
SET = [
    owned(1, Cover.SOLID, 1000.0), owned(2, Cover.HYBRID, 2000.0), owned(3, Cover.PEARL, 2000.0),
    owned(4, Cover.URETHANE, 1000.0), owned(5, Cover.POLYESTER, 4000.0, spare=True),
]  # fmt: skip


def told(found: Order) -> dict[int, OrderRow]:
    return {r.ball.id: r for r in (*found.rows, *found.spares)}


def made(balls: list[Owned], benchmark: int | None = 2, lane: Lane = HOUSE, **more: object) -> Order:
    given_ = {"line": LINE, "rooms": False, "draws": 60, **more}
    return order(bowler(benchmark), lane, balls, PRIORS, **given_)  # type: ignore[arg-type]


def test_the_benchmark_stands_at_zero_with_no_doubt() -> None:
    row = told(made(SET))[2]
    assert row.benchmark
    assert (row.boards, row.boards_low, row.boards_high, row.boards_sd) == (0.0, 0.0, 0.0, 0.0)
    assert row.read_word == "mid"


def test_changing_the_benchmark_turns_the_sign_and_keeps_the_order() -> None:
    with_two, with_three = made(SET, 2), made(SET, 3)
    a, b = told(with_two)[3], told(with_three)[2]
    assert a.boards == pytest.approx(-b.boards, abs=1e-9)
    assert a.boards_low == pytest.approx(-b.boards_high, abs=1e-9)
    assert [r.ball.id for r in with_two.rows] == [r.ball.id for r in with_three.rows]
    assert [r.tied_with for r in with_two.rows] == [r.tied_with for r in with_three.rows]


@settings(max_examples=6, deadline=None)
@given(st.permutations(SET))
def test_the_order_in_which_balls_were_entered_changes_nothing(mixed: list[Owned]) -> None:
    first, second = made(SET), made(mixed)
    assert [(r.ball.id, r.boards, r.boards_low, r.tied_with) for r in first.rows] == [
        (r.ball.id, r.boards, r.boards_low, r.tied_with) for r in second.rows
    ]
    assert first.stamp == second.stamp
    assert first.remarks == second.remarks


def test_the_same_seed_gives_the_same_numbers_and_another_seed_only_another_doubt() -> None:
    first, again, other = made(SET), made(SET), made(SET, seed=2)
    assert [r.boards_low for r in first.rows] == [r.boards_low for r in again.rows]
    assert first.stamp == again.stamp
    assert [r.boards for r in first.rows] == [r.boards for r in other.rows]
    assert [r.boards_low for r in first.rows] != [r.boards_low for r in other.rows]
    assert other.stamp.seed == 2


def test_another_ball_in_the_set_leaves_every_other_balls_draws_alone() -> None:
    few, more = told(made(SET[:3])), told(made([*SET, owned(9, Cover.SOLID, 500.0)]))
    for i in few:
        assert (few[i].boards, few[i].boards_low, few[i].boards_high) == (
            more[i].boards, more[i].boards_low, more[i].boards_high,
        )  # fmt: skip


def test_the_stamp_changes_with_whatever_can_move_a_number_and_with_nothing_else() -> None:
    base = made(SET).stamp.inputs_hash
    sanded = [*SET[:1], owned(2, Cover.HYBRID, 1000.0), *SET[2:]]
    renamed = [(replace(SET[0][0], name="Other", note="x"), SET[0][1]), *SET[1:]]
    assert made(sanded).stamp.inputs_hash != base
    assert made(SET, draws=61).stamp.inputs_hash != base
    assert made(SET, line=Line(LINE.lateral_m + BOARD_M, LINE.launch_rad)).stamp.inputs_hash != base
    assert made(renamed).stamp.inputs_hash == base


def test_a_left_hander_on_the_mirrored_lane_sees_the_same_order() -> None:
    distance, boards = (0.0, 8.0, 12.6, 18.3), (0.5, 8.0, 20.0, 30.0, 39.5)
    rows = ((3e-7, 2e-6, 4e-6, 3e-6, 1e-6), (2e-7, 1.5e-6, 3e-6, 2e-6, 1e-6), (1e-7,) * 5, (0.0,) * 5)
    right = Lane(5, "grid", FilmGrid(distance, boards, rows))
    left = Lane(5, "grid", FilmGrid(distance, tuple(40.0 - b for b in boards[::-1]), tuple(r[::-1] for r in rows)))
    a = order(bowler(2), right, SET, PRIORS, line=LINE, rooms=False, draws=40)
    b = order(bowler(2, hand=Hand.LEFT), left, SET, PRIORS, line=LINE, rooms=False, draws=40)
    assert [r.ball.id for r in a.rows] == [r.ball.id for r in b.rows]
    for x, y in zip(a.rows, b.rows, strict=True):
        assert x.boards == pytest.approx(y.boards, abs=1e-6)
        assert x.boards_low == pytest.approx(y.boards_low, abs=1e-6)
    unlike = order(bowler(2, hand=Hand.LEFT), right, SET, PRIORS, line=LINE, rooms=False, draws=40)
    assert unlike.rows[0].trace.landing_m != pytest.approx(a.rows[0].trace.landing_m, abs=1e-3)


def test_strength_of_the_reference_ball_is_a_hundred() -> None:
    ball, state = motion.reference(PRIORS)
    row = made([(replace(ball, id=1), replace(state, ball_id=1))], 1).rows[0]
    assert row.strength == pytest.approx(100.0)
    assert row.shape_word == "sharp"


def test_strength_is_not_told_where_even_the_reference_hardly_hooks() -> None:
    straight = replace(STYLE, axis_rotation_rad=2.0 * DEGREE_RAD)
    found = order(bowler(2, style=straight), HOUSE, SET, PRIORS, line=LINE, rooms=False, draws=20)
    assert all(r.strength is None for r in found.rows)


def test_spare_balls_stand_apart_without_a_place() -> None:
    found = made(SET)
    assert [r.ball.id for r in found.spares] == [5]
    assert found.spares[0].place == 0
    assert found.spares[0].tied_with == ()
    assert 5 not in {i for pair in found.overlaps for i in pair} | {i for i, _ in found.gaps_after}


def test_without_a_benchmark_the_middle_ball_stands_in_and_it_is_said() -> None:
    found = made(SET, None)
    assert not found.benchmark_is_own
    middle = found.rows[len(found.rows) // 2]
    assert middle.benchmark
    assert found.benchmark_ball_id == middle.ball.id
    assert found.remarks[0].title == "No benchmark is set"
    assert middle.ball.name in found.remarks[0].detail


def test_a_benchmark_kept_for_spares_or_left_at_home_is_not_used() -> None:
    spare = made(SET, 5)
    assert "Bramble, your benchmark" in spare.remarks[0].title
    away = made(SET, 99)
    assert away.remarks[0].kind == "benchmark"
    assert away.benchmark_ball_id in {1, 2, 3, 4}


def test_an_empty_set_and_a_bag_of_spares_say_so() -> None:
    empty = made([], None)
    assert (empty.rows, empty.spares, empty.benchmark_ball_id) == ((), (), None)
    assert empty.remarks[0].title == "No balls here yet"
    assert made([SET[4]], None).remarks[0].title == "Only spare balls here"


def test_one_ball_is_its_own_benchmark() -> None:
    found = made(SET[:1], None)
    assert (found.rows[0].place, found.rows[0].boards, found.rows[0].benchmark) == (1, 0.0, True)
    assert found.gaps_after == ()
    assert not [m for m in found.remarks if m.kind in ("gap", "overlap", "doubt")]


def test_two_balls_alike_are_called_the_same_ball_and_one_pad_parts_them() -> None:
    found = made([owned(1, Cover.SOLID, 2000.0), owned(2, Cover.SOLID, 2100.0)], 1)
    remark = next(m for m in found.remarks if m.kind == "overlap")
    assert remark.title == "Umber and Quarry are the same ball tonight"
    assert "One pad on Quarry would part them" in remark.detail
    assert found.rows[1].flags == ("same as above",)
    assert found.overlaps == ((1, 2),)
    assert found.rows[0].tied_with == (2,)


def test_a_gap_is_named_under_the_ball_above() -> None:
    found = made([owned(1, Cover.SOLID, 500.0), owned(2, Cover.URETHANE, 4000.0)], 1)
    assert found.gaps_after[0][0] == 1
    assert any(m.title.startswith("A gap of") and m.title.endswith("under Umber") for m in found.remarks)


def test_a_ball_that_leaves_the_lane_keeps_its_numbers_and_is_marked() -> None:
    wide = Line(board_to_lateral_m(6.0), -4.0 * DEGREE_RAD)
    found = made([owned(1, Cover.POLYESTER, 4000.0), owned(2, Cover.SOLID, 500.0)], 2, line=wide)
    row = told(found)[1]
    assert "leaves lane" in row.flags
    assert row.trace.left_lane_m is not None
    assert np.isfinite(row.boards)
    assert row.boards < 0.0
    assert any(f.code == "leaves-lane" for f in row.findings)


def test_a_rough_ball_that_has_nothing_left_rolls_out_on_its_own_line() -> None:
    slow = replace(STYLE, speed_mps=6.2)
    burnt = Lane(3, "burnt", FilmSummary(30.0 * FOOT_M, 8e-6, 4.0))
    found = order(bowler(1, style=slow), burnt, [owned(1, Cover.SOLID, 500.0)], PRIORS, line=LINE, draws=10)
    assert "rolls out" in found.rows[0].flags


def test_a_crack_comes_first_among_the_remarks() -> None:
    ball, state = SET[0]
    cracked = replace(state, cracked=True, findings=(Finding("crack", "A crack was found.", Weight.BAD),))
    found = made([(ball, cracked), *SET[1:]])
    assert found.remarks[0].kind == "finding"
    assert found.remarks[0].ball_ids == (1,)


def test_the_lane_is_never_believed_more_than_the_differences() -> None:
    assert any(m.title == "Believe the differences, not the lane" for m in made(SET).remarks)
    unknown = made(SET, lane=Lane(4, "unknown house", UnknownHouse()))
    assert any("has not said" in m.detail for m in unknown.remarks)


def test_an_unknown_house_makes_the_feet_more_doubtful() -> None:
    house = Lane(4, "unknown house", UnknownHouse())
    known, unknown = told(made(SET, draws=300)), told(made(SET, lane=house, draws=300))
    assert all(unknown[i].first_read_sd_m > known[i].first_read_sd_m for i in (1, 2, 3))


def test_a_ball_whose_rg_nobody_looked_up_is_more_doubtful() -> None:
    known = told(made(SET))[3]
    guessed = told(made([*SET[:2], (replace(SET[2][0], spec_known=False), SET[2][1]), *SET[3:]]))[3]
    assert guessed.boards == known.boards
    assert guessed.boards_sd > known.boards_sd


def test_more_doubt_of_the_finish_makes_more_doubt_of_the_boards() -> None:
    sds = [told(made([SET[0], owned(2, Cover.PEARL, 2000.0, sd=sd)], 1))[2].boards_sd for sd in (0.05, 0.3, 0.6)]
    assert sds == sorted(sds)


def test_without_a_release_nothing_is_guessed() -> None:
    with pytest.raises(KnownError, match="Nobody has said how Mirel throws"):
        order(bowler(1, style=None), HOUSE, SET, PRIORS)


def test_without_a_line_the_reference_balls_best_line_is_shared_by_all() -> None:
    found = order(bowler(2), HOUSE, SET, PRIORS, rooms=False, draws=20)
    assert not found.line_is_own
    ball, state = motion.reference(PRIORS)
    bed = motion.bed(HOUSE, True, PRIORS)
    grip = motion.grip(ball, state, PRIORS, STYLE, 25e-6)
    best = motion.best_line(bed, motion.body_of(ball, state), STYLE, grip, PRIORS)
    assert isinstance(best, BestLine)
    assert found.line == best.line


def test_where_no_line_reaches_the_pocket_the_nearest_is_shared_and_it_is_said() -> None:
    inside = Zone(board_to_lateral_m(33.0), board_to_lateral_m(34.0), -0.2 * DEGREE_RAD, 0.0)
    straight = replace(STYLE, axis_rotation_rad=0.0, zone=inside)
    found = order(bowler(2, style=straight), HOUSE, SET, PRIORS, rooms=False, draws=5)
    assert any(m.kind == "line" for m in found.remarks)
    assert not found.line_is_own


def test_an_order_without_draws_has_no_doubt_to_tell_and_is_refused() -> None:
    with pytest.raises(KnownError, match="0 draws make no doubt"):
        made(SET, draws=0)


def test_the_bowlers_own_line_on_the_lane_wins() -> None:
    found = order(bowler(2, lines=((HOUSE.id, LINE),)), HOUSE, SET, PRIORS, rooms=False, draws=20)
    assert found.line_is_own
    assert found.line == LINE


def test_rooms_give_each_strike_ball_its_own_line_and_spares_none() -> None:
    found = order(bowler(2), HOUSE, SET, PRIORS, line=LINE, draws=20)
    assert all(r.best is not None for r in found.rows)
    assert all(r.room is None or 0.0 < r.room < 1.0 for r in found.rows)
    assert found.spares[0].best is None


@pytest.mark.common_practice
@pytest.mark.parametrize("cover", list(Cover)[:4])
def test_a_coarser_finish_reads_earlier_and_ends_stronger(cover: Cover) -> None:
    found = told(made([owned(i, cover, g) for i, g in enumerate((500.0, 1000.0, 2000.0, 4000.0), 1)], 3))
    reads = [found[i].first_read_m for i in (1, 2, 3, 4)]
    boards = [found[i].boards for i in (1, 2, 3, 4)]
    assert reads == sorted(reads)  # type: ignore[type-var]
    assert boards == sorted(boards, reverse=True)


@pytest.mark.common_practice
def test_a_pearl_with_surface_starts_before_the_same_pearl_polished() -> None:
    found = told(made([owned(1, Cover.PEARL, 1000.0), owned(2, Cover.PEARL, 11500.0)], 2))
    assert found[1].read_word == "early"


@pytest.mark.common_practice
def test_an_unwiped_ball_goes_longer_and_urethane_minds_most() -> None:
    def longer(cover: Cover, film: float) -> float:
        found = told(made([owned(1, cover, 1000.0), owned(2, cover, 1000.0, film_m=film)], 1))
        reads = [found[i].trace.breakpoint_m for i in (1, 2)]
        assert reads[0] is not None
        assert reads[1] is not None
        return reads[1] - reads[0]

    assert longer(Cover.SOLID, 0.2e-6) > 0.0
    assert longer(Cover.URETHANE, 0.5e-6) > longer(Cover.SOLID, 0.2e-6)


@pytest.mark.common_practice
def test_with_no_oil_at_all_the_finish_moves_nothing() -> None:
    clean = [owned(i, Cover.SOLID, g) for i, g in enumerate((500.0, 4000.0), 1)]
    on_oil, dry = told(made(clean, 1)), told(made(clean, 1, lane=DRY))
    assert abs(dry[2].boards) < 0.05 * abs(on_oil[2].boards)


@pytest.mark.common_practice
def test_an_oily_unwiped_ball_carries_the_flag_to_wipe() -> None:
    found = told(made([owned(1), owned(2, film_m=0.2e-6), owned(3, film_m=0.05e-6)], 1))
    assert "wipe" in found[2].flags
    assert "wipe" not in found[3].flags


def test_paired_draws_follow_the_three_spreads_they_were_given() -> None:
    z = shots.normals_of(1, 1, 20000)
    before, change = Estimate(-15.0, 0.30), Estimate(0.4, 0.25)
    for after_sd in (0.10, 0.25, 0.39, 0.50):
        after = shots.changed_ln_ra(before, change, after_sd, z)
        start = before.mean + before.sd * z[0]
        assert after.mean() == pytest.approx(-14.6, abs=0.01)
        assert after.std() == pytest.approx(after_sd, abs=0.012)
        assert (after - start).std() == pytest.approx(change.sd, abs=0.01)
