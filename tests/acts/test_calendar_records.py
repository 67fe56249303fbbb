"""Leagues and time for work: kept, refused in a sentence, and carried to another file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from made_shop import TODAY, Clock, opened

from arsenal.acts import calendar, files, undo
from arsenal.acts.shop import Shop
from arsenal.trade.calendar import League, Place, Repeats, Slot
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.event import Entered, Event

LEAGUE = League(0, 1, "House league", date(2026, 9, 1), 3.0, time(19))
SLOT = Slot(0, 1, date(2026, 9, 5), 60.0, time(10))


def test_a_league_and_a_slot_are_kept_changed_and_removed_each_by_one_act(shop: Shop) -> None:
    added = calendar.keep_league(shop, LEAGUE)
    assert added.sentence == "Added House league of Mirel Oster"
    (league,) = calendar.leagues(shop, 1)
    calendar.keep_league(shop, replace(league, games=4.0))
    assert calendar.leagues(shop)[0].games == 4.0
    slot_id = calendar.keep_slot(shop, SLOT).changed[0].id
    assert [slot.id for slot in calendar.slots(shop, 1)] == [slot_id]
    assert calendar.slots(shop, None) == ()
    assert calendar.remove_slot(shop, slot_id).sentence == "Removed time for work, Saturdays, 60 min"
    undo.undo(shop)
    assert len(calendar.slots(shop, 1)) == 1
    calendar.remove_league(shop, league.id)
    assert calendar.leagues(shop) == ()


@pytest.mark.parametrize(("changed", "says"), [
    ({"minutes": 0.0}, "A slot of 0 minutes has no room for work. Nothing was changed. Give it 5 minutes or more."),
    ({"minutes": -3.0}, "Minutes of a slot is -3"),
    ({"minutes": float("nan")}, "Minutes of a slot is nan"),
    ({"last_on": date(2026, 9, 4)}, "The last day, Fri 4 Sep 2026, is before the first, Sat 5 Sep 2026."),
    ({"skipped": (date(2026, 9, 13),)}, "It does not fall on Sun 13 Sep 2026"),
    ({"first_on": date(2086, 9, 5)}, "too far from today"),
    ({"heat": True, "heat_places": 0}, "Balls in the heat cabinet at once is 0"),
])  # fmt: skip
def test_a_slot_that_cannot_be_is_refused_with_what_to_change(
    shop: Shop, changed: dict[str, object], says: str
) -> None:
    before = shop.revision
    with pytest.raises(KnownError) as refused:
        calendar.keep_slot(shop, replace(SLOT, **changed))  # type: ignore[arg-type]
    assert says in str(refused.value)
    assert shop.revision == before


@pytest.mark.parametrize(("changed", "says"), [
    ({"name": "  "}, "needs a name"), ({"games": 0.0}, "Games of an evening is 0"),
    ({"shots": 0.0}, "Strike shots of an evening is 0"), ({"ball_ids": (5,)}, "Slow Lantern is not a ball of Mirel"),
    ({"last_on": date(2026, 8, 31)}, "is before the first"),
    ({"repeats": Repeats.FORTNIGHTLY, "skipped": (date(2026, 9, 8),)}, "The nearest is Tue 15 Sep 2026"),
])  # fmt: skip
def test_a_league_that_cannot_be_is_refused_with_what_to_change(
    shop: Shop, changed: dict[str, object], says: str
) -> None:
    with pytest.raises((KnownError, NotFound)) as refused:
        calendar.keep_league(shop, replace(LEAGUE, **changed))  # type: ignore[arg-type]
    assert says in str(refused.value)


def test_one_evening_is_left_out_by_its_date(shop: Shop) -> None:
    league_id = calendar.keep_league(shop, LEAGUE).changed[0].id
    calendar.skip_league(shop, league_id, date(2026, 12, 29))
    with pytest.raises(KnownError, match="does not fall on Wed 30 Dec 2026"):
        calendar.skip_league(shop, league_id, date(2026, 12, 30))
    assert calendar.leagues(shop)[0].skipped == (date(2026, 12, 29),)


def test_the_days_on_which_the_clocks_change_over_a_slot_are_told() -> None:
    """The last Sundays of March and October in central Europe: 28 March and 31 October 2027."""
    night = Slot(1, 1, date(2026, 11, 1), 60.0, time(2, 30), place=Place.HOME)
    assert calendar.clock_remarks(night, TODAY, ZoneInfo("Europe/Berlin")) == (
        "Sun 28 Mar: the clocks go forward over 2:30; 3:30 is meant.",
        "Sun 31 Oct: the clocks go back and 2:30 comes twice; the first is meant.",
    )
    assert calendar.clock_remarks(replace(night, starts=time(10)), TODAY, ZoneInfo("Europe/Berlin")) == ()
    assert calendar.clock_remarks(replace(night, starts=None), TODAY, ZoneInfo("Europe/Berlin")) == ()


def test_events_leagues_and_time_for_work_are_rebuilt_from_the_lines(sample: Path, tmp_path: Path) -> None:
    with opened(sample, Clock()) as shop:
        kinds = (League, Slot, Event, Entered)
        had = {kind: shop.every(kind) for kind in kinds}
        files.dump(shop, tmp_path / "out")
    files.rebuild(tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=Clock())
    with opened(tmp_path / "again.padbook", Clock()) as again:
        assert {kind: again.every(kind) for kind in kinds} == had
    assert len(had[League]) >= 6
    assert {slot.place for slot in had[Slot]} == set(Place)  # type: ignore[union-attr]


def test_the_sample_s_weeks_move_with_its_log_and_its_bowlers_play_on_their_usual_days(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        assert all(league.first_on <= TODAY for league in shop.every(League))
        for person_id in {league.bowler_id for league in shop.every(League)}:
            own = {league.first_on.weekday() for league in calendar.leagues(shop, person_id)}
            balls = shop.balls(person_id)
            played = {e.on.weekday() for b in balls for e in shop.entries(b.id) if e.kind == "played"}
            assert own & played, shop.person(person_id).name
