"""Tables in: every file read, every row checked, everything that is wrong told. The caller decides what to keep.

Within the files things are numbered by their rows; what comes out is numbered on from what is known already.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from arsenal.exchange.tables.columns import BALLS, BOWLERS, GRID, LANES, LINES, LOG, PADS, RECIPES, TABLES, Table
from arsenal.exchange.tables.csv_file import read_sheet
from arsenal.exchange.tables.index import Index
from arsenal.exchange.tables.log_rows import LogReader
from arsenal.exchange.tables.numbering import (
    Numbers,
    renumbered,
    renumbered_ball,
    renumbered_pad,
    renumbered_person,
)
from arsenal.exchange.tables.problems import Bad, Problem
from arsenal.exchange.tables.recognise import check_headers, recognise, rows_of, unknown_table
from arsenal.exchange.tables.records import ball_of, grid_of, lane_of, line_of, pad_of, person_of, recipe_of
from arsenal.exchange.tables.rows import Row
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Entry
from arsenal.trade.lane import FilmGrid, Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

ASIDE = 1_000_000_000
"""What is known already is numbered from here while files are read, so that “#3” means the third row of a file."""


@dataclass(frozen=True)
class Known:
    """What the file that is loaded into holds: rows that say the same again are passed over."""

    people: Sequence[Person] = ()
    balls: Sequence[Ball] = ()
    lanes: Sequence[Lane] = ()
    pads: Sequence[Pad] = ()
    entries: Sequence[Entry] = ()
    recipes: Sequence[Recipe] = ()


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
    """Known bowlers who get a benchmark, a usual condition or a line they did not have."""
    skipped: int = 0
    """Rows that say what is known already."""
    recipes: tuple[Recipe, ...] = ()


@dataclass
class _Reading:
    today: date
    known: Known
    problems: list[Problem] = field(default_factory=list)
    rows: dict[str, list[tuple[str, Path, Row]]] = field(default_factory=dict)
    grids: dict[Path, tuple[str, list[Row]]] = field(default_factory=dict)
    used_grids: set[Path] = field(default_factory=set)
    skipped: int = 0
    people: Index[Person] = field(default_factory=lambda: Index("bowler"))
    balls: Index[Ball] = field(default_factory=lambda: Index("ball"))
    lanes: Index[Lane] = field(default_factory=lambda: Index("condition"))
    pads: list[Pad] = field(default_factory=list)
    recipes: list[Recipe] = field(default_factory=list)
    seen: set[Hashable] = field(default_factory=set)
    same: dict[str, dict[int, int]] = field(default_factory=lambda: {t.name: {} for t in TABLES})
    """Number of a row that says what is known → the known thing's number, by table."""

    def bad(self, file: str, row: int, error: Bad) -> None:
        self.problems.append(Problem(file, row, error.field, error.reason))


def load(paths: Iterable[Path], *, today: date, known: Known | None = None) -> Loaded:
    """Read CSV files, or every CSV file of a folder. Never raises for what they hold; see `Loaded.problems`."""
    reading = _Reading(today, known or Known())
    _read_files(reading, paths)
    _known_aside(reading)
    for table, keep in ((BOWLERS, _person), (LANES, _lane), (BALLS, _ball), (PADS, _pad), (RECIPES, _recipe),
                        (BOWLERS, _habits), (LINES, _line)):  # fmt: skip
        _each(reading, table, keep)
    _idle_grids(reading)
    drafts = _log(reading)
    return _numbered(reading, drafts)


def _files(paths: Iterable[Path], problems: list[Problem]) -> list[Path]:
    found: list[Path] = []
    for path in paths:
        if path.is_dir():
            inside = sorted(path.glob("*.csv"))
            if not inside:
                problems.append(Problem(path.name, 0, "", "There is no CSV file in this folder."))
            found += inside
        else:
            found.append(path)
    return list(dict.fromkeys(p.resolve() for p in found))


def _read_files(reading: _Reading, paths: Iterable[Path]) -> None:
    for path in _files(paths, reading.problems):
        _read_file(reading, path)


def _read_file(reading: _Reading, path: Path, *, only: Table | None = None) -> None:
    sheet, problems = read_sheet(path)
    reading.problems += problems
    if sheet is None:
        return
    table = only or recognise(sheet)
    if table is None:
        reading.problems.append(unknown_table(sheet))
        return
    if wrong := check_headers(sheet, table):
        reading.problems += wrong
        return
    rows, problems = rows_of(sheet, table)
    reading.problems += problems
    if table is GRID:
        reading.grids[path] = (sheet.file, rows)
    else:
        reading.rows.setdefault(table.name, []).extend((sheet.file, path, row) for row in rows)


def _known_aside(reading: _Reading) -> None:
    """Known things, out of the way of the rows' numbers."""
    known = reading.known
    aside = _aside(known)
    for person in known.people:
        reading.people.add(renumbered_person(person, aside), person.name, person.nickname)
    for ball in known.balls:
        reading.balls.add(renumbered_ball(ball, aside), ball.name, ball.nickname, ball.serial)
    for lane in known.lanes:
        reading.lanes.add(replace(lane, id=aside.lanes[lane.id]), lane.name)
    reading.pads += [renumbered_pad(pad, aside) for pad in known.pads]


def _aside(known: Known) -> Numbers:
    def shift(things: Sequence[Person] | Sequence[Ball] | Sequence[Lane] | Sequence[Pad]) -> dict[int, int]:
        return {t.id: t.id + ASIDE for t in things}

    return Numbers(shift(known.people), shift(known.balls), shift(known.lanes), shift(known.pads))


def _each(reading: _Reading, table: Table, keep: Callable[[_Reading, int, Path, Row], None]) -> None:
    """Keep every row of a table, numbered from 1; a bad one is told and the next is read."""
    for number, (file, path, row) in enumerate(reading.rows.get(table.name, ()), 1):
        try:
            keep(reading, number, path, row)
        except Bad as error:
            reading.bad(file, row.number, error)


def _once(seen: set[Hashable], key: Hashable, field_name: str, reason: str) -> None:
    """Raises Bad for what a row above says already."""
    if key in seen:
        raise Bad(field_name, reason)
    seen.add(key)


def _again(reading: _Reading, table: Table, number: int, known_number: int) -> None:
    reading.same[table.name][number] = known_number
    reading.skipped += 1


def _person(reading: _Reading, number: int, _path: Path, row: Row) -> None:
    person = person_of(row, number, reading.today)
    key = ("bowler", person.name.casefold(), person.nickname.casefold())
    reason = f"There is a {person.name} above already; tell them apart by a nickname."
    _once(reading.seen, key, row.header("bowler"), reason)
    known = [p for p in reading.people.exact(person.name) if p.id > ASIDE]
    if len(known) == 1:
        _again(reading, BOWLERS, number, known[0].id)
    else:
        reading.people.add(person, person.name, person.nickname)


def _lane(reading: _Reading, number: int, path: Path, row: Row) -> None:
    lane = lane_of(row, number, _grid(reading, path, row))
    reason = f"There is a condition {lane.name} above already."
    _once(reading.seen, ("condition", lane.name.casefold()), row.header("condition"), reason)
    known = [other for other in reading.lanes.exact(lane.name) if other.id > ASIDE]
    if known:
        _again(reading, LANES, number, known[0].id)
    else:
        reading.lanes.add(lane, lane.name)


def _grid(reading: _Reading, path: Path, row: Row) -> FilmGrid | None:
    name = row.text("grid")
    if not name:
        return None
    beside = (path.parent / name).resolve()
    if Path(name).name != name or name.startswith(".") or beside.parent != path.parent:
        raise Bad(row.header("grid"), f"“{name}” must be the name of a file in the same folder.")
    if beside not in reading.grids:
        if not beside.is_file():
            raise Bad(row.header("grid"), f"There is no file {name} beside {path.name}.")
        _read_file(reading, beside, only=GRID)
    reading.used_grids.add(beside)
    if beside not in reading.grids:
        raise Bad(row.header("grid"), f"{name} could not be read.")
    try:
        return grid_of(reading.grids[beside][1])
    except Bad as error:
        raise Bad(row.header("grid"), f"{name}{', ' + error.field if error.field else ''}: {error.reason}") from None


def _idle_grids(reading: _Reading) -> None:
    for path, (file, _) in reading.grids.items():
        if path not in reading.used_grids:
            reading.problems.append(Problem(file, 0, "", "No condition names this film grid in its column grid."))


def _ball(reading: _Reading, number: int, _path: Path, row: Row) -> None:
    text, header = row.text("bowler"), row.header("bowler")
    if not text and len(reading.people.all) != 1:
        raise Bad(header, "Name the bowler: there is not just one.")
    owner = reading.people.one(text, header) if text else reading.people.all[0]
    ball = ball_of(row, number, owner.id, reading.today)
    key = ("ball", ball.owner_id, ball.name.casefold(), ball.nickname.casefold(), ball.serial.casefold())
    _once(reading.seen, key, row.header("ball"), f"There is a {ball.name} of this bowler above already.")
    mine = (ball.owner_id, ball.nickname, ball.serial)
    known = [b for b in reading.balls.exact(ball.name) if b.id > ASIDE and (b.owner_id, b.nickname, b.serial) == mine]
    if known:
        _again(reading, BALLS, number, known[0].id)
    else:
        reading.balls.add(ball, ball.name, ball.nickname, ball.serial)


def _pad(reading: _Reading, count: int, _path: Path, row: Row) -> None:
    typed = row.number_in("pad", float(count), 1, ASIDE - 1)
    number = int(typed or count)
    if number != typed:
        raise Bad(row.header("pad"), "A pad's number is a whole number.")
    _once(reading.seen, ("pad", number), row.header("pad"), f"Pad number {number} stands above already.")
    owner = reading.people.one(row.text("owner"), row.header("owner")).id if row.text("owner") else None
    pad = pad_of(row, number, owner, reading.today)
    key = (pad.number, pad.scale, pad.abrasive, pad.kind, pad.owner_id)
    known = [p.id for p in reading.pads
             if p.id > ASIDE and (p.number, p.scale, p.abrasive, p.kind, p.owner_id) == key
             and p.id not in reading.same[PADS.name].values()]  # fmt: skip
    if known:
        _again(reading, PADS, number, known[0])
    else:
        reading.pads.append(pad)


def _recipe(reading: _Reading, number: int, _path: Path, row: Row) -> None:
    owner = reading.people.one(row.text("owner"), row.header("owner")).id if row.text("owner") else None
    recipe = recipe_of(row, number, owner)
    reason = f"There is a recipe {recipe.name} above already."
    _once(reading.seen, ("recipe", recipe.name.casefold(), owner), row.header("recipe"), reason)
    aside = None if owner is None or owner < ASIDE else owner - ASIDE
    if any(r.name.casefold() == recipe.name.casefold() and r.owner_id == aside for r in reading.known.recipes):
        reading.skipped += 1
    else:
        reading.recipes.append(recipe)


def _line(reading: _Reading, _number: int, _path: Path, row: Row) -> None:
    person = reading.people.one(row.text("bowler"), row.header("bowler"))
    lane = reading.lanes.one(row.text("lane"), row.header("lane"))
    reason = f"{person.name} has a line on {lane.name} above already."
    _once(reading.seen, ("line", person.id, lane.id), row.header("lane"), reason)
    others = [(lane_id, line) for lane_id, line in person.lines if lane_id != lane.id]
    reading.people.put(replace(person, lines=(*others, (lane.id, line_of(row)))))


def _habits(reading: _Reading, number: int, _path: Path, row: Row) -> None:
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


def _log(reading: _Reading) -> list[Draft]:
    rows = reading.rows.get(LOG.name, [])
    if not rows:
        return []
    aside = _aside(reading.known)
    told = Counter((d.ball_id, d.kind, d.on, d.payload) for d in _as_drafts(reading.known.entries, aside))
    reader = LogReader(reading.people, reading.balls, reading.lanes, reading.pads, reading.today)
    drafts: list[Draft] = []
    for file, _, row in rows:
        try:
            made = reader.drafts(row)
        except Bad as error:
            reading.bad(file, row.number, error)
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
    return {**final, **new, **{row: aside - ASIDE for row, aside in same.items()}}


def _numbered(reading: _Reading, drafts: Sequence[Draft]) -> Loaded:
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
    return Loaded(
        tuple(people),
        tuple(renumbered_ball(b, to) for b in reading.balls.all if b.id < ASIDE),
        tuple(replace(lane, id=to.lanes[lane.id]) for lane in reading.lanes.all if lane.id < ASIDE),
        tuple(renumbered_pad(p, to) for p in sorted(reading.pads, key=lambda p: p.id) if p.id < ASIDE),
        tuple(renumbered(d, to) for d in drafts),
        tuple(reading.problems),
        tuple(p for p in again if p != before[p.id]),
        reading.skipped,
        tuple(replace(r, owner_id=_final_of(to.people, r.owner_id)) for r in reading.recipes),
    )


def _final_of(people: Mapping[int, int], owner_id: int | None) -> int | None:
    return None if owner_id is None else people.get(owner_id, owner_id)
