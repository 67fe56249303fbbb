"""What can be true of a record or an entry before it is kept: every refusal names field, value and allowed range."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from typing import Any

from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import (
    Abrasive,
    Compared,
    Draft,
    Drilled,
    DropTest,
    New,
    Note,
    OilDrawn,
    Payload,
    Played,
    Quantity,
    Reading,
    Scale,
    Shot,
    Step,
    SurfaceWork,
)
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.limits import LIMITS, check
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person, ReadAt
from arsenal.trade.release import Line, Measured, Style
from arsenal.trade.trial import PINS, Mark
from arsenal.trade.units import (
    BOARD_M,
    DEGREE_RAD,
    FOOT_M,
    INCH_M,
    MICROINCH_M,
    MILLILITRE_M3,
    MPH_MPS,
    OIL_UNIT_M,
    POUND_KG,
    RPM_RADPS,
    f_from_c,
    lateral_m_to_board,
)

NAME_LENGTH, LINE_LENGTH = 80, 200
NOTE_LENGTH = 4000
FIRST_DAY = date(1990, 1, 1)


def name(text: str, field: str) -> str:
    """`text` trimmed. Raises KnownError where it is empty, too long or holds control characters."""
    kept = " ".join(text.split())
    if not kept:
        raise KnownError(f"The {field} needs a name.")
    if len(kept) > NAME_LENGTH:
        raise OutOfRange(f"The {field}'s name", f"{len(kept)} characters long", f"{NAME_LENGTH} at most")
    _shown(kept, f"The {field}'s name")
    if all(unicodedata.category(sign)[0] in "CZM" for sign in kept):
        raise KnownError(f"The {field}'s name shows nothing.")
    return kept


def line_of_text(text: str, field: str, most: int = LINE_LENGTH) -> str:
    """`text` as one line, trimmed; may be empty. Raises OutOfRange, KnownError for what no line holds."""
    kept = " ".join(text.split())
    if len(kept) > most:
        raise OutOfRange(field, f"{len(kept)} characters long", f"{most} at most")
    _shown(kept, field.capitalize())
    return kept


def _shown(text: str, field: str) -> None:
    if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text):
        raise KnownError(f"{field} holds a character that cannot be shown.")


def note(text: str) -> str:
    """`text` itself. Raises OutOfRange where it is too long to be a note."""
    if len(text) > NOTE_LENGTH:
        raise OutOfRange("note", f"{len(text)} characters long", f"{NOTE_LENGTH} at most")
    return text


def ball(record: Ball) -> None:
    """Raises OutOfRange, KnownError."""
    name(record.name, "ball")
    check("weight", record.mass_kg / POUND_KG)
    check("diameter", 2.0 * record.radius_m / INCH_M)
    check("RG", record.rg_m / INCH_M)
    if record.rg_m >= record.radius_m:
        allowed = f"under the ball's radius, {record.radius_m / INCH_M:.2f} in"
        raise OutOfRange("RG", f"{record.rg_m / INCH_M:g} in", allowed)
    differential = check("differential", record.differential_m / INCH_M)
    intermediate = check("intermediate differential", record.intermediate_m / INCH_M)
    if intermediate > differential:
        raise OutOfRange("intermediate differential", f"{intermediate:g} in", f"{differential:g} in at most")
    note(record.note)


def style(record: Style) -> None:
    """Raises OutOfRange."""
    check("speed", record.speed_mps / MPH_MPS)
    check("revs", record.rev_rate_radps / RPM_RADPS)
    check("rotation", record.axis_rotation_rad / DEGREE_RAD)
    check("tilt", record.axis_tilt_rad / DEGREE_RAD)
    zone = record.zone
    for lateral_m in (zone.lateral_low_m, zone.lateral_high_m):
        check("board", lateral_m_to_board(lateral_m))
    for launch_rad in (zone.launch_low_rad, zone.launch_high_rad):
        check("launch", launch_rad / DEGREE_RAD)
    if zone.lateral_low_m >= zone.lateral_high_m or zone.launch_low_rad >= zone.launch_high_rad:
        raise KnownError("Where the bowler can lay the ball down ends before it begins.")


def line(record: Line) -> None:
    """Raises OutOfRange."""
    check("board", lateral_m_to_board(record.lateral_m))
    check("launch", record.launch_rad / DEGREE_RAD)


def person(record: Person) -> None:
    """Raises OutOfRange, KnownError."""
    name(record.name, "bowler")
    check("games a week", record.games_a_week)
    if record.style is not None:
        style(record.style)
    for _, own in record.lines:
        line(own)
    if record.stance_to_laydown_boards is not None:
        check("feet to laydown", record.stance_to_laydown_boards)
    if record.speed_reading is not None:
        where = "speed at the pins" if record.speed_reading.at is ReadAt.PINS else "speed"
        check(where, record.speed_reading.speed_mps / MPH_MPS)
    note(record.note)


def lane(record: Lane) -> None:
    """Raises OutOfRange, KnownError."""
    name(record.name, "lane condition")
    film = record.film
    if isinstance(film, FilmSummary):
        check("oil length", film.length_m / FOOT_M)
        check("oil volume", film.volume_m3 / MILLILITRE_M3)
        check("oil ratio", film.ratio)
        if film.ratio_left is not None:
            check("oil ratio", film.ratio_left)
    elif isinstance(film, FilmGrid):
        _grid(film)
    else:
        _unknown(film)
    note(record.note)


def _grid(film: FilmGrid) -> None:
    if len(film.distance_m) < 2 or len(film.boards) < 2:
        raise KnownError("A measured film needs two distances and two boards at least.")
    for name_, axis in (("distances", film.distance_m), ("boards", film.boards)):
        if any(b <= a for a, b in pairwise(axis)):
            raise KnownError(f"The film's {name_} must grow.")
    if len(film.height_m) != len(film.distance_m) or any(len(row) != len(film.boards) for row in film.height_m):
        raise KnownError("The film's grid has rows of different lengths.")
    for distance_m in film.distance_m:
        check("distance", distance_m / FOOT_M)
    for board in film.boards:
        check("board", board)
    for row in film.height_m:
        for height_m in row:
            check("oil height", height_m / OIL_UNIT_M)


def _unknown(film: UnknownHouse) -> None:
    ends = (
        ("oil length", film.length_low_m / FOOT_M, film.length_high_m / FOOT_M),
        ("oil volume", film.volume_low_m3 / MILLILITRE_M3, film.volume_high_m3 / MILLILITRE_M3),
        ("oil ratio", film.ratio_low, film.ratio_high),
    )
    for field, low, high in ends:
        if check(field, low) > check(field, high):
            raise OutOfRange(field, f"{low:g} to {high:g}", "a range that grows")


def pad(record: Pad) -> None:
    """Raises OutOfRange, KnownError."""
    _grain(record.number, record.scale)
    if record.number is None and record.abrasive is Abrasive.GRIT:
        raise KnownError("A pad with grains needs its number.", next_step="It is printed on the back.")
    for uses in (record.uses_hand, record.uses_spinner):
        if not (math.isfinite(uses) and 0 <= uses <= 10_000):
            raise OutOfRange("uses of a pad", f"{uses:g}", "0 to 10000")
    name(record.kind, "pad")


def steps(record: tuple[Step, ...]) -> None:
    """Raises OutOfRange, KnownError."""
    if len(record) > 12:
        raise OutOfRange("steps", len(record), "12 at most")
    for step in record:
        _grain(step.number, step.scale)
        if step.number is None and step.abrasive is Abrasive.GRIT:
            raise KnownError("A step with grains needs its number.", next_step="It is printed on the pad.")
        if step.sides is not None:
            check("sides", step.sides)
        if step.seconds is not None:
            check("seconds", step.seconds)


def _grain(number: float | None, scale: Scale) -> None:
    """A number on a scale that is not P counts as the P number of equal grain."""
    if number is None:
        return
    if not (math.isfinite(number) and number > 0.0):
        raise OutOfRange("grain number", f"{number:g}", LIMITS["grain number"].allowed)
    if scale is Scale.MICRON:
        check("grain size", number)
    else:
        check("grain number", number)


def draft(record: Draft, came_on: date | None, today: date) -> None:
    """An entry before it is kept: its day and every value. Raises OutOfRange, KnownError."""
    if record.on > today:
        raise OutOfRange("date", days.in_full(record.on), f"today, {days.in_full(today)}, or earlier")
    if came_on is not None and record.on < came_on:
        raise OutOfRange("date", days.in_full(record.on), f"{days.in_full(came_on)}, the day the ball came, or later")
    not_before_all(record.on)
    payload(record.payload)


def not_before_all(on: date) -> None:
    """Raises OutOfRange for a day before any that is kept."""
    if on < FIRST_DAY:
        raise OutOfRange("date", days.in_full(on), f"{days.in_full(FIRST_DAY)} or later")


def payload(record: Payload) -> None:
    """Raises OutOfRange, KnownError."""
    checker = _CHECKERS.get(type(record))
    if checker is not None:
        checker(record)


def _new(record: New) -> None:
    steps(record.finish)
    if record.games_before:
        check("games", record.games_before)


def _surface_work(record: SurfaceWork) -> None:
    if not record.steps:
        raise KnownError("Surface work needs one step at least.")
    steps(record.steps)


def _played(record: Played) -> None:
    check("shots", record.shots)
    _finite(record.sd, "spread of the shots", 0.0, 2.0)


def _drop_test(record: DropTest) -> None:
    check("drop test", record.minutes)


def _drilled(record: Drilled) -> None:
    if record.pin_to_axis_m is not None:
        check("pin-to-axis", record.pin_to_axis_m / INCH_M)
    if check("holes", record.holes) < check("holes", record.holes_used):
        raise OutOfRange("holes used", record.holes_used, f"{record.holes} at most, the holes there are")


def _compared(record: Compared) -> None:
    check("boards", record.boards)
    _finite(record.sd_boards, "spread of the boards", 0.0, 20.0)


def _shot(record: Shot) -> None:
    """What is only odd is kept with a finding; what is no number at all, or a typing error by far, is refused."""
    for mark, value in record.seen.numbers.items():
        if mark in (Mark.FIRST_READ, Mark.BREAKPOINT):
            check("seen at", value / FOOT_M)
        else:
            check("board seen", lateral_m_to_board(value))
    if record.seen.off_target_m is not None:
        check("boards", record.seen.off_target_m / BOARD_M)
    if any(pin not in PINS for pin in record.seen.pins_left):
        raise OutOfRange("pins left", ", ".join(map(str, record.seen.pins_left)), "pins 1 to 10")
    if record.line is not None:
        line(record.line)
    if record.measured is not None:
        _measured(record.measured)
    if record.minute is not None and not 0 <= record.minute < 24 * 60:
        raise OutOfRange("time", f"{record.minute} minutes", "a time of the day")


def _measured(read: Measured) -> None:
    for field, value, unit in (
        ("speed", read.speed_mps, MPH_MPS), ("revs", read.rev_rate_radps, RPM_RADPS),
        ("rotation", read.axis_rotation_rad, DEGREE_RAD), ("tilt", read.axis_tilt_rad, DEGREE_RAD),
        ("launch", read.launch_rad, DEGREE_RAD), ("entry angle", read.entry_rad, DEGREE_RAD),
    ):  # fmt: skip
        if value is not None:
            check(field, value / unit)


def _note(record: Note) -> None:
    if not record.text.strip():
        raise KnownError("The note is empty.")
    note(record.text)


def _oil_drawn(record: OilDrawn) -> None:
    if record.temperature_c is not None:
        check("temperature", f_from_c(record.temperature_c))
    if record.minutes is not None:
        check("minutes", record.minutes)
    check("passes", record.passes)


def _reading(record: Reading) -> None:
    unit = {
        Quantity.SCANNER_GRIT: ("scanner number", 1.0),
        Quantity.RA: ("Ra", MICROINCH_M),
        Quantity.GLOSS: ("gloss", 1.0),
        Quantity.MASS: ("weight", POUND_KG),
        Quantity.HARDNESS: ("hardness", 1.0),
        Quantity.DIAMETER: ("diameter", INCH_M),
    }
    field, factor = unit[record.quantity]
    check(field, record.value / factor)


def _finite(value: float, field: str, low: float, high: float) -> None:
    if not (math.isfinite(value) and low <= value <= high):
        raise OutOfRange(field, f"{value:g}", f"{low:g} to {high:g}")


_CHECKERS: dict[type, Callable[[Any], None]] = {
    New: _new,
    SurfaceWork: _surface_work,
    Played: _played,
    OilDrawn: _oil_drawn,
    Reading: _reading,
    DropTest: _drop_test,
    Drilled: _drilled,
    Compared: _compared,
    Shot: _shot,
    Note: _note,
}

__all__ = ["ball", "draft", "lane", "line", "name", "pad", "payload", "person", "style"]
