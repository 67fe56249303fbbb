"""The bag card: an order on paper for the ball return, stored as printed."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import BagCard, LaneSide


def bag_card(shop: Shop, side: LaneSide, *, in_hand: int | None = None, store: bool = True) -> BagCard:
    """Everything the card shows, from the order in `side`. `in_hand` is the ball the “if …” rows speak of (the
    benchmark when None). With `store` the card is kept, so that the next one can say what changed since.
    """
    raise NotImplementedError
