"""One shot between its first key and its being kept. The two seconds are the desk's own; boards are those of a lane."""

from __future__ import annotations

import pytest

from arsenal.desk.practice.waiting import Half, Waiting


@pytest.fixture
def waiting(qapp) -> Waiting:
    made = Waiting()
    made._timer.setInterval(40)
    return made


@pytest.fixture
def kept(waiting) -> list[tuple[str, float | None]]:
    found: list[tuple[str, float | None]] = []
    waiting.ready.connect(lambda word, board: found.append((word, board)))
    return found


def test_a_word_alone_is_kept_once_no_board_has_followed(qtbot, waiting, kept) -> None:
    waiting.begin("flush")
    assert waiting.half() == Half("flush")
    assert kept == []
    qtbot.waitUntil(lambda: bool(kept), timeout=2000)
    assert kept == [("flush", None)]
    assert waiting.half() is None


@pytest.mark.parametrize(
    ("typed", "board"), [("19", 19.0), ("9", 9.0), ("15½", 15.5), ("15.5", 15.5), ("17,5", 17.5), ("17.", 17.0)]
)
def test_the_board_that_follows_belongs_to_the_same_shot(waiting, kept, typed, board) -> None:
    waiting.begin("high")
    assert all(waiting.type(sign) for sign in typed)
    waiting.finish()
    assert kept == [("high", board)]


def test_signs_no_board_has_are_not_taken(waiting, kept) -> None:
    waiting.begin("high")
    assert not waiting.type("x")
    assert waiting.type("1")
    assert waiting.type("9")
    assert not waiting.type("3")
    waiting.finish()
    assert kept == [("high", 19.0)]
    assert not waiting.type("1")


def test_the_next_shot_keeps_the_one_that_waits_first(waiting, kept) -> None:
    waiting.begin("flush")
    waiting.begin("high")
    assert kept == [("flush", None)]
    assert waiting.half() == Half("high")
    waiting.drop()


def test_a_board_no_lane_has_is_refused_in_words_and_the_shot_goes_on_waiting(qtbot, waiting, kept) -> None:
    said: list[str] = []
    waiting.refused.connect(said.append)
    waiting.begin("over")
    waiting.type("4")
    waiting.type("5")
    waiting.finish()
    assert said == ["Boards go from 1 to 39; 45 is none. Nothing was logged yet."]
    qtbot.wait(120)
    assert kept == []
    assert waiting.half() == Half("over")
    waiting.finish()
    assert kept == [("over", None)]


def test_esc_forgets_and_backspace_takes_back_sign_by_sign(waiting, kept) -> None:
    waiting.begin("light")
    waiting.type("1")
    waiting.type("4")
    waiting.back()
    assert waiting.half() == Half("light", "1")
    waiting.back()
    waiting.back()
    assert waiting.half() is None
    waiting.begin("light")
    waiting.drop()
    waiting.finish()
    assert kept == []


def test_a_board_without_a_word_is_a_shot_and_nothing_at_all_is_none(waiting, kept) -> None:
    waiting.begin("")
    waiting.finish()
    assert kept == []
    waiting.begin("")
    waiting.type("8")
    waiting.finish()
    assert kept == [("", 8.0)]
