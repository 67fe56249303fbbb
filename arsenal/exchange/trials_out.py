"""Practice out: every shot as it was seen and expected, and what all of them taught, as CSV tables or one JSON file.

Numbers stand in the unit their header names, to six figures. Boards count from the bowler's own gutter. Text that a
spreadsheet would take for a formula is escaped as in every other table.
"""

from __future__ import annotations

import json
import math
from dataclasses import asdict, dataclass, fields
from datetime import date
from pathlib import Path
from typing import Any

from arsenal.exchange.atomic import write_file
from arsenal.exchange.tables.csv_file import escape, write_sheet

VERSION = 1
Cell = str | float | bool | date | tuple[int, ...] | None


@dataclass(frozen=True, slots=True)
class ShotOut:
    """One shot, or two balls thrown back to back (`other_ball`): what was seen, what was expected before it."""

    entry: int
    date: date
    time: str
    bowler: str
    ball: str
    other_ball: str
    condition: str
    outing: str
    finish: str
    wiped: bool | None
    seen: str
    """In words, as the history has it."""
    words: str
    pins_board: float | None = None
    pins_board_expected: float | None = None
    pins_board_expected_sd: float | None = None
    first_read_ft: float | None = None
    first_read_ft_expected: float | None = None
    first_read_ft_expected_sd: float | None = None
    breakpoint_ft: float | None = None
    breakpoint_ft_expected: float | None = None
    breakpoint_ft_expected_sd: float | None = None
    breakpoint_board: float | None = None
    breakpoint_board_expected: float | None = None
    breakpoint_board_expected_sd: float | None = None
    arrows_board: float | None = None
    arrows_board_expected: float | None = None
    arrows_board_expected_sd: float | None = None
    stronger_boards: float | None = None
    """Of a pair: how much higher the first one ended."""
    stronger_boards_sd: float | None = None
    stronger_boards_expected: float | None = None
    stronger_boards_expected_sd: float | None = None
    off_target_boards: float | None = None
    """Toward the hook side."""
    pins_left: tuple[int, ...] = ()
    by_sensor: bool = False
    speed_mph: float | None = None
    revs_rpm: float | None = None
    rotation_deg: float | None = None
    tilt_deg: float | None = None
    launch_deg: float | None = None
    entry_deg: float | None = None
    odd: float | None = None
    """How likely it was not what it was entered as; None where nothing was learned from it."""
    kept_out: str = ""
    """Why nothing is learned from it."""
    typed: str = ""


@dataclass(frozen=True, slots=True)
class BallOut:
    """What the shots taught of one ball on the finish it has now. `ln` is the natural logarithm of a factor."""

    bowler: str
    ball: str
    shots: int
    finish: str
    dry_friction_ln: float
    dry_friction_ln_sd: float
    response_to_roughness: float
    """1 is what its cover usually answers."""
    response_to_roughness_sd: float
    response_to_oil_ln: float
    response_to_oil_ln_sd: float
    finish_ln_ra: float
    """Ln of its roughness against what the log makes of it."""
    finish_ln_ra_sd: float
    wear_pace_ln: float
    wear_pace_ln_sd: float
    boards: float | None = None
    """It ends so much higher than its sheet and log say, on the usual condition."""
    boards_sd: float | None = None
    boards_sd_before: float | None = None
    sentence: str = ""
    warning: str = ""


@dataclass(frozen=True, slots=True)
class FinishOut:
    """What one change of finish did to a ball on medium oil; negative feet are earlier."""

    bowler: str
    ball: str
    first_read_ft: float
    first_read_ft_sd: float
    pins_boards: float
    pins_boards_sd: float
    shots: int
    sentence: str


@dataclass(frozen=True, slots=True)
class LaneOut:
    """What one outing's lane was like against what was said of it."""

    bowler: str
    date: date
    condition: str
    outing: str
    shots: int
    film_ln: float
    film_ln_sd: float
    dry_friction_ln: float
    dry_friction_ln_sd: float
    length_ft: float | None = None
    """In an unknown house: its oil's length against the middle of what was believed."""
    length_ft_sd: float | None = None


@dataclass(frozen=True, slots=True)
class BowlerOut:
    """How far a bowler scatters against what was said of him: 1 is as said."""

    bowler: str
    shots: int
    scatter_ln: float
    scatter_ln_sd: float


@dataclass(frozen=True, slots=True)
class FindingOut:
    """What is odd, in words."""

    bowler: str
    code: str
    sentence: str
    entry: int | None = None


@dataclass(frozen=True, slots=True)
class PracticeOut:
    """Everything that goes out."""

    made: str
    """Moment as ISO 8601 with its offset."""
    shots: tuple[ShotOut, ...] = ()
    balls: tuple[BallOut, ...] = ()
    finishes: tuple[FinishOut, ...] = ()
    lanes: tuple[LaneOut, ...] = ()
    bowlers: tuple[BowlerOut, ...] = ()
    findings: tuple[FindingOut, ...] = ()


TABLES = {
    "shots": ShotOut, "balls": BallOut, "finishes": FinishOut, "lanes": LaneOut, "bowlers": BowlerOut,
    "findings": FindingOut,
}  # fmt: skip


def write_csv(folder: Path, told: PracticeOut) -> tuple[Path, ...]:
    """One table for each kind, `practice-shots.csv` and so on; empty ones with their headers. Raises KnownError where
    a file cannot be written.
    """
    written = []
    for name, kind in TABLES.items():
        header = [f.name for f in fields(kind)]
        rows = [[_cell(getattr(row, column)) for column in header] for row in getattr(told, name)]
        path = folder / f"practice-{name}.csv"
        write_sheet(path, header, rows)
        written.append(path)
    return tuple(written)


def write_json(path: Path, told: PracticeOut) -> tuple[Path, ...]:
    """All of it as one JSON object. Raises KnownError where the file cannot be written."""
    plain = {"is": "practice", "version": VERSION, "made": told.made}
    plain |= {name: [_plain_row(row) for row in getattr(told, name)] for name in TABLES}
    text = json.dumps(plain, ensure_ascii=False, indent=1, allow_nan=False)
    write_file(path, f"{text}\n".encode())
    return (path,)


def figures(value: float) -> float | None:
    """To six figures; None for what is no number."""
    return float(f"{value:.6g}") if math.isfinite(value) else None


def _plain_row(row: Any) -> dict[str, Any]:
    return {name: _plain(value) for name, value in asdict(row).items()}


def _plain(value: Cell) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return figures(value)
    return list(value) if isinstance(value, tuple) else value


def _cell(value: Cell) -> str:
    plain = _plain(value)
    if plain is None:
        return ""
    if isinstance(plain, bool):
        return "yes" if plain else "no"
    if isinstance(plain, list):
        return " ".join(map(str, plain))
    if isinstance(plain, str):
        return escape(plain)
    return f"{plain:.6g}" if isinstance(plain, float) else str(plain)
