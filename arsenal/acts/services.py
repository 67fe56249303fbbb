"""What a shop sells: services with prices and minutes, and how long each really takes by its own records."""

from __future__ import annotations

from dataclasses import dataclass, replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.entries import Abrasive, Step, Tool
from arsenal.trade.errors import KnownError, NotUnderstood, OutOfRange
from arsenal.trade.ticket import Job, Service, Standing, Ticket, Work

DEAREST_CENTS = 1_000_000
LONGEST_MIN, LONGEST_AWAY_MIN = 480.0, 7 * 24 * 60.0
SHARE_LOW, SHARE_HIGH = 0.2, 6.0
"""A: a time by the clock outside these shares of what a service is said to take was a forgotten key, not work."""
NEWEST = 2000
"""Tickets that times and prices are learned from: what a job takes nowadays, not what it took years ago."""
PRIOR_WEIGHT = 3.0
"""A: what the shop says counts like three jobs timed by the clock."""

USUAL = (
    Service(0, "Clean", Work.CLEAN, None, 4.0),
    Service(0, "Refresh, one pad", Work.SURFACE, None, 5.0),
    Service(0, "Full resurface", Work.SURFACE, None, 16.0),
    Service(0, "Polish", Work.SURFACE, None, 4.0, steps=(Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True),)),
    Service(0, "Deep oil, hot-water bath", Work.BATH, None, 10.0, away_min=60.0, passes=2),
    Service(0, "Deep oil, heat cabinet", Work.HEAT, None, 20.0, away_min=360.0, passes=2),
    Service(0, "Drill", Work.DRILL, None, 45.0),
    Service(0, "Plug", Work.PLUG, None, 20.0, away_min=1440.0),
    Service(0, "Look over", Work.INSPECT, None, 5.0),
)
"""C, M: minutes at the bench as shops commonly count them; drilling and plugging from memory. Prices are the shop's."""


@dataclass(frozen=True, slots=True)
class Takes:
    """Minutes a service takes at the bench, and how many jobs by the clock stand behind it."""

    minutes: float
    timed: int


def services(shop: Shop, *, all_of_them: bool = False) -> tuple[Service, ...]:
    """What the shop offers, in the order it was written down."""
    return tuple(s for s in shop.every(Service) if s.offered or all_of_them)


def begin_with_usual(shop: Shop, initiator: str = "desk") -> Changes:
    """The usual services, without prices, in a shop that has none."""
    if shop.every(Service):
        return Changes(None, "", initiator=initiator)
    with writing.one_act(shop, "Wrote down the usual services", initiator) as (act, outcome):
        for service in USUAL:
            act.put(service)
    return outcome.changes


def keep_service(shop: Shop, service: Service, initiator: str = "desk") -> Changes:
    """Add a service (id 0) or put it in place of the one with its id. Raises KnownError, OutOfRange."""
    kept = replace(service, name=checks.name(service.name, "service"))
    for other in shop.every(Service):
        if other.id != kept.id and other.name.casefold() == kept.name.casefold():
            raise KnownError(f"There is a service “{other.name}” already.", next_step="Give this one another name.")
    if kept.price_cents is not None and not 0 <= kept.price_cents <= DEAREST_CENTS:
        raise OutOfRange("price", money(kept.price_cents), f"0 to {money(DEAREST_CENTS)}")
    if not 0.0 < kept.minutes <= LONGEST_MIN:
        raise OutOfRange("minutes at the bench", f"{kept.minutes:g}", f"over 0 and at most {LONGEST_MIN:.0f}")
    if not 0.0 <= kept.away_min <= LONGEST_AWAY_MIN:
        raise OutOfRange("minutes of waiting", f"{kept.away_min:g}", f"0 to {LONGEST_AWAY_MIN:.0f}")
    said = f"{'Changed' if kept.id else 'Added'} the service {kept.name}"
    return writing.put(shop, kept, said, initiator)


def remove_service(shop: Shop, service_id: int, initiator: str = "desk") -> Changes:
    """No longer offered; tickets that name it stay as they are. Raises NotFound."""
    service = shop.ledger.one(Service, service_id)
    with writing.one_act(shop, f"Removed the service {service.name}", initiator) as (act, outcome):
        act.remove("service", service_id)
    return outcome.changes


def takes(shop: Shop, name: str, said_min: float) -> Takes:
    """How long a service takes: what the shop says and its own times by the clock, weighed together."""
    timed = shop.remembered(("takes", shop.revision), lambda: _timed(shop)).get(name.casefold(), ())
    fair = [took for took in timed if SHARE_LOW * said_min <= took <= SHARE_HIGH * said_min]
    return Takes((PRIOR_WEIGHT * said_min + sum(fair)) / (PRIOR_WEIGHT + len(fair)), len(fair))


def _timed(shop: Shop) -> dict[str, tuple[float, ...]]:
    found: dict[str, list[float]] = {}
    for ticket in shop.every(Ticket)[-NEWEST:]:
        for taken in ticket.balls:
            for job in taken.jobs:
                if job.took_min is not None:
                    found.setdefault(job.name.casefold(), []).append(job.took_min)
    return {name: tuple(times) for name, times in found.items()}


def last_price(shop: Shop, name: str) -> int | None:
    """What a line of that name was written down for last, in cents; None where it never was."""
    found = shop.remembered(("prices", shop.revision), lambda: _priced(shop))
    return found.get(name.casefold())


def _priced(shop: Shop) -> dict[str, int]:
    newest = shop.every(Ticket)[-NEWEST:]
    return {
        job.name.casefold(): job.price_cents
        for ticket in newest
        if ticket.standing is not Standing.CALLED_OFF
        for taken in ticket.balls
        for job in taken.jobs
    }


def job_of(shop: Shop, service: Service, price_cents: int | None = None, steps: tuple[Step, ...] = ()) -> Job:
    """The service as a line of a ticket, at the price given or the shop's (0 where neither is known), with the steps
    given or its own.
    """
    price = price_cents if price_cents is not None else service.price_cents or 0
    minutes = takes(shop, service.name, service.minutes).minutes
    return Job(
        service.name, service.work, price, minutes, service.away_min, steps or service.steps, service.passes, service.id
    )  # fmt: skip


def money(cents: int) -> str:
    """“24.00”; the sign is the minus sign."""
    return f"{'−' if cents < 0 else ''}{abs(cents) // 100}.{abs(cents) % 100:02d}"


def cents(text: str) -> int:
    """What a typed price is in cents: “24”, “24.5”, “24,50”. Raises KnownError, NotUnderstood, OutOfRange."""
    clean = text.strip().replace(",", ".")
    if not clean:
        raise KnownError("How much is it?", next_step="Write it as 24 or 24.50; 0 where it costs nothing.")
    whole, _, part = clean.partition(".")
    if not (whole or part) or not (whole + part).isascii() or not (whole + part).isdigit() or len(part) > 2:
        raise NotUnderstood(text.strip(), "Type a price as 24 or 24.50.")
    found = int(whole or "0") * 100 + int(part.ljust(2, "0") or "0")
    if found > DEAREST_CENTS:
        raise OutOfRange("price", text.strip(), f"at most {money(DEAREST_CENTS)}")
    return found
