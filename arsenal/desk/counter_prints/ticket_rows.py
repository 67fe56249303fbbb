"""What a ticket says on paper, ball by ball, as plain rows; how high each one comes is for whoever draws them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from arsenal.acts import hazards
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketView
    from arsenal.trade.ticket import Ticket

CHECKS = (("inserts and slugs out", "inserts_out"), ("plugs and cracks checked", "cracks_checked"))


@dataclass(frozen=True, slots=True)
class Head:
    """A ball: its place on the ticket, name, serial or why there is none."""

    number: str
    name: str
    serial: str
    known: bool
    """Whether that is a serial; a reason may be shortened."""


@dataclass(frozen=True, slots=True)
class Remark:
    """A line of words."""

    words: str


@dataclass(frozen=True, slots=True)
class Hazard:
    """What the bench has to know before anything else."""

    words: str


@dataclass(frozen=True, slots=True)
class Service:
    """One thing to do."""

    name: str
    minutes: str
    price: str
    done: bool


@dataclass(frozen=True, slots=True)
class Checks:
    """Boxes to tick before a bath or heat, with whether each is."""

    boxes: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Readings:
    """The finish and reading as found, and the reading afterwards or room to write it."""

    found: str
    after: str


Row = Head | Remark | Hazard | Service | Checks | Readings


def balls(view: TicketView) -> list[list[Row]]:
    """The rows of each ball."""
    return [_ball(view, at) for at in range(len(view.ticket.balls))]


def _ball(view: TicketView, at: int) -> list[Row]:
    taken = view.ticket.balls[at]
    known = not taken.serial_missing or bool(taken.serial)
    serial = view.serials[at]
    rows: list[Row] = [Head(str(at + 1), view.balls[at], serial if known else f"no serial: {serial}", known)]
    found = ", ".join(part for part in (f"found {taken.found}" if taken.found else "", taken.reading) if part)
    rows.append(Readings(found, taken.reading_after))
    rows += [Hazard(said) for said in hazards.of(taken)]
    for line in view.lines:
        if line.ball == at and line.ticked:
            done = line.job is not None and taken.jobs[line.job].done_at is not None
            rows.append(Service(line.name, minutes(line.minutes), line.price, done))
    if any(job.work.warm for job in taken.jobs):
        rows.append(Checks(tuple((words, bool(getattr(taken, field))) for words, field in CHECKS)))
    kept = count(len(taken.photo_ids), "photograph") if taken.photo_ids else ""
    if taken.note or kept:
        rows.append(Remark("; ".join(part for part in (kept, taken.note) if part)))
    return rows


def minutes(value: float) -> str:
    """“14 min”, or nothing where no time was said."""
    return f"{value:.0f} min" if value else ""


def count(number: int, what: str) -> str:
    """“1 ball”, “2 balls”."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def when(at: datetime, zone: tzinfo | None) -> str:
    """“Thu 26 Nov, 12:00”: on paper no day is called today."""
    local = at.astimezone(zone)
    return f"{days.weekday_and_day(local)}, {local:%H:%M}"


def pay(ticket: Ticket) -> list[tuple[str, int]]:
    """What was paid and what is open, as (name, cents), below the price."""
    told = [("Deposit", ticket.deposit_cents), ("Paid", ticket.paid_cents)]
    owed = ticket.owed_cents
    left = ("To pay", owed) if owed >= 0 else ("To give back", -owed)
    return [*((name, cents) for name, cents in told if cents), left]


def spoken(view: TicketView, zone: tzinfo | None) -> str:
    """The ticket in words, for a screen reader."""
    told = [f"Ticket {view.ticket.id or 'without a number'} of {view.who}", view.phone,
            f"promised {when(view.promise, zone)}"]  # fmt: skip
    for at, name in enumerate(view.balls):
        jobs = [f"{line.name} {line.price}" for line in view.lines if line.ball == at and line.ticked]
        told.append(", ".join([name, view.serials[at], *view.ticket.balls[at].hazards, *jobs]))
    left, _cents = pay(view.ticket)[-1]
    told.append(f"price {view.price}, {left[0].lower()}{left[1:]} {view.owed.removeprefix('−')}")
    return ". ".join(part for part in told if part)
