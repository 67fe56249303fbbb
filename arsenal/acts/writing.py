"""Put things through the ledger: an act that changes nothing keeps nothing, the fields that changed, the sentence."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from arsenal.acts.shop import Shop
from arsenal.acts.views import Change, Changes
from arsenal.ledger import Act, Record


class Outcome:
    """What an act came to; read it after the act is kept."""

    changes: Changes = Changes(None, "")


@contextmanager
def one_act(shop: Shop, sentence: str, initiator: str) -> Iterator[tuple[Act, Outcome]]:
    """An act to write in, and what it came to once it is kept. Ask the shop for nothing while it is open: it would
    take the half-written for what is so.
    """
    outcome = Outcome()
    with shop.ledger.act(sentence, initiator) as act:
        yield act, outcome
    outcome.changes = changes_of(act)


def changes_of(act: Act) -> Changes:
    """What a kept act changed, with its sentence; empty where it wrote nothing."""
    if act.id is None:
        return Changes(None, "", initiator=act.initiator)
    changed = tuple(Change(c.what, c.id, (c.key,) if c.what == "setting" else c.fields) for c in act.changes)
    return Changes(act.id, act.title, changed, act.initiator, act.at)


def put(shop: Shop, record: Record, sentence: str, initiator: str) -> Changes:
    """A new record (id 0), or one in place of the one with its id; nothing where they are equal."""
    with one_act(shop, sentence, initiator) as (act, outcome):
        act.put(record)
    return outcome.changes


def set_value(shop: Shop, key: str, value: Any, sentence: str, initiator: str) -> Changes:
    """A setting of the shop; None takes it away. Nothing where it stands so already."""
    with one_act(shop, sentence, initiator) as (act, outcome):
        act.set_setting(key, value)
    return outcome.changes
