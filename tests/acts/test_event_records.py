"""Events kept: what cannot be is named with what to change; the ban on pads follows from the event."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from made_event import BLOCKS, NINE, SATURDAY, an_event, put, put_in
from made_shop import Clock, opened

from arsenal.acts import events, files, rules_now, undo
from arsenal.acts.shop import Shop
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.event import BanFrom, Block, Entered, Event, Squad


def test_an_event_is_kept_changed_and_removed_with_undo(shop: Shop) -> None:
    event_id = put(shop)
    assert [e.title for e in events.events(shop)] == ["Autumn singles, Sat 28 Nov"]
    changed = events.put_event(shop, an_event(id=event_id, balls_allowed=6))
    assert changed.changed[0].fields == ("balls_allowed",)
    assert events.put_event(shop, an_event(id=event_id, balls_allowed=6)).act_id is None
    events.remove_event(shop, event_id)
    assert events.events(shop) == ()
    undo.undo(shop)
    assert events.event_of(shop, event_id).balls_allowed == 6


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"first_on": date(2026, 11, 20), "squads": ()}, "is over: Fri 20 Nov.*Change its date"),
        ({"balls_allowed": 0}, "balls allowed is 0; it must be 1 to 24"),
        ({"squads": (Squad("A", (Block(NINE, 0),)),)}, "number of games is 0.*leave out a block of none"),
        ({"squads": (Squad("A", (Block(NINE, 9, NINE + timedelta(hours=1)),)),)},
         "9 games do not fit into 1 h.*at most 8 games"),
        ({"squads": (Squad("A", (BLOCKS[0], Block(NINE + timedelta(minutes=30), 2))),)},
         "begins Sat 28 Nov, 9:30, while block 1 lasts until Sat 28 Nov, 10:00.*Start it later"),
        ({"squads": (Squad("A", (BLOCKS[1], BLOCKS[0])),)}, "Block 2 of squad A begins .* before block 1.*in order"),
        ({"squads": (Squad("A", (Block(NINE, 2, NINE),)),)}, "ends .*, not after it begins"),
        ({"squads": (Squad("A", ()), Squad("a ", ()))}, "Two squads have one name"),
        ({"squads": (Squad("A", (Block(NINE - timedelta(days=2), 2),)),)}, "Block 1 of squad A: start is Thu 26 Nov"),
        ({"registration_by": NINE + timedelta(hours=1)}, "registration, Sat 28 Nov, 10:00, lies after the first ball"),
        ({"practice_min": -5.0}, "minutes of practice is -5"),
        ({"hardness_at_least_d": 700.0}, "hardness asked for is 700 D"),
        ({"name": "  "}, "name"),
    ],
)  # fmt: skip
def test_what_an_event_cannot_be_says_what_to_change(shop: Shop, changed: dict[str, object], said: str) -> None:
    with pytest.raises(KnownError, match=said):
        put(shop, **changed)
    assert events.events(shop) == ()


def test_an_event_that_has_passed_since_may_still_be_corrected(shop: Shop, clock: Clock) -> None:
    event_id = put(shop)
    clock.at += timedelta(days=9)
    assert events.put_event(shop, an_event(id=event_id, note="rained")).act_id is not None
    assert [e.past for e in events.events(shop)] == [True]


def test_a_block_over_the_hour_the_clocks_go_back_is_as_long_as_it_was_played(shop: Shop) -> None:
    # 25 October 2026, 3:00 summer time becomes 2:00 in most of Europe: from 2:30 to 2:30 an hour passes
    zone = ZoneInfo("Europe/Berlin")
    before = datetime(2026, 10, 25, 2, 30, tzinfo=zone, fold=0)
    after = datetime(2026, 10, 25, 2, 30, tzinfo=zone, fold=1)
    starts, ends = (at.astimezone(timezone(at.utcoffset() or timedelta(0))) for at in (before, after))
    assert ends - starts == timedelta(hours=1)
    event = an_event(
        first_on=date(2026, 10, 25), squads=(Squad("A", (Block(starts, 3, ends),)),), registration_by=None,
        bags_locked_at=None,
    )  # fmt: skip
    from arsenal.acts import event_checks  # noqa: PLC0415

    event_checks.event(shop, event, old=event)
    turned = replace(event, squads=(Squad("A", (Block(ends, 3, starts),)),))
    with pytest.raises(KnownError, match="clocks go back"):
        event_checks.event(shop, turned, old=turned)


def test_times_carry_their_offset(shop: Shop) -> None:
    bare = Block(datetime(2026, 11, 28, 9, 0), 2)  # noqa: DTZ001
    with pytest.raises(ValueError, match="offset"):
        put(shop, squads=(Squad("A", (bare,)),))


def test_a_leap_day_is_a_day(shop: Shop, clock: Clock) -> None:
    clock.at = datetime(2028, 2, 28, 12, 0, tzinfo=UTC)
    starts = datetime(2028, 2, 29, 9, 0, tzinfo=UTC)
    put(shop, first_on=date(2028, 2, 29), squads=(Squad("A", (Block(starts, 3),)),), registration_by=None,
        bags_locked_at=None)  # fmt: skip
    assert events.events(shop)[0].title == "Autumn singles, Tue 29 Feb"


def test_entering_makes_the_event_the_bowlers_competition(shop: Shop) -> None:
    event_id = put(shop)
    put_in(shop, event_id)
    held = rules_now.competition(shop, 1)
    assert held is not None
    assert held.starts_at == NINE
    assert held.blocks == ((NINE, NINE + timedelta(hours=1)), (NINE + timedelta(hours=2), NINE + timedelta(hours=3)))
    assert not held.between_allowed
    undo.undo(shop)
    assert rules_now.competition(shop, 1) is None
    with pytest.raises(NotFound, match="not entered"):
        events.entered_of(shop, event_id, 1)


def test_the_ban_follows_when_the_event_is_changed_and_goes_with_it(shop: Shop) -> None:
    event_id = put(shop)
    put_in(shop, event_id)
    events.put_event(shop, an_event(id=event_id, ban_from=BanFrom.PRACTICE, between_allowed=True))
    held = rules_now.competition(shop, 1)
    assert held is not None
    assert held.starts_at == NINE - timedelta(minutes=10)  # the event says that practice counts
    assert held.between_allowed
    events.leave(shop, event_id, 1)
    assert rules_now.competition(shop, 1) is None


def test_a_competition_set_by_hand_is_left_alone_until_the_event_is_chosen(shop: Shop) -> None:
    sunday = NINE + timedelta(days=1)
    rules_now.set_competition(shop, 1, rules_now.Competition(sunday))
    event_id = put(shop)
    put_in(shop, event_id)
    held = rules_now.competition(shop, 1)
    assert held is not None
    assert held.starts_at == sunday
    events.set_as_competition(shop, event_id, 1)
    held = rules_now.competition(shop, 1)
    assert held is not None
    assert held.starts_at == NINE


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (-60, "pads allowed until 9:00, first ball by anybody; no pads between blocks"),
        (30, "dry towel only; no pads between blocks"),
        (90, "between blocks, dry towel only until 11:00"),
        (400, "pads allowed: it is over"),
    ],
)
def test_what_is_allowed_now_and_between_blocks(shop: Shop, minutes: int, said: str) -> None:
    event_id = put(shop)
    own = put_in(shop, event_id)
    assert events.allowed_words(events.event_of(shop, event_id), own, NINE + timedelta(minutes=minutes)) == said


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"squad": "Z"}, "has no squad Z.*one of: A"),
        ({"right_handers": 40}, "right-handers on the pair"),
        ({"bags": 0}, "bags is 0"),
        ({"minutes": -1.0}, "minutes for surface work is -1"),
        ({"bag_limit_kg": 0.5}, "limit of one bag is 1 lb"),
    ],
)
def test_what_an_entry_cannot_be_is_named(shop: Shop, changed: dict[str, object], said: str) -> None:
    event_id = put(shop)
    with pytest.raises(KnownError, match=said):
        put_in(shop, event_id, **changed)


def test_nobody_is_entered_twice_and_only_own_balls_are_settled(shop: Shop) -> None:
    event_id = put(shop)
    put_in(shop, event_id)
    with pytest.raises(KnownError, match="Mirel Oster is in Autumn singles already"):
        put_in(shop, event_id)
    with pytest.raises(KnownError, match="Slow Lantern is not one of Mirel Oster's balls"):
        events.choose(shop, event_id, 1, 5, take=True)
    events.choose(shop, event_id, 1, 2, take=True, finish="1000 h")
    assert [(c.ball_id, c.take, c.finish) for c in events.entered_of(shop, event_id, 1).chosen] == [(2, True, "1000 h")]
    events.choose(shop, event_id, 1, 2)
    assert events.entered_of(shop, event_id, 1).chosen == ()


def test_events_travel_with_the_whole_file(shop: Shop, tmp_path: Path) -> None:
    event_id = put(shop)
    put_in(shop, event_id)
    files.dump(shop, tmp_path / "out")
    files.rebuild(tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=Clock())
    with opened(tmp_path / "again.padbook", Clock()) as again:
        assert again.every(Event) == shop.every(Event)
        assert again.every(Entered) == shop.every(Entered)


def test_an_event_of_an_unknown_condition_or_place_is_refused(shop: Shop) -> None:
    with pytest.raises(NotFound, match="lane condition"):
        put(shop, lane_ids=(99,))
    with pytest.raises(OutOfRange, match="day the list was checked"):
        put(shop, list_checked_on=SATURDAY)
