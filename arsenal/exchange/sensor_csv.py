"""Measured shots out of any CSV file: headers as they are, mapped by hand once; every row becomes a shot or a problem.

UTF-8 with or without its mark; comma, semicolon or tab; decimal point or comma; quotes as RFC 4180 has them.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TypeVar

from arsenal.exchange.numbers import parse_number
from arsenal.exchange.one_line.names import ball_names, exactly, lane_names, person_names
from arsenal.exchange.sensor_fields import (
    ACROSS_UNITS,
    ALONG_UNITS,
    ANGLE_UNITS,
    BOARDS,
    DAYS,
    REV_UNITS,
    SPEED_UNITS,
    TURNED,
    Field,
    Gutter,
    Mapped,
    SensorTable,
    fingerprint,
    plain_header,
)
from arsenal.exchange.tables.csv_file import Sheet, read_sheet, unescape
from arsenal.exchange.tables.problems import Bad, Problem, reason_of
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Kind, Shot
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.limits import LIMITS
from arsenal.trade.person import Hand, Person, SpeedReading
from arsenal.trade.release import Measured
from arsenal.trade.trial import Sighting, contradiction, impossible
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, LANE_WIDTH_M, MPH_MPS, RPM_RADPS

T = TypeVar("T")
SHOWN_ROWS = 5
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::\d{2}(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SensorHead:
    """A file's headers and first rows, to map it by."""

    file: str
    headers: tuple[str, ...]
    first_rows: tuple[tuple[str, ...], ...]
    rows: int
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Usual:
    """What a row means that does not say it."""

    on: date
    today: date
    bowler_id: int | None = None
    ball_id: int | None = None
    lane_id: int | None = None
    below_hand_mps: float | None = None
    """What the display of this house reads less than the hand, where it was measured."""


@dataclass(frozen=True, slots=True)
class About:
    """Whom and what a row may speak of."""

    balls: Sequence[Ball] = ()
    people: Sequence[Person] = ()
    lanes: Sequence[Lane] = ()


@dataclass(frozen=True, slots=True)
class SensorRead:
    """Every row of a file: `drafts` with the row each came from, `problems` of the others, `odd` ones kept out of what
    is learned, and headers nobody mapped.
    """

    drafts: tuple[tuple[int, Draft], ...] = ()
    problems: tuple[Problem, ...] = ()
    odd: tuple[Problem, ...] = ()
    not_mapped: tuple[str, ...] = ()


def head(path: Path) -> SensorHead:
    """The headers and first rows of a file. Raises KnownError for one that is no CSV file."""
    sheet = _sheet(path)[0]
    first = tuple(cells for _, cells in sheet.rows[:SHOWN_ROWS])
    return SensorHead(sheet.file, sheet.header, first, len(sheet.rows), fingerprint(sheet.header))


def read(path: Path, table: SensorTable, usual: Usual, about: About) -> SensorRead:
    """Every row as a shot or as what is wrong with it. `table` fits the headers (`sensor_fields.check`). Raises
    KnownError for a file that is no CSV file.
    """
    sheet, problems = _sheet(path)
    places = {plain_header(header): at for at, header in enumerate(sheet.header)}
    mapped = {plain_header(column.header) for column in table.columns}
    columns = {column.field: (column, places[plain_header(column.header)]) for column in table.columns}
    drafts, odd = [], []
    for number, cells in sheet.rows:
        try:
            draft = _draft(_Row(sheet, number, cells, columns), table, usual, about)
        except Bad as bad:
            problems.append(Problem(sheet.file, number, bad.field, str(bad)))
            continue
        drafts.append((number, draft))
        seen = draft.payload.seen if isinstance(draft.payload, Shot) else Sighting()
        wrong = impossible(seen)
        wrong = f"it has {wrong}" if wrong else contradiction(seen)
        if wrong:
            odd.append(Problem(sheet.file, number, "", f"Kept, but nothing is learned from it: {wrong}."))
    left = tuple(h.strip() for h in sheet.header if h.strip() and plain_header(h) not in mapped)
    return SensorRead(tuple(drafts), tuple(problems), tuple(odd), left)


def _sheet(path: Path) -> tuple[Sheet, list[Problem]]:
    sheet, problems = read_sheet(path)
    if sheet is None:
        raise KnownError(" ".join(problem.reason for problem in problems))
    return sheet, problems


@dataclass
class _Row:
    """One record by field."""

    sheet: Sheet
    number: int
    cells: tuple[str, ...]
    columns: Mapping[Field, tuple[Mapped, int]]
    told: dict[Field, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        wide = len(self.sheet.header)
        if any(cell.strip() for cell in self.cells[wide:]):
            said = f"{len(self.cells)} fields under {wide} headers; a comma in a number or text needs quotes around it."
            raise Bad("", said)
        for name, (_, at) in self.columns.items():
            self.told[name] = unescape(self.cells[at].strip()) if at < len(self.cells) else ""

    def header(self, name: Field) -> str:
        """What the file calls it."""
        return self.columns[name][0].header if name in self.columns else str(name)

    def unit(self, name: Field) -> str:
        """The unit it is read in."""
        return self.columns[name][0].units

    def number_of(self, name: Field) -> float | None:
        """The number as it stands; None for an empty cell. Raises Bad, which names it."""
        text = self.told.get(name, "")
        if not text:
            return None
        try:
            return parse_number(text)
        except KnownError as error:
            raise Bad(self.header(name), reason_of(error)) from None

    def si(self, name: Field, units: Mapping[str, float], limit: str, unit_si: float) -> float | None:
        """A quantity in SI within the range of `limit`. Raises Bad."""
        value = self.number_of(name)
        if value is None:
            return None
        return self.within(name, value * units[self.unit(name)], limit, unit_si)

    def within(self, name: Field, value_si: float, limit: str, unit_si: float, offset: float = 0.0) -> float:
        """`value_si` if it lies in the range of `limit`. Raises Bad with value and range."""
        allowed, typed = LIMITS[limit], value_si / unit_si + offset
        if not allowed.low - 1e-9 <= typed <= allowed.high + 1e-9:
            said = f"{self.told[name]} {self.unit(name)}".strip()
            raise Bad(self.header(name), f"{said} is {typed:.4g} {allowed.unit}".rstrip() + f"; it must be "
                      f"{allowed.allowed}.")  # fmt: skip
        return value_si


def _draft(row: _Row, table: SensorTable, usual: Usual, about: About) -> Draft:
    bowler = _bowler(row, usual, about)
    ball = _ball(row, usual, about, bowler)
    thrower = bowler or next((p for p in about.people if p.id == ball.owner_id), None)
    on, minute = _when(row, usual)
    if ball.bought_on is not None and on < ball.bought_on:
        raise Bad(row.header(Field.DAY), f"{on.isoformat()} is before {ball.name} was bought.")
    seen = Sighting(
        landing_m=_across(row, Field.PINS, table, thrower), first_read_m=_along(row, Field.FIRST_READ),
        breakpoint_m=_along(row, Field.BREAKPOINT), arrows_m=_across(row, Field.ARROWS, table, thrower),
        breakpoint_lateral_m=_across(row, Field.BREAKPOINT_BOARD, table, thrower), by_sensor=True,
    )  # fmt: skip
    if not seen.says_something:
        raise Bad("", "Nothing was seen in this row: every mapped column of it is empty.")
    lane_id = _lane(row, usual, about)
    bowler_id = None if bowler is None or bowler.id == ball.owner_id else bowler.id
    shot = Shot(seen, bowler_id, lane_id, measured=_measured(row, table, usual), minute=minute)
    return Draft(ball.id, Kind.SHOT, on, shot, f"{row.sheet.file}, row {row.number}")


def _bowler(row: _Row, usual: Usual, about: About) -> Person | None:
    word = row.told.get(Field.BOWLER, "")
    if not word:
        return next((p for p in about.people if p.id == usual.bowler_id), None)
    return _one(exactly(word, about.people, person_names), word, "bowler", row.header(Field.BOWLER))


def _ball(row: _Row, usual: Usual, about: About, bowler: Person | None) -> Ball:
    word = row.told.get(Field.BALL, "")
    if not word:
        found = next((b for b in about.balls if b.id == usual.ball_id), None)
        if found is None:
            raise Bad(row.header(Field.BALL), "This row names no ball.")
        return found
    fitting = exactly(word, about.balls, ball_names)
    fitting = fitting or [b for b in about.balls if b.serial and b.serial.casefold() == word.casefold()]
    own = [b for b in fitting if bowler is not None and b.owner_id == bowler.id]
    return _one(own or fitting, word, "ball", row.header(Field.BALL))


def _lane(row: _Row, usual: Usual, about: About) -> int | None:
    word = row.told.get(Field.CONDITION, "")
    if not word:
        return usual.lane_id
    return _one(exactly(word, about.lanes, lane_names), word, "condition", row.header(Field.CONDITION)).id


def _one(found: Sequence[T], word: str, what: str, header: str) -> T:
    if len(found) != 1:
        many = f"means {len(found)} {what}s" if found else f"is no {what} in this file"
        raise Bad(header, f"“{word}” {many}.")
    return found[0]


def _when(row: _Row, usual: Usual) -> tuple[date, int | None]:
    """Day and minute; a day column may hold the time as well."""
    day_text, time_text = row.told.get(Field.DAY, ""), row.told.get(Field.TIME, "")
    on = usual.on
    if day_text:
        day_text, _, rest = day_text.replace("T", " ", 1).partition(" ")
        time_text = time_text or rest.strip()
        on = _day(row, day_text)
    if on > usual.today:
        raise Bad(row.header(Field.DAY), f"{on.isoformat()} is still to come.")
    return on, _minute(row, time_text) if time_text else None


def _day(row: _Row, text: str) -> date:
    form = row.unit(Field.DAY)
    parts = re.split(r"[-./]", text)
    if len(parts) == 3 and all(re.fullmatch(r"\d{1,4}", part, re.ASCII) for part in parts):
        year, month, day = (int(parts[at]) for at in DAYS[form])
        with contextlib.suppress(ValueError):
            if year > 999:
                return date(year, month, day)
    raise Bad(row.header(Field.DAY), f"“{text}” is no day written as {form}.")


def _minute(row: _Row, text: str) -> int:
    name = Field.TIME if row.told.get(Field.TIME) else Field.DAY
    found = _TIME.match(text)
    hour, minute = (int(found[1]), int(found[2])) if found else (99, 0)
    if found and found[3]:
        half = found[3].casefold().startswith("p")
        hour = hour % 12 + 12 * half if 1 <= hour <= 12 else 99
    if hour > 23 or minute > 59:
        raise Bad(row.header(name), f"“{text}” is no time of the day; write it as 18:42.")
    return 60 * hour + minute


def _across(row: _Row, name: Field, table: SensorTable, thrower: Person | None) -> float | None:
    """Motion's lateral: metres from the gutter opposite the hook side."""
    value = row.number_of(name)
    if value is None:
        return None
    unit = row.unit(name)
    from_edge = (value - 0.5) * BOARD_M if unit == BOARDS else value * ACROSS_UNITS[unit]
    row.within(name, from_edge, "board seen", BOARD_M, 0.5)
    hand = thrower.hand if thrower else Hand.RIGHT
    other = {Gutter.OWN: False, Gutter.RIGHT: hand is Hand.LEFT, Gutter.LEFT: hand is Hand.RIGHT}[table.counted_from]
    back_up = thrower is not None and thrower.back_up
    return LANE_WIDTH_M - from_edge if other != back_up else from_edge


def _along(row: _Row, name: Field) -> float | None:
    return row.si(name, ALONG_UNITS, "seen at", FOOT_M)


def _measured(row: _Row, table: SensorTable, usual: Usual) -> Measured | None:
    speed = row.number_of(Field.SPEED)
    if speed is not None:
        read_mps = speed * SPEED_UNITS[row.unit(Field.SPEED)]
        at_hand = SpeedReading(table.speed_at, read_mps).at_hand_mps(usual.below_hand_mps)
        speed = row.within(Field.SPEED, at_hand, "speed", MPH_MPS)

    def angle(name: Field, limit: str) -> float | None:
        return row.si(name, {**ANGLE_UNITS, TURNED: -DEGREE_RAD}, limit, DEGREE_RAD)

    read_ = Measured(
        speed, row.si(Field.REVS, REV_UNITS, "revs", RPM_RADPS), angle(Field.ROTATION, "rotation"),
        angle(Field.TILT, "tilt"), angle(Field.LAUNCH, "launch"), angle(Field.ENTRY, "entry angle"),
    )  # fmt: skip
    return None if read_ == Measured() else read_
