"""Why a kept plan would be another one now."""

from __future__ import annotations

from typing import Any

from arsenal.acts import words
from arsenal.acts.event_views import EventPlan
from arsenal.acts.shop import Shop
from arsenal.ledger import to_plain
from arsenal.order.stamps import digest
from arsenal.trade.entries import Draft, Kind, effective


def inputs_of(shop: Shop, plan: EventPlan) -> dict[str, str]:
    """A digest of each thing a plan is made of, so that a later one can say which of them moved."""
    bowler = shop.person(plan.bowler_id)
    lanes = [repr(shop.lanes().get(i)) for i in plan.event.lane_ids]
    return {
        "event": digest([repr(to_plain(plan.event))]),
        "condition": digest(lanes),
        "throw": digest([repr(bowler.style), repr(bowler.hooks_to_left)]),
        "pads": digest([repr(shop.pads(plan.bowler_id))]),
        "model": digest([plan.stamp.model_version, plan.stamp.priors_version, repr(shop.priors)]),
    }


_SAID = (
    ("model", "the program reckons differently"), ("event", "the event was changed"),
    ("condition", "the condition was changed"), ("throw", "the throw was changed"),
)  # fmt: skip


def because(shop: Shop, data: dict[str, Any], now: EventPlan, ball_id: int | None) -> str:
    """“, because it was sanded 1000 h”; what was done to the ball before what moved every ball; nothing where neither
    is known.
    """
    own = _done_since(shop, ball_id, int(data.get("head_seq", 0))) if ball_id is not None else ""
    if own:
        return f", because it was {own}"
    was, inputs = data.get("inputs", {}), inputs_of(shop, now)
    for key, said in _SAID:
        if was.get(key) != inputs[key]:
            return f", because {said}"
    others = [b for b in shop.balls(now.bowler_id) if b.id != ball_id]
    for ball in others:
        done = _done_since(shop, ball.id, int(data.get("head_seq", 0)))
        if done:
            return f", because {ball.name} was {done}"
    return ", because the pads in stock changed" if was.get("pads") != inputs["pads"] else ""


def _done_since(shop: Shop, ball_id: int, head_seq: int) -> str:
    fresh = [e for e in effective(shop.entries(ball_id)) if e.seq > head_seq and e.kind != Kind.UNDO]
    if not fresh:
        return "given an entry back" if any(e.seq > head_seq for e in shop.entries(ball_id)) else ""
    last = fresh[-1]
    said = words.short(Draft(ball_id, last.kind, last.on, last.payload))
    return f"played {said}" if last.kind == Kind.PLAYED else said
