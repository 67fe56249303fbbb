"""What practice shots have taught of one ball and of one lane on one day, as a path needs it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from arsenal.trade.entries import Step


def work_key(steps: Sequence[Step]) -> str:
    """Surface work that counts as the same: grain, tool, wet or dry and time, whichever pad of that grain it was."""
    return repr([(s.abrasive.value, s.number, s.scale.value, s.tool.value, s.wet, s.sides, s.seconds) for s in steps])


@dataclass(frozen=True, slots=True)
class WorkBefore:
    """What surface work left on a ball when it was done before, against its log: what it will leave again.

    `mean` and `var` are of ln Ra; `share` is how much of the log's own variance is known with them.
    """

    key: str
    mean: float
    var: float
    share: float

    def after(self, ln_ra_sd: float) -> tuple[float, float]:
        """Shift of ln Ra and its sd after the same work, where the log is sure of it by `ln_ra_sd`."""
        return self.mean, (self.var + (1.0 - self.share) * ln_ra_sd**2) ** 0.5


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
    pace: tuple[float, float] | None = None
    """Mean and one sd of ln of its wear pace against its log; None where nothing was taught of it."""
    works: tuple[WorkBefore, ...] = ()
    """Surface work that shots were thrown after."""

    def work(self, steps: Sequence[Step]) -> WorkBefore | None:
        """The same work as it was done before; None where it was not."""
        key = work_key(steps) if steps and self.works else ""
        return next((work for work in self.works if work.key == key), None)

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
        return float(self.cov[at * len(self.mean) + at] ** 0.5)
