"""Why a kept plan would be another one now: what an event's plan is made of beyond what every result is."""

from __future__ import annotations

from typing import Any

from arsenal.acts import changed_since
from arsenal.acts.changed_since import MOST_REASONS, MadeOf, made_of
from arsenal.acts.event_views import EventPlan
from arsenal.acts.shop import Shop
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.order.stamps import digest
from arsenal.order.words import names
from arsenal.trade.event import Entered


def inputs_of(shop: Shop, plan: EventPlan) -> dict[str, Any]:
    """What to keep with a plan, so that a later one can say what moved."""
    lane_id = plan.event.lane_ids[0] if len(plan.event.lane_ids) == 1 else None
    return {"made_of": to_plain(made_of(shop, plan.bowler_id, lane_id)), **_own(shop, plan)}


def _own(shop: Shop, plan: EventPlan) -> dict[str, str]:
    entered = shop.ledger.one(Entered, plan.entered_id)
    pair = (entered.right_handers, entered.left_handers, entered.squad) if entered else ()
    work = (entered.chosen, entered.minutes, entered.spinner) if entered else ()
    return {
        "event": digest([repr(to_plain(plan.event))]),
        "pair": digest([repr(pair)]),
        "work": digest([repr(work)]),
        "pads": digest([repr(shop.pads(plan.bowler_id))]),
        "model": plan.stamp.model_version,
    }


_SAID = (
    ("model", "the program reckons differently"), ("event", "the event was changed"),
    ("pair", "others are on the pair"), ("work", "what was settled by hand is otherwise"),
    ("pads", "the pads in stock are others"),
)  # fmt: skip


def because(shop: Shop, inputs: dict[str, Any], now: EventPlan) -> str:
    """“Changed since, because Rook was sanded 1000 h.”; without a reason where none is known."""
    own = _own(shop, now)
    told = [said for key, said in _SAID if inputs.get(key) != own[key]]
    try:
        made: MadeOf = from_plain(MadeOf, inputs["made_of"])
        told += changed_since.reasons(shop, made)
    except (CodecError, KeyError, TypeError):  # kept by another version
        pass
    told = list(dict.fromkeys(told))
    if len(told) > 1 and "the pads in stock are others" in told:
        told.remove("the pads in stock are others")  # a sanding uses its pad; the sanding is the reason
    shown = told[:MOST_REASONS] + ([f"{len(told) - MOST_REASONS} more"] if len(told) > MOST_REASONS else [])
    return f"Changed since, because {names(shown)}." if shown else "Changed since."
