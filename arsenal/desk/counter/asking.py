"""What the Counter asks the shop, each on the worker's thread, and the small records that come back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from arsenal.acts.counter_find import Found
    from arsenal.acts.counter_views import BallCard, CounterView, PersonCard
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.plan.records import Job
    from arsenal.trade.calendar import Slot
    from arsenal.trade.ticket import Service, Ticket

MOST_HITS = 12


@dataclass(frozen=True, slots=True)
class TicketCard:
    """A kept ticket in the middle: as it is shown, its phone, and the text to send once it is ready."""

    ticket: Ticket
    who: str
    phone: str
    balls: tuple[str, ...]
    serials: tuple[str, ...]
    price: str
    owed: str
    late: bool
    message: str


@dataclass(frozen=True, slots=True)
class Overview:
    """What the room shows while nothing is searched, and when that was."""

    view: CounterView
    now: datetime
    services: bool
    """Whether the shop sells anything yet."""
    hours: tuple[Slot, ...] = ()
    """The bench’s, as they are written down."""


def hits(shop: Shop, text: str) -> tuple[Found, ...]:
    """What was found, best first."""
    from arsenal.acts import counter_find  # noqa: PLC0415 - heavy

    return counter_find.find(shop, text, MOST_HITS)


def warm(shop: Shop) -> None:
    """Have ready what a misspelt word is looked up in, before the first one is typed."""
    shop.ledger.search("qzqz", 1)
    shop.people()


def overview(shop: Shop) -> Overview:
    """Counts on top, parked tickets, what the bench does next."""
    from arsenal.acts import bench_queue, counter, services  # noqa: PLC0415 - heavy

    hours = bench_queue.hours(shop)
    return Overview(counter.counter(shop), shop.now(), bool(services.services(shop)), hours)


def ball(shop: Shop, ball_id: int) -> BallCard:
    """The card without what takes long."""
    from arsenal.acts import counter  # noqa: PLC0415 - heavy

    return counter.ball_card(shop, ball_id, whole=False)


def ball_reckoned(shop: Shop, ball_id: int) -> tuple[int, tuple[Job, ...], str]:
    """What is due and lost: what takes long."""
    from arsenal.acts import counter  # noqa: PLC0415 - heavy

    return ball_id, *counter.reckoned(shop, ball_id)


def person(shop: Shop, person_id: int) -> PersonCard:
    """A customer's card."""
    from arsenal.acts import counter  # noqa: PLC0415 - heavy

    return counter.person_card(shop, person_id)


def ticket(shop: Shop, number: int) -> TicketCard:
    """A kept ticket."""
    from arsenal.acts import counter, services, tickets  # noqa: PLC0415 - heavy
    from arsenal.trade.ticket import Standing  # noqa: PLC0415 - beside them

    found = tickets.ticket(shop, number)
    who, (to, reach) = tickets.who(shop, found), tickets.addressed(shop, found)
    return TicketCard(
        found, who, reach if to == who else f"guardian: {f'{to} {reach}'.strip()}",
        tuple(tickets.ball_words(shop, taken) for taken in found.balls),
        tuple(counter.serial(shop, taken) or taken.serial_missing for taken in found.balls),
        services.money(found.price_cents), services.money(found.owed_cents), found.late(shop.now()),
        tickets.text_to_send(shop, found) if found.standing is Standing.READY else "",
    )  # fmt: skip


def services_of(shop: Shop) -> tuple[Service, ...]:
    """Everything the shop sells or sold."""
    from arsenal.acts import services  # noqa: PLC0415 - heavy

    return services.services(shop, all_of_them=True)


def balls_of(shop: Shop, person_id: int, but: frozenset[int | None]) -> tuple[tuple[str, str, int], ...]:
    """A customer's balls that are neither on this ticket nor in the shop, as (name, what tells it apart, id)."""
    from arsenal.acts import tickets  # noqa: PLC0415 - heavy

    return tuple(
        (ball.name, ball.serial or ball.colour or ball.cover.value, ball.id)
        for ball in shop.balls(person_id)
        if ball.id not in but and not tickets.open_with(shop, ball.id)
    )


def namesakes(shop: Shop, name: str) -> tuple[tuple[str, int], ...]:
    """Customers of just that name, each with what tells them apart."""
    from arsenal.acts import counter_find  # noqa: PLC0415 - heavy

    return counter_find.namesakes(shop, name)


def begin_with_usual(shop: Shop) -> Changes:
    """The usual services, in a shop without any."""
    from arsenal.acts import services  # noqa: PLC0415 - heavy

    return services.begin_with_usual(shop)
