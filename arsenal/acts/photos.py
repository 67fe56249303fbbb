"""Photographs of balls: kept with a ball, with a ticket, or with one ball of a ticket; each with a few words."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import checks, tickets, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.ticket import OPEN, Photo, Standing, Ticket

MOST = 24
"""Photographs of one ball, or of one ticket."""
MOST_BYTES, MOST_SIDE = 4_000_000, 1600
JPEG = b"\xff\xd8\xff"


def keep(
    shop: Shop, jpeg: bytes, size: tuple[int, int], *, ball_id: int | None = None, ticket_id: int | None = None,
    place: int | None = None, words: str = "", initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Keep a photograph, already made small and without anything a camera adds. Of a ball, of a ticket, or of the ball
    at `place` on that ticket. Its id is `changed[0].id`. Raises KnownError, NotFound.
    """
    if not jpeg.startswith(JPEG) or len(jpeg) > MOST_BYTES or not 0 < max(size) <= MOST_SIDE or min(size) < 1:
        raise KnownError("This is no photograph as they are kept here.", next_step="Choose it from its file again.")
    ticket = tickets.ticket(shop, ticket_id) if ticket_id is not None else None
    if ticket is not None and place is not None:
        if not 0 <= place < len(ticket.balls):
            raise NotFound(f"Ticket {ticket.id} has no such ball.")
        ball_id = ticket.balls[place].ball_id
    name = _named(shop, ball_id, ticket, place)
    there = of_ball(shop, ball_id) if ball_id is not None else of_ticket(shop, ticket.id) if ticket is not None else ()
    if len(there) >= MOST:
        raise KnownError(f"There are {MOST} photographs of {name} already.", next_step="Remove one first.")
    photo = Photo(0, shop.today(), _clean(words), ball_id, ticket_id, *size)
    with writing.one_act(shop, f"Kept a photograph of {name}", initiator) as (act, outcome):
        kept = act.keep_photo(photo, jpeg)
        if ticket is not None and place is not None:
            taken = ticket.balls[place]
            act.put(_with(ticket, place, (*taken.photo_ids, kept.id)))
    return outcome.changes


def _named(shop: Shop, ball_id: int | None, ticket: Ticket | None, place: int | None) -> str:
    if ball_id is not None:
        return shop.ball(ball_id).name
    if ticket is None:
        raise KnownError("A photograph is of a ball or of a ticket.")
    if ticket.standing not in (Standing.PARKED, *OPEN):
        raise KnownError(f"Ticket {ticket.id} is {ticket.standing.value}.", next_step="Keep it with the ball.")
    return tickets.ball_words(shop, ticket.balls[place]) if place is not None else f"ticket {ticket.id}"


def _with(ticket: Ticket, place: int, ids: tuple[int, ...]) -> Ticket:
    balls = [replace(taken, photo_ids=ids) if at == place else taken for at, taken in enumerate(ticket.balls)]
    return replace(ticket, balls=tuple(balls))


def _clean(words: str) -> str:
    return " ".join(checks.note(words).replace("\x00", "").split())


def of_ball(shop: Shop, ball_id: int) -> tuple[Photo, ...]:
    """Photographs of a ball, newest first."""
    found = [photo for photo in shop.every(Photo) if photo.ball_id == ball_id]
    return tuple(sorted(found, key=lambda photo: -photo.id))


def of_ticket(shop: Shop, number: int) -> tuple[Photo, ...]:
    """Photographs taken at a ticket, newest first."""
    found = [photo for photo in shop.every(Photo) if photo.ticket_id == number]
    return tuple(sorted(found, key=lambda photo: -photo.id))


def taken(shop: Shop, photo_id: int) -> bytes:
    """A photograph's bytes, a JPEG. Raises NotFound."""
    return shop.ledger.photo(photo_id)


def describe(shop: Shop, photo_id: int, words: str, initiator: str = "desk") -> Changes:
    """Other words for a photograph. Raises NotFound."""
    old = shop.ledger.one(Photo, photo_id)
    return writing.put(shop, replace(old, words=_clean(words)), "Described a photograph", initiator)


def remove(shop: Shop, photo_id: int, initiator: str = "desk") -> Changes:
    """Take a photograph out of sight, off its ticket too; Undo brings it back. Raises NotFound."""
    old = shop.ledger.one(Photo, photo_id)
    ticket = tickets.ticket(shop, old.ticket_id) if old.ticket_id is not None else None
    with writing.one_act(shop, "Removed a photograph", initiator) as (act, outcome):
        act.remove("photo", photo_id)
        if ticket is not None:
            for place, on in enumerate(ticket.balls):
                if photo_id in on.photo_ids:
                    ticket = _with(ticket, place, tuple(each for each in on.photo_ids if each != photo_id))
            act.put(ticket)
    return outcome.changes
