"""Log entries: what happened to a ball, one payload record a kind. SI inside; `typed` keeps what was typed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from arsenal.trade.release import Line, Measured
from arsenal.trade.trial import Sighting


class Kind(StrEnum):
    """Every kind of log entry this version writes. A kind it does not know is kept as `Unknown` and shown."""

    NEW = "new"
    DRILLED = "drilled"
    SANDED = "sanded"
    POLISHED = "polished"
    PLAYED = "played"
    CLEANED = "cleaned"
    OIL_DRAWN = "oil drawn"
    READING = "reading"
    DROP_TEST = "drop test"
    INSPECTED = "inspected"
    CRACK = "crack"
    REPAIR = "repair"
    LENT = "lent"
    RETURNED = "returned"
    SOLD = "sold"
    RETIRED = "retired"
    COMPARED = "compared"
    SAW = "saw"
    SHOT = "shot"
    NOTE = "note"
    UNDO = "undo"


class Tool(StrEnum):
    """What drove the pad."""

    HAND = "hand"
    SPINNER = "spinner"
    MACHINE = "machine"


class Scale(StrEnum):
    """What a grain number counts on. PLAIN is a pad sold by a number alone: the P scale is taken, with more doubt."""

    P = "P"
    CAMI = "CAMI"
    JIS = "JIS"
    MICRON = "micron"
    PLAIN = "plain"


class Abrasive(StrEnum):
    """What a step was done with."""

    GRIT = "grit"
    NONWOVEN = "non-woven"
    COMPOUND = "compound"
    POLISH = "polish"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of surface work. `number` on `scale` (None for non-woven without one, compound and polish).

    `sides` × `seconds` is the time under the pad; both None means “one light pass” by hand, or the usual full time on
    a spinner or machine.
    """

    abrasive: Abrasive = Abrasive.GRIT
    number: float | None = None
    scale: Scale = Scale.PLAIN
    tool: Tool = Tool.HAND
    wet: bool = False
    sides: int | None = None
    seconds: float | None = None
    pad_id: int | None = None
    uses_before: float | None = None
    """Uses the pad had behind it when this was logged, as uses with this step's tool; None counts them from the ball's
    own log."""


@dataclass(frozen=True, slots=True)
class New:
    """The ball came: new with box finish as stated, or used with its history unknown."""

    finish: tuple[Step, ...] = ()
    """Box finish as stated; empty where nobody said."""
    history_known: bool = True
    games_before: float | None = None


@dataclass(frozen=True, slots=True)
class Drilled:
    """Drilled: pin-to-axis, gripping holes and which of them are used, palm mark."""

    pin_to_axis_m: float | None = None
    holes: int = 3
    holes_used: int = 3
    palm_mark: bool = False
    driller: str = ""


@dataclass(frozen=True, slots=True)
class SurfaceWork:
    """Sanded, polished or compounded: the steps in order, and whether the whole surface got them."""

    steps: tuple[Step, ...]
    whole: bool = True
    in_competition: bool = False


class Wiped(StrEnum):
    """How often the ball was wiped while it was played."""

    EACH = "each shot"
    SOMETIMES = "sometimes"
    NEVER = "never"


@dataclass(frozen=True, slots=True)
class Played:
    """Shots with the strike ball. `shots` is always filled (games × 11 where games were typed); `sd` is one standard
    deviation as a fraction of the shots (0 for exact, 0.2 for “about”: ± 40 % is read as two of them).
    """

    shots: float
    sd: float = 0.0
    games_typed: float | None = None
    lane_id: int | None = None
    wiped: Wiped | None = None


@dataclass(frozen=True, slots=True)
class Cleaned:
    """Cleaned with a liquid cleaner, the same night or later."""

    same_night: bool = True


class OilMethod(StrEnum):
    """How oil was drawn out of the cover."""

    BATH = "hot-water bath"
    HEAT = "heat cabinet"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class OilDrawn:
    """Oil drawn out of the cover. Above 54 °C, or other than bath or cabinet, it is kept only when confirmed."""

    method: OilMethod
    temperature_c: float | None = None
    minutes: float | None = None
    passes: int = 1
    confirmed: bool = False


class Quantity(StrEnum):
    """What a reading measured, with the SI unit of its value."""

    SCANNER_GRIT = "scanner"
    """A scanner's grit number (no unit); two instruments do not agree, so it goes with the instrument's name."""
    RA = "Ra"
    """Mean roughness, metres."""
    GLOSS = "gloss"
    """Gloss units, with the angle in `gloss_angle_deg`."""
    MASS = "weight"
    """Kilograms."""
    HARDNESS = "hardness"
    """Shore D."""
    DIAMETER = "diameter"
    """Metres."""


@dataclass(frozen=True, slots=True)
class Reading:
    """An instrument's reading."""

    quantity: Quantity
    value: float
    instrument: str = ""
    sd: float | None = None
    gloss_angle_deg: float | None = None
    temperature_c: float | None = None


@dataclass(frozen=True, slots=True)
class DropTest:
    """A drop of lane oil on the cover and the minutes until it was gone."""

    minutes: float


@dataclass(frozen=True, slots=True)
class Inspected:
    """Looked over for cracks, lifting plugs, worn inserts."""

    found: str = ""


@dataclass(frozen=True, slots=True)
class Crack:
    """A crack was found: no heat, show it before any work."""

    where: str = ""
    through: bool = False


@dataclass(frozen=True, slots=True)
class Repair:
    """Repaired, plugged or redrilled."""

    what: str = ""
    plugged: bool = False
    mends_crack: bool = False


@dataclass(frozen=True, slots=True)
class Handed:
    """Lent, returned, sold or retired."""

    to: str = ""
    person_id: int | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """“This ball ends `boards` stronger than the other”, ± `sd_boards`."""

    other_ball_id: int
    boards: float
    sd_boards: float = 1.5
    lane_id: int | None = None


class Seen(StrEnum):
    """What a shot did, in one word: five in the order of how much it hooked, then two ways of giving up."""

    LONG = "long"
    """Stayed out."""
    LIGHT = "light"
    FLUSH = "flush"
    HIGH = "high"
    OVER = "over"
    """Crossed over."""
    QUIT = "quit"
    """Rolled out, no hit."""
    HUNG = "hung"
    """Turned, then stood up."""


@dataclass(frozen=True, slots=True)
class Saw:
    """What one shot with this ball did, as somebody saw it."""

    seen: Seen
    lane_id: int | None = None


@dataclass(frozen=True, slots=True)
class Shot:
    """One practice shot and what was seen of it: as much or as little as there is. It counts as one shot of play."""

    seen: Sighting
    bowler_id: int | None = None
    """None for the ball's owner."""
    lane_id: int | None = None
    """None for the bowler's usual condition."""
    line: Line | None = None
    """None for the bowler's own line there."""
    measured: Measured | None = None
    """What an instrument read of the release; the rest is the bowler's usual one."""
    wiped: bool | None = None
    """Whether the ball was wiped before it."""
    minute: int | None = None
    """Minutes after midnight, where somebody noted it."""
    outing: str = ""
    """Shots of one outing share it; empty where day, lane and bowler make one."""


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence to keep."""

    text: str


@dataclass(frozen=True, slots=True)
class Undo:
    """Takes back an earlier entry; nothing is ever removed."""

    reason: str = ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """An entry of a kind or version this program does not know; kept as it is and shown."""

    raw: str


Payload = (
    New | Drilled | SurfaceWork | Played | Cleaned | OilDrawn | Reading | DropTest | Inspected | Crack | Repair
    | Handed | Compared | Saw | Shot | Note | Undo | Unknown
)  # fmt: skip

PAYLOAD_OF: dict[Kind, type] = {
    Kind.NEW: New, Kind.DRILLED: Drilled, Kind.SANDED: SurfaceWork, Kind.POLISHED: SurfaceWork, Kind.PLAYED: Played,
    Kind.CLEANED: Cleaned, Kind.OIL_DRAWN: OilDrawn, Kind.READING: Reading, Kind.DROP_TEST: DropTest,
    Kind.INSPECTED: Inspected, Kind.CRACK: Crack, Kind.REPAIR: Repair, Kind.LENT: Handed, Kind.RETURNED: Handed,
    Kind.SOLD: Handed, Kind.RETIRED: Handed, Kind.COMPARED: Compared, Kind.SAW: Saw, Kind.SHOT: Shot,
    Kind.NOTE: Note, Kind.UNDO: Undo,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry not kept yet: what the one-line reader and the forms make, and what the ledger appends."""

    ball_id: int
    kind: Kind | str
    on: date
    payload: Payload
    typed: str = ""
    undoes: int | None = None
    late: bool = False
    """Entered after the day it tells of."""
    version: int = 1
    """Payload version; only an `Unknown` payload has another than this program's own."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One kept entry. `seq` orders the whole file; `on` is the local day it tells of, `at` when it was written (UTC)
    with `offset_min` the local offset then. Folding goes by (`on`, `seq`), never by the clock.
    """

    seq: int
    ball_id: int
    kind: Kind | str
    on: date
    payload: Payload
    at: datetime
    offset_min: int
    typed: str = ""
    undoes: int | None = None
    act_id: int | None = None
    version: int = 1
    late: bool = False
    """Entered after the day it tells of, from memory; widens doubt."""


def shots_in(payload: Payload) -> float:
    """Shots with the strike ball that an entry tells of; 0 for one that tells of none."""
    return payload.shots if isinstance(payload, Played) else float(isinstance(payload, Shot))


def effective(entries: tuple[Entry, ...] | list[Entry]) -> list[Entry]:
    """The entries that still stand: undone ones and the undo entries themselves left out, in folding order."""
    undone: set[int] = set()
    for entry in sorted(entries, key=lambda e: e.seq, reverse=True):  # an undone undo stands again
        if entry.undoes is not None and entry.seq not in undone:
            undone.add(entry.undoes)
    standing = [e for e in entries if e.seq not in undone and e.undoes is None]
    return sorted(standing, key=lambda e: (e.on, e.seq))
