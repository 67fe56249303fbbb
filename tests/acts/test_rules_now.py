"""What may touch a ball now, at the edges of a competition and of the rule of 1 August 2019 (USBC playing rules)."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from made_shop import NOW, Clock

from arsenal.acts import rules_now, undo
from arsenal.acts.rules_now import Competition
from arsenal.acts.shop import Shop
from arsenal.trade.errors import OutOfRange

START = NOW.replace(hour=19, minute=0)
END = NOW.replace(hour=22, minute=0)


def test_without_a_competition_pads_are_allowed_until_the_first_scored_ball(shop: Shop) -> None:
    state = rules_now.rule_state(shop, 1)
    assert state.pads_allowed
    assert state.sentence == "pads allowed until the first scored ball"


def test_before_the_first_scored_ball_its_time_is_said(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, Competition(START, END))
    state = rules_now.rule_state(shop, 1)
    assert state.sentence == "pads allowed until the first scored ball, 19:00"
    assert state.until == START


def test_another_day_is_named(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, Competition(START + timedelta(days=4)))
    assert rules_now.rule_state(shop, 1).sentence.endswith("first scored ball, Sat 28 Nov, 19:00")


@pytest.mark.parametrize(
    ("seconds", "allowed"), [(-1, True), (0, False), (3 * 3600 - 1, False), (3 * 3600, True)]
)  # fmt: skip
def test_the_ban_begins_with_the_first_scored_ball_and_ends_with_the_competition(
    shop: Shop, clock: Clock, seconds: int, allowed: bool
) -> None:
    rules_now.set_competition(shop, 1, Competition(START, END))
    clock.at = START + timedelta(seconds=seconds)
    assert rules_now.rule_state(shop, 1).pads_allowed is allowed


def test_during_competition_a_dry_towel_only_and_the_rules_date_is_shown(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, Competition(START, END))
    state = rules_now.rule_state(shop, 1, START + timedelta(hours=1))
    assert state.sentence == "dry towel only until 22:00"
    assert state.rule_id == "surface-in-competition"
    assert state.hover.startswith("Rule book says, check yours:")
    assert "1 August 2019" in state.hover


def test_before_1_august_2019_an_approved_cleaner_could_be_used(shop: Shop) -> None:
    last = datetime(2019, 7, 31, 20, tzinfo=UTC)
    rules_now.set_competition(shop, 1, Competition(last - timedelta(hours=1), last + timedelta(hours=9)))
    assert "cleaner" in rules_now.rule_state(shop, 1, last).sentence
    assert "cleaner" not in rules_now.rule_state(shop, 1, last + timedelta(hours=5)).sentence


def test_without_an_end_a_competition_is_over_at_midnight_and_says_so(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, Competition(START))
    assert not rules_now.rule_state(shop, 1, NOW.replace(hour=23, minute=59)).pads_allowed
    assert rules_now.rule_state(shop, 1, NOW.replace(hour=0) + timedelta(days=1)).pads_allowed
    assert "midnight" in rules_now.rule_state(shop, 1, START).hover


def test_each_bowler_has_a_competition_of_his_own(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, Competition(START, END))
    assert rules_now.competition(shop, 2) is None
    assert rules_now.competition(shop, 1) == Competition(START, END)


def test_a_competition_is_taken_back_and_taken_away(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, Competition(START, END))
    undo.undo(shop)
    assert rules_now.competition(shop, 1) is None
    rules_now.set_competition(shop, 1, Competition(START, END))
    assert rules_now.set_competition(shop, 1, Competition(START, END)).act_id is None
    rules_now.set_competition(shop, 1, None)
    assert rules_now.competition(shop, 1) is None


@pytest.mark.parametrize("hours", [0, -1, 24 * 22])
def test_a_competition_ends_after_it_begins_and_within_three_weeks(shop: Shop, hours: int) -> None:
    with pytest.raises(OutOfRange):
        rules_now.set_competition(shop, 1, Competition(START, START + timedelta(hours=hours)))
