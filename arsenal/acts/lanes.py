"""Lane conditions: add and edit."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane


def add_lane(shop: Shop, lane: Lane, initiator: str = "desk") -> Changes:
    """Add a condition (id 0). The new id is `changed[0].id`. Raises OutOfRange, KnownError for an empty name."""
    kept = _ready(shop, replace(lane, id=0))
    return writing.put(shop, kept, f"Added the condition {kept.name}", initiator)


def edit_lane(shop: Shop, lane: Lane, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    shop.lane(lane.id)
    kept = _ready(shop, lane)
    return writing.put(shop, kept, f"Changed the condition {kept.name}", initiator)


def _ready(shop: Shop, lane: Lane) -> Lane:
    kept = replace(lane, name=checks.name(lane.name, "lane condition"))
    checks.lane(kept)
    for other in shop.lanes().values():
        if other.id != kept.id and other.name.casefold() == kept.name.casefold():
            raise KnownError(f"There is a condition {other.name} already.", next_step="Change that one, or add a word.")
    return kept
