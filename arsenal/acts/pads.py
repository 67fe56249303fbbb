"""Pads in stock: add, edit, used up."""

from __future__ import annotations

from dataclasses import dataclass, replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.order import pad_life
from arsenal.order.sequence import grain
from arsenal.surface import cuts
from arsenal.surface.state import Estimate
from arsenal.trade.entries import Step, Tool
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Pad, grain_words


def words(pad: Pad) -> str:
    """“1000 foam”, “P3000 film”, “non-woven”."""
    return f"{grain_words(pad)} {pad.kind}" if pad.number is not None else pad.abrasive.value


@dataclass(frozen=True, slots=True)
class Stocked:
    """A pad in stock and what it is still good for."""

    pad: Pad
    words: str
    cuts: float
    """Share of its first cut that it still has."""
    left_hand: Estimate
    left_spinner: Estimate
    """Balls until it hardly cuts."""
    done: bool
    """Marked used up, or as good as."""


def stock(shop: Shop, bowler_id: int | None = None) -> tuple[Stocked, ...]:
    """Pads in reach of a bowler, or all, roughest first, polish and the like last."""
    found = sorted(shop.pads(bowler_id), key=_roughest_first)
    return tuple(
        Stocked(
            pad, words(pad), cuts(pad, shop.priors), pad_life.uses_left(pad, Tool.HAND, shop.priors),
            pad_life.uses_left(pad, Tool.SPINNER, shop.priors), pad_life.is_done(pad, shop.priors),
        )
        for pad in found
    )  # fmt: skip


def _roughest_first(pad: Pad) -> tuple[bool, float, bool, int]:
    grit = grain(Step(pad.abrasive, pad.number, pad.scale))
    return (grit is None, grit or 0.0, pad.owner_id is None, pad.id)


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
