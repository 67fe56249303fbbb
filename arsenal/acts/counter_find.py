"""What the Counter's line finds: balls, people and tickets, each with the little that tells one from another."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.acts import codes, tickets
from arsenal.acts.counter import games_of
from arsenal.acts.shop import Shop
from arsenal.acts.words import count
from arsenal.trade import days
from arsenal.trade.entries import SurfaceWork, effective
from arsenal.trade.pads import label
from arsenal.trade.ticket import Ticket


@dataclass(frozen=True, slots=True)
class Found:
    """One find: its name, what stands under it, what stands at its right."""

    kind: str
    """ball, person, ticket."""
    id: int
    label: str
    below: str
    right: str


def find(shop: Shop, text: str, limit: int) -> tuple[Found, ...]:
    """Best first. Never raises on any text."""
    if not text.strip():
        return ()
    named = codes.typed(shop, text)
    hits = (named,) if named is not None else shop.ledger.search(text, limit)
    shop.read_ahead([shop.ball(hit.id) for hit in hits if hit.kind == "ball"])
    made = {"ball": _ball, "person": _person, "ticket": _ticket}
    return tuple(made[hit.kind](shop, hit.id) for hit in hits)


def _ball(shop: Shop, ball_id: int) -> Found:
    ball = shop.ball(ball_id)
    log = effective(shop.entries(ball_id))
    works = [(entry.on, entry.seq, entry.payload.steps) for entry in log if isinstance(entry.payload, SurfaceWork)]
    last = works[-1] if works else None
    games = sum(games_of(entry) for entry in log if last is None or (entry.on, entry.seq) > last[:2])
    owner = shop.person(ball.owner_id)
    below = ", ".join(part for part in (owner.name, owner.phone, ball.serial) if part)
    played = count(round(games), "game")
    return Found("ball", ball_id, ball.name, below, f"{label(last[2])}, {played}" if last else played)


def _person(shop: Shop, person_id: int) -> Found:
    person = shop.person(person_id)
    parts = [person.nickname] if person.nickname else []
    parts.append(count(len(shop.balls(person_id)), "ball"))
    last = shop.remembered(("last tickets", shop.revision), lambda: _last_tickets(shop)).get(person_id)
    if last is not None:
        day = last.taken_in_at or last.written_at
        parts.append(f"last in {days.day_near(day.astimezone(shop.now().tzinfo).date(), shop.today())}")
    return Found("person", person_id, person.name, ", ".join(parts), person.phone or person.email)


def _last_tickets(shop: Shop) -> dict[int, Ticket]:
    return {ticket.person_id: ticket for ticket in shop.every(Ticket) if ticket.person_id is not None}


def _ticket(shop: Shop, number: int) -> Found:
    found = tickets.ticket(shop, number)
    balls = ", ".join(tickets.ball_words(shop, taken) for taken in found.balls)
    below = ", ".join(part for part in (balls, tickets.who(shop, found)) if part)
    right = found.standing.value
    if found.out_at is not None:
        right += f" {days.day_near(found.out_at.astimezone(shop.now().tzinfo).date(), shop.today())}"
    return Found("ticket", number, f"No {number}", below, right)


def namesakes(shop: Shop, name: str) -> tuple[tuple[str, int], ...]:
    """Customers of just that name, each as (what tells them apart, id)."""
    wanted = " ".join(name.split()).casefold()
    found = [person for person in shop.people() if person.name.casefold() == wanted]
    return tuple(
        (", ".join((p.name, p.phone or p.email or "no phone", count(len(shop.balls(p.id)), "ball"))), p.id)
        for p in found
    )  # fmt: skip
