"""The bench: what waits by promise and by grain, how full it is, and when new work could be promised for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from arsenal.acts import tickets
from arsenal.acts.shop import Shop
from arsenal.plan.occurrences import days_of, local
from arsenal.trade.calendar import Slot
from arsenal.trade.days import WEEKDAYS
from arsenal.trade.pads import label
from arsenal.trade.ticket import Job, Standing, Ticket

WAITING = (Standing.IN, Standing.BENCH)
LOOK_AHEAD_DAYS = 60
OPEN_FROM, OPEN_MIN = time(10, 0), 360.0
"""A: a bench nobody has told the hours of: from ten, six hours of bench work a day, every day but Sunday."""
CLOSED_ON = 6
ROUND_MIN = 30


@dataclass(frozen=True, slots=True)
class Waiting:
    """One job that waits on the bench."""

    ticket: int
    ball: int
    """Place on the ticket, from 0."""
    job: int
    what: str
    """The ball."""
    service: str
    """The finish where one is said, else the service: the bench takes up what is to be put on."""
    minutes: float
    promised_at: datetime | None
    late: bool
    grain: float
    """Coarsest number of its steps; 0 where it has none. Jobs of one grain go together."""
    begun: bool
    while_you_wait: bool


@dataclass(frozen=True, slots=True)
class Load:
    """What waits, in minutes, and until when the bench is full."""

    minutes: float
    full_until: datetime
    next_promise: datetime
    """When a job of `asked_min` more could be promised for."""
    opens: datetime | None = None
    """When the bench's hours begin next; None while they run, or where there are none to come."""
    assumed: str = ""
    """The hours it was counted through, in words, where the shop has written none down."""


def queue(shop: Shop) -> tuple[Waiting, ...]:
    """Jobs that are not done, by promise (those waited for first, those without one last), then by grain."""
    now, found = shop.now(), []
    for ticket in tickets.not_closed(shop):
        if ticket.standing not in WAITING:
            continue
        for at, taken in enumerate(ticket.balls):
            name = tickets.ball_words(shop, taken)
            found += [
                _waiting(ticket, at, place, name, job, now)
                for place, job in enumerate(taken.jobs)
                if job.done_at is None
            ]
    return tuple(sorted(found, key=_soonest))


def _waiting(ticket: Ticket, ball: int, place: int, name: str, job: Job, now: datetime) -> Waiting:
    wanted = label(job.steps) if job.steps else job.name
    return Waiting(
        ticket.id, ball, place, name, wanted, job.minutes, ticket.promised_at, ticket.late(now), grain(job),
        job.begun_at is not None, ticket.while_you_wait,
    )  # fmt: skip


def grain(job: Job) -> float:
    """The coarsest number of a job's steps; 0 where it has none."""
    return min((step.number for step in job.steps if step.number is not None), default=0.0)


def _soonest(waiting: Waiting) -> tuple[bool, float, float, int, int, int]:
    at = waiting.promised_at.timestamp() if waiting.promised_at else float("inf")
    return (not waiting.while_you_wait, at, waiting.grain, waiting.ticket, waiting.ball, waiting.job)


def load(shop: Shop, asked_min: float = 0.0, away_min: float = 0.0, *, waits: bool = False) -> Load:
    """How long the bench is full with what waits now, and when `asked_min` of bench work and `away_min` of cooling
    besides could be promised for. A customer who `waits` comes before everybody who does not.
    """
    found = queue(shop)
    waiting = sum(job.minutes for job in found)
    full = _after(shop, waiting)
    if waits:
        first = sum(job.minutes for job in found if job.while_you_wait)
        done = shop.now() + timedelta(minutes=first + asked_min + away_min)
    else:
        done = _after(shop, waiting + asked_min) + timedelta(minutes=away_min)
    return Load(waiting, full, _rounded_up(done), _opens(shop), "" if hours(shop) else _assumed_words())


def hours(shop: Shop) -> tuple[Slot, ...]:
    """The bench's hours as the shop has written them down, those to come."""
    today = shop.today()
    return tuple(
        slot for slot in shop.every(Slot) if slot.bowler_id is None and (slot.last_on is None or slot.last_on >= today)
    )


def _assumed_words() -> str:
    """“10:00 to 16:00 on every day but Sunday”."""
    ends = datetime.combine(date.min, OPEN_FROM) + timedelta(minutes=OPEN_MIN)
    return f"{OPEN_FROM:%H:%M} to {ends:%H:%M} on every day but {WEEKDAYS[CLOSED_ON]}"


def _opens(shop: Shop) -> datetime | None:
    now = shop.now()
    begins, _ends = next((span for span in _hours(shop, now) if span[1] > now), (now, now))
    return begins if begins > now else None


def _after(shop: Shop, minutes: float) -> datetime:
    """When so many minutes of bench work are done, counted from now through the bench's hours."""
    now, left = shop.now(), minutes
    if left <= 0.0:
        return now
    last = now
    for begins, ends in _hours(shop, now):
        free = (ends - max(begins, now)).total_seconds() / 60.0
        if free <= 0.0:
            continue
        last = ends
        if left <= free:
            return max(begins, now) + timedelta(minutes=left)
        left -= free
    return last + timedelta(minutes=left)


def _hours(shop: Shop, now: datetime) -> list[tuple[datetime, datetime]]:
    """The bench's hours from today on, soonest first."""
    until = now.date() + timedelta(days=LOOK_AHEAD_DAYS)
    bench = hours(shop)
    if not bench:
        days = (now.date() + timedelta(days=n) for n in range(LOOK_AHEAD_DAYS))
        return [_span(day, OPEN_FROM, OPEN_MIN) for day in days if day.weekday() != CLOSED_ON]
    found = [
        _span(day, slot.starts or OPEN_FROM, slot.minutes)
        for slot in bench
        for day in days_of(slot.first_on, slot.repeats, now.date(), until, last_on=slot.last_on, skipped=slot.skipped)
    ]
    return sorted(found)


def _span(day: date, starts: time, minutes: float) -> tuple[datetime, datetime]:
    begins = local(day, starts).at
    return begins, begins + timedelta(minutes=minutes)


def _rounded_up(at: datetime) -> datetime:
    over = timedelta(minutes=at.minute % ROUND_MIN, seconds=at.second, microseconds=at.microsecond)
    return at if not over else at - over + timedelta(minutes=ROUND_MIN)
