"""Balls: add and edit what a ball is. What happens to it is logged."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft


def add_ball(shop: Shop, ball: Ball, drafts: Sequence[Draft] = (), initiator: str = "desk") -> Changes:
    """Add a ball (id 0) and, in the same act, its first entries (`ball_id` 0 in a draft means this ball). The new id is
    `changed[0].id`. Raises OutOfRange, KnownError for an empty name.
    """
    raise NotImplementedError


def edit_ball(shop: Shop, ball: Ball, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    raise NotImplementedError
