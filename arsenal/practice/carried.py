"""What was learned of some unknowns, said of more of them."""

from __future__ import annotations

from typing import Protocol

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice import model
from arsenal.practice.cases import Case
from arsenal.practice.model import Layout


class Believed(Protocol):
    """A belief about unknowns: a posterior, or what would be believed after shots nobody has thrown yet."""

    @property
    def cases(self) -> tuple[Case, ...]:
        """Every shot whose unknowns it speaks of."""

    @property
    def where(self) -> Layout:
        """Where each unknown stands."""

    @property
    def mean(self) -> Floats:
        """(D,)."""

    @property
    def cov(self) -> Floats:
        """(D, D)."""


def carried(found: Believed | None, where: Layout) -> tuple[Floats, Floats]:
    """What is believed of more unknowns than were learned of: mean and covariance over `where`."""
    if found is None:
        return np.zeros(where.size), where.prior
    old = found.where
    place = np.zeros(old.size, int)
    for ball, first in old.balls.items():
        place[first : first + model.BALL_SIZE] = where.balls[ball] + np.arange(model.BALL_SIZE)
    for key, at in old.finishes.items():
        place[at] = where.finishes[key]
    for outing in old.outings:
        place[old.outing(outing)] = np.arange(where.size)[where.outing(outing)]
    tie = np.linalg.solve(where.prior[np.ix_(place, place)], where.prior[place]).T
    return tie @ found.mean, where.prior + tie @ (found.cov - old.prior) @ tie.T
