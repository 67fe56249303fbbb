"""Codes of this file: what a label says, and what a scan means."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import Hit
from arsenal.trade import code as codes
from arsenal.trade.code import Code, Names, WrongCode
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.ticket import Ticket


def code(shop: Shop, names: Names, number: int) -> str:
    """What the QR code of a ball, person or ticket says."""
    return Code(names, shop.ledger.mark(), number).text


def scanned(shop: Shop, text: str) -> Hit | None:
    """What a scanned text means: the thing our code names, or the one ball with that serial; None where nothing is
    known of it, so that it can be made. Raises WrongCode for a changed or foreign code of ours, NotFound where what it
    names was removed.
    """
    read = codes.read(text)
    if read is None:
        clean = text.strip()
        found = [ball for ball in shop.balls() if ball.serial and ball.serial.casefold() == clean.casefold()]
        if len(found) > 1:
            owners = "; ".join(f"{b.name} of {shop.person(b.owner_id).name}" for b in found[:4])
            raise KnownError(f"{len(found)} balls have the serial {clean}: {owners}.", next_step="Choose by name.")
        return Hit("ball", found[0].id, found[0].name, shop.person(found[0].owner_id).name) if found else None
    if read.mark != shop.ledger.mark():
        raise WrongCode("This label is of another shop's file.", next_step="Type the name or the serial.")
    return _hit(shop, read)


def _hit(shop: Shop, read: Code) -> Hit:
    if read.names is Names.BALL:
        ball = shop.ball(read.number)
        return Hit("ball", ball.id, ball.name, shop.person(ball.owner_id).name)
    if read.names is Names.PERSON:
        person = shop.person(read.number)
        return Hit("person", person.id, person.name, person.phone)
    for ticket in shop.every(Ticket):
        if ticket.id == read.number:
            return Hit("ticket", ticket.id, f"No {ticket.id}", ticket.standing.value)
    raise NotFound(f"There is no ticket {read.number}.")
