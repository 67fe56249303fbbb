"""The weeks ahead: what is played regularly, and when there is time to work on balls."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum


class Repeats(StrEnum):
    """How often something comes again."""

    ONCE = "once"
    WEEKLY = "weekly"
    FORTNIGHTLY = "every two weeks"


class Place(StrEnum):
    """Where a slot of work is and with it what can be done in it."""

    HOME = "at home"
    """By hand, unless the slot says otherwise."""
    BENCH = "shop bench"


@dataclass(frozen=True, slots=True)
class League:
    """What one bowler plays regularly: league, practice, anything with a day and a number of games."""

    id: int
    bowler_id: int
    name: str
    first_on: date
    games: float = 3.0
    starts: time | None = None
    """Local clock time; None where it does not matter."""
    repeats: Repeats = Repeats.WEEKLY
    last_on: date | None = None
    lane_id: int | None = None
    ball_ids: tuple[int, ...] = ()
    """Balls usually thrown there; empty for all in the bag."""
    shots: float | None = None
    """Strike-ball shots of one evening, where that is not the usual eleven a game."""
    skipped: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True)
class Slot:
    """Time for work on balls. `bowler_id` None is the shop's bench."""

    id: int
    bowler_id: int | None
    first_on: date
    minutes: float
    starts: time | None = None
    repeats: Repeats = Repeats.WEEKLY
    last_on: date | None = None
    place: Place = Place.HOME
    spinner: bool = False
    heat: bool = False
    heat_places: int = 1
    """Balls the heat cabinet takes at once."""
    skipped: tuple[date, ...] = ()
    note: str = ""
