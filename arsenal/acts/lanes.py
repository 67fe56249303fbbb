"""Lane conditions: add and edit."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.lane import Lane


def add_lane(shop: Shop, lane: Lane, initiator: str = "desk") -> Changes:
    """Add a condition (id 0). The new id is `changed[0].id`. Raises OutOfRange, KnownError for an empty name."""
    raise NotImplementedError


def edit_lane(shop: Shop, lane: Lane, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    raise NotImplementedError
