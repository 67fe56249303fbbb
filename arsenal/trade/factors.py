"""What practice shots have taught of one ball, as a path needs it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BallFactors:
    """Mean (4) and covariance (4 × 4, row by row) of what is unknown of one ball's grip.

    In turn: ln of its dry friction against its cover's, its response to roughness less 1, ln of its response to oil on
    the lane, and ln Ra of its present finish against its log. Natural logarithms; nothing has a unit.
    """

    ball_id: int
    mean: tuple[float, float, float, float]
    cov: tuple[float, ...]
    trials: int
    """How many shots stand behind it."""
