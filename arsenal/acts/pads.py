"""Pads in stock: add, edit, used up."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.pads import Pad


def words(pad: Pad) -> str:
    """“1000 foam”, “non-woven”."""
    return f"{pad.number:g} {pad.kind}" if pad.number is not None else pad.abrasive.value


def add_pad(shop: Shop, pad: Pad, initiator: str = "desk") -> Changes:
    """Add a pad (id 0). The new id is `changed[0].id`. Raises OutOfRange, NotFound for an unknown owner."""
    checks.pad(pad)
    if pad.owner_id is not None:
        shop.person(pad.owner_id)
    return writing.put(shop, replace(pad, id=0), f"Added a pad, {words(pad)}", initiator)


def edit_pad(shop: Shop, pad: Pad, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    checks.pad(pad)
    shop.pad(pad.id)
    return writing.put(shop, pad, f"Changed the pad {words(pad)}", initiator)


def mark_used_up(shop: Shop, pad_id: int, used_up: bool = True, initiator: str = "desk") -> Changes:
    """The pad is done with, or is back in use."""
    old = shop.pad(pad_id)
    said = f"The pad {words(old)} is {'used up' if used_up else 'back in use'}"
    return writing.put(shop, replace(old, used_up=used_up), said, initiator)
