"""What the upkeep calendar shows: days, weeks and a season, with words ready for screen and print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

from arsenal.plan.records import Job


@dataclass(frozen=True, slots=True)
class WorkItem:
    """One job on a day. Everything a row needs is in words; `job` is what moved.move, leave_out and done take."""

    key: str
    """Stable from one plan to the next: ball, work and round."""
    on: date | None
    """The day it is planned for; None where no slot could take it."""
    ball_id: int
    ball: str
    owner_id: int
    owner: str
    work: str
    """refresh, resurface, deep oil, inspect, clean."""
    how: str
    """“1000 h”, “heat cabinet, ½ day”."""
    minutes: float
    """At the bench; shorter where the pad is out already for another ball in that slot."""
    minutes_words: str
    mark: str
    """fine, soon, due or over, as the marks of the job list."""
    early: date | None
    likely: date | None
    late: date | None
    """Falls due: one chance in ten by `early`, even by `likely`, nine in ten by `late`; None past the horizon."""
    due_words: str
    """“due Tue 24 Nov”, “due about Sat 5 Dec, 1 to 12 Dec”."""
    why: str
    detail: str
    slot_key: str
    """Of the slot it stands in; empty for a day without one."""
    by_hand: bool
    """The user moved it to this day."""
    round: int
    """0 for the job as it stands now; 1, 2 … where it comes again after that: a forecast, nothing to tick yet."""
    remark: str = ""
    """“cools until Wed 25 Nov, 18:00”, “heavy work 2 days before Autumn singles”; empty for none."""
    job: Job | None = None
    """None for a later round."""
    steps_key: str = ""
    """Pads of the job in words, “1000” or “500, 2000”: jobs with one key can stand together."""

    @property
    def can_act(self) -> bool:
        """Whether it can be done, moved or left out now."""
        return self.job is not None


@dataclass(frozen=True, slots=True)
class PlayItem:
    """Play on a day: a league, an event, or what the log shows as usual."""

    on: date
    name: str
    words: str
    """“3 games, 19:00”, “pads until 8:55”."""
    kind: str
    """league, event or usual."""
    owner_id: int
    owner: str
    games: float
    starts: time | None = None
    balls: tuple[str, ...] = ()
    """Names of the balls usually thrown there; empty for all in the bag."""
    record_id: int = 0
    """Of the league or event; 0 for usual."""


@dataclass(frozen=True, slots=True)
class SlotItem:
    """Time for work on a day, and how much of it is taken."""

    key: str
    slot_id: int
    on: date
    starts: time | None
    place: str
    """“at home”, “shop bench”."""
    minutes: float
    taken_min: float
    words: str
    """“18:00 at home, 14 of 60 min”."""


@dataclass(frozen=True, slots=True)
class DayView:
    """One day: work before play, play, what follows it."""

    on: date
    name: str
    """“Tue 24 Nov”."""
    short: str
    """“Tue”."""
    today: bool
    before: tuple[WorkItem, ...]
    play: tuple[PlayItem, ...]
    after: tuple[str, ...]
    """“Clean all played”, or work that stands after play."""
    after_work: tuple[WorkItem, ...]
    """Jobs in a slot that begins after play."""
    slots: tuple[SlotItem, ...]
    remarks: tuple[str, ...]
    """“clocks go back: 2:30 comes twice”."""
    spoken: str
    """The whole day in one sentence for a screen reader."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A job that stands on another day than in the plan before, and why."""

    key: str
    ball: str
    work: str
    was: date | None
    now: date | None
    words: str
    """“Rook Hollow, refresh: Tue 24 to Thu 26 Nov, because …”."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """The least that would have to give for everything to have its place."""

    kind: str
    """minutes, pads, slot, event, settling or ball."""
    words: str
    """“12 more minutes on Tue 24 Nov”, “one more 1000 pad”."""
    slot_id: int = 0
    """The slot whose minutes it speaks of; 0 for anything else."""
    minutes: float = 0.0
    """How many more, where it speaks of minutes."""


@dataclass(frozen=True, slots=True)
class PlanStamp:
    """What made a plan."""

    made_at: str
    """ISO 8601 with its offset."""
    revision: int
    version: int
    priors_version: str
    parameters: str
    """Every parameter by name, as one line."""


@dataclass(frozen=True, slots=True)
class UpkeepPlan:
    """A plan as it was made and kept: reopened it shows the same."""

    id: int
    """Number of the kept result; 0 where it was not kept."""
    bowler_id: int | None
    who: str
    """The bowler's name, or “the shop”."""
    first_on: date
    last_on: date
    items: tuple[WorkItem, ...]
    """By day; those without a place last."""
    play: tuple[PlayItem, ...]
    slots: tuple[SlotItem, ...]
    moved: tuple[Moved, ...]
    unplaced: tuple[WorkItem, ...]
    relaxations: tuple[Relaxation, ...]
    remarks: tuple[str, ...]
    """“No evenings for work are set: jobs stand on the day they fall due.”"""
    exact: bool
    """True where no better plan exists; False where the time was up first."""
    stamp: PlanStamp


@dataclass(frozen=True, slots=True)
class WeekView:
    """Seven days from Monday."""

    bowler_id: int | None
    who: str
    monday: date
    title: str
    """“Week 48”."""
    dates: str
    """“23 to 29 Nov 2026”."""
    days: tuple[DayView, ...]
    unplaced: tuple[WorkItem, ...]
    moved: tuple[Moved, ...]
    relaxations: tuple[Relaxation, ...]
    remarks: tuple[str, ...]
    foot: str
    """“6 jobs, 58 min”."""
    buy: tuple[str, ...]
    plan_id: int
    stamp: PlanStamp


@dataclass(frozen=True, slots=True)
class SeasonMark:
    """One job on a ball's line through the season."""

    key: str
    work: str
    on: date | None
    """Planned day; None where it only is forecast."""
    early: date | None
    likely: date | None
    late: date | None
    round: int
    words: str
    """“refresh 1000 h, Tue 24 Nov; due 20 to 30 Nov”."""


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One ball through the season."""

    ball_id: int
    ball: str
    owner: str
    cover: str
    marks: tuple[SeasonMark, ...]
    spoken: str


@dataclass(frozen=True, slots=True)
class SeasonWeek:
    """One week in a line."""

    monday: date
    number: int
    jobs: int
    minutes: float
    words: str
    """“4 jobs, 38 min”; “nothing to do”."""
    events: tuple[str, ...]
    """“Autumn singles, Sat 28 Nov”."""
    games: float


@dataclass(frozen=True, slots=True)
class SeasonView:
    """All weeks of a season, and each ball's line through it."""

    bowler_id: int | None
    who: str
    first_on: date
    last_on: date
    weeks: tuple[SeasonWeek, ...]
    rows: tuple[SeasonRow, ...]
    events: tuple[PlayItem, ...]
    unplaced: tuple[WorkItem, ...]
    moved: tuple[Moved, ...]
    relaxations: tuple[Relaxation, ...]
    remarks: tuple[str, ...]
    foot: str
    buy: tuple[str, ...]
    plan_id: int
    stamp: PlanStamp


@dataclass(frozen=True, slots=True)
class Reminder:
    """Something to be told now."""

    key: str
    """What snooze and told take."""
    title: str
    """“Rook Hollow: refresh 1000 h”."""
    text: str
    """“Due since Tue 24 Nov, 3 ± 1 boards lost. 3 minutes.”"""
    ball_id: int
    owner_id: int
    due_on: date
    job: Job | None = None


@dataclass(frozen=True, slots=True)
class CustomerReminder:
    """Text ready to send to one customer who agreed to be reminded."""

    person_id: int
    name: str
    to: str
    """Phone or e-mail it goes to; the guardian's for a minor."""
    addressed_to: str
    """The customer's name, or the guardian's."""
    text: str
    balls: tuple[str, ...]
    consented_on: date


@dataclass(frozen=True, slots=True)
class NotReminded:
    """A customer with work due who is not to be written to, and why."""

    person_id: int
    name: str
    why: str
    """“no consent recorded”, “no phone or e-mail”, “a minor with no guardian's contact”."""


@dataclass(frozen=True, slots=True)
class CalendarFile:
    """A calendar file as it was written."""

    name: str
    """A file name to offer."""
    text: bytes
    items: int
    cancelled: int
    words: str
    """“12 jobs, 1 cancelled”."""
    made_at: datetime
