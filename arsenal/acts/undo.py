"""Take back the last act; nothing is ever removed."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes


def can_undo(shop: Shop) -> str | None:
    """The name of the act that `undo` would take back; None where there is none."""
    raise NotImplementedError


def undo(shop: Shop, initiator: str = "desk") -> Changes:
    """Take back the last act that stands. Empty where there is none."""
    raise NotImplementedError


def undo_entry(shop: Shop, seq: int, initiator: str = "desk") -> Changes:
    """Take back one entry of a ball's history. Raises NotFound; empty where it is taken back already."""
    raise NotImplementedError
