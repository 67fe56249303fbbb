"""Tickets of a shop: what was taken in, what is to be done, what it costs, and where it stands. Money is whole cents
of whatever the shop counts in; nothing is charged by the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from arsenal.trade.entries import Step
from arsenal.trade.pads import label


class Standing(StrEnum):
    """Where a ticket is."""

    PARKED = "half written"
    IN = "in"
    BENCH = "on the bench"
    READY = "ready"
    OUT = "handed over"
    CALLED_OFF = "called off"


OPEN = (Standing.IN, Standing.BENCH, Standing.READY)
"""Balls are in the shop."""


class Work(StrEnum):
    """What a service does to a ball, as far as its log is concerned."""

    SURFACE = "surface"
    CLEAN = "clean"
    BATH = "hot-water bath"
    HEAT = "heat cabinet"
    DRILL = "drill"
    PLUG = "plug"
    INSPECT = "inspect"
    OTHER = "other"

    @property
    def warm(self) -> bool:
        """Inserts and slugs come out and plugs and cracks are checked before it."""
        return self in (Work.BATH, Work.HEAT)


@dataclass(frozen=True, slots=True)
class Service:
    """One thing the shop sells. `price_cents` None: asked each time. `minutes` at the bench, `away_min` of waiting or
    cooling besides; both are where the shop's own records do not yet say better.
    """

    id: int
    name: str
    work: Work = Work.OTHER
    price_cents: int | None = None
    minutes: float = 10.0
    away_min: float = 0.0
    steps: tuple[Step, ...] = ()
    """What it puts on the surface where that is always the same."""
    passes: int = 1
    offered: bool = True


@dataclass(frozen=True, slots=True)
class Job:
    """One service on one ball of a ticket, at the price it was written down for."""

    name: str
    work: Work
    price_cents: int = 0
    minutes: float = 10.0
    away_min: float = 0.0
    steps: tuple[Step, ...] = ()
    passes: int = 1
    service_id: int | None = None
    begun_at: datetime | None = None
    done_at: datetime | None = None

    @property
    def said(self) -> str:
        """“Full resurface, 500/2000 m”; no finish where the name says it already, or nobody has said it."""
        finish = label(self.steps) if self.steps else ""
        return self.name if finish.casefold() in self.name.casefold() else f"{self.name}, {finish}"

    @property
    def took_min(self) -> float | None:
        """Minutes it took by the clock; None where nobody pressed both keys."""
        if self.begun_at is None or self.done_at is None:
            return None
        return (self.done_at - self.begun_at).total_seconds() / 60.0


@dataclass(frozen=True, slots=True)
class TakenIn:
    """One ball on a ticket; `ball_id` None for one that is only described: “blue one, crack by thumb”."""

    ball_id: int | None = None
    words: str = ""
    serial: str = ""
    serial_missing: str = ""
    """Why no serial was written down: worn, filled, customer in a hurry."""
    found: str = ""
    """Finish as found, as it was typed or as the log says."""
    reading: str = ""
    """Reading as found, as typed."""
    jobs: tuple[Job, ...] = ()
    hazards: tuple[str, ...] = ()
    """Cracks, plugs and whatever else the bench has to know."""
    inserts_out: bool = False
    cracks_checked: bool = False
    photo_ids: tuple[int, ...] = ()
    reading_after: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Ticket:
    """One ticket. Its number is its id: one range for all, never used again."""

    id: int
    standing: Standing
    written_at: datetime
    person_id: int | None = None
    name: str = ""
    """As said at the counter, where no customer is named."""
    phone: str = ""
    balls: tuple[TakenIn, ...] = ()
    taken_in_at: datetime | None = None
    promised_at: datetime | None = None
    ready_at: datetime | None = None
    out_at: datetime | None = None
    while_you_wait: bool = False
    deposit_cents: int = 0
    paid_cents: int = 0
    initials: str = ""
    handed_to: str = ""
    note: str = ""

    @property
    def unsaid(self) -> tuple[tuple[int, int], ...]:
        """Ball and place of every job that changes the surface of a ball with a log, and nobody has said to what."""
        return tuple(
            (at, place)
            for at, taken in enumerate(self.balls)
            if taken.ball_id is not None
            for place, job in enumerate(taken.jobs)
            if job.work is Work.SURFACE and not job.steps
        )

    @property
    def price_cents(self) -> int:
        """What everything on it costs."""
        return sum(job.price_cents for ball in self.balls for job in ball.jobs)

    @property
    def owed_cents(self) -> int:
        """What is still to be paid."""
        return self.price_cents - self.deposit_cents - self.paid_cents

    def late(self, now: datetime) -> bool:
        """Still in the shop past the time it was promised for, and not ready."""
        waits = self.standing in (Standing.IN, Standing.BENCH)
        return waits and self.promised_at is not None and self.promised_at < now


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph of a ball; its bytes are kept beside this record."""

    id: int
    taken_on: date
    words: str = ""
    ball_id: int | None = None
    ticket_id: int | None = None
    width: int = 0
    height: int = 0
    digest: str = ""
    """SHA-256 of the bytes as kept."""
