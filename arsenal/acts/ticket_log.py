"""What a ticket's finished jobs write into the balls' logs when it is handed over."""

from __future__ import annotations

from datetime import date

from arsenal.acts import hazards
from arsenal.acts.shop import Shop
from arsenal.trade.entries import (
    Cleaned,
    Crack,
    Draft,
    Inspected,
    Kind,
    Note,
    OilDrawn,
    OilMethod,
    Payload,
    Repair,
    SurfaceWork,
    effective,
)
from arsenal.trade.errors import KnownError
from arsenal.trade.ticket import Job, TakenIn, Ticket, Work

ORDER = (Work.INSPECT, Work.CLEAN, Work.BATH, Work.HEAT, Work.PLUG, Work.DRILL, Work.SURFACE, Work.OTHER)
"""C: oil comes out before the surface is made; a plug is ground flush before it too."""


def drafts(shop: Shop, ticket: Ticket) -> tuple[Draft, ...]:
    """Entries for every ball of the file on the ticket, in the order the work is done. Readings as typed go through
    the one-line reader. Raises KnownError where a reading is not understood.
    """
    found: list[Draft] = []
    today = shop.today()
    for taken in ticket.balls:
        if taken.ball_id is None:
            continue
        found += _reading(shop, taken, taken.reading)
        found += [
            Draft(taken.ball_id, Kind.CRACK, today, Crack(crack), typed=crack)
            for crack in hazards.news(effective(shop.entries(taken.ball_id)), hazards.of(taken))
        ]
        for job in sorted(taken.jobs, key=lambda job: ORDER.index(job.work)):
            kind, payload = _entry(job)
            found.append(Draft(taken.ball_id, kind, _day(job, today), payload, typed=f"{job.name}, No {ticket.id}"))
        found += _reading(shop, taken, taken.reading_after)
    return tuple(found)


def check_readings(shop: Shop, ticket: Ticket) -> None:
    """Raises KnownError for a reading nobody could log, while it can still be asked what was meant."""
    for taken in ticket.balls:
        if taken.ball_id is not None:
            _reading(shop, taken, taken.reading)
            _reading(shop, taken, taken.reading_after)


def _day(job: Job, today: date) -> date:
    """The day it was done where it was done: a kept moment has its own offset from universal time."""
    return min(job.done_at.date(), today) if job.done_at else today


def _entry(job: Job) -> tuple[Kind, Payload]:
    if job.work is Work.SURFACE and job.steps:
        shiny = all(step.abrasive.value in ("polish", "compound") for step in job.steps)
        return (Kind.POLISHED if shiny else Kind.SANDED), SurfaceWork(job.steps)
    plain: dict[Work, tuple[Kind, Payload]] = {
        Work.CLEAN: (Kind.CLEANED, Cleaned(same_night=False)),
        Work.BATH: (Kind.OIL_DRAWN, OilDrawn(OilMethod.BATH, passes=job.passes)),
        Work.HEAT: (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, passes=job.passes)),
        Work.PLUG: (Kind.REPAIR, Repair(job.name, plugged=True)),
        Work.INSPECT: (Kind.INSPECTED, Inspected()),
    }
    return plain.get(job.work, (Kind.NOTE, Note(job.name)))


def _reading(shop: Shop, taken: TakenIn, text: str) -> list[Draft]:
    """A reading as typed at the counter: “r 2400”, “ra 21”; nothing where nobody read."""
    from arsenal.acts import logging  # noqa: PLC0415 - the reader needs the acts that need this

    if not text.strip():
        return []
    said = logging.read_line(shop, text, ball_id=taken.ball_id)
    if said.problem:
        raise KnownError(f"The reading “{text}” is not understood.", next_step=said.problem)
    return list(said.drafts)
