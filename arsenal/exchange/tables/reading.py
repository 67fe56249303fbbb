"""What is being read: files, rows by table, what is known already, and everything that is wrong or to be asked."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from arsenal.exchange.headers import fingerprint
from arsenal.exchange.tables.columns import GRID, TABLES, Table
from arsenal.exchange.tables.csv_file import Sheet
from arsenal.exchange.tables.index import Index
from arsenal.exchange.tables.likeness import Answers, Question, bare, serial_of
from arsenal.exchange.tables.numbering import Numbers, renumbered_ball, renumbered_pad, renumbered_person
from arsenal.exchange.tables.problems import Bad, Problem
from arsenal.exchange.tables.recognise import check_headers, recognise, rows_of, unknown_table
from arsenal.exchange.tables.renaming import NOTHING, Renaming, renamed
from arsenal.exchange.tables.rows import Row
from arsenal.exchange.tables.sheets import KINDS, read_sheets
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

ASIDE = 1_000_000_000
"""What is known already is numbered from here while files are read, so that “#3” means the third row of a file."""
TELL_EVERY = 200


@dataclass(frozen=True, slots=True)
class Place:
    """Where rows stand: a file, the page of it where it is a workbook, and what both are called."""

    path: Path
    page: str
    file: str


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
class Given:
    """What was said about the files: how foreign headers are read, by their fingerprint, and answers to questions."""

    renamings: Mapping[str, Renaming] = field(default_factory=dict)
    answers: Answers = field(default_factory=Answers)
    tell: Callable[[float], None] = lambda _share: None
    """Is told how far the reading is, 0 to 1; may raise to stop it."""


@dataclass
class Reading:
    """Files on the way to what they say."""

    today: date
    known: Known
    given: Given = field(default_factory=Given)
    problems: list[Problem] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    remarks: list[Problem] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    rows: dict[str, list[tuple[Place, Row]]] = field(default_factory=dict)
    grids: dict[Place, list[Row]] = field(default_factory=dict)
    pages: dict[Path, list[Sheet]] = field(default_factory=dict)
    used_grids: set[Place] = field(default_factory=set)
    theirs: dict[str, Mapping[str, str]] = field(default_factory=dict)
    """By file, what it calls a header that was renamed."""
    skipped: int = 0
    people: Index[Person] = field(default_factory=lambda: Index("bowler"))
    balls: Index[Ball] = field(default_factory=lambda: Index("ball"))
    lanes: Index[Lane] = field(default_factory=lambda: Index("condition"))
    pads: list[Pad] = field(default_factory=list)
    recipes: list[Recipe] = field(default_factory=list)
    seen: set[Hashable] = field(default_factory=set)
    by_name: dict[str, list[int]] = field(default_factory=dict)
    """People by their bare name."""
    by_serial: dict[str, list[int]] = field(default_factory=dict)
    came_at: dict[tuple[str, int], tuple[str, int]] = field(default_factory=dict)
    """File and row of what was read from one, by kind and number."""
    same: dict[str, dict[int, int]] = field(default_factory=lambda: {t.name: {} for t in TABLES})
    """Number of a row that says what is known or what a row above says → that thing's number, by table."""
    done: int = 0
    total: int = 1

    def bad(self, file: str, row: Row, error: Bad) -> None:
        """A row that will not do, by the header the file itself has."""
        name = self.theirs.get(file, {}).get(error.field, error.field)
        self.problems.append(Problem(file, row.number, name, error.reason, row.value_of(error.field)))

    def step(self) -> None:
        """One more row was read."""
        self.done += 1
        if self.done % TELL_EVERY == 0:
            self.given.tell(min(1.0, self.done / self.total))

    def again(self, table: Table, number: int, other: int) -> None:
        """A row says what is there already."""
        self.same[table.name][number] = other
        self.skipped += 1

    def each(self, table: Table) -> Iterator[tuple[int, Place, Row]]:
        """Every row of a table, numbered from 1."""
        for number, (place, row) in enumerate(self.rows.get(table.name, ()), 1):
            self.step()
            yield number, place, row


def once(seen: set[Hashable], key: Hashable, field_name: str, reason: str) -> None:
    """Raises Bad for what a row above says already."""
    if key in seen:
        raise Bad(field_name, reason)
    seen.add(key)


def read_files(reading: Reading, paths: Iterable[Path]) -> None:
    """Every table of every file, and of every folder's files."""
    found = _files(paths, reading.problems)
    for path in found:
        sheets, problems = read_sheets(path)
        reading.problems += problems
        reading.pages[path] = sheets
        reading.given.tell(0.0)
        for sheet in sheets:
            read_sheet(reading, path, sheet)
    reading.total = max(1, sum(len(rows) for rows in reading.rows.values()))


def _files(paths: Iterable[Path], problems: list[Problem]) -> list[Path]:
    found: list[Path] = []
    for path in paths:
        if path.is_dir():
            by_kind = [sorted(path.glob(f"*{kind}")) for kind in KINDS]
            inside = next((files for files in by_kind if files), [])  # a dump holds the same as tables and as workbook
            if not inside:
                problems.append(Problem(path.name, 0, "", "There is no CSV file and no workbook in this folder."))
            found += inside
        else:
            found.append(path)
    return list(dict.fromkeys(p.resolve() for p in found))


def read_sheet(reading: Reading, path: Path, sheet: Sheet, *, only: Table | None = None) -> None:
    """The rows of one sheet, by the renaming of its headers where there is one."""
    renaming = reading.given.renamings.get(fingerprint(sheet.header))
    if renaming is not None and renaming.table == NOTHING:
        reading.left.append(sheet.file)
        return
    if renaming is not None:
        try:
            sheet = renamed(sheet, renaming)
        except KnownError as error:
            reason = f"{error.sentence} {error.next_step}".strip()
            reading.problems.append(Problem(sheet.file, 1, "", reason))
            return
        reading.theirs[sheet.file] = sheet.theirs
        reading.left += renaming.left()
    table = only or recognise(sheet)
    if table is None:
        reading.problems.append(unknown_table(sheet))
        return
    if wrong := check_headers(sheet, table):
        reading.problems += wrong
        return
    rows, problems = rows_of(sheet, table)
    reading.problems += problems
    place = Place(path, sheet.page, sheet.file)
    if table is GRID:
        reading.grids[place] = rows
    else:
        reading.rows.setdefault(table.name, []).extend((place, row) for row in rows)


def known_aside(reading: Reading) -> None:
    """Known things, out of the way of the rows' numbers."""
    known, aside = reading.known, numbers_aside(reading.known)
    for person in known.people:
        reading.people.add(renumbered_person(person, aside), person.name, person.nickname)
        reading.by_name.setdefault(bare(person.name), []).append(aside.people[person.id])
    for ball in known.balls:
        reading.balls.add(renumbered_ball(ball, aside), ball.name, ball.nickname, ball.serial)
        if serial := serial_of(ball.serial):
            reading.by_serial.setdefault(serial, []).append(aside.balls[ball.id])
    for lane in known.lanes:
        reading.lanes.add(replace(lane, id=aside.lanes[lane.id]), lane.name)
    reading.pads += [renumbered_pad(pad, aside) for pad in known.pads]


def numbers_aside(known: Known) -> Numbers:
    """Known things' numbers while files are read."""

    def shift(things: Sequence[Person] | Sequence[Ball] | Sequence[Lane] | Sequence[Pad]) -> dict[int, int]:
        return {t.id: t.id + ASIDE for t in things}

    return Numbers(shift(known.people), shift(known.balls), shift(known.lanes), shift(known.pads))
