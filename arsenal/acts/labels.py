"""Labels for balls: what one says, for every ball of a ticket or for one ball from its card."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from arsenal.acts import codes, tickets
from arsenal.acts.shop import Shop
from arsenal.trade.code import Names
from arsenal.trade.ticket import Ticket


@dataclass(frozen=True, slots=True)
class Label:
    """One label. `number` 0: the ball is on no ticket; `part` of `parts` balls on it."""

    number: int
    ball: str
    owner: str
    code: str
    """What its QR code says: the ball, or the ticket where the ball is only described."""
    serial: str = ""
    promised_at: datetime | None = None
    part: int = 1
    parts: int = 1

    @property
    def initials(self) -> str:
        """First letters of the owner's names, three at most."""
        first = [word.lstrip("<([\"'“‘=+-@")[:1] for word in self.owner.split()]
        letters = [letter.upper() for letter in first if letter.isalnum()]
        return "".join(letters[:2] + letters[2:][-1:])


def of_ticket(shop: Shop, number: int) -> tuple[Label, ...]:
    """A label for every ball of a ticket. Raises NotFound."""
    found = shop.ledger.one(Ticket, number)
    return tuple(_label(shop, found, at) for at in range(len(found.balls)))


def _label(shop: Shop, found: Ticket, at: int) -> Label:
    taken = found.balls[at]
    ball = shop.ball(taken.ball_id) if taken.ball_id is not None else None
    serial = taken.serial or (ball.serial if ball is not None else "")
    names, of = (Names.BALL, ball.id) if ball is not None else (Names.TICKET, found.id)
    return Label(
        found.id, tickets.ball_words(shop, taken), tickets.who(shop, found), codes.code(shop, names, of), serial,
        found.promised_at, at + 1, len(found.balls),
    )  # fmt: skip


def of_ball(shop: Shop, ball_id: int) -> Label:
    """The label of one ball, as part of the ticket it is on, if any. Raises NotFound."""
    ball = shop.ball(ball_id)
    for found in tickets.open_with(shop, ball_id):
        for at, taken in enumerate(found.balls):
            if taken.ball_id == ball_id:
                return _label(shop, found, at)
    return Label(0, ball.name, shop.person(ball.owner_id).name, codes.code(shop, Names.BALL, ball.id), ball.serial)
