"""Take back the last act; nothing is ever removed."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import logging, words, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.entries import Draft, Entry, Kind, Undo, effective
from arsenal.trade.errors import NotFound
from arsenal.trade.steps import Tell, untold

SAMPLE = "sample"
"""Initiator of the act that writes the sample shop."""
REBUILT = "rebuild"
"""Initiator of the act that makes a file again from its lines."""


def can_undo(shop: Shop) -> str | None:
    """The name of the act that `undo` would take back; None where there is none, and for the act that made all of a
    file (the sample shop, one made again from its lines): a key pressed once too often must not empty it.
    """
    act = shop.ledger.can_undo()
    return act.title if act and act.initiator not in (SAMPLE, REBUILT) else None


def can_redo(shop: Shop) -> str | None:
    """The name of the act that `redo` would bring back; None where there is none."""
    act = shop.ledger.can_redo()
    return act.title if act else None


def undo(shop: Shop, initiator: str = "desk", tell: Tell = untold) -> Changes:
    """Take back the last act that stands, whole or, where `tell` stops it, not at all. Empty where there is none.
    Raises KnownError where it was built upon.
    """
    title = can_undo(shop)
    if title is None:
        return Changes(None, "", initiator=initiator)
    taken = writing.changes_of(shop.ledger.undo(initiator=initiator, tell=tell))
    return replace(taken, sentence=f"Took back: {lower(title)}")


def redo(shop: Shop, initiator: str = "desk") -> Changes:
    """Bring back what the last undo took, where nothing new was done since. Empty where there is nothing."""
    title = can_redo(shop)
    if title is None:
        return Changes(None, "", initiator=initiator)
    brought = writing.changes_of(shop.ledger.redo(initiator=initiator))
    return replace(brought, sentence=f"Brought back: {lower(title)}")


def undo_entry(shop: Shop, seq: int, initiator: str = "desk") -> Changes:
    """Take back one entry of a ball's history. Raises NotFound; empty where it is taken back already."""
    entry = _entry(shop, seq)
    if all(e.seq != seq for e in effective(shop.entries(entry.ball_id))):
        return Changes(None, "", initiator=initiator)
    balls = {ball.id: ball for ball in shop.balls()}
    said = words.done((Draft(entry.ball_id, entry.kind, entry.on, entry.payload),), balls)
    draft = Draft(entry.ball_id, Kind.UNDO, entry.on, Undo(), undoes=seq)
    return logging.keep(shop, (draft,), initiator, sentence=f"Took back: {lower(said)}")


def lower(title: str) -> str:
    """A title inside a sentence; a name at its beginning keeps its capital."""
    return title[:1].lower() + title[1:] if title.split(" ", 1)[0] in _VERBS else title


_VERBS = frozenset({
    "Logged", "Sanded", "Polished", "Cleaned", "Drew", "Kept", "Noted", "Added", "Changed", "Loaded", "Took", "The",
    "Lent", "Sold", "Retired", "Drilled",
})  # fmt: skip


def _entry(shop: Shop, seq: int) -> Entry:
    for entry in shop.ledger.entries(since_seq=seq - 1):
        if entry.seq == seq:
            return entry
        break
    raise NotFound("There is no such entry.")
