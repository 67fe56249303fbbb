"""Ties, overlaps, gaps, places and words on plain numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.order import compare, words
from arsenal.order.compare import Reaction
from arsenal.trade.units import FOOT_M

BOARDS = st.floats(-30.0, 30.0)


def at(ball: int, boards: float, read_ft: float | None = 33.0, shape_ft: float | None = 13.0) -> Reaction:
    return Reaction(
        ball, boards, None if read_ft is None else read_ft * FOOT_M, None if shape_ft is None else shape_ft * FOOT_M
    )


@given(st.lists(BOARDS, max_size=9))
def test_a_place_is_one_more_than_the_number_of_stronger_balls(boards: list[float]) -> None:
    ordered = compare.strongest_first([at(i, b) for i, b in enumerate(boards)])
    places = compare.places([r.boards for r in ordered])
    assert places == sorted(places)
    assert all(p <= i + 1 for i, p in enumerate(places))
    assert not places or places[0] == 1


def test_two_balls_exactly_alike_share_a_place_and_the_next_is_two_down() -> None:
    assert compare.places([2.0, 2.0, 0.0]) == [1, 1, 3]


@given(st.integers(1, 6), st.integers(1, 40), st.integers(0, 2**32 - 1))
def test_sureness_of_a_over_b_and_of_b_over_a_make_one(balls: int, draws: int, seed: int) -> None:
    landing = np.random.default_rng(seed).integers(0, 4, (balls, draws)).astype(float)
    sure = compare.sureness(landing)
    assert np.allclose(sure + sure.T, 1.0)


def test_balls_under_ninety_percent_sure_are_tied_both_ways() -> None:
    landing = np.array([[2.0] * 10, [1.0] * 9 + [3.0], [1.0] * 8 + [3.0] * 2])
    tied = compare.ties([7, 8, 9], compare.sureness(landing))
    assert tied[7] == (9,)
    assert 7 in tied[9]
    assert 7 not in tied[8]


def test_ties_are_listed_and_not_handed_on() -> None:
    rng = np.random.default_rng(1)
    landing = np.array([[0.0], [-1.0], [-2.0]]) + rng.normal(0.0, 0.7, (3, 4000))
    tied = compare.ties([1, 2, 3], compare.sureness(landing))
    assert tied[1] == (2,)
    assert tied[3] == (2,)


@pytest.mark.common_practice
def test_balls_within_a_board_and_a_half_a_foot_and_two_feet_of_shape_overlap() -> None:
    assert compare.overlap(at(1, 2.0), at(2, 0.6, 33.9, 14.9))
    assert not compare.overlap(at(1, 2.0), at(2, 0.5))
    assert not compare.overlap(at(1, 2.0), at(2, 2.0, 34.1))
    assert not compare.overlap(at(1, 2.0), at(2, 2.0, 33.0, 15.1))


def test_a_ball_that_never_reads_overlaps_only_its_like() -> None:
    assert not compare.overlap(at(1, 0.0, None), at(2, 0.0))
    assert compare.overlap(at(1, 0.0, None), at(2, 0.0, None))


@given(st.lists(st.tuples(BOARDS, st.floats(20.0, 60.0)), max_size=7))
def test_overlap_goes_both_ways_and_groups_hold_each_ball_once(balls: list[tuple[float, float]]) -> None:
    ordered = compare.strongest_first([at(i, b, r) for i, (b, r) in enumerate(balls)])
    assert all(compare.overlap(a, b) == compare.overlap(b, a) for a in ordered for b in ordered)
    pairs = compare.overlaps(ordered)
    groups = compare.groups([r.ball_id for r in ordered], pairs)
    members = [ball for group in groups for ball in group]
    assert len(members) == len(set(members))
    joined = {frozenset(p) for p in pairs}
    assert all(frozenset((a, b)) in joined for group in groups for a in group for b in group if a != b)


def test_a_gap_is_over_five_boards_and_belongs_to_the_ball_above() -> None:
    ordered = [at(1, 3.0), at(2, -2.0), at(3, -7.5)]
    assert compare.gaps(ordered) == ((2, 5.5),)


def test_an_empty_set_has_no_places_ties_overlaps_or_gaps() -> None:
    assert compare.places([]) == []
    assert compare.overlaps([]) == ()
    assert compare.gaps([]) == ()
    assert compare.groups([], ()) == []


@pytest.mark.parametrize(
    ("value", "sd", "said"),
    [(3.2, 1.0, "+3"), (-0.6, 0.4, "−½"), (-0.1, 0.2, "0"), (1.6, 0.3, "+1½"), (0.2, 3.0, "0"), (-12.4, 2.0, "−12")],
)
def test_boards_are_whole_and_halves_only_where_the_doubt_is_under_one(value: float, sd: float, said: str) -> None:
    assert words.signed(value, sd) == said


def test_early_and_late_are_told_against_the_benchmark() -> None:
    bench = 33.0 * FOOT_M
    assert words.read_word(31.9 * FOOT_M, bench) == "early"
    assert words.read_word(33.9 * FOOT_M, bench) == "mid"
    assert words.read_word(34.1 * FOOT_M, bench) == "late"
    assert words.read_word(None, bench) == "late"
    assert words.read_word(bench, None) == "early"
    assert words.read_word(None, None) == "mid"


@pytest.mark.common_practice
def test_short_is_sharp_and_long_is_smooth() -> None:
    told = [words.shape_word(ft * FOOT_M, 14.0 * FOOT_M) for ft in (12.0, 14.5, 15.0, 16.5, 17.5, 30.0)]
    assert told == ["sharp", "sharp", "medium", "medium", "smooth", "smooth"]
    assert words.shape_word(None, 14.0) == "smooth"
    assert words.shape_word(13.0 * FOOT_M, None) == "sharp"


def test_counting_words_read_as_people_say_them() -> None:
    assert [words.nth(n) for n in (1, 2, 3, 4, 11, 12, 21, 103)] == [
        "1st",
        "2nd",
        "3rd",
        "4th",
        "11th",
        "12th",
        "21st",
        "103rd",
    ]
    assert words.names(["A", "B", "C"]) == "A, B and C"
    assert words.names([]) == ""
    assert words.counted(1.0) == "1 board"
    assert words.counted(0.5) == "½ board"
    assert words.counted(2.5) == "2½ boards"
