"""Pads in stock: add, edit, used up."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Pad, grain_words


def words(pad: Pad) -> str:
    """“1000 foam”, “P3000 film”, “non-woven”."""
    return f"{grain_words(pad)} {pad.kind}" if pad.number is not None else pad.abrasive.value


def add_pad(shop: Shop, pad: Pad, initiator: str = "desk") -> Changes:
    """Add a pad (id 0). The new id is `changed[0].id`. Raises OutOfRange, NotFound for an unknown owner."""
    _check(shop, pad)
    if pad.owner_id is not None:
        shop.person(pad.owner_id)
    return writing.put(shop, replace(pad, id=0), f"Added a pad, {words(pad)}", initiator)


def edit_pad(shop: Shop, pad: Pad, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    _check(shop, pad)
    shop.pad(pad.id)
    return writing.put(shop, pad, f"Changed the pad {words(pad)}", initiator)


def _check(shop: Shop, pad: Pad) -> None:
    checks.pad(pad)
    if pad.bought_on is not None and pad.bought_on > shop.today():
        raise KnownError("A pad cannot have been bought after today.")


def mark_used_up(shop: Shop, pad_id: int, used_up: bool = True, initiator: str = "desk") -> Changes:
    """The pad is done with, or is back in use."""
    old = shop.pad(pad_id)
    said = f"The pad {words(old)} is {'used up' if used_up else 'back in use'}"
    return writing.put(shop, replace(old, used_up=used_up), said, initiator)
