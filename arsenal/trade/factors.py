"""What practice shots have taught of one ball and of one lane on one day, as a path needs it."""

from __future__ import annotations

from dataclasses import dataclass, replace


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
    ln_ra_sd: float = 0.0
    """How sure the log alone is of the present finish: one sd of ln Ra."""
    shared: tuple[tuple[int, tuple[float, ...]], ...] = ()
    """Balls learned of on the same lanes are off together: for each ball 4 × 4, row by row, on that ball's own standard
    normals. Empty: this ball is drawn by `cov` alone."""

    @property
    def without_finish(self) -> BallFactors:
        """The same of a roughness that is known: what goes for the ball whatever is on it."""
        a, b, c, _ = self.mean
        cov = tuple(v if i % 4 < 3 and i < 12 else 0.0 for i, v in enumerate(self.cov))
        return replace(self, mean=(a, b, c, 0.0), cov=cov, shared=())


@dataclass(frozen=True, slots=True)
class LaneFactors:
    """Mean and covariance (row by row) of what one outing's lane was against what was said of it.

    In turn: ln of its film, ln of its dry friction, and in an unknown house its oil length against the middle (metres)
    and ln of its ratio against the middle.
    """

    mean: tuple[float, ...]
    cov: tuple[float, ...]
    shots: int
    """How many shots of that outing stand behind it."""

    def sd(self, at: int) -> float:
        """One sd of one of them."""
        return float(self.cov[at * len(self.mean) + at]) ** 0.5
