"""What a screen is given: plain records, made off the window's thread, nothing left to compute but pixels."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from arsenal.acts.taught import Known
from arsenal.motion.pair import Stage
from arsenal.motion.records import Floats
from arsenal.order.records import Order, PadResult, Remark, Stamp
from arsenal.plan.losses import Loss
from arsenal.plan.records import Job
from arsenal.surface.state import CoverTaken, Moment, SurfaceState, Worth
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Entry
from arsenal.trade.findings import Finding
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.exchange.tables import Question


@dataclass(frozen=True, slots=True)
class RuleState:
    """What may be done to a ball now. `sentence` is shown as it stands; defers to the rule book in force."""

    pads_allowed: bool
    sentence: str
    until: datetime | None = None
    rule_id: str | None = None
    hover: str = ""


@dataclass(frozen=True, slots=True)
class Contours:
    """The film on a small grid for drawing, in the frame of the paths: `height_units[i, j]` at distance i, board j
    counted from the gutter opposite the hook side (the own one, but for a back-up ball; see `own_side`).
    """

    distance_ft: Floats
    boards: Floats
    height_units: Floats
    oil_ends_ft: float


@dataclass(frozen=True, slots=True)
class LaneSide:
    """Everything the Lane-side room shows but the pads. `lane` is the condition as it is kept; `lane_now` is what the
    order, the lines and the contours were made on.
    """

    bowler: Person
    lane: Lane
    order: Order
    contours: Contours
    rule: RuleState
    jobs: tuple[Job, ...]
    """Due or soon, for the one flag a row may carry."""
    game: int = 0
    """Games bowled on the lane before this; 0 is fresh."""
    traffic_words: str = ""
    """“after 3 games by Mirel Oster and three like him”; empty while the lane is fresh."""
    stage: Stage | None = None
    """The lane as those games left it, and where the oil went; None while it is fresh."""
    known: Known | None = None
    """What practice has left the shots to be reckoned with."""

    @property
    def played(self) -> Lane | None:
        """The lane as those games left it; None while it is fresh."""
        return self.stage.lane if self.stage else None

    @property
    def lane_now(self) -> Lane:
        """The lane the shots here are thrown on."""
        return self.played or (self.known.lane if self.known else self.lane)


@dataclass(frozen=True, slots=True)
class PadOnBall:
    """A pad in stock as the Bench lists it, for one ball."""

    pad: Pad
    recipe: Recipe
    cuts: float
    grit: float
    grit_sd: float
    boards_back: float
    boards_back_sd: float
    first_read_change_ft: float
    rolls_out: bool
    minutes: float
    used_up: bool
    result: PadResult | None = None
    """All that is known of what it would do; None where throw or usual lane are not known, and for a spare ball."""


@dataclass(frozen=True, slots=True)
class BallSheet:
    """A ball on the Bench."""

    ball: Ball
    owner: Person
    state: SurfaceState
    moments: tuple[Moment, ...]
    entries: tuple[Entry, ...]
    """Newest first, undone ones included (see `undone`)."""
    undone: frozenset[int]
    jobs: tuple[Job, ...]
    findings: tuple[Finding, ...]
    next_reading: str = ""
    """“Read Rook after the next two games: …”, the cheap reading that would narrow the most; empty where none would."""
    readings: tuple[Worth, ...] = ()
    """Every cheap reading and what it would narrow, the best first."""
    learned: tuple[str, ...] = ()
    """What readings have taught, one sentence each: the wear pace of ball and house, hand against spinner, pads."""
    lost: Loss | None = None
    """Boards lost on the owner's usual condition: to the surface since it settled in, and to oil in the cover; two
    deficits, each with its doubt. None for a spare ball, a past day, or where throw or condition are not known."""
    cover_off: str = ""
    """“0.004 ± 0.002 in off the radius in all, about 16 g; 8.585 ± 0.008 in across”."""
    cover_jobs: tuple[CoverTaken, ...] = ()
    """What each surface work took off, newest first."""
    alarms: tuple[Remark, ...] = ()
    """Balls that have grown alike, a ball that fell below its neighbour, a ball due by boards lost: those that speak of
    this ball, on the owner's usual condition."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What Enter will log, in words, before it is kept. `parts` alternate plain and strong text."""

    drafts: tuple[Draft, ...]
    parts: tuple[tuple[str, bool], ...]
    """(text, strong) pieces of one sentence."""
    after: str = ""
    """“Would play about 1700 ± 300”."""
    problem: str = ""
    word: str = ""
    choices: tuple[str, ...] = ()
    """What would do instead of `word`; Enter never guesses."""
    cautions: tuple[str, ...] = ()
    needs_confirmation: bool = False


@dataclass(frozen=True, slots=True)
class Change:
    """One thing an act changed."""

    what: str
    """entry, ball, person, lane, pad, recipe, setting."""
    id: int
    fields: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Changes:
    """What an act did: the sentence for the last-act line, what changed, who began it. Empty where nothing changed."""

    act_id: int | None
    sentence: str
    changed: tuple[Change, ...] = ()
    initiator: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Hit:
    """One find."""

    kind: str
    """ball, person, lane."""
    id: int
    label: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class UpkeepSheet:
    """Everything the Upkeep room shows."""

    bowler: Person | None
    jobs: tuple[Job, ...]
    balls: dict[int, Ball]
    states: dict[int, SurfaceState]
    today: date
    until: date
    games_a_week: float
    to_buy: tuple[str, ...] = ()
    left_out: tuple[Job, ...] = ()
    """Jobs the bowler left out of the plan."""
    usual_days: tuple[tuple[int, float], ...] = ()
    """(weekday from Monday 0, games) the bowler usually plays."""
    alarms: tuple[Remark, ...] = ()
    """Balls that have grown alike or changed places since they were set, on each bowler's usual condition."""
    next_reading: str = ""
    """The one cheap reading in this bowler's bag that would narrow the most; empty for everybody."""


@dataclass(frozen=True, slots=True)
class CardRow:
    """One ball on the printed card. Words are ready to print; `boards` is against the benchmark."""

    ball_id: int
    place: int
    name: str
    finish: str
    grit: float
    """Plays about, two figures."""
    flag: str
    """One at most: rolls out, wipe, refresh, same as above, benchmark; empty where there is none."""
    benchmark: bool
    read_word: str
    shape_word: str
    boards: float
    boards_sd: float
    in_hand: bool = False
    """The ball the “if …” rows speak of: a bar at the left edge."""


@dataclass(frozen=True, slots=True)
class CardMove:
    """“If it is light: 1 right with the feet, then no ball holds”. Left out where it cannot be computed."""

    saw: str
    feet: str
    then_ball: str


@dataclass(frozen=True, slots=True)
class BagCard:
    """Everything the printed card shows, as it was when it was made; stored with the stamp of its order."""

    id: int
    bowler_id: int
    bowler: str
    hand: str
    """“right-handed”, “left-handed”, “two-handed, left”."""
    lane_id: int
    lane: str
    line: str
    """“22, over 15”: laydown and arrow board from the own gutter."""
    rows: tuple[CardRow, ...]
    spares: tuple[tuple[str, str], ...]
    """(name, finish) of spare balls."""
    ball_in_hand: str
    moves: tuple[CardMove, ...]
    tally_boxes: int
    rule_line: str
    rule_hover: str
    printed: str
    """Moment of printing as ISO 8601 with its offset; see `printed_at`."""
    changes: tuple[str, ...]
    """Since the last card for this bowler and condition: “Quarry Song +1, sanded 1000 h”."""
    stamp: Stamp

    @property
    def printed_at(self) -> datetime:
        """Moment of printing."""
        return datetime.fromisoformat(self.printed)


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that cannot be loaded."""

    file: str
    row: int | None
    field: str
    reason: str
    value: str = ""
    """What stands in that field."""


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What a load found and did. `kept` is False for a preview and where a bad row stopped all of it."""

    kept: bool
    people: int
    balls: int
    lanes: int
    pads: int
    entries: int
    bad_rows: tuple[BadRow, ...] = ()
    backup: str = ""
    """Where the file was backed up first, when the load would change over a fifth of its rows."""
    changes: Changes = Changes(None, "")
    recipes: int = 0
    questions: tuple[Question, ...] = ()
    """Rows that may mean somebody or something that is there already; they wait for an answer."""
    remarks: tuple[BadRow, ...] = ()
    """What the files say otherwise than the shop, which stays as it is."""
    known: int = 0
    """Rows that say what is known already."""
    left: tuple[str, ...] = ()
    """Headers whose columns are left in the file."""
    shown: tuple[tuple[str, str], ...] = ()
    """The first of what would come in: what kind of thing it is, and its words."""

    @property
    def rows(self) -> int:
        """Good rows in all."""
        return self.people + self.balls + self.lanes + self.pads + self.recipes + self.entries
