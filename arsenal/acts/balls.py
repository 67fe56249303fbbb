"""Balls: add and edit what a ball is. What happens to it is logged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Kind, New
from arsenal.trade.errors import KnownError


def add_ball(shop: Shop, ball: Ball, drafts: Sequence[Draft] = (), initiator: str = "desk") -> Changes:
    """Add a ball (id 0) and, in the same act, its first entries (`ball_id` 0 in a draft means this ball). The new id is
    `changed[0].id`. Without an entry that says how it came, its history counts as unknown. Raises OutOfRange,
    KnownError for an empty or taken name.
    """
    kept = _ready(shop, replace(ball, id=0))
    owner = shop.person(kept.owner_id)
    first = list(drafts)
    if not any(d.kind == Kind.NEW for d in first):
        first.insert(0, Draft(0, Kind.NEW, kept.bought_on or shop.today(), New(history_known=False)))
    came_on = min(d.on for d in first if d.kind == Kind.NEW)
    for draft in first:
        checks.draft(draft, came_on, shop.today())
    sentence = f"Added {kept.name} to the balls of {owner.name}"
    with writing.one_act(shop, sentence, initiator) as (act, outcome):
        new = act.put(kept)
        for draft in first:
            act.append(replace(draft, ball_id=new.id))
    return _ball_first(outcome.changes)


def edit_ball(shop: Shop, ball: Ball, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    shop.ball(ball.id)
    kept = _ready(shop, ball)
    shop.person(kept.owner_id)
    return writing.put(shop, kept, f"Changed {kept.name}", initiator)


def _ready(shop: Shop, ball: Ball) -> Ball:
    kept = replace(ball, name=checks.name(ball.name, "ball"), nickname=" ".join(ball.nickname.split()))
    checks.ball(kept)
    if kept.bought_on is not None and kept.bought_on > shop.today():
        raise KnownError(f"{kept.name} cannot have been bought after today.")
    for other in shop.balls(kept.owner_id):
        taken = {n.casefold() for n in (other.name, other.nickname) if n}
        asked = {n.casefold() for n in (kept.name, kept.nickname) if n}
        if other.id != kept.id and taken & asked:
            raise KnownError(
                f"{shop.person(kept.owner_id).name} has a ball called {other.name} already.",
                next_step="Give this one another name or nickname, so that a line means one ball.",
            )
    return kept


def _ball_first(changes: Changes) -> Changes:
    return replace(changes, changed=tuple(sorted(changes.changed, key=lambda change: change.what != "ball")))
