"""What can be true of a typed value, and the sentence when it is not."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.trade.entries import Abrasive, Draft, Entry, Kind, Played, Step, Tool, Undo, effective
from arsenal.trade.errors import KnownError, NotUnderstood, OutOfRange
from arsenal.trade.limits import LIMITS, check
from arsenal.trade.pads import label, label_in_words
from arsenal.trade.person import Hand, Person

SAID = [
    ("speed", 200, "speed is 200 mph; it must be 8 to 25 mph. Nothing was changed."),
    ("board", 45, "board is 45; it must be 1 to 39. Nothing was changed."),
    ("games", -3, "games is -3; it must be 0.1 to 400. Nothing was changed."),
    ("RG", 4.3, "RG is 4.3 in; it must be 2.3 to 3 in. Nothing was changed."),
    ("oil length", 70, "oil length is 70 ft; it must be 20 to 60 ft. Nothing was changed."),
]


@pytest.mark.parametrize(("field", "value", "sentence"), SAID)
def test_an_impossible_value_is_named_with_its_field_and_range(field: str, value: float, sentence: str) -> None:
    with pytest.raises(OutOfRange) as error:
        check(field, value)
    assert str(error.value) == sentence
    assert (error.value.field, error.value.safe) == (field, "Nothing was changed.")


@pytest.mark.parametrize("field", LIMITS)
def test_both_ends_of_a_range_are_allowed_and_what_is_no_number_never(field: str) -> None:
    limit = LIMITS[field]
    assert limit.low < limit.high
    assert check(field, limit.low) == limit.low
    assert check(field, limit.high) == limit.high
    width = limit.high - limit.low
    for value in (limit.low - 1e-6 * width, limit.high + 1e-6 * width, math.nan, math.inf, -math.inf):
        with pytest.raises(OutOfRange):
            check(field, value)


def test_a_field_may_be_called_as_the_form_calls_it() -> None:
    with pytest.raises(OutOfRange, match=r"^laydown is 40"):
        LIMITS["board"].check(40, "laydown")


def test_an_error_says_what_happened_whether_data_is_safe_and_what_next() -> None:
    error = KnownError("The disk is full.", next_step="Make room, then save again.")
    assert str(error) == "The disk is full. Nothing was changed. Make room, then save again."
    assert str(NotUnderstood("frob", "Try: rook 2g.")) == "“frob” is not understood. Nothing was changed. Try: rook 2g."


# ---- the log's own arithmetic ---------------------------------------------------------------------------------------

DAY = date(2026, 3, 14)
AT = datetime(2026, 3, 14, 19, tzinfo=UTC)


def played(seq: int, on: date = DAY) -> Entry:
    return Entry(seq, 1, Kind.PLAYED, on, Played(33.0), AT, 0)


def undo(seq: int, undoes: int) -> Entry:
    return Entry(seq, 1, Kind.UNDO, DAY, Undo(), AT, 0, undoes=undoes)


def test_an_undone_undo_lets_the_entry_stand_again() -> None:
    log = [played(1), undo(2, 1), undo(3, 2)]
    assert [[e.seq for e in effective(log[:n])] for n in range(4)] == [[], [1], [], [1]]


@given(st.lists(st.integers(1, 30), max_size=30))
def test_what_stands_is_told_by_walking_the_undos_from_the_end(targets: list[int]) -> None:
    """A second way: an entry stands when no standing entry takes it back."""
    log = [played(1)]
    for seq, target in enumerate(targets, start=2):
        log.append(undo(seq, target) if target < seq else played(seq))
    takers = {e.seq: [o.seq for o in log if o.undoes == e.seq] for e in log}

    def stands(seq: int) -> bool:
        return not any(stands(taker) for taker in takers[seq])

    assert [e.seq for e in effective(log)] == [e.seq for e in log if e.undoes is None and stands(e.seq)]


@given(st.lists(st.dates(date(2020, 1, 1), date(2026, 1, 1)), max_size=12), st.randoms())
def test_folding_order_is_by_day_then_number_whatever_the_order_read(days: list[date], rng: object) -> None:
    log = [played(seq, on) for seq, on in enumerate(days, start=1)]
    mixed = list(log)
    rng.shuffle(mixed)  # type: ignore[attr-defined]
    assert effective(mixed) == effective(log) == sorted(log, key=lambda e: (e.on, e.seq))


def test_a_draft_is_of_this_programs_payload_version() -> None:
    assert Draft(1, Kind.PLAYED, DAY, Played(11.0)).version == 1


@pytest.mark.common_practice
def test_a_finish_is_said_as_people_say_it() -> None:
    machine = Tool.MACHINE
    assert label((Step(number=1000.0),)) == "1000 h"
    assert label((Step(number=500.0, tool=machine), Step(number=2000.0, tool=machine))) == "500/2000 m"
    assert label(()) == "as it came" == label_in_words(())
    assert label_in_words((Step(number=500.0, tool=machine), Step(number=2000.0, tool=machine))) == "500/2000 machine"
    assert label_in_words((Step(abrasive=Abrasive.POLISH),)) == label((Step(abrasive=Abrasive.POLISH),)) == "polish"


@pytest.mark.parametrize(("hand", "back_up", "left"), [
    (Hand.RIGHT, False, True), (Hand.LEFT, False, False), (Hand.RIGHT, True, False), (Hand.LEFT, True, True),
])  # fmt: skip
def test_a_back_up_ball_curves_the_other_way(hand: Hand, back_up: bool, left: bool) -> None:
    assert Person(1, "Wren Tallow", hand=hand, back_up=back_up).hooks_to_left is left
