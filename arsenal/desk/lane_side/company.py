"""Which balls are drawn beside the ball in hand: those asked for, then the benchmark, the strongest, the weakest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

BESIDE = 3
"""Four balls at most are drawn, and the ball in hand is always one of them."""
FULL = "Four balls are drawn: Space on one of them takes it away."


@dataclass(frozen=True, slots=True)
class Company:
    """`asked` for by the bowler, first asked first; `away` are balls he took away, so that they do not come back."""

    asked: tuple[int, ...] = ()
    usual: tuple[int, ...] = ()
    """Drawn where nothing else was asked for: benchmark, strongest, weakest; they give way from the last."""
    away: frozenset[int] = frozenset()

    def among(self, order: Sequence[int], benchmark: int | None, every: Iterable[int]) -> Company:
        """Of the balls there are now (`order` from strongest to weakest, `every` with the spare balls)."""
        known = set(every)
        first = [benchmark] if benchmark is not None else []
        ends = [*order[:1], *order[-1:]] if len(order) > 1 else []
        usual = tuple(ball for ball in dict.fromkeys([*first, *ends]) if ball in known)
        return Company(tuple(b for b in self.asked if b in known), usual, self.away & known)

    def _wished(self) -> list[int]:
        return [*self.asked, *(b for b in self.usual if b not in self.asked and b not in self.away)]

    def beside(self, hand: int | None) -> list[int]:
        """Balls drawn beside the one in hand."""
        return [ball for ball in self._wished() if ball != hand][:BESIDE]

    def stays(self, ball: int | None) -> bool:
        """Whether the ball in hand goes on being drawn when another comes in hand."""
        return ball in self._wished()[:BESIDE]

    def toggled(self, ball: int, hand: int | None) -> Company | None:
        """With the ball or without it; None where four are asked for already."""
        if self.stays(ball) if ball == hand else ball in self.beside(hand):
            return replace(self, asked=tuple(b for b in self.asked if b != ball), away=self.away | {ball})
        if len(self.asked) >= BESIDE:
            return None
        return replace(self, asked=(*self.asked, ball), away=self.away - {ball})


def styles(
    hand: int | None, beside: Iterable[int], benchmark: int | None, before: Mapping[int, int] | None = None
) -> dict[int, int]:
    """Series of the balls drawn: 0 the ball in hand, 3 the benchmark where it is drawn, 1 to 3 the others. A ball keeps
    the style it had `before` while that is free.
    """
    others = [ball for ball in beside if ball != hand]
    found = {benchmark: 3} if benchmark is not None and benchmark in others else {}
    rest = [ball for ball in others if ball not in found]
    for ball in rest:
        had = (before or {}).get(ball)
        if had and had not in found.values():
            found[ball] = had
    for ball in rest:
        free = next((one for one in (1, 2, 3) if one not in found.values()), None)
        if ball not in found and free is not None:
            found[ball] = free
    return ({hand: 0} if hand is not None else {}) | found
