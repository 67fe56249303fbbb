from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed_drafts import drafts
from typed_shop import BALLS, LANES, PADS, PEOPLE, RECIPES, TODAY

from arsenal.exchange.tables import Loaded, dump, load
from arsenal.trade import Ball, Cover, FilmGrid, Lane, LaneSurface, Line, Person, Scatter, Style, UnknownHouse, Zone
from arsenal.trade.entries import Draft, Entry, Kind, Note, OilDrawn, Undo, Unknown
from arsenal.trade.errors import KnownError
from arsenal.trade.person import ReadAt, SpeedReading
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, MPH_MPS, OIL_UNIT_M, RPM_RADPS

DEG, BOARD, MPH = DEGREE_RAD, BOARD_M, MPH_MPS
STYLE = Style(  # as typed: 16.4 mph, 325 rpm, 45°, 15°
    16.4 * MPH, 325 * RPM_RADPS, 45 * DEG, 15 * DEG,
    Scatter(0.7 * BOARD, 0.3 * DEG, 0.4 * MPH, 5 * 0.01, 3 * DEG), Zone(8.5 * BOARD, 30.5 * BOARD, -6 * DEG, 2 * DEG),
)  # fmt: skip
BOWLERS = (
    replace(PEOPLE[0], style=STYLE, benchmark_ball_id=2, usual_lane_id=3, games_a_week=7.5, note="=not a sum",
            lines=((1, Line(21.5 * BOARD, -2.4 * DEG)), (3, Line(22.0 * BOARD, -2 * DEG))),
            speed_reading=SpeedReading(ReadAt.DISPLAY, 15.5 * MPH, "home house"), stance_to_laydown_boards=6.5),
    replace(PEOPLE[1], back_up=True, stance_to_laydown_boards=-2.0),
    replace(PEOPLE[2], two_handed=True),
)  # fmt: skip
NODES = ((2.5 * OIL_UNIT_M, 20 * OIL_UNIT_M, 0.0),) * 3
GRID = FilmGrid((0.0, 20 * FOOT_M, 41 * FOOT_M), (1.0, 20.0, 39.0), NODES)
CONDITIONS = (
    *LANES,
    Lane(4, "Burnt, after two blocks", GRID,
         LaneSurface.WOOD_FRONT, "home house", "measured"),
    Lane(5, "Abroad", UnknownHouse(38 * FOOT_M, 44 * FOOT_M, 20 * 1e-6, 30 * 1e-6, 3.0, 9.0, 2.0)),
)  # fmt: skip


def entry(seq: int, draft: Draft) -> Entry:
    at = datetime(2026, 11, 24, 20, 0)  # noqa: DTZ001
    return Entry(seq, draft.ball_id, draft.kind, draft.on, draft.payload, at, 0, undoes=draft.undoes, late=draft.late)


@contextmanager
def there_and_back(
    people: tuple[Person, ...], balls: tuple[Ball, ...], lanes: tuple[Lane, ...], entries: list[Entry]
) -> Iterator[Loaded]:
    with TemporaryDirectory() as folder:
        dump(Path(folder), people, balls, lanes, PADS, entries, RECIPES if len(people) > 1 else ())
        yield load([Path(folder)], today=TODAY)


def as_drafts(loaded: Loaded) -> list[Draft]:
    return [replace(d, typed="") for d in loaded.drafts]


def confirmed(draft: Draft) -> Draft:
    """Oil drawn hot or in an unusual way is only ever kept confirmed."""
    if isinstance(draft.payload, OilDrawn):
        return replace(draft, payload=replace(draft.payload, confirmed=True))
    return draft


@settings(max_examples=40, deadline=None)
@given(st.lists(drafts().map(confirmed), max_size=6))
def test_what_is_written_as_tables_reads_back_to_the_same_shop(log: list[Draft]) -> None:
    entries = [entry(n, d) for n, d in enumerate(log, 1)]
    with there_and_back(BOWLERS, BALLS, CONDITIONS, entries) as loaded:
        assert loaded.problems == ()
        assert loaded.people == BOWLERS
        assert loaded.balls == BALLS
        assert loaded.lanes == CONDITIONS
        assert loaded.pads == PADS
        assert loaded.recipes == tuple(replace(r, id=i) for i, r in enumerate(RECIPES, 1))
        assert as_drafts(loaded) == log


def test_two_bowlers_and_two_balls_of_one_name_stay_apart() -> None:
    people = (Person(1, "Bo Tillander", "bo"), Person(2, "Bo Tillander", "young bo"))
    balls = tuple(
        Ball(n, "Gate Nine", nick, owner, Cover.SOLID, serial=serial)
        for n, nick, owner, serial in ((1, "nine", 1, "A1"), (2, "nine", 2, "A2"), (3, "old nine", 1, "A3"))
    )
    log = [Draft(b.id, Kind.NOTE, TODAY, Note(f"of {b.serial}")) for b in balls]
    with there_and_back(people, balls, (), [entry(n, d) for n, d in enumerate(log, 1)]) as loaded:
        assert loaded.problems == ()
        assert (loaded.people, loaded.balls) == (people, balls)
        assert as_drafts(loaded) == log


def test_numbers_with_holes_are_closed_up() -> None:
    people = (replace(PEOPLE[0], id=7, benchmark_ball_id=40),)
    balls = (replace(BALLS[0], id=40, owner_id=7),)
    with there_and_back(people, balls, (), []) as loaded:
        assert loaded.people == (replace(PEOPLE[0], benchmark_ball_id=1),)
        assert loaded.balls == (BALLS[0],)


def test_what_was_taken_back_and_what_is_not_known_stay_out() -> None:
    note = Draft(1, Kind.NOTE, TODAY, Note("kept"))
    log = [
        entry(1, Draft(1, Kind.NOTE, TODAY, Note("taken back"))),
        entry(2, Draft(1, Kind.UNDO, TODAY, Undo(), undoes=1)),
        entry(3, Draft(1, "weather", TODAY, Unknown("{}"))),
        entry(4, note),
    ]
    with there_and_back(PEOPLE, BALLS, LANES, log) as loaded:
        assert as_drafts(loaded) == [note]


HOSTILE = st.text(st.characters(exclude_characters="\0", exclude_categories=("Cs",)), min_size=1, max_size=20).map(
    lambda text: text.strip(" ")
)
NAMES = st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1, max_size=20).map(
    lambda text: text.strip(" ")
)
"""A name has no line breaks, tabs or other control signs: nobody could keep one by hand."""


@settings(max_examples=60, deadline=None)
@given(NAMES.filter(lambda t: bool(t.strip())), HOSTILE, HOSTILE)
def test_hostile_text_comes_back_as_it_was(name: str, note: str, text: str) -> None:
    people = (Person(1, name, note=note),)
    balls = (Ball(1, name, "", 1, Cover.PEARL, note=note, colour=text),)
    log = [Draft(1, Kind.NOTE, date(2026, 3, 1), Note(text))] if text.strip() else []
    with there_and_back(people, balls, (), [entry(n, d) for n, d in enumerate(log, 1)]) as loaded:
        assert loaded.problems == ()
        assert (loaded.people, loaded.balls) == (people, balls)
        assert as_drafts(loaded) == log


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(KnownError, match="could not be written"):
        dump(tmp_path / "none", PEOPLE, BALLS, LANES, PADS, [])
