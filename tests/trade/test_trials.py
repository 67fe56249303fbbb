"""Practice shots as seen: what a word supports, and what keeps a shot out of the learning without losing it."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from itertools import pairwise

import pytest

from arsenal.trade.trial import (
    POCKET_M,
    SUPPORTS,
    AnyTrial,
    Mark,
    PairedTrial,
    Sighting,
    Trial,
    Word,
    checked,
    contradiction,
    impossible,
)
from arsenal.trade.units import BOARD_M, FOOT_M, board_to_lateral_m

DAY = date(2026, 3, 2)
LOGGED = frozenset({1, 2})
FLUSH = Sighting(words=(Word.FLUSH,))


def trial(seq: int = 1, seen: Sighting = FLUSH, **fields: object) -> Trial:
    return replace(Trial(seq, 1, 1, 1, DAY, "monday", seen), **fields)  # type: ignore[arg-type]


def only(shot: AnyTrial) -> str:
    found = checked((shot,), LOGGED)
    assert found.good == ()
    assert found.kept_out == {shot.seq}
    (one,) = found.findings
    assert one.seq == shot.seq
    assert one.sentence.endswith("It is kept, and nothing is learned from it.")
    return one.sentence


def test_flush_is_the_high_strike_window_of_boards_17_to_18() -> None:
    # USBC pin-carry study of 2009, as restated in the press: high-strike window boards 17–18
    flush = SUPPORTS[Word.FLUSH][Mark.LANDING]
    assert flush.low == pytest.approx(board_to_lateral_m(17.0))
    assert flush.high == pytest.approx(board_to_lateral_m(18.0))


@pytest.mark.common_practice
def test_words_run_from_long_to_over_as_a_ball_hooks_more() -> None:
    at = [SUPPORTS[w][Mark.LANDING] for w in (Word.LONG, Word.LIGHT, Word.FLUSH, Word.HIGH, Word.OVER)]
    assert all(a.low <= b.low and a.high <= b.high for a, b in pairwise(at))
    assert math.isinf(at[0].low)
    assert math.isinf(at[-1].high)


def test_a_breakpoint_past_the_pins_is_named_and_kept_out() -> None:
    assert "breakpoint at 63 ft, past the pins" in only(trial(seen=Sighting(breakpoint_m=63.0 * FOOT_M)))


def test_board_45_is_named_and_kept_out() -> None:
    assert "board 45" in only(trial(seen=Sighting(landing_m=board_to_lateral_m(45.0))))


def test_a_number_that_is_none_is_kept_out() -> None:
    assert impossible(Sighting(landing_m=math.nan)) is not None
    assert impossible(Sighting(first_read_m=math.inf)) is not None
    assert impossible(Sighting(pins_left=(11,))) is not None


def test_flush_and_far_from_the_pocket_contradict() -> None:
    assert "flush, and ended on board 12" in only(
        trial(seen=Sighting(landing_m=board_to_lateral_m(12.0), words=(Word.FLUSH,)))
    )


def test_high_and_light_contradict() -> None:
    assert "high and light" in only(trial(seen=Sighting(words=(Word.HIGH, Word.LIGHT))))


def test_light_and_rolled_out_go_together() -> None:
    both = Sighting(words=(Word.LIGHT, Word.ROLLED_OUT))
    assert contradiction(both) is None
    found = both.intervals()
    assert found is not None
    assert found[Mark.LANDING].high == pytest.approx(POCKET_M - 0.5 * BOARD_M)


def test_a_ball_with_no_log_is_named() -> None:
    assert "no log" in only(trial(ball_id=7))


def test_pins_left_alone_say_nothing_of_the_path() -> None:
    assert "nothing that a path" in only(trial(seen=Sighting(pins_left=(10,))))


def test_a_ball_against_itself_is_kept_out() -> None:
    assert "against itself" in only(PairedTrial(4, 1, 1, 1, 1, DAY, "monday", 0.05))


def test_times_out_of_order_are_named_and_still_learned_from() -> None:
    found = checked((trial(1, minute=600), trial(2, minute=590)), LOGGED)
    assert [t.seq for t in found.good] == [1, 2]
    assert [f.code for f in found.findings] == ["trial.time"]


def test_nothing_is_ever_dropped() -> None:
    shots = (trial(3), trial(2, seen=Sighting()), trial(1, ball_id=9))
    found = checked(shots, LOGGED)
    assert {t.seq for t in found.good} | found.kept_out == {1, 2, 3}
