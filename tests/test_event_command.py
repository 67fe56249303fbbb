"""`padbook event` and `padbook list events`, as somebody at a terminal meets them."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from arsenal import commands
from arsenal.acts import balls, events, lanes, people
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.ledger import NO_BACKUPS
from arsenal.trade import Ball, Cover, FilmSummary, Lane, Person, Style
from arsenal.trade.entries import Draft, Kind, New, Step
from arsenal.trade.event import Block, Entered, Event, Squad
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS

STYLE = Style(16.5 * MPH_MPS, 275 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)
STARTS = datetime.now(UTC).replace(hour=9, minute=0, second=0, microsecond=0) + timedelta(days=9)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One bowler alone on his pair with two balls and no pads, one event in nine days, and one he is not in."""
    path = tmp_path_factory.mktemp("event") / "shop.padbook"
    with Shop.open(path, settings=Settings(path=path.with_name("settings.json")), backups=NO_BACKUPS) as made:
        lanes.add_lane(made, Lane(0, "41 ft house", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0)))
        people.add_bowler(made, Person(0, "Mirel Oster", "mirel", style=STYLE, usual_lane_id=1))
        for name, cover, number in (("Jay Quarry", Cover.SOLID, 2000.0), ("Paper Moth", Cover.PEARL, 4000.0)):
            came = Draft(0, Kind.NEW, made.today(), New((Step(number=number),)))
            balls.add_ball(made, Ball(0, name, name[:3].lower(), 1, cover), (came,))
        squads = (Squad("", (Block(STARTS, 2),)),)
        events.put_event(made, Event(0, "Autumn singles", STARTS.date(), squads=squads, lane_ids=(1,), balls_allowed=1))
        events.put_event(made, Event(0, "Spring doubles", STARTS.date() + timedelta(days=90)))
        events.enter(made, Entered(0, 1, 1, right_handers=0))
    return path


def said(capsys: pytest.CaptureFixture[str], *arguments: object, code: int = 0) -> str:
    assert commands.main([str(a) for a in arguments]) == code
    found = capsys.readouterr()
    return found.out if code == 0 else found.err


def test_events_are_listed_with_who_is_in_them(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = json.loads(said(capsys, "list", "events", "--data", shop, "--json"))
    assert [(r["name"], r["past"], r["bowlers"]) for r in rows] == [
        ("Autumn singles", False, "Mirel Oster"), ("Spring doubles", False, None),
    ]  # fmt: skip


def test_an_event_is_told_as_bag_and_prep_sheet(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found: dict[str, Any] = json.loads(said(capsys, "event", "autumn", "--data", shop, "--json"))
    assert {"bag", "prep", "stages", "covered", "one_more", "registration", "facts"} <= set(found)
    assert [b["ball"] for b in found["bag"] if b["taken"]] == [found["covered"][0]["ball"]]
    for ball in found["bag"]:
        assert list(ball["stages"]) == [s["stage"] for s in found["stages"]]
    ban = next(line for line in found["prep"] if line["key"] == "ban")
    assert ban["at"] == STARTS.isoformat()
    assert found["stages"][0]["stage"] == "fresh"
    text = said(capsys, "event", "autumn", "--data", shop)
    assert text.startswith("Autumn singles, ")
    assert "last pad: dry towel only from now" in text
    assert "doubt taken off" in text


def test_an_event_nobody_knows_and_one_without_the_bowler_are_named(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "There are Autumn singles; Spring doubles" in said(capsys, "event", "summer", "--data", shop, code=2)
    assert "Nobody is entered in Spring doubles" in said(capsys, "event", "spring", "--data", shop, code=2)
