"""Which slot may take which job, at what cost and why not: from dates, play and events to a problem of places.

Costs are in games: a game played while due costs 1 times the work's weight, a game of a finish thrown away by working
early a part of that; both are expected values over the chance that the job is due by each day.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from types import MappingProxyType

from arsenal.plan.forecast import SWALLOW_DAYS, Falling
from arsenal.plan.plays import BallPlay
from arsenal.plan.records import Work
from arsenal.plan.schedule import PAD_OUT_MIN, Grain, Problem, Room, Task
from arsenal.trade.entries import Abrasive, Step, Tool

GAME_MIN = 15.0
"""Minutes of one game of an evening, practice included (our own assumption)."""
HANDLING_MIN = 10.0
"""Bench minutes of a deep oil: in, out, wiped (our own assumption); the cabinet's are the job's own."""
ON_SPINNER = (Tool.SPINNER, Tool.MACHINE)


class Closed(StrEnum):
    """Why a slot does not take a job."""

    DAY = "moved to another day"
    SPINNER = "no spinner there"
    HEAT = "no heat cabinet there"
    THROWN = "thrown that evening"
    COOLS = "it would still be warm"
    EVENT = "heavy work so shortly before an event"
    SETTLING = "too few games before an event to settle in"
    AWAY = "the event is on"
    HOME = "can be done at home"


LATE = MappingProxyType({
    Work.REFRESH: 1.0, Work.CLEAN: 0.5, Work.RESURFACE: 0.3, Work.DEEP_OIL: 0.3, Work.INSPECT: 0.4,
})  # fmt: skip
"""A game past due weighs by how much of its interval it is (our own assumption)."""
SOFT = MappingProxyType({Closed.THROWN: 12.0, Closed.COOLS: 30.0, Closed.EVENT: 25.0, Closed.SETTLING: 6.0})
"""Rules of practice that a person could let go, and at what price beside minutes (our own assumption)."""


@dataclass(frozen=True, slots=True)
class Parameters:
    """What a plan weighs. All our own assumptions, all passed in."""

    heavy_days: int = 3
    """Nothing heavy in so many days before an event: resurface, deep oil."""
    settle_games: float = 2.0
    """Games that a fresh surface could get before an event; a finish has settled in after two (surface/finish.py)."""
    settle_days: int = 10
    """An event farther off than that leaves time enough to practise."""
    cool_hours: float = 18.0
    """A ball out of the heat cabinet is left alone: half a day to a day (from memory)."""
    late: Mapping[Work, float] = field(default_factory=lambda: dict(LATE))
    early: float = 0.6
    """Of the late weight, per game of life thrown away."""
    early_day: float = 0.03
    """Of the late weight, per day that work is done before it is due."""
    idle: float = 0.05
    """Of the late weight, per day that a due ball waits unplayed."""
    unplaced: float = 60.0
    """What it costs to leave without a place what falls due: more than any lateness within the plan."""
    stock_days: int = 14
    """Pads can be bought by then; until then what is in stock must do."""


BY_HAND = 1.0
"""What a slot of the day that the user named is preferred by to no slot."""


@dataclass(frozen=True, slots=True)
class Session:
    """One slot of work on its day. `hand` is a day the user named, without a slot: it takes what was moved there."""

    key: str
    on: date
    minutes: float
    starts: time | None = None
    spinner: bool = False
    heat_places: int = 0
    slot_id: int = 0
    place: str = ""
    hand: bool = False
    only_heavy: bool = False
    """The shop's bench in a bowler's own plan: for what his own time cannot do."""

    @property
    def begins(self) -> datetime | None:
        """Local clock time."""
        return None if self.starts is None else datetime.combine(self.on, self.starts)

    @property
    def ends(self) -> datetime | None:
        """Local clock time."""
        return None if self.begins is None else self.begins + timedelta(minutes=self.minutes)


@dataclass(frozen=True, slots=True)
class Meet:
    """An event a bowler is entered for: its days, and which of his balls go (None for all strike balls)."""

    name: str
    first_on: date
    last_on: date


@dataclass(frozen=True, slots=True)
class Asked:
    """Everything a plan is made from."""

    falling: Sequence[Falling]
    sessions: Sequence[Session]
    plays: Mapping[int, Sequence[BallPlay]]
    """By ball."""
    meets: Mapping[int, Sequence[Meet]]
    """By ball."""
    today: date
    until: date
    pinned: Mapping[str, date] = field(default_factory=dict)
    """By key: the day the user moved it to."""
    stock: Mapping[Grain, float] | None = None
    """Uses left by grain, in natural logarithms of cut; None where no stock is kept."""
    wear: Mapping[Tool, float] = field(default_factory=dict)
    """What one use takes."""
    was: Mapping[str, str] = field(default_factory=dict)
    """Session of each job in the plan before."""
    parameters: Parameters = field(default_factory=Parameters)


@dataclass(frozen=True, slots=True)
class Fitted:
    """The problem, its sessions in order, and why each closed slot is closed."""

    problem: Problem
    sessions: tuple[Session, ...]
    closed: Mapping[tuple[str, int], Closed]


def grain_of(step: Step) -> Grain:
    """What a pad is known by."""
    return (step.number, step.scale, step.abrasive)


def needs_spinner(falling: Falling) -> bool:
    """Whether a step is done on something that turns."""
    return any(step.tool in ON_SPINNER for step in falling.job.steps)


def fit(asked: Asked) -> Fitted:
    """The problem of places of these jobs in these sessions."""
    sessions = _in_order(asked)
    costs = {f.key: _Cost(f, asked) for f in asked.falling}
    closed: dict[tuple[str, int], Closed] = {}
    tasks = []
    keys = {f.key for f in asked.falling}
    at = {session.key: n for n, session in enumerate(sessions)}
    for falling in asked.falling:
        open_rooms, soft = {}, {}
        for n, session in enumerate(sessions):
            if session.on < falling.first_on and falling.key not in asked.pinned:
                continue
            why = _closed(asked, falling, session)
            if why is None:
                open_rooms[n] = costs[falling.key].in_session(session) + (BY_HAND if session.hand else 0.0)
                continue
            closed[falling.key, n] = why
            if why in SOFT:
                soft[n] = SOFT[why]
        tasks.append(_task(asked, falling, costs[falling.key], open_rooms, soft, at, keys))
    tasks = _with_cooling(asked, tasks, sessions)
    stock_until = asked.today + timedelta(days=asked.parameters.stock_days)
    return Fitted(
        Problem(
            tuple(tasks), tuple(Room(s.key, s.minutes, s.minutes * s.heat_places) for s in sessions),
            dict(asked.stock or {}), sum(1 for s in sessions if s.on <= stock_until),
        ),
        sessions, closed,
    )  # fmt: skip


def _in_order(asked: Asked) -> tuple[Session, ...]:
    """Sessions by time, with one for each day the user named."""
    own = [s for s in asked.sessions if asked.today <= s.on <= asked.until]
    keys = {falling.key for falling in asked.falling}
    days = {max(on, asked.today) for key, on in asked.pinned.items() if key in keys}
    own += [Session(f"hand {on}", on, math.inf, spinner=True, heat_places=1, hand=True) for on in days]
    return tuple(sorted(own, key=lambda s: (s.on, s.hand, s.starts or time.min, s.key)))


def _task(
    asked: Asked, falling: Falling, cost: _Cost, open_rooms: dict[int, float], soft: dict[int, float],
    at: Mapping[str, int], keys: set[str],
) -> Task:  # fmt: skip
    job, p = falling.job, asked.parameters
    grains = tuple(dict.fromkeys(grain_of(step) for step in job.steps if step.abrasive is Abrasive.GRIT))
    heated = falling.heated
    minutes = HANDLING_MIN if heated else max(job.minutes - PAD_OUT_MIN * len(grains), 0.5)
    likely = falling.likely
    due = (likely is not None and likely <= asked.until) or falling.key in asked.pinned
    must = due and (falling.round == 0 or bool(open_rooms))  # what comes after the impossible asks for nothing more
    wear = max((asked.wear.get(step.tool, 0.0) for step in job.steps), default=0.0)
    before = falling.before if falling.round and falling.before in keys else None
    wait = cost.waiting() + (p.unplaced if must else 0.0)
    return Task(
        falling.key, falling.ball_id, minutes, open_rooms, wait, grains, wear, job.minutes if heated else 0.0, before,
        was=at.get(asked.was.get(falling.key, "")), must=must, soft=soft,
    )  # fmt: skip


def _closed(asked: Asked, falling: Falling, session: Session) -> Closed | None:
    """Why this session does not take this job; None where it does. What the user moved goes to the day he named."""
    pin = asked.pinned.get(falling.key)
    if pin is not None:
        return None if session.on == max(pin, asked.today) and _able(falling, session) is None else Closed.DAY
    if session.hand:
        return Closed.DAY
    unable = _able(falling, session)
    if unable is not None:
        return unable
    return _evening(asked, falling, session) or _event(asked, falling, session)


def _able(falling: Falling, session: Session) -> Closed | None:
    if session.only_heavy and not (falling.heated or needs_spinner(falling)):
        return Closed.HOME
    if needs_spinner(falling) and not session.spinner:
        return Closed.SPINNER
    if falling.heated and session.heat_places < 1:
        return Closed.HEAT
    return None


def _evening(asked: Asked, falling: Falling, session: Session) -> Closed | None:
    """A ball that is thrown while the slot lasts, or before it has cooled, is not there to be worked on."""
    plays = asked.plays.get(falling.ball_id, ())
    cools = falling.heated
    hours = timedelta(hours=asked.parameters.cool_hours)
    near = [p for p in plays if session.on <= p.on <= session.on + timedelta(days=2 if cools else 0)]
    for play in near:
        if session.begins is None or session.ends is None or play.starts is None:
            clash = cools and (play.on - session.on).days * 24.0 <= asked.parameters.cool_hours
            if clash:
                return Closed.COOLS
            continue
        begins = datetime.combine(play.on, play.starts)
        over = begins + timedelta(minutes=GAME_MIN * play.games)
        if session.begins < over and begins < session.ends:
            return Closed.THROWN
        if cools and session.ends <= begins < session.ends + hours:
            return Closed.COOLS
    return None


def _event(asked: Asked, falling: Falling, session: Session) -> Closed | None:
    surface = bool(falling.job.steps)
    heavy = falling.heated or falling.work is Work.RESURFACE
    if not (surface or heavy):
        return None
    for meet in asked.meets.get(falling.ball_id, ()):
        if meet.first_on < session.on <= meet.last_on:
            return Closed.AWAY
        days = (meet.first_on - session.on).days
        if heavy and 0 <= days <= asked.parameters.heavy_days:
            return Closed.EVENT
        if surface and 0 <= days <= asked.parameters.settle_days:
            plays = asked.plays.get(falling.ball_id, ())
            between = (p for p in plays if _after(session, p) and p.on < meet.first_on and not p.event)
            if sum(max(p.games, p.most) for p in between) < asked.parameters.settle_games:
                return Closed.SETTLING
    return None


def _after(session: Session, play: BallPlay) -> bool:
    """Play on the slot's own day comes after it where its hour says so, or where no hour is known."""
    if play.on != session.on:
        return play.on > session.on
    return session.starts is None or play.starts is None or session.starts < play.starts


class _Cost:
    """What it costs to do one job early or late: expected games, summed once for all slots."""

    def __init__(self, falling: Falling, asked: Asked) -> None:
        p = asked.parameters
        self._falling = falling
        self._weight = p.late.get(falling.work, 0.5)
        self._early, self._idle = p.early * self._weight, p.idle * self._weight
        self._early_day = p.early_day * self._weight
        self._until = asked.until
        self._plays = [play for play in asked.plays.get(falling.ball_id, ()) if play.on >= falling.first_on]
        self._ons = [play.on for play in self._plays]
        self._late, self._wasted = [0.0], [0.0]
        for play in self._plays:
            due = falling.by_the_end_of(play.on - timedelta(days=1))
            self._late.append(self._late[-1] + play.games * due)
            self._wasted.append(self._wasted[-1] + play.games * (1.0 - due))
        self._days = [0.0]
        for chance in falling.chance:
            self._days.append(self._days[-1] + chance)

    def in_session(self, session: Session) -> float:
        """Expected cost of doing it then."""
        had = bisect_left(self._ons, session.on)
        while had < len(self._ons) and self._ons[had] == session.on and not _after(session, self._plays[had]):
            had += 1
        day = min(max((session.on - self._falling.first_on).days, 0), len(self._days) - 1)
        unused = (len(self._days) - 1 - day) - (self._days[-1] - self._days[day])
        wasted = self._early * (self._wasted[-1] - self._wasted[had]) + self._early_day * unused
        return self._at(session.on, had) + wasted

    def waiting(self) -> float:
        """Expected cost of leaving it for a week past the plan."""
        on = self._until + timedelta(days=7)
        return self._at(on, bisect_left(self._ons, on))

    def _at(self, on: date, had: int) -> float:
        days = min(max((on - self._falling.first_on).days, 0), len(self._days) - 1)
        return self._weight * self._late[had] + self._idle * self._days[days]


def _with_cooling(asked: Asked, tasks: Sequence[Task], sessions: Sequence[Session]) -> list[Task]:
    """Heated balls are left alone while they cool, and are heated before they are resurfaced, not after; no pad is put
    on a ball shortly before or after it is resurfaced.
    """
    by_ball: dict[int, list[Falling]] = defaultdict(list)
    for falling in asked.falling:
        by_ball[falling.ball_id].append(falling)
    works = {falling.key: falling for falling in asked.falling}
    return [_kept_apart(asked, task, works[task.key], by_ball[task.ball_id], sessions) for task in tasks]


def _kept_apart(
    asked: Asked, task: Task, own: Falling, on_ball: Sequence[Falling], sessions: Sequence[Session]
) -> Task:  # fmt: skip
    others = on_ball
    if own.work is Work.RESURFACE:
        others = [falling for falling in on_ball if falling.work is Work.REFRESH]
    elif not own.heated:
        return task
    ons = [session.on for session in sessions]
    window = {n: _within(ons, ons[n]) for n in task.cost}
    apart = {
        other.key: {
            n: frozenset(m for m in window[n] if _near(asked, own, sessions[n], sessions[m], other)) for n in task.cost
        }
        for other in others if other.key != task.key and other.key not in asked.pinned
    }  # fmt: skip
    return replace(task, apart=apart) if apart else task


def _within(ons: Sequence[date], on: date) -> range:
    """Sessions near enough to a day to matter."""
    reach = timedelta(days=max(SWALLOW_DAYS, HEAT_FIRST_DAYS) + 2)
    return range(bisect_left(ons, on - reach), bisect_right(ons, on + reach))


def _near(asked: Asked, own: Falling, stands: Session, other: Session, job: Falling) -> bool:
    if own.heated:
        return _too_near(asked, stands, other, job)
    return abs((stands.on - other.on).days) <= SWALLOW_DAYS


HEAT_FIRST_DAYS = 7
"""A ball that is to be heated and resurfaced within a week is heated first (common practice, no source)."""


def _too_near(asked: Asked, heated: Session, other: Session, job: Falling) -> bool:
    days = (other.on - heated.on).days
    hours = asked.parameters.cool_hours
    if heated.ends is None or heated.begins is None or other.begins is None:
        cooling, before = 0 <= days * 24.0 <= hours, days < 0
    else:
        cooled = heated.ends + timedelta(hours=hours)
        cooling = other.key == heated.key or heated.ends <= other.begins < cooled
        before = other.begins < heated.begins
    return cooling or (job.work is Work.RESURFACE and before and days >= -HEAT_FIRST_DAYS)
