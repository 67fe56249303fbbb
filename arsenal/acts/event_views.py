"""What the Event room and its sheets are given: plain records with the words ready for screen and print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from arsenal.acts.views import RuleState
from arsenal.order.records import Stamp
from arsenal.trade.event import Event


class Mark(StrEnum):
    """The sign before a line of the prep sheet; always with words."""

    OPEN = "open"
    DONE = "done"
    SOON = "soon"
    """A deadline, or something that waits on one."""
    BAN = "ban"
    """The one line from which no pad touches a ball."""


class Reach(StrEnum):
    """How well a stage is covered."""

    GOOD = "good"
    BARELY = "barely"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class EventName:
    """One event as a menu or a list names it."""

    id: int
    name: str
    title: str
    """“Autumn singles, Sat 28 Nov”."""
    first_on: date
    past: bool
    entered: tuple[int, ...]
    """Ids of the bowlers in it."""
    entered_names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StageHead:
    """One column: a stage of the lane as the worn film tells it."""

    key: str
    """fresh, drying, moved, burnt, carrydown: stable."""
    title: str
    shots: str
    """“to shot 40”, “40 to 110”, “from 190”; for the variant what it takes, “urethane on the pair”."""
    line: str
    """“22, over 15” from the bowler's own gutter: the line of the ball that covers it; empty where none reaches."""
    hover: str
    """How the stage was told from the film: boards the track has dried, where the oil ends, after how many games."""
    variant: bool = False
    """Carrydown stands apart from the stages that follow each other."""
    from_shot: int | None = None
    to_shot: int | None = None
    """Shots thrown on the pair by everybody; None where it has no end, and for the variant."""
    likely: str = ""
    """“may not come to it in 6 games” where the set ends first; empty else."""


@dataclass(frozen=True, slots=True)
class RoomCell:
    """One ball at one stage on its own best line there."""

    stage: str
    words: str
    """“2 in, 1 out”, “late”, “early”, “rolls out”."""
    in_boards: float | None
    out_boards: float | None
    """None where no line reaches the pocket."""
    room: float
    """Share of shots that end in the pocket window, 0 where no line does."""
    room_sd: float
    line: str
    """“22, over 15” from the bowler's own gutter, empty without one."""
    best: bool
    """The best of the balls taken: drawn thick."""
    hover: str = ""


@dataclass(frozen=True, slots=True)
class FinishOffer:
    """One finish this ball can have by then: an entry of its menu."""

    name: str
    """What `choose` takes: “as it is”, or the recipe's name."""
    label: str
    """“1000 s”."""
    note: str
    """“as it is”, “5 min”, “no time: 22 min of 15”."""
    minutes: float
    possible: bool = True
    """False where pads, time or rules do not allow it; `note` says which."""


@dataclass(frozen=True, slots=True)
class BallLine:
    """One row: a ball with the finish it would have there."""

    ball_id: int
    name: str
    taken: bool
    settled: bool | None
    """True pinned by hand, False left at home by hand, None as the plan says."""
    finish: str
    """“1000 s”."""
    finish_name: str
    """The `FinishOffer.name` chosen."""
    finish_settled: bool
    note: str
    """“was 500 h”, “as it is, benchmark”; of a ball at home “same as Quarry Song”, “refreshed Fri”."""
    cells: tuple[RoomCell, ...]
    """One a stage, in the order of `EventPlan.stages`."""
    finishes: tuple[FinishOffer, ...]
    path_ft: tuple[float, ...] = ()
    path_boards: tuple[float, ...] = ()
    """A small drawing of its path on the first stage, boards from the own gutter."""
    given_up: str = ""
    """What leaving it at home would cost; empty for a ball at home."""
    spare: bool = False
    set_grit: float | None = None
    """What its finish would be set at, and what it would play at: the fall in its row."""
    grit: float | None = None


@dataclass(frozen=True, slots=True)
class Covered:
    """The foot of one column."""

    stage: str
    ball_id: int | None
    name: str
    """“Slow Lantern”; “nothing” where no taken ball reaches."""
    more: str
    """“and 1 more”, “barely”, “nothing better at home”."""
    reach: Reach


@dataclass(frozen=True, slots=True)
class OneMore:
    """What one more would buy."""

    kind: str
    """“A pad”, “A ball you have”, “A ball you do not own”."""
    what: str
    effect: str
    """“burnt fronts ½ in, ½ out → 1 in, 1 out”."""
    cost: str
    """“3 min”, “1 place”, “before Sat”."""
    hover: str = ""


@dataclass(frozen=True, slots=True)
class PrepLine:
    """One line of the prep sheet."""

    key: str
    """What `tick` takes; stable over replanning."""
    mark: Mark
    at: str
    """“7:45”; empty for work to be done by the part's deadline."""
    who: str
    """“Umber Kestrel”, “All four”; empty for a time of the day."""
    what: str
    minutes: str
    """“5 min”; empty where it takes none."""
    can_tick: bool
    logs: bool
    """True where ticking writes the ball's log (and taking the tick back takes that back)."""
    hover: str = ""
    warn: bool = False
    when: datetime | None = None
    ball_id: int | None = None


@dataclass(frozen=True, slots=True)
class PrepPart:
    """Lines under one heading: “By Fri 27 Nov, 21:00”, “Sat 28 Nov”."""

    title: str
    lines: tuple[PrepLine, ...]


@dataclass(frozen=True, slots=True)
class PrepSheet:
    """Everything to do before, during and after, in order."""

    parts: tuple[PrepPart, ...]
    done: str
    """“2 of 11 done”."""
    minutes: float
    pad_changes: int
    cautions: tuple[str, ...]
    """Dust, spinner, solvents, heat, lifting: one or two plain lines each, deferring to local rules."""
    facts: tuple[tuple[str, str], ...]
    """(“Rule, this event”, “ban from …; check your book”), (“Bags”, …), (“Registration”, …), (“Stays home”, …)."""


@dataclass(frozen=True, slots=True)
class RegisteredBall:
    """One row of the registration sheet; what is not known is empty and asked for in `missing`."""

    ball_id: int
    name: str
    serial: str
    weight: str
    cover: str
    hardness: str
    """“76 D”."""
    hardness_when: str
    """“Thu 26 Nov, 23 °C”."""
    missing: str
    """“serial is not known”."""
    advice: tuple[str, ...] = ()
    """Rule rows it may break: advice, never a block."""


@dataclass(frozen=True, slots=True)
class Registration:
    """The registration sheet."""

    title: str
    bowler: str
    squad: str
    rows: tuple[RegisteredBall, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StageCardRow:
    """One ball on the card of a stage, best first."""

    ball_id: int
    name: str
    finish: str
    words: str
    line: str
    first: bool


@dataclass(frozen=True, slots=True)
class StageCard:
    """The bag card of one stage."""

    stage: str
    title: str
    shots: str
    rows: tuple[StageCardRow, ...]
    then: str
    """“after shot 110: moved in, Paper Moth”."""
    tally_boxes: int


@dataclass(frozen=True, slots=True)
class EventPlan:
    """Bag, finishes, prep sheet and cards of one bowler at one event."""

    id: int
    """Number it is kept under; 0 while it is not."""
    event: Event
    entered_id: int
    bowler_id: int
    title: str
    """“Autumn singles, Sat 28 Nov”."""
    bowler: str
    lanes: str
    """“41 ft house, 25 mL”, “3 conditions”, “unknown house”."""
    balls: str
    """“4 of 6 balls”."""
    side: str
    """“± ½ board; shots on your own side”."""
    rule: RuleState
    stages: tuple[StageHead, ...]
    rows: tuple[BallLine, ...]
    """Taken ones first, then those that stay home, then spare balls."""
    covered: tuple[Covered, ...]
    at_least: str
    """“at least 1 in, 1 out”: what counts as good."""
    more: tuple[OneMore, ...]
    sentences: tuple[str, ...]
    """Why this bag, in whole sentences."""
    problems: tuple[str, ...]
    """Why there is no plan or only part of one, each with what to change."""
    prep: PrepSheet
    registration: Registration
    cards: tuple[StageCard, ...]
    stamp: Stamp
    made_at: datetime
    changed_since: tuple[str, ...] = ()
    """Of a kept plan: what would differ now, and because of what."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Thrown:
    """A ball and what the log holds of it today."""

    ball_id: int
    name: str
    words: str
    """“14 shots, wiped every shot”."""


@dataclass(frozen=True, slots=True)
class AtTheLanes:
    """What is wanted while it is played."""

    countdown: str
    """“no pads from now: 1 h 12 min”, “dry towel only”."""
    pads_until: datetime | None
    """What the countdown runs to; None where nothing is to be counted."""
    rule: RuleState
    thrown: tuple[Thrown, ...]
    shots_on_pair: int
    stage: str
    """Key of the stage expected now."""
    stage_words: str
    """“track drying, about shot 60 on the pair”."""
    in_hand: str
    next_ball: str
    next_reason: str
    wipe: str
    """“wipe every shot: heavy oil”, by cover and volume."""
    block: str
    """“block 1 of 2, 3 games, since 9:00”."""
    between: str
    """“between blocks: re-oiled, pads not allowed”."""
    block_number: int | None = None
    """The block to be logged, from 1; None where none is on or over."""
    logged: bool = False
    clean: str = ""
    """“clean all used tonight: Slow Lantern, Paper Moth”; empty where nothing is to be cleaned."""
