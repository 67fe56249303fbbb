"""What a test may be asked to settle."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from arsenal.trade.pads import Recipe


class Asks(StrEnum):
    """What is in doubt."""

    ORDER = "the order"
    """Every ball's boards against the benchmark."""
    TWO_BALLS = "two balls"
    """How many boards two balls are apart."""
    PAD = "a pad"
    """How much earlier a finish makes a ball read."""
    LANE = "the lane"
    """Where the benchmark ends on this lane."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question: of the order, of two balls, of what `recipe` does to a ball, of the lane."""

    asks: Asks = Asks.ORDER
    ball_id: int | None = None
    other_ball_id: int | None = None
    recipe: Recipe | None = None
