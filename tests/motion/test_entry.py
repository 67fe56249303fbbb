"""Entry against the published window: USBC pin-carry study 2009, as the press has it; Hooper, Physics Today, 2025."""

import re
from dataclasses import replace

import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import bed, best_line, body_of, trace
from arsenal.motion.entry import Entry, entry, entry_of, sentence
from arsenal.motion.records import BestLine
from arsenal.trade.units import BOARD_M, DEGREE_RAD, board_to_lateral_m

BODY = body_of(ball_of()[0])
LANE = bed(house(), True, PRIORS)


def at(board: float, degrees: float, most: float | None = None) -> Entry:
    landing = board_to_lateral_m(board)
    return Entry(landing, board_to_lateral_m(20.0) - landing, degrees * DEGREE_RAD, most and most * DEGREE_RAD)


def test_the_best_entry_lies_6_to_6_8_cm_beside_the_head_pin() -> None:
    """Board 17.5 and 6 to 6.8 cm are said of one and the same entry."""
    best = at(17.5, 6.0)
    assert 0.060 <= best.offset_m <= 0.068
    assert best.best_offset
    assert best.inside


@pytest.mark.parametrize(
    ("board", "degrees", "inside"),
    [
        (17.0, 4.0, True), (18.0, 6.0, True), (17.5, 3.9, False), (17.5, 6.1, False), (16.9, 5.0, False),
        (18.1, 5.0, False),
    ],
)  # fmt: skip
def test_the_window_is_boards_17_to_18_at_4_to_6_degrees(board: float, degrees: float, inside: bool) -> None:
    assert at(board, degrees).inside is inside


def test_the_head_pin_is_counted_from_the_side_the_ball_comes_from() -> None:
    t = trace(LANE, BODY, STYLE.on(LINE), grip_of())
    assert entry(t).offset_m == pytest.approx(board_to_lateral_m(20.0) - t.landing_m, abs=1e-9)
    assert entry(replace(t, landing_m=board_to_lateral_m(22.0))).offset_m == pytest.approx(-2 * BOARD_M)


def test_a_best_line_is_held_against_what_the_release_can_reach() -> None:
    best = best_line(LANE, BODY, STYLE, grip_of(), PRIORS)
    assert isinstance(best, BestLine)
    found = entry_of(best)
    assert found.on_boards
    assert found.most_rad == best.entry_most_rad
    assert found.angle_rad == best.trace.entry_rad


@pytest.mark.common_practice
def test_a_release_that_cannot_reach_the_window_is_not_nagged() -> None:
    """Seniors: entry 3 to 4° is normal."""
    said = sentence(at(17.5, 3.3, 3.4))
    assert "near the most this release reaches" in said
    assert not re.search(r"should|must|too |only|not ", said)


def test_the_words_say_where_and_how() -> None:
    assert sentence(at(17.5, 4.6)) == "In the window: 6.8 cm beside the head pin at 4.6°."
    assert sentence(at(18.5, 4.6)).startswith("High of the window: 4.1 cm")
    assert sentence(at(16.0, 4.6)).startswith("Light of the window")
    assert sentence(at(21.0, 4.6)).startswith("High of the window: 2.7 cm past")
    assert "reaches 4.8° here" in sentence(at(17.5, 3.5, 4.8))
    assert "steeper than the window" in sentence(at(17.5, 6.5, 7.0))
    assert sentence(at(17.5, 3.0)).endswith("at 3.0°.")


def test_no_share_of_strikes_is_said() -> None:
    for board in (15.0, 17.5, 19.0):
        for degrees in (2.0, 5.0, 7.0):
            assert "%" not in sentence(at(board, degrees, 5.0))
