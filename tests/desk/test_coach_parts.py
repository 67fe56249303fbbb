"""Columns, words and memory of the coach's view, without a window."""

from __future__ import annotations

import itertools
from datetime import date

import pytest
from PySide6.QtCore import QRect

from arsenal.acts.settings import Settings
from arsenal.desk.coach import words
from arsenal.desk.coach.columns import Columns, keys_width
from arsenal.desk.coach.kept import KEY, Kept
from arsenal.desk.theme import look
from arsenal.trade.entries import Wiped


@pytest.mark.parametrize(("wide", "percent"), [(1920, 100), (1366, 100), (1093, 100), (1366, 125), (1366, 200)])
def test_columns_give_way_in_a_narrow_window_and_never_overlap(wide: int, percent: int) -> None:
    look().set_both("light", percent)
    at = Columns.of(QRect(0, 0, wide, look().px(63)))
    shown = [box for box in (at.tick, at.name, at.fall, at.hand, at.boards, at.doubt, at.down, at.seen, at.due, at.keys)
             if box.width()]  # fmt: skip
    for one, following in itertools.pairwise(shown):
        assert one.right() < following.left()
    assert at.keys.right() < wide
    assert at.keys.width() == keys_width()
    logical = wide * 100 / percent
    assert bool(at.down.width()) == (logical >= 1200)
    assert bool(at.seen.width()) == (logical >= 900)


def test_another_day_forgets_who_was_left_out_and_what_was_in_hand_but_not_the_group(settings: Settings) -> None:
    kept = Kept("here", date(2026, 11, 25), "Juniors", {2}, {1: 4}, 4.0, Wiped.NEVER, False)
    kept.put(settings)
    assert Kept.read(settings, "here", date(2026, 11, 25)) == kept
    later = Kept.read(settings, "here", date(2026, 11, 26))
    assert (later.group, later.left_out, later.hands, later.games) == ("Juniors", set(), {}, 4.0)
    assert Kept.read(settings, "elsewhere", date(2026, 11, 25)).group == ""


@pytest.mark.parametrize(
    "broken", [None, 3, [], {"file": "here", "hands": 3, "games": "x", "group": 4, "left_out": "a"}]
)
def test_broken_settings_are_forgotten(settings: Settings, broken: object) -> None:
    settings.kept[KEY] = broken
    found = Kept.read(settings, "here", date(2026, 11, 25))
    assert (found.group, found.hands, found.left_out, found.games) == ("", {}, set(), 3.0)


def test_ago_is_said_as_people_say_it() -> None:
    assert [words.ago(s) for s in (0, 59, 61, 240, 3599, 7300)] == [
        "now", "now", "1 min ago", "4 min ago", "60 min ago", "2 h ago",
    ]  # fmt: skip


def test_who_is_left_out_is_named_while_there_are_few() -> None:
    assert words.out_of(["A", "B"], []) == "all 2"
    assert words.out_of(["A"] * 7, ["Juni"]) == "7 of 8: not Juni"
    assert words.out_of(["A"] * 5, ["B", "C", "D"]) == "5 of 8: not B and 2 more"
    assert words.out_of([], ["B"]) == "nobody is ticked"
