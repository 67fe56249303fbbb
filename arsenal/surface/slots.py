"""What a ball shares with others and meets in turn (houses, pads, meters), a few at a time tied to its own numbers.

The last few met are held in the filter with all their ties, so that going to and fro between two of them counts nothing
twice. One that gives way to another keeps its mean and spread alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Generic, Protocol, TypeVar

K = TypeVar("K")
Moments = tuple[float, float]
"""Mean and variance."""


class Holds(Protocol):
    """The filter."""

    def marginal(self, which: int) -> Moments:
        """Mean and variance of one of its numbers."""

    def take_up(self, which: int, mean: float, var: float) -> None:
        """Another thing in place of the one before."""


class Slots(Generic[K]):
    """Which of the filter's numbers stands for which house, pad or meter."""

    def __init__(self, indices: Sequence[int], prior: Moments, known: Mapping[K, Moments] = {}) -> None:
        self._indices, self._prior = tuple(indices), prior
        self._known = dict(known)
        self.keys: list[K | None] = [None] * len(indices)
        self._recent = list(range(len(indices)))
        """Slots, the one used longest ago first."""

    def take(self, finish: Holds, key: K, *, anew: bool = False) -> int:
        """The number that stands for `key` from now on; `anew` where it is each time another of its kind."""
        held = key in self.keys
        slot = self.keys.index(key) if held else self._recent[0]
        if not held or anew:
            gone = self.keys[slot]
            if gone is not None and not anew:
                self._known[gone] = finish.marginal(self._indices[slot])
            finish.take_up(self._indices[slot], *(self._prior if anew else self._known.get(key, self._prior)))
            self.keys[slot] = key
        self._recent.remove(slot)
        self._recent.append(slot)
        return self._indices[slot]

    def moments(self, finish: Holds) -> dict[K, Moments]:
        """All that is known, by key."""
        held = zip(self.keys, self._indices, strict=True)
        return {**self._known, **{key: finish.marginal(index) for key, index in held if key is not None}}
