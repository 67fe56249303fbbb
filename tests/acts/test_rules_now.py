"""What may touch a ball now, at the edges of a competition and of the rule of 1 August 2019 (USBC playing rules)."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from made_shop import NOW, Clock

from arsenal.acts import logging, rules_now, undo
from arsenal.acts.meaning import DUST
from arsenal.acts.rules_now import Competition, Inside
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Draft, Kind, Step, SurfaceWork
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


BLOCKS = tuple((START + timedelta(hours=a), START + timedelta(hours=b)) for a, b in ((0, 2), (4, 6)))
LONG = Competition(START, START + timedelta(hours=6), BLOCKS)


@pytest.mark.parametrize(("hours", "during"), [(0.0, True), (1.99, True), (2.0, False), (3.99, False), (4.0, True)])
def test_between_blocks_pads_are_allowed_only_where_the_event_says_so(
    shop: Shop, clock: Clock, hours: float, during: bool
) -> None:
    clock.at = START + timedelta(hours=hours)
    for says in (False, True):
        rules_now.set_competition(shop, 1, replace(LONG, between_allowed=says))
        state = rules_now.rule_state(shop, 1)
        assert state.pads_allowed is (says and not during)
        assert ("between blocks" in state.sentence) is not during
    if not during:
        assert state.sentence == "between blocks, pads allowed until 23:00"
        assert state.until == BLOCKS[1][0]
        assert state.rule_id == "surface-between"


def test_blocks_are_kept_and_read_again_and_a_competition_kept_without_any_has_none(shop: Shop) -> None:
    rules_now.set_competition(shop, 1, replace(LONG, between_allowed=True))
    assert rules_now.competition(shop, 1) == replace(LONG, between_allowed=True)
    with shop.ledger.act("older") as act:
        act.set_setting("competition:1", {"starts_at": START.isoformat(), "ends_at": None})
    assert rules_now.competition(shop, 1) == Competition(START)


@pytest.mark.parametrize("blocks", [((-1, 1),), ((0, 2), (1, 3)), ((2, 2),), ((5, 7),)])
def test_blocks_follow_each_other_inside_the_competition(shop: Shop, blocks: tuple[tuple[int, int], ...]) -> None:
    told = tuple((START + timedelta(hours=a), START + timedelta(hours=b)) for a, b in blocks)
    with pytest.raises(OutOfRange):
        rules_now.set_competition(shop, 1, replace(LONG, blocks=told))


def test_where_surface_work_dated_on_a_day_lies(clock: Clock) -> None:
    three_days = Competition(START, START + timedelta(days=2, hours=3))
    later = START + timedelta(days=9)
    days = [START.date() + timedelta(days=n) for n in (-1, 0, 1, 2, 3)]
    found = [three_days.inside(day, later) for day in days]
    assert found == [Inside.OUTSIDE, Inside.MAYBE, Inside.INSIDE, Inside.MAYBE, Inside.OUTSIDE]
    assert replace(three_days, between_allowed=True).inside(days[2], later) is Inside.MAYBE
    assert three_days.inside(START.date(), START - timedelta(minutes=1)) is Inside.OUTSIDE
    assert three_days.inside(START.date(), START + timedelta(minutes=1)) is Inside.INSIDE


def sand(shop: Shop, on: datetime) -> tuple[bool, tuple[str, ...]]:
    """A pad on a ball, dated so: whether it was flagged as in competition, and what was cautioned before."""
    draft = Draft(2, Kind.SANDED, on.date(), SurfaceWork((Step(number=1000),)))
    said = logging.meaning_of(shop, (draft,)).cautions
    logging.keep(shop, (draft,))
    return shop.entries(2)[-1].payload.in_competition, said  # type: ignore[union-attr]


def test_surface_work_inside_a_competition_is_kept_and_flagged_though_nobody_typed_so(shop: Shop, clock: Clock) -> None:
    rules_now.set_competition(shop, 1, Competition(START, END))
    assert sand(shop, NOW)[0] is False
    clock.at = START + timedelta(hours=1)
    flagged, said = sand(shop, clock.at)
    assert flagged
    assert any("dry towel only" in caution for caution in said)
    told = [f for f in shop.state(2).findings if f.code == "in-competition"]
    assert [f.rule_id for f in told] == ["surface-in-competition"]
    assert shop.state(2).finish == (Step(number=1000),)
    clock.at = END
    assert sand(shop, clock.at)[0] is False


def test_work_dated_later_on_a_day_inside_a_competition_is_flagged_and_on_its_edges_asked_about(
    shop: Shop, clock: Clock
) -> None:
    rules_now.set_competition(shop, 1, Competition(START, START + timedelta(days=2)))
    clock.at = START + timedelta(days=5)
    flagged, said = sand(shop, START + timedelta(days=1))
    assert flagged
    assert any("kept and flagged" in caution for caution in said)
    flagged, said = sand(shop, START)
    assert not flagged
    assert any("in competition" in caution for caution in said)
    assert sand(shop, START + timedelta(days=3)) == (False, (DUST,))


def test_another_bowlers_competition_flags_nothing(shop: Shop, clock: Clock) -> None:
    rules_now.set_competition(shop, 2, Competition(START, END))
    clock.at = START + timedelta(hours=1)
    assert sand(shop, clock.at)[0] is False
