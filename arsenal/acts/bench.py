"""The Bench: one ball's state, timeline and history, and what each pad in stock would do to it."""

from __future__ import annotations

from datetime import date

from arsenal.acts.shop import Shop
from arsenal.acts.views import BallSheet, PadOnBall


def ball_sheet(shop: Shop, ball_id: int, *, day: date | None = None) -> BallSheet:
    """Everything the Bench shows of a ball, today or at the end of a past day. Raises NotFound."""
    raise NotImplementedError


def pads_on_ball(shop: Shop, ball_id: int) -> tuple[PadOnBall, ...]:
    """Every pad in stock on this ball: what it still cuts, what the ball would play, boards back on the usual lane.
    Boards and feet are NaN where the owner's throw or usual lane is not known.
    """
    raise NotImplementedError
