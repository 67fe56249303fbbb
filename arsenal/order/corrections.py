"""A shot ended high, light or long: what brings it back to the pocket, side by side, each with its doubt."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.surface.state import Estimate


@dataclass(frozen=True, slots=True)
class Correction:
    """One thing to change, the smallest of its kind that brings the shot back, or the one that comes nearest."""

    kind: str
    """move, speed, wipe, ball, pad."""
    words: str
    """“2 and 1 left”, “½ mph slower”, “wipe it”, “ball down to Slow Lantern”, “1000 h”."""
    landing_m: Estimate | None
    """Where the shot would then end; None where it cannot be reckoned."""
    word: str
    """through the nose, high, flush, light, washes out; empty without a landing."""
    room: float | None
    allowed: bool
    """False for a pad where the rule bars it now: it stays listed for the next block."""
    reaches: bool
    """Brings it back to boards 17 to 18 at the mean."""
    why_not: str = ""
