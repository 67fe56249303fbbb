"""Jobs of upkeep: what is due on which ball, why, and by when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from arsenal.surface.state import Estimate
from arsenal.trade.entries import Step


class Work(StrEnum):
    """Kinds of upkeep."""

    WIPE = "wipe"
    CLEAN = "clean"
    REFRESH = "refresh"
    RESURFACE = "resurface"
    DEEP_OIL = "deep oil"
    INSPECT = "inspect"


class Due(StrEnum):
    """How near."""

    FINE = "fine"
    SOON = "soon"
    DUE = "due"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class Way:
    """One way for a job to fall due: so many games more, a day, or where both are given not before both."""

    games: Estimate | None = None
    on: date | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One kind of work on one ball."""

    ball_id: int
    work: Work
    due: Due
    how: str
    """The finish or the way: “1000 h”, “heat cabinet, ½ day”."""
    why: str
    """“3 ± 1 boards lost”, “at its interval”, “in 9 ± 4 games”."""
    detail: str
    """“2 ft of first read, 14 games”."""
    by_state: bool
    """True where the boards lost came first, False where the interval did."""
    share: float
    """How far to due: 1 is due (boards lost over 2, or games over interval)."""
    share_low: float
    share_high: float
    games_left: Estimate | None
    by: date | None
    minutes: float
    boards_lost: Estimate | None = None
    first_read_lost_m: float | None = None
    steps: tuple[Step, ...] = ()
    """For surface work: the steps that would do it."""
    one_entry: bool = True
    """False where doing it cannot be logged as planned in one entry: a drop test has a result, a crack is shown."""
    moved: bool = False
    """True where the bowler put it off to another day."""
    damage: bool = False
    """True where something is broken: no heat, show it before any work."""
    ways: tuple[Way, ...] = ()
    """Every way for it to fall due; the first to come counts. Empty for work that waits for something else."""
