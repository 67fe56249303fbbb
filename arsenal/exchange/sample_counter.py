"""The sample shop's counter: services with prices, how to reach people, tickets, a fit sheet and a drilling.

A moment in the file is a day and time that moves with the sample's weeks; one with `days` or `hours` counts from the
day or hour at which the sample is written, so that what is late is late and the rest is not.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from arsenal.exchange import lengths
from arsenal.exchange.one_line.finish import read_recipe
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Step, Tool
from arsenal.trade.errors import KnownError
from arsenal.trade.fit import DrillRecord, FitSheet, Hole
from arsenal.trade.person import Person
from arsenal.trade.ticket import Job, Service, Standing, TakenIn, Ticket, Work
from arsenal.trade.units import POUND_KG

Row = Mapping[str, Any]
HALF_HOUR = timedelta(minutes=30)
OPEN, CLOSES = time(10), time(20)


def _next_noon(at: datetime) -> datetime:
    """Nothing is promised for the night."""
    day = at.date() if at.time() < OPEN else at.date() + timedelta(days=1)
    return datetime.combine(day, time(12), at.tzinfo)


@dataclass(frozen=True)
class Around:
    """Who and what is there by name, and how far and to when moments are moved."""

    people: Mapping[str, Person]
    balls: Mapping[str, Ball]
    moved: timedelta
    now: datetime

    def moment(self, told: Any) -> datetime | None:
        """A moment of the file."""
        if told is None:
            return None
        zone = self.now.tzinfo
        if isinstance(told, str):
            return datetime.fromisoformat(told).replace(tzinfo=zone) + self.moved
        if "hours" in told:
            rough = self.now + timedelta(hours=told["hours"]) + HALF_HOUR
            half = rough.replace(minute=rough.minute // 30 * 30, second=0, microsecond=0)
            return half if OPEN <= half.time() <= CLOSES else _next_noon(half)
        day = self.now.date() + timedelta(days=told["days"])
        return datetime.combine(day, time.fromisoformat(told["at"]), zone)

    def owner(self, ball_id: int) -> int:
        """Whose ball it is."""
        return next(ball.owner_id for ball in self.balls.values() if ball.id == ball_id)

    def day(self, told: str | None) -> date | None:
        """A day of the file."""
        return None if told is None else date.fromisoformat(told) + self.moved


@dataclass(frozen=True)
class SampleCounter:
    """Records with id 0, but for people, who keep theirs. Tickets name services by name until those have ids."""

    services: tuple[Service, ...]
    people: tuple[Person, ...]
    tickets: tuple[Ticket, ...]
    fits: tuple[FitSheet, ...]
    drills: tuple[DrillRecord, ...]


def read(path: Path, around: Around) -> SampleCounter:
    """The file. Raises KnownError where it cannot be read."""
    try:
        found = json.loads(path.read_text("utf-8"))
        services = tuple(_service(row) for row in found["services"])
        by_name = {service.name: service for service in services}
        fits = tuple(_fit(row, around) for row in found["fits"])
        return SampleCounter(
            services, tuple(_person(row, around) for row in found["people"]),
            tuple(_ticket(row, around, by_name) for row in found["tickets"]), fits,
            tuple(_drill(row, around, fits) for row in found["drills"]),
        )  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise KnownError(f"The counter of the sample shop cannot be read: {error}.") from error


def with_ids(ticket: Ticket, ids: Mapping[str, int]) -> Ticket:
    """The ticket with its services' ids, by their names."""
    balls = tuple(
        replace(taken, jobs=tuple(replace(job, service_id=ids.get(job.name)) for job in taken.jobs))
        for taken in ticket.balls
    )
    return replace(ticket, balls=balls)


def _service(row: Row) -> Service:
    finish = read_recipe(row["finish"]) if "finish" in row else ()
    return Service(
        0, row["name"], Work(row["work"]), row["price_cents"], row["minutes"], row["away_min"], finish, row["passes"]
    )  # fmt: skip


def _person(row: Row, around: Around) -> Person:
    return replace(
        around.people[row["name"]], phone=row["phone"], email=row["email"], minor=row.get("minor", False),
        reminders_consented_on=around.day(row["consented"]), guardian=row.get("guardian", ""),
    )  # fmt: skip


def _ticket(row: Row, around: Around, services: Mapping[str, Service]) -> Ticket:
    who, came = row.get("who"), around.moment(row["in"])
    assert came is not None  # noqa: S101 - our own file
    standing = Standing(row["standing"])
    return Ticket(
        0, standing, came, around.people[who].id if who else None, row.get("name", ""), row.get("phone", ""),
        tuple(_taken(ball, around, services) for ball in row["balls"]),
        None if standing is Standing.PARKED else came, around.moment(row["promised"]), around.moment(row.get("ready")),
        around.moment(row.get("out")), row.get("while_you_wait", False), row.get("deposit_cents", 0),
        row.get("paid_cents", 0), row.get("initials", ""), row.get("handed_to", ""), row.get("note", ""),
    )  # fmt: skip


def _taken(row: Row, around: Around, services: Mapping[str, Service]) -> TakenIn:
    ball = around.balls[row["ball"]] if row["ball"] else None
    jobs = tuple(_job(job, around, services[job["service"]]) for job in row["jobs"])
    return TakenIn(
        ball.id if ball else None, row.get("words", ""), ball.serial if ball else "", row.get("serial_missing", ""),
        row.get("found", ""), jobs=jobs, hazards=tuple(row.get("hazards", ())),
        inserts_out=row.get("inserts_out", False), cracks_checked=row.get("cracks_checked", False),
    )  # fmt: skip


def _job(row: Row, around: Around, service: Service) -> Job:
    own = tuple(Step(number=float(s["number"]), tool=Tool(s["tool"]), wet=True) for s in row.get("steps", ()))
    return Job(
        service.name, service.work, service.price_cents or 0, service.minutes, service.away_min,
        own or service.steps, service.passes,
        begun_at=around.moment(row.get("begun")), done_at=around.moment(row.get("done")),
    )  # fmt: skip


def _length(told: str | None) -> float | None:
    return None if told is None else lengths.read(told)


def _hole(row: Row) -> Hole:
    return Hole(
        row["finger"], _length(row.get("width")), _length(row.get("depth")), _length(row.get("span")),
        _length(row.get("forward")), _length(row.get("side")), row.get("insert", ""),
    )  # fmt: skip


def _fit(row: Row, around: Around) -> FitSheet:
    return FitSheet(
        0, around.people[row["who"]].id, date.fromisoformat(row["on"]) + around.moved,
        tuple(_hole(hole) for hole in row["holes"]), _length(row["over"]), _length(row["up"]),
        measured_by=row["by"], note=row["note"],
    )  # fmt: skip


def _drill(row: Row, around: Around, fits: tuple[FitSheet, ...]) -> DrillRecord:
    ball = around.balls[row["ball"]]
    own = next((fit for fit in fits if fit.person_id == ball.owner_id), None)
    return DrillRecord(
        0, ball.id, date.fromisoformat(row["on"]) + around.moved, own.holes if own else (),
        _length(row["pin_to_axis"]), _length(row["pin_to_grip"]), side_oz=row["side_oz"], top_oz=row["top_oz"],
        thumb_oz=row["thumb_oz"], mass_after_kg=row["weight_lb"] * POUND_KG, driller=row["driller"],
    )  # fmt: skip
