"""What can be ticked on a ball of a ticket that is being written: the finish of last time first, then what the shop
sells, then whatever stands on the ticket besides.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from arsenal.acts import hazards, services, ticket_finish
from arsenal.acts.counter_views import TicketLine
from arsenal.acts.shop import Shop
from arsenal.surface import minutes as minutes_of
from arsenal.trade.entries import Kind, Step, SurfaceWork, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import label
from arsenal.trade.ticket import Job, Service, TakenIn, Ticket, Work

LAST_TIME = ", as last time"
NO_HEAT = "not with a crack"
ASK = "ask"


def last_time(shop: Shop, ball_id: int) -> tuple[str, SurfaceWork] | None:
    """The last surface work of a ball, as a line that can be ticked: “500/2000 m, as last time”."""
    works = [
        e.payload
        for e in effective(shop.entries(ball_id))
        if e.kind in (Kind.SANDED, Kind.POLISHED) and isinstance(e.payload, SurfaceWork)
    ]
    return (f"{label(works[-1].steps)}{LAST_TIME}", works[-1]) if works else None


def lines(shop: Shop, draft: Ticket) -> tuple[TicketLine, ...]:
    """Every line of every ball, in an order that ticking does not change."""
    return tuple(line for at, taken in enumerate(draft.balls) for line in _of_ball(shop, at, taken))


def _of_ball(shop: Shop, at: int, taken: TakenIn) -> list[TicketLine]:
    left = dict(enumerate(taken.jobs))
    found: list[TicketLine] = []

    def stands(fits: Callable[[Job], bool]) -> int | None:
        place = next((n for n, job in left.items() if fits(job)), None)
        if place is not None:
            del left[place]
        return place

    again = last_time(shop, taken.ball_id) if taken.ball_id is not None else None
    if again is not None:
        steps = again[1].steps
        place = stands(lambda job: job.service_id is None and job.steps == steps)
        found.append(_again(shop, at, taken, again[0], steps, place))
    cracked = any(hazards.is_crack(hazard) for hazard in hazards.of(taken))
    for service in services.services(shop):
        place = stands(lambda job, of=service: job.service_id == of.id)  # type: ignore[misc]
        if place is not None:
            found.append(_ticked(at, place, taken.jobs[place]))
        else:
            found.append(_offered(shop, at, service, cracked=cracked))
    return [*found, *(_ticked(at, place, job) for place, job in left.items())]


def _ticked(at: int, place: int, job: Job) -> TicketLine:
    return TicketLine(at, place, job.service_id, job.said, job.minutes, services.money(job.price_cents), True)


def _offered(shop: Shop, at: int, service: Service, *, cracked: bool) -> TicketLine:
    minutes = services.takes(shop, service.name, service.minutes).minutes
    price = ASK if service.price_cents is None else services.money(service.price_cents)
    refused = NO_HEAT if service.work.warm and cracked else ""
    asks = service.work is Work.SURFACE and not service.steps
    return TicketLine(at, None, service.id, service.name, minutes, price, False, refused, asks_finish=asks)


def _again(
    shop: Shop, at: int, taken: TakenIn, name: str, steps: tuple[Step, ...], place: int | None
) -> TicketLine:  # fmt: skip
    if place is not None:
        return replace(_ticked(at, place, taken.jobs[place]), name=name, again=True)
    minutes, cents = _cost(shop, steps)
    return TicketLine(at, None, None, name, minutes, ASK if cents is None else services.money(cents), False, again=True)


def _cost(shop: Shop, steps: tuple[Step, ...]) -> tuple[float, int | None]:
    """Minutes and price of a finish: of the service that is just this, else what it was written down for last."""
    name = label(steps)
    for service in services.services(shop):
        if service.work is Work.SURFACE and service.steps and label(service.steps) == name:
            return services.takes(shop, service.name, service.minutes).minutes, service.price_cents
    minutes = services.takes(shop, name, minutes_of(steps)).minutes
    return minutes, services.last_price(shop, name)


def tick(
    shop: Shop, draft: Ticket, line: TicketLine, price_cents: int | None = None, finish: str = ""
) -> Ticket:  # fmt: skip
    """The ticket with the line ticked, or taken off where it was. `price_cents` and `finish`, as typed, where they
    were asked for; the finish may be left to the bench. Raises KnownError for what is refused, NotUnderstood.
    """
    if not 0 <= line.ball < len(draft.balls):
        return draft
    taken = draft.balls[line.ball]
    if line.ticked and line.job is not None:
        return with_jobs(draft, line.ball, (*taken.jobs[: line.job], *taken.jobs[line.job + 1 :]))
    if line.refused:
        raise KnownError(f"{line.name}: {line.refused}.", next_step="Show the owner before any work.")
    return with_jobs(draft, line.ball, (*taken.jobs, _job(shop, taken, line, price_cents, finish)))


def _job(shop: Shop, taken: TakenIn, line: TicketLine, price_cents: int | None, finish: str) -> Job:
    if line.service_id is not None:
        service = next((s for s in services.services(shop) if s.id == line.service_id), None)
        if service is None:
            raise KnownError(f"{line.name} is no longer offered.", next_step="Choose another service.")
        return services.job_of(shop, service, price_cents, ticket_finish.read(finish))
    again = last_time(shop, taken.ball_id) if taken.ball_id is not None else None
    if again is None:
        raise KnownError("The last finish of this ball was taken back.", next_step="Choose a service.")
    steps = again[1].steps
    minutes, known = _cost(shop, steps)
    return Job(label(steps), Work.SURFACE, price_cents if price_cents is not None else known or 0, minutes, steps=steps)


def with_jobs(draft: Ticket, ball: int, jobs: tuple[Job, ...]) -> Ticket:
    """The ticket with other jobs on one ball."""
    return with_taken(draft, ball, replace(draft.balls[ball], jobs=jobs))


def with_taken(draft: Ticket, ball: int, taken: TakenIn) -> Ticket:
    """The ticket with one ball told otherwise."""
    return replace(draft, balls=(*draft.balls[:ball], taken, *draft.balls[ball + 1 :]))


def without_ball(draft: Ticket, ball: int) -> Ticket:
    """The ticket with one ball off it."""
    return replace(draft, balls=(*draft.balls[:ball], *draft.balls[ball + 1 :]))
