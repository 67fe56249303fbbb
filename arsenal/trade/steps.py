"""How far something long has come: a share told every few hundred things, so that it can be shown and stopped."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

T = TypeVar("T")
Tell = Callable[[float], None]
"""Is told a share, 0 to 1; may raise to stop what goes on."""
EVERY = 500


def untold(_share: float) -> None:
    """For whoever does not want to know."""


def part(tell: Tell, low: float, high: float) -> Tell:
    """Of one part of the work: its 0 to 1 is `low` to `high` of the whole."""
    return lambda share: tell(low + (high - low) * share)


class Steps:
    """Things gone through in several rows, one after another; how many of `total` there were is told on the way."""

    def __init__(self, total: int, tell: Tell, every: int = EVERY) -> None:
        self._total, self._tell, self._every, self._done = max(1, total), tell, every, 0

    def through(self, things: Iterable[T]) -> Iterator[T]:
        """The same things."""
        for thing in things:
            if self._done % self._every == 0:
                self._tell(min(1.0, self._done / self._total))
            self._done += 1
            yield thing


def stepping(things: Iterable[T], total: int, tell: Tell, every: int = EVERY) -> Iterator[T]:
    """The same of a single row."""
    return Steps(total, tell, every).through(things)
