"""A ball changes hands: lent, back, sold; and its history for the buyer, without anybody's name on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from arsenal.acts import checks, logging, tickets
from arsenal.acts.counter import games_of
from arsenal.acts.counter_views import HistoryLine
from arsenal.acts.nameless import Nameless
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.exchange.history import sentence
from arsenal.ledger import Record
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Drilled, Handed, Kind, effective
from arsenal.trade.errors import KnownError

NAMELESS = (Kind.LENT, Kind.RETURNED, Kind.SOLD, Kind.COMPARED, Kind.NOTE)
"""Kinds whose words may name somebody: a buyer's history tells that they happened, not what was written."""


@dataclass(frozen=True, slots=True)
class BuyersHistory:
    """What a buyer is given: the ball, what was done to it, games on it; no names."""

    ball: Ball
    lines: tuple[HistoryLine, ...]
    left_out: int
    """Notes, comparisons and loans, which may name somebody."""


def lend(shop: Shop, ball_id: int, to: str, *, person_id: int | None = None, initiator: str = "desk") -> Changes:
    """Lent to somebody, of the file or not. Raises KnownError where it is not in the bag."""
    return _hand(shop, ball_id, Kind.LENT, to, person_id, initiator)


def take_back(shop: Shop, ball_id: int, initiator: str = "desk") -> Changes:
    """Back from whom it was lent to."""
    return _hand(shop, ball_id, Kind.RETURNED, "", None, initiator)


def sell(shop: Shop, ball_id: int, to: str, *, person_id: int | None = None, initiator: str = "desk") -> Changes:
    """Sold. A buyer of the file becomes the owner and its log goes along; sold to somebody else, it leaves the bag.

    Raises KnownError where it is on an open ticket, or the buyer has a ball of that name.
    """
    ball = shop.ball(ball_id)
    for open_ticket in tickets.open_with(shop, ball_id):
        raise KnownError(f"{ball.name} is on ticket {open_ticket.id}.", next_step="Hand it over first.")
    if person_id is None or person_id == ball.owner_id:
        return _hand(shop, ball_id, Kind.SOLD, to, None, initiator)
    buyer = shop.person(person_id)
    taken = {name.casefold() for b in shop.balls(person_id) for name in (b.name, b.nickname) if name}
    if ball.name.casefold() in taken:
        raise KnownError(f"{buyer.name} has a {ball.name} already.", next_step="Rename one of them first.")
    nickname = "" if ball.nickname.casefold() in taken else ball.nickname
    moved = replace(ball, owner_id=person_id, nickname=nickname)
    draft = Draft(ball_id, Kind.SOLD, shop.today(), Handed(buyer.name, person_id))
    said = f"Sold {ball.name} to {buyer.name}"
    return logging.keep(shop, (draft,), initiator, said, also=(moved, *_without_benchmark(shop, ball)))


def _without_benchmark(shop: Shop, ball: Ball) -> tuple[Record, ...]:
    owner = shop.person(ball.owner_id)
    return (replace(owner, benchmark_ball_id=None),) if owner.benchmark_ball_id == ball.id else ()


def _hand(shop: Shop, ball_id: int, kind: Kind, to: str, person_id: int | None, initiator: str) -> Changes:
    ball = shop.ball(ball_id)
    state = shop.state(ball_id)
    if kind is not Kind.RETURNED and state.holder.value != "in the bag":
        raise KnownError(f"{ball.name} is {state.holder.value}.", next_step="Take it back first.")
    if kind is Kind.RETURNED and state.holder.value != "lent":
        raise KnownError(f"{ball.name} is not lent.")
    whom = shop.person(person_id).name if person_id is not None else checks.note(" ".join(to.split()))
    return logging.keep(shop, (Draft(ball_id, kind, shop.today(), Handed(whom, person_id)),), initiator)


def buyers_history(shop: Shop, ball_id: int) -> BuyersHistory:
    """The ball's history for its next owner, oldest first, with every name the file knows taken out of what was typed:
    a place, a pad, a house, the ball's own name. A note is left out; one cannot know whom it speaks of.
    """
    ball = shop.ball(ball_id)
    log = effective(shop.entries(ball_id))
    nameless = Nameless(shop, ball, log)
    bare = replace(nameless.record(ball), note="", owner_id=0)
    lanes = tuple(nameless.lane(lane) for lane in shop.lanes().values())
    pads = tuple(nameless.record(pad) for pad in shop.pads())
    lines, games = [], 0.0
    for entry in log:
        games += games_of(entry)
        if entry.kind not in NAMELESS:
            payload = replace(entry.payload, driller="") if isinstance(entry.payload, Drilled) else entry.payload
            told = replace(entry, payload=nameless.record(payload))
            lines.append(HistoryLine(entry.on, sentence(told, (bare,), lanes, (), pads), games, entry.seq))
    return BuyersHistory(bare, tuple(lines), len(log) - len(lines))
