"""What the balls in a file have taught of what they share: the houses they are played in and the pads put on them.

A ball learns from every other that was read, in a shop of thousands from its owner's alone; never from itself, whose
readings its own fold knows already.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

from arsenal.surface import Learned, Taught, learned, taught
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.lane import Lane
from arsenal.trade.priors import Priors

MANY_READ = 300
"""With more balls read than this, each learns from its owner's alone: to fold them all would take too long."""
Logs = Callable[[Sequence[Ball]], Mapping[int, Sequence[Entry]]]


class Teachings:
    """What each ball has taught, kept until its log changes, and what the others make of it."""

    def __init__(self, priors: Priors) -> None:
        self._priors = priors
        self._taught: dict[int, Taught] = {}
        self._learned: dict[int, Learned] = {}

    def forget(self, touched: Collection[int]) -> None:
        """The logs or records of these balls have changed."""
        for ball_id in touched:
            self._taught.pop(ball_id, None)
        if touched:
            self._learned = {}

    def forget_all(self) -> None:
        """The lanes have changed."""
        self._taught, self._learned = {}, {}

    def learned_by(
        self, ball: Ball, balls: Collection[Ball], read: Collection[int], lanes: Mapping[int, Lane], logs: Logs
    ) -> Learned:
        """What the balls of `read` teach `ball`."""
        if ball.id not in self._learned:
            near = [b for b in balls if b.id in read and b.id != ball.id]
            if len(near) > MANY_READ:
                near = [b for b in near if b.owner_id == ball.owner_id]
            self._teach(near, lanes, logs)
            self._learned[ball.id] = learned((self._fitting(b, ball) for b in near), self._priors)
        return self._learned[ball.id]

    def _teach(self, balls: Sequence[Ball], lanes: Mapping[int, Lane], logs: Logs) -> None:
        new = [b for b in balls if b.id not in self._taught]
        if new:
            found = logs(new)
            for ball in new:
                self._taught[ball.id] = taught(ball, found[ball.id], self._priors, lanes=lanes)

    def _fitting(self, teacher: Ball, ball: Ball) -> Taught:
        """Of games in no named house nothing goes from one owner to another: it is not one house."""
        said = self._taught[teacher.id]
        if teacher.owner_id == ball.owner_id or "" not in said.houses:
            return said
        return Taught({house: of for house, of in said.houses.items() if house}, said.pads)
