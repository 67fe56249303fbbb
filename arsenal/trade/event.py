"""Events: when and on what a bowler plays, what may be done to a ball when, and who takes which balls."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


class BanFrom(StrEnum):
    """What starts the ban on surface work, as the event words it."""

    SCORING = "scoring begins"
    FIRST_BALL = "first ball by anybody"
    OWN_FIRST_BALL = "the bowler's own first ball"
    PRACTICE = "practice begins"


class Reoiled(StrEnum):
    """Whether the lanes get new oil between blocks."""

    EACH = "before each block"
    FIRST = "before the first block only"
    UNKNOWN = "not said"


@dataclass(frozen=True, slots=True)
class Block:
    """Games bowled in one go. Times are local with their offset."""

    starts_at: datetime
    games: int
    ends_at: datetime | None = None
    lane_id: int | None = None
    """The condition of this block; None for the event's own."""


@dataclass(frozen=True, slots=True)
class Squad:
    """One way through the event: its name and its blocks in order."""

    name: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Event:
    """An event as it was announced. What nobody has said is None, and is asked, never guessed."""

    id: int
    name: str
    first_on: date
    """Its first day."""
    place: str = ""
    squads: tuple[Squad, ...] = ()
    lane_ids: tuple[int, ...] = ()
    """Conditions it may be played on; empty for unknown."""
    reoiled: Reoiled = Reoiled.UNKNOWN
    balls_allowed: int | None = None
    ban_from: BanFrom = BanFrom.SCORING
    between_allowed: bool = False
    """Surface work between blocks."""
    registration_by: datetime | None = None
    bags_locked_at: datetime | None = None
    practice_min: float | None = None
    """Minutes of practice before the first block."""
    hardness_at_least_d: float | None = None
    """Shore D that the event asks of the class it names; None where it asks nothing."""
    list_checked_on: date | None = None
    """When somebody held the balls against the list of approved ones."""
    rule_note: str = ""
    """What the event's own sheet says of surfaces and penalties, word for word."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a bowler settled for one ball: taken or left, with which finish, whatever the plan would say."""

    ball_id: int
    take: bool | None = None
    """True pinned, False left at home, None as the plan says."""
    finish: str | None = None
    """Name of the finish that is to be on it (“as it is” or a recipe's); None as the plan says."""


@dataclass(frozen=True, slots=True)
class Entered:
    """One bowler in one event: squad, who is on the pair, what was settled by hand, what of the prep sheet is done."""

    id: int
    event_id: int
    bowler_id: int
    squad: str = ""
    """Name of the squad; empty for the first."""
    right_handers: int = 3
    """Others on the pair, by the side they wear."""
    left_handers: int = 0
    chosen: tuple[Chosen, ...] = ()
    ticked: tuple[str, ...] = ()
    """Keys of the lines of the prep sheet that are done."""
    bag_limit_kg: float | None = None
    """What one bag may weigh."""
    bags: int = 1
    minutes: float | None = None
    """For surface work before the event; None where nobody set a limit."""
    spinner: bool = True
    """Whether a spinner can be reached until then: else by hand alone."""
