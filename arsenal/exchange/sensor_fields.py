"""What a table of measured shots can tell, in which units, and how its columns are mapped by hand once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from arsenal.exchange.headers import fingerprint, plain_header
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.person import ReadAt
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, INCH_M, KMH_MPS, MPH_MPS, RPM_RADPS

__all__ = [
    "ACROSS", "ACROSS_UNITS", "ALONG", "ALONG_UNITS", "ANGLE_UNITS", "BOARDS", "DAYS", "REV_UNITS", "SPEED_UNITS",
    "TIMES", "TURNED", "UNITS", "Field", "Gutter", "Mapped", "SensorTable", "check", "fingerprint", "plain_header",
]  # fmt: skip


class Field(StrEnum):
    """What a column may hold."""

    BALL = "ball"
    BOWLER = "bowler"
    CONDITION = "condition"
    DAY = "day"
    TIME = "time"
    ARROWS = "board at the arrows"
    BREAKPOINT = "breakpoint"
    BREAKPOINT_BOARD = "board at the breakpoint"
    PINS = "board at the pins"
    FIRST_READ = "first read"
    SPEED = "speed"
    REVS = "rev rate"
    ROTATION = "axis rotation"
    TILT = "axis tilt"
    LAUNCH = "launch angle"
    ENTRY = "entry angle"


class Gutter(StrEnum):
    """Where a table counts its boards from."""

    OWN = "the bowler's own gutter"
    RIGHT = "the right gutter"
    LEFT = "the left gutter"


ACROSS = (Field.ARROWS, Field.BREAKPOINT_BOARD, Field.PINS)
ALONG = (Field.BREAKPOINT, Field.FIRST_READ)
BOARDS = "boards"
"""A board's number: its middle lies half a board from its edge. Lengths are metres from the gutter's edge."""
ACROSS_UNITS: Mapping[str, float] = {BOARDS: BOARD_M, "in": INCH_M, "cm": 0.01, "mm": 0.001, "m": 1.0, "ft": FOOT_M}
ALONG_UNITS: Mapping[str, float] = {"ft": FOOT_M, "m": 1.0, "in": INCH_M, "cm": 0.01, "mm": 0.001}
SPEED_UNITS: Mapping[str, float] = {"mph": MPH_MPS, "km/h": KMH_MPS, "m/s": 1.0, "ft/s": FOOT_M}
REV_UNITS: Mapping[str, float] = {"rpm": RPM_RADPS, "rev/s": 60.0 * RPM_RADPS, "rad/s": 1.0}
ANGLE_UNITS: Mapping[str, float] = {"degrees": DEGREE_RAD, "rad": 1.0}
TURNED = "degrees, gutter positive"
"""A launch angle that counts toward the gutter; otherwise it counts toward the hook side."""
DAYS: Mapping[str, tuple[int, int, int]] = {
    "year-month-day": (0, 1, 2), "day.month.year": (2, 1, 0), "month/day/year": (2, 0, 1),
}  # fmt: skip
"""Where year, month and day stand."""
TIMES = ("hours:minutes",)
UNITS: Mapping[Field, tuple[str, ...]] = {
    **dict.fromkeys((Field.BALL, Field.BOWLER, Field.CONDITION), ()),
    Field.DAY: tuple(DAYS), Field.TIME: TIMES,
    **dict.fromkeys(ACROSS, tuple(ACROSS_UNITS)), **dict.fromkeys(ALONG, tuple(ALONG_UNITS)),
    Field.SPEED: tuple(SPEED_UNITS), Field.REVS: tuple(REV_UNITS),
    **dict.fromkeys((Field.ROTATION, Field.TILT, Field.ENTRY), tuple(ANGLE_UNITS)),
    Field.LAUNCH: (*ANGLE_UNITS, TURNED),
}  # fmt: skip
"""The units a field may come in, the usual one first; none for words."""


@dataclass(frozen=True, slots=True)
class Mapped:
    """One field and the header it stands under."""

    field: Field
    header: str
    unit: str = ""
    """One of `UNITS`; empty for the usual one."""

    @property
    def units(self) -> str:
        """The unit it is read in."""
        usual = UNITS[self.field]
        return self.unit or (usual[0] if usual else "")


@dataclass(frozen=True, slots=True)
class SensorTable:
    """How one kind of table is read. Kept under the fingerprint of its headers."""

    columns: tuple[Mapped, ...]
    counted_from: Gutter = Gutter.OWN
    speed_at: ReadAt = ReadAt.HAND
    """Where its speed was read; what it reads less than the hand is added as for any other speed."""

    def column(self, field: Field) -> Mapped | None:
        """Where a field stands; None where the table does not have it."""
        return next((column for column in self.columns if column.field is field), None)


def check(table: SensorTable, headers: Sequence[str]) -> None:
    """Raises KnownError for a mapping that these headers cannot be read by, NotFound for a header that is not there."""
    plain = [plain_header(header) for header in headers]
    fields: set[Field] = set()
    for column in table.columns:
        if column.field in fields:
            raise KnownError(f"Two headers stand for the {column.field}.", next_step="Keep one of them.")
        fields.add(column.field)
        times = plain.count(plain_header(column.header))
        if times != 1:
            _refuse_header(column, times, headers)
        if column.unit and column.unit not in UNITS[column.field]:
            allowed = ", ".join(UNITS[column.field]) or "none"
            raise KnownError(f"The {column.field} cannot come in {column.unit}.", next_step=f"Units: {allowed}.")
    if not fields & {*ACROSS, *ALONG}:
        raise KnownError("Nothing that a shot did is mapped.", next_step="Map the board at the pins, or what there is.")


def _refuse_header(column: Mapped, times: int, headers: Sequence[str]) -> None:
    if times:
        raise KnownError(
            f"“{column.header}” stands over {times} columns.", next_step="Give them different headers in the file."
        )
    choices = tuple(header.strip() for header in headers if header.strip())
    raise NotFound(f"There is no header “{column.header}” in this file.", word=column.header, choices=choices,
                   next_step=f"Its headers: {', '.join(choices)}.")  # fmt: skip
