"""Tables in: every file read, every row checked, everything that is wrong told. The caller decides what to keep.

Within the files things are numbered by their rows; what comes out is numbered on from what is known already.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from arsenal.exchange.tables.columns import BALLS, BOWLERS, GRID, LANES, LINES, LOG, PADS, RECIPES, Table
from arsenal.exchange.tables.likeness import Question
from arsenal.exchange.tables.log_rows import LogReader
from arsenal.exchange.tables.numbering import (
    Numbers,
    renumbered,
    renumbered_ball,
    renumbered_pad,
    renumbered_person,
)
from arsenal.exchange.tables.owners import keep_ball, keep_person
from arsenal.exchange.tables.problems import Bad, Problem
from arsenal.exchange.tables.reading import (
    ASIDE,
    Given,
    Known,
    Place,
    Reading,
    known_aside,
    numbers_aside,
    once,
    read_files,
    read_sheet,
)
from arsenal.exchange.tables.records import grid_of, lane_of, line_of, pad_of, recipe_of
from arsenal.exchange.tables.rows import Row
from arsenal.exchange.tables.sheets import read_sheets
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Entry
from arsenal.trade.lane import FilmGrid, Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person


@dataclass(frozen=True)
class Loaded:
    """What the tables say. Records are numbered on from the known ones and speak of each other by these numbers."""

    people: tuple[Person, ...] = ()
    balls: tuple[Ball, ...] = ()
    lanes: tuple[Lane, ...] = ()
    pads: tuple[Pad, ...] = ()
    drafts: tuple[Draft, ...] = ()
    problems: tuple[Problem, ...] = ()
    changed: tuple[Person, ...] = ()
    """Known bowlers who get a benchmark, a usual condition, a line or what else they did not have."""
    skipped: int = 0
    """Rows that say what is known already."""
    recipes: tuple[Recipe, ...] = ()
    changed_balls: tuple[Ball, ...] = ()
    """Known balls that get what they lacked."""
    questions: tuple[Question, ...] = ()
    """Rows that wait for an answer; none of them is in what is to be kept."""
    remarks: tuple[Problem, ...] = ()
    """What the files say otherwise than the shop, which stays as it is."""
    left: tuple[str, ...] = ()
    """Headers whose columns are left in the file."""


def load(paths: Iterable[Path], *, today: date, known: Known | None = None, given: Given | None = None) -> Loaded:
    """Read CSV files and workbooks, or all those of a folder. Never raises for what they hold; see `Loaded.problems`
    and `Loaded.questions`.
    """
    reading = Reading(today, known or Known(), given or Given())
    read_files(reading, paths)
    known_aside(reading)
    for table, keep in ((BOWLERS, keep_person), (LANES, _lane), (BALLS, keep_ball), (PADS, _pad),
                        (RECIPES, _recipe), (BOWLERS, _habits), (LINES, _line)):  # fmt: skip
        _each(reading, table, keep)
    _idle_grids(reading)
    drafts = _log(reading)
    return _numbered(reading, drafts)


def _each(reading: Reading, table: Table, keep: Callable[[Reading, int, Place, Row], None]) -> None:
    """Keep every row of a table; a bad one is told and the next is read."""
    for number, place, row in reading.each(table):
        try:
            keep(reading, number, place, row)
        except Bad as error:
            reading.bad(place.file, row, error)


def _lane(reading: Reading, number: int, place: Place, row: Row) -> None:
    lane = lane_of(row, number, _grid(reading, place, row))
    reason = f"There is a condition {lane.name} above already."
    once(reading.seen, ("condition", lane.name.casefold()), row.header("condition"), reason)
    known = [other for other in reading.lanes.exact(lane.name) if other.id > ASIDE]
    if known:
        reading.again(LANES, number, known[0].id)
    else:
        reading.lanes.add(lane, lane.name)


def _grid(reading: Reading, place: Place, row: Row) -> FilmGrid | None:
    name = row.text("grid")
    if not name:
        return None
    header = row.header("grid")
    where = _page_of(reading, place, name) if place.page else _beside(reading, place.path, name, header)
    if where is None:
        raise Bad(header, f"There is no sheet {name} in {place.path.name}.")
    reading.used_grids.add(where)
    if where not in reading.grids:
        raise Bad(header, f"{name} could not be read.")
    try:
        return grid_of(reading.grids[where])
    except Bad as error:
        raise Bad(header, f"{name}{', ' + error.field if error.field else ''}: {error.reason}") from None


def _page_of(reading: Reading, place: Place, name: str) -> Place | None:
    """The sheet of that name in the same workbook."""
    pages = reading.pages.get(place.path, ())
    return next((Place(place.path, sheet.page, sheet.file) for sheet in pages if sheet.page == name), None)


def _beside(reading: Reading, path: Path, name: str, header: str) -> Place:
    """The file of that name beside this one, read where it was not named. Raises Bad."""
    beside = (path.parent / name).resolve()
    if Path(name).name != name or name.startswith(".") or beside.parent != path.parent:
        raise Bad(header, f"“{name}” must be the name of a file in the same folder.")
    where = Place(beside, "", beside.name)
    if where not in reading.grids:
        if not beside.is_file():
            raise Bad(header, f"There is no file {name} beside {path.name}.")
        sheets, problems = read_sheets(beside)
        reading.problems += problems
        for sheet in sheets[:1]:
            read_sheet(reading, beside, sheet, only=GRID)
    return where


def _idle_grids(reading: Reading) -> None:
    for place in reading.grids:
        if place not in reading.used_grids:
            reading.problems.append(Problem(place.file, 0, "", "No condition names this film grid in its column grid."))


def _pad(reading: Reading, count: int, _place: Place, row: Row) -> None:
    typed = row.number_in("pad", float(count), 1, ASIDE - 1)
    number = int(typed or count)
    if number != typed:
        raise Bad(row.header("pad"), "A pad's number is a whole number.")
    once(reading.seen, ("pad", number), row.header("pad"), f"Pad number {number} stands above already.")
    owner = reading.people.one(row.text("owner"), row.header("owner")).id if row.text("owner") else None
    pad = pad_of(row, number, owner, reading.today)
    key = (pad.number, pad.scale, pad.abrasive, pad.kind, pad.owner_id)
    known = [p.id for p in reading.pads
             if p.id > ASIDE and (p.number, p.scale, p.abrasive, p.kind, p.owner_id) == key
             and p.id not in reading.same[PADS.name].values()]  # fmt: skip
    if known:
        reading.again(PADS, number, known[0])
    else:
        reading.pads.append(pad)


def _recipe(reading: Reading, number: int, _place: Place, row: Row) -> None:
    owner = reading.people.one(row.text("owner"), row.header("owner")).id if row.text("owner") else None
    recipe = recipe_of(row, number, owner)
    reason = f"There is a recipe {recipe.name} above already."
    once(reading.seen, ("recipe", recipe.name.casefold(), owner), row.header("recipe"), reason)
    aside = None if owner is None or owner < ASIDE else owner - ASIDE
    if any(r.name.casefold() == recipe.name.casefold() and r.owner_id == aside for r in reading.known.recipes):
        reading.skipped += 1
    else:
        reading.recipes.append(recipe)


def _line(reading: Reading, _number: int, _place: Place, row: Row) -> None:
    person = reading.people.one(row.text("bowler"), row.header("bowler"))
    lane = reading.lanes.one(row.text("lane"), row.header("lane"))
    reason = f"{person.name} has a line on {lane.name} above already."
    once(reading.seen, ("line", person.id, lane.id), row.header("lane"), reason)
    others = [(lane_id, line) for lane_id, line in person.lines if lane_id != lane.id]
    reading.people.put(replace(person, lines=(*others, (lane.id, line_of(row)))))


def _habits(reading: Reading, number: int, _place: Place, row: Row) -> None:
    """Benchmark and usual condition, now that balls and conditions are known."""
    person = reading.people.by_id.get(reading.same[BOWLERS.name].get(number, number))
    if person is None:
        return
    ball, lane, owner_id = row.text("benchmark"), row.text("usual_lane"), person.id
    if ball:
        own = reading.balls.one(ball, row.header("benchmark"), lambda b: b.owner_id == owner_id)
        person = replace(person, benchmark_ball_id=own.id)
    if lane:
        person = replace(person, usual_lane_id=reading.lanes.one(lane, row.header("usual_lane")).id)
    reading.people.put(person)


def _log(reading: Reading) -> list[Draft]:
    rows = reading.rows.get(LOG.name, [])
    if not rows:
        return []
    aside = numbers_aside(reading.known)
    told = Counter((d.ball_id, d.kind, d.on, d.payload) for d in _as_drafts(reading.known.entries, aside))
    reader = LogReader(reading.people, reading.balls, reading.lanes, reading.pads, reading.today)
    drafts: list[Draft] = []
    for _, place, row in reading.each(LOG):
        try:
            made = reader.drafts(row)
        except Bad as error:
            reading.bad(place.file, row, error)
            continue
        for draft in made:
            key = (draft.ball_id, draft.kind, draft.on, draft.payload)
            if told[key] > 0:
                told[key] -= 1
                reading.skipped += 1
            else:
                drafts.append(draft)
    return drafts


def _as_drafts(entries: Sequence[Entry], to: Numbers) -> list[Draft]:
    return [renumbered(Draft(e.ball_id, e.kind, e.on, e.payload), to) for e in entries]


def _final(known: Iterable[int], rows: Iterable[int], same: Mapping[int, int]) -> dict[int, int]:
    """Number of a row → number on from the known ones; number aside → the known one."""
    known = list(known)
    base = max(known, default=0)
    final = {k + ASIDE: k for k in known}
    new = {row: base + place for place, row in enumerate(sorted(r for r in rows if r < ASIDE), 1)}
    return {**final, **new, **{row: other - ASIDE if other > ASIDE else new[other] for row, other in same.items()}}


def _numbered(reading: Reading, drafts: Sequence[Draft]) -> Loaded:
    known, same = reading.known, reading.same
    to = Numbers(
        _final((p.id for p in known.people), reading.people.by_id, same[BOWLERS.name]),
        _final((b.id for b in known.balls), reading.balls.by_id, same[BALLS.name]),
        _final((lane.id for lane in known.lanes), reading.lanes.by_id, same[LANES.name]),
        _final((p.id for p in known.pads), (p.id for p in reading.pads), same[PADS.name]),
    )
    people = [renumbered_person(p, to) for p in reading.people.all if p.id < ASIDE]
    before = {p.id: p for p in known.people}
    again = [renumbered_person(p, to) for p in reading.people.all if p.id > ASIDE]
    had = {b.id: b for b in known.balls}
    balls = [renumbered_ball(b, to) for b in reading.balls.all]
    return Loaded(
        tuple(people),
        tuple(b for b in balls if b.id not in had),
        tuple(replace(lane, id=to.lanes[lane.id]) for lane in reading.lanes.all if lane.id < ASIDE),
        tuple(renumbered_pad(p, to) for p in sorted(reading.pads, key=lambda p: p.id) if p.id < ASIDE),
        tuple(renumbered(d, to) for d in drafts),
        tuple(reading.problems),
        tuple(p for p in again if p != before[p.id]),
        reading.skipped,
        tuple(replace(r, owner_id=_final_of(to.people, r.owner_id)) for r in reading.recipes),
        tuple(b for b in balls if b.id in had and b != had[b.id]),
        tuple(reading.questions),
        tuple(reading.remarks),
        tuple(dict.fromkeys(reading.left)),
    )


def _final_of(people: Mapping[int, int], owner_id: int | None) -> int | None:
    return None if owner_id is None else people.get(owner_id, owner_id)
