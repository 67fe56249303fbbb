"""Finding things by a word: exactly a name or nickname if there is one, else a word of a name, else its beginning.

The index of a list is kept while the same things are asked about, so that a key press costs no walk over a large shop.
"""

from __future__ import annotations

import operator
import re
from bisect import bisect_left
from collections import OrderedDict
from collections.abc import Callable, Sequence
from typing import Any, Protocol, TypeVar

from arsenal.trade.ball import Ball
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

WORDS = re.compile(r"[^\W_]+(?:['’][^\W_]+)*")
_KEPT = 6


class Named(Protocol):
    """Anything with a number and a name."""

    @property
    def id(self) -> int:
        """Its number."""

    @property
    def name(self) -> str:
        """What it is called."""


N = TypeVar("N", bound=Named)
Names = Callable[[Any], tuple[str, ...]]


def words_of(text: str) -> list[str]:
    """The words of a name, folded."""
    return WORDS.findall(text.casefold())


def ball_names(ball: Ball) -> tuple[str, ...]:
    """What a ball answers to."""
    return (ball.nickname, ball.name)


def person_names(person: Person) -> tuple[str, ...]:
    """What a bowler answers to."""
    return (person.nickname, person.name)


def lane_names(lane: Lane) -> tuple[str, ...]:
    """What a condition answers to."""
    return (lane.name, lane.house)


class _Index:
    """Places of things by name, by word, and by beginning."""

    def __init__(self, things: Sequence[Any], names: Names) -> None:
        self.source = things
        self.things = tuple(things)
        self.by_id = {thing.id: thing for thing in self.things}
        self.exact: dict[str, list[int]] = {}
        self.words: dict[str, list[int]] = {}
        for place, thing in enumerate(self.things):
            folded = {name.casefold() for name in names(thing) if name}
            for name in folded:
                self.exact.setdefault(name, []).append(place)
            for word in {word for name in folded for word in WORDS.findall(name)}:
                self.words.setdefault(word, []).append(place)
        self._sorted = sorted({*self.exact, *self.words})

    def same(self, things: Sequence[Any]) -> bool:
        """True where this is the index of exactly these things."""
        if things is self.source and isinstance(things, tuple):
            return True
        return len(things) == len(self.things) and all(map(operator.is_, things, self.things))

    def beginning(self, folded: str) -> list[int]:
        """Places of everything a name or a word of which begins so."""
        found: set[int] = set()
        for at in range(bisect_left(self._sorted, folded), len(self._sorted)):
            key = self._sorted[at]
            if not key.startswith(folded):
                break
            found.update(self.exact.get(key, ()), self.words.get(key, ()))
        return sorted(found)


_indexes: OrderedDict[tuple[Names, int], _Index] = OrderedDict()


def _index(things: Sequence[Any], names: Names) -> _Index:
    key = (names, len(things))
    found = _indexes.get(key)
    if found is None or not found.same(things):
        found = _indexes[key] = _Index(things, names)
        while len(_indexes) > _KEPT:
            _indexes.popitem(last=False)
    return found


def fits(word: str, things: Sequence[N], names: Names) -> list[N]:
    """Everything `word` may mean."""
    folded = word.casefold().strip()
    if not folded:
        return []
    index = _index(things, names)
    places = index.exact.get(folded) or index.words.get(folded) or index.beginning(folded)
    return [index.things[place] for place in places]


def with_id(number: int, things: Sequence[N], names: Names) -> N | None:
    """The thing of this number, or None."""
    return _index(things, names).by_id.get(number)


def exactly(word: str, things: Sequence[N], names: Names) -> list[N]:
    """Everything of exactly this name or nickname."""
    index = _index(things, names)
    return [index.things[place] for place in index.exact.get(word.casefold().strip(), ())]
