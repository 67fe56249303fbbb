"""What the Counter shows: counts on top, hits, a ball's card, tickets. Words are ready for the screen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from arsenal.acts.bench_queue import Load, Waiting
from arsenal.plan.records import Job
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.person import Person
from arsenal.trade.ticket import Ticket

Parts = tuple[tuple[str, bool], ...]
"""Words with whether each is told strongly."""


@dataclass(frozen=True, slots=True)
class PromisedHour:
    """How many tickets are promised for one time of today."""

    at: datetime
    tickets: int


@dataclass(frozen=True, slots=True)
class TicketRow:
    """One ticket in a list."""

    number: int
    who: str
    balls: str
    standing: str
    promised_at: datetime | None
    late: bool
    waits_for: str = ""
    """What a parked one still lacks: “waiting for the serial”."""


@dataclass(frozen=True, slots=True)
class Counts:
    """What stands on top: how many tickets are where. Each opens its list."""

    taken_in: tuple[TicketRow, ...]
    bench: tuple[TicketRow, ...]
    ready: tuple[TicketRow, ...]
    late: tuple[TicketRow, ...]
    parked: tuple[TicketRow, ...]
    promised_today: tuple[PromisedHour, ...]
    load: Load


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One line of a ball's history: day, what, games on the ball by then."""

    on: date
    what: str
    games: float
    seq: int


@dataclass(frozen=True, slots=True)
class BallCard:
    """A ball as the counter sees it; `last` is its first line."""

    ball: Ball
    owner: Person
    last: Parts
    spec: str
    state: SurfaceState
    grit: str
    grit_doubt: str
    lost: str
    due: tuple[Job, ...]
    hazards: tuple[str, ...]
    history: tuple[HistoryLine, ...]
    open_ticket: int | None = None


@dataclass(frozen=True, slots=True)
class PersonCard:
    """A customer with their balls and tickets, newest first."""

    person: Person
    balls: tuple[Ball, ...]
    tickets: tuple[TicketRow, ...]


@dataclass(frozen=True, slots=True)
class TicketLine:
    """One service on one ball of a ticket as it is written: ticked or only offered."""

    ball: int
    job: int | None
    """Place among the ball's jobs; None where it is only offered."""
    service_id: int | None
    name: str
    minutes: float
    price: str
    ticked: bool
    refused: str = ""
    """Why it cannot be chosen: “not with a crack”."""
    again: bool = False
    """The finish of last time."""
    asks_finish: bool = False
    """It changes the surface, and to what is still to be said."""


@dataclass(frozen=True, slots=True)
class TicketView:
    """A ticket as it is shown and printed. `number` 0 has none yet."""

    ticket: Ticket
    who: str
    phone: str
    balls: tuple[str, ...]
    serials: tuple[str, ...]
    lines: tuple[TicketLine, ...]
    minutes: float
    price: str
    owed: str
    promise: datetime
    """What was promised, or what could be."""
    code: str
    """What its QR code says; empty without a number."""


@dataclass(frozen=True, slots=True)
class CounterView:
    """Everything the room shows while nothing is searched."""

    counts: Counts
    bench_next: tuple[Waiting, ...]
