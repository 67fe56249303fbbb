"""Codes of this file: what a label says, and what a scan means."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.acts.shop import Shop
from arsenal.acts.views import Hit
from arsenal.trade import code as codes
from arsenal.trade.ball import Ball
from arsenal.trade.code import Code, Names, WrongCode
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.ticket import Ticket

LONGEST_SERIAL = 40
"""Signs a serial may have; a longer code is an address or a leaflet."""
NAMED = 4


@dataclass(frozen=True, slots=True)
class Meant:
    """What a scan means: one thing, several balls of one serial, or nothing that is known."""

    text: str
    hits: tuple[Hit, ...]


def code(shop: Shop, names: Names, number: int) -> str:
    """What the QR code of a ball, person or ticket says."""
    return Code(names, shop.ledger.mark(), number).text


def meant(shop: Shop, text: str) -> Meant:
    """What a scanned text means: what our code names, else the balls with that serial. Raises WrongCode for a changed
    or foreign code of ours, NotFound where what it names was removed, KnownError for what can be no serial.
    """
    clean = " ".join(text.replace("\x00", " ").split())
    read = codes.read(clean)
    if read is not None:
        if read.mark != shop.ledger.mark():
            raise WrongCode("This label is of another shop's file.", next_step="Type the name or the serial.")
        return Meant(clean, (_hit(shop, read),))
    found = shop.ledger.balls_of_serial(clean) if clean else ()
    if not found and not 0 < len(clean) <= LONGEST_SERIAL:
        raise KnownError(
            f"A code of {len(clean)} signs was scanned; it is no label of this shop and no serial.",
            next_step="Scan the label with the ticket's number, or type the name.",
        )
    apart = len(found) > 1
    return Meant(clean, tuple(_ball(shop, ball, apart=apart) for ball in found))


def typed(shop: Shop, text: str) -> Hit | None:
    """What a label's code names that was typed off the label or pasted; None where it is none of this file's. Never
    raises: the line it stands in finds nothing then.
    """
    try:
        read = codes.read(" ".join(text.replace("\x00", " ").split()))
        return _hit(shop, read) if read is not None and read.mark == shop.ledger.mark() else None
    except KnownError:
        return None


def scanned(shop: Shop, text: str) -> Hit | None:
    """The one thing a scan means; None where nothing is known of it, so that it can be made. Raises as `meant`, and
    KnownError where several balls have that serial.
    """
    found = meant(shop, text)
    if len(found.hits) > 1:
        owners = "; ".join(f"{hit.label} of {hit.detail}" for hit in found.hits[:NAMED])
        more = len(found.hits) - NAMED
        owners += f" and {more} more" if more > 0 else ""
        raise KnownError(
            f"{len(found.hits)} balls have the serial {found.text}: {owners}.", next_step="Choose by name."
        )
    return found.hits[0] if found.hits else None


def _ball(shop: Shop, ball: Ball, *, apart: bool = False) -> Hit:
    """With what tells balls of one owner `apart`, where several are meant."""
    owner = shop.person(ball.owner_id)
    parts = (owner.name, owner.phone, ball.cover.value, ball.colour) if apart else (owner.name,)
    return Hit("ball", ball.id, ball.name, ", ".join(part for part in parts if part))


def _hit(shop: Shop, read: Code) -> Hit:
    try:
        if read.names is Names.BALL:
            return _ball(shop, shop.ball(read.number))
        if read.names is Names.PERSON:
            person = shop.person(read.number)
            return Hit("person", person.id, person.name, person.phone)
        ticket = shop.ledger.one(Ticket, read.number)
    except NotFound as error:
        raise NotFound(
            f"What this label names is not in the file any more: {error.sentence}",
            next_step="Take the label off, and type the name.",
        ) from None
    return Hit("ticket", ticket.id, f"No {ticket.id}", ticket.standing.value)
