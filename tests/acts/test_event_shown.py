"""An event's plan as it is shown: kept numbers stay, the sheets follow the log, what is asked for makes a new plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from arsenal.acts import balls, event, event_calendar, event_shown, events, lanes, pads, people, undo
from arsenal.acts.event_views import EventPlan, Mark, PrepLine
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, New, Step
from arsenal.trade.event import Block, Entered, Event, Reoiled, Squad
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person
from arsenal.trade.release import Style
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS

STYLE = Style(16.4 * MPH_MPS, 325 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)
MIREL, EVENT, QUARRY = 1, 1, 1


@pytest.fixture(scope="module")
def planned(tmp_path_factory) -> Iterator[tuple[Shop, EventPlan]]:
    """Two balls, one pad, one game tomorrow, and the plan for it: made once, because every ball is thrown for it."""
    path: Path = tmp_path_factory.mktemp("event") / "shop.padbook"
    with Shop.open(path, settings=Settings(path=path.with_suffix(".json"))) as shop:
        people.add_bowler(shop, Person(0, "Mirel Oster", style=STYLE))
        for name, cover in (("Quarry Song", Cover.SOLID), ("Paper Moth", Cover.PEARL)):
            new = Draft(0, Kind.NEW, shop.today() - timedelta(days=20), New((Step(number=2000.0),)))
            balls.add_ball(shop, Ball(0, name, "", MIREL, cover), [new])
        lanes.add_lane(shop, Lane(0, "41 ft house", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0)))
        pads.add_pad(shop, Pad(0, 1000))
        nine = datetime.now().astimezone().replace(hour=9, minute=0, second=0, microsecond=0) + timedelta(days=1)
        one = Event(0, "Autumn singles", nine.date(), "", (Squad("", (Block(nine, 1),)),), (1,), Reoiled.EACH, 1)
        events.put_event(shop, one)
        events.enter(shop, Entered(0, EVENT, MIREL, right_handers=0))
        assert event_shown.kept(shop, EVENT, MIREL) is None
        told: list[str] = []
        plan = event_shown.shown(shop, EVENT, MIREL, progress=lambda what, _done, _of: told.append(what))
        assert told
        yield shop, plan


def lines(plan: EventPlan) -> dict[str, PrepLine]:
    return {line.key: line for part in plan.prep.parts for line in part.lines}


def test_a_plan_that_was_kept_is_shown_with_the_same_numbers(planned) -> None:
    shop, plan = planned
    assert plan.id > 0
    again = event_shown.shown(shop, EVENT, MIREL)
    assert again.id == plan.id
    assert again.rows == plan.rows
    assert again.changed_since == ()
    at_once = event_shown.kept(shop, EVENT, MIREL)
    assert at_once is not None
    assert (at_once.rows, at_once.prep, at_once.registration) == (plan.rows, plan.prep, plan.registration)


def test_what_is_settled_by_hand_makes_a_new_plan_and_done_work_is_ticked_until_it_is_taken_back(planned) -> None:
    shop, first = planned
    offered = next(f for row in first.rows if row.ball_id == QUARRY for f in row.finishes if f.label == "1000 h")
    events.choose(shop, EVENT, MIREL, QUARRY, take=True, finish=offered.name)
    plan = event_shown.shown(shop, EVENT, MIREL)
    assert plan.id > first.id
    assert [row.name for row in plan.rows if row.taken] == ["Quarry Song"]
    work = next(line for key, line in lines(plan).items() if key.startswith("work:"))
    assert work.mark is Mark.OPEN
    event.tick(shop, EVENT, MIREL, work.key, done=True, plan=plan)
    after = event_shown.kept(shop, EVENT, MIREL)
    assert after is not None
    assert after.rows == plan.rows, "the numbers are those it was kept with"
    assert lines(after)[work.key].mark is Mark.DONE
    undo.undo(shop)
    back = event_shown.kept(shop, EVENT, MIREL)
    assert back is not None
    assert lines(back)[work.key].mark is Mark.OPEN


def test_another_event_is_not_shown_with_the_plan_of_the_old_one(planned) -> None:
    shop, _ = planned
    before = events.event_of(shop, EVENT)
    events.put_event(shop, replace(before, place="Weststadt"))
    assert event_shown.kept(shop, EVENT, MIREL) is None
    undo.undo(shop)
    assert event_shown.kept(shop, EVENT, MIREL) is not None


def test_a_calendar_of_the_event_updates_and_does_not_double(planned, tmp_path: Path) -> None:
    """UID and SEQUENCE as RFC 5545, sections 3.8.4.7 and 3.8.7.4, ask of an entry that is sent again."""
    shop, plan = planned
    first = event_calendar.save_event_calendar(shop, plan, tmp_path / "a.ics").text.decode()
    again = event_calendar.save_event_calendar(shop, plan, tmp_path / "b.ics").text.decode()

    def of(text: str, name: str) -> list[str]:
        return [line.partition(":")[2] for line in text.splitlines() if line.startswith(name)]

    assert len(of(first, "UID")) == 2
    assert of(first, "UID") == of(again, "UID")
    assert set(of(again, "SEQUENCE")) == {"0"}
    day = plan.event.first_on
    assert of(first, "DTSTART;VALUE=DATE") == [f"{day - timedelta(days=1):%Y%m%d}", f"{day:%Y%m%d}"]
    assert max(len(line.encode()) for line in first.split("\r\n")) <= 75
    other = replace(plan, event=replace(plan.event, name="Winter singles"))
    renamed = event_calendar.save_event_calendar(shop, other, tmp_path / "c.ics").text.decode()
    assert of(renamed, "UID") == of(first, "UID")
    assert set(of(renamed, "SEQUENCE")) == {"1"}


def test_bags_and_balls_weigh_in_the_unit_that_is_set(planned, monkeypatch) -> None:
    """A pound is 0.45359237 kg (international avoirdupois pound, exact by definition)."""
    shop, _ = planned
    ball_kg = shop.balls(MIREL)[0].mass_kg
    told = {}
    for units, unit, factor in (("imperial", "lb", 0.45359237), ("metric", "kg", 1.0)):
        monkeypatch.setattr(shop.settings, "units", units)
        plan = event_shown.kept(shop, EVENT, MIREL)
        assert plan is not None
        told[unit] = dict(plan.prep.facts)["Bags"]
        weight, _, shown = plan.registration.rows[0].weight.partition(" ")
        assert shown == unit
        assert float(weight) * factor == pytest.approx(ball_kg, abs=0.06)
    assert told["lb"].endswith(" lb")
    assert told["kg"].endswith(" kg")
