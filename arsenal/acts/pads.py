"""Pads in stock: add, edit, used up."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.pads import Pad


def add_pad(shop: Shop, pad: Pad, initiator: str = "desk") -> Changes:
    """Add a pad (id 0). The new id is `changed[0].id`. Raises OutOfRange."""
    raise NotImplementedError


def edit_pad(shop: Shop, pad: Pad, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    raise NotImplementedError


def mark_used_up(shop: Shop, pad_id: int, used_up: bool = True, initiator: str = "desk") -> Changes:
    """The pad is done with, or is back in use."""
    raise NotImplementedError
