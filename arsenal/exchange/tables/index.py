"""Things by name, nickname or serial, for tables that speak of each other by words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, Protocol, TypeVar

from arsenal.exchange.tables.problems import Bad


class _Numbered(Protocol):
    @property
    def id(self) -> int: ...
    @property
    def name(self) -> str: ...


T = TypeVar("T", bound=_Numbered)


class Index(Generic[T]):
    """Things of one sort, found by any word they answer to, whatever its case."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.by_id: dict[int, T] = {}
        self._names: dict[str, list[int]] = {}
        self._others: dict[str, list[int]] = {}
        self._meant: dict[str, list[int]] = {}
        self._held: dict[str, str] = {}

    @property
    def all(self) -> list[T]:
        """Everything, in the order it came."""
        return list(self.by_id.values())

    def add(self, thing: T, name: str, *others: str) -> None:
        """One more thing and what it answers to."""
        self.by_id[thing.id] = thing
        self._names.setdefault(name.casefold(), []).append(thing.id)
        for other in others:
            if other and other.casefold() != name.casefold():
                self._others.setdefault(other.casefold(), []).append(thing.id)

    def means(self, word: str, number: int) -> None:
        """In these files the word means this thing before any other."""
        found = self._meant.setdefault(word.casefold(), [])
        if number not in found:
            found.append(number)

    def hold(self, word: str, reason: str) -> None:
        """Nobody knows yet whom the word means in these files."""
        self._held[word.casefold()] = reason

    def put(self, thing: T) -> None:
        """A thing that is in already, changed."""
        self.by_id[thing.id] = thing

    def exact(self, name: str) -> list[T]:
        """Everything of exactly this name."""
        return [self.by_id[i] for i in self._names.get(name.casefold(), ())]

    def one(self, word: str, field: str, where: Callable[[T], bool] | None = None) -> T:
        """The one thing this word means: by name, else by nickname or serial. Raises Bad for none or several."""
        plain = word.casefold()
        if plain in self._held:
            raise Bad(field, self._held[plain])
        meant = [self.by_id[i] for i in self._meant.get(plain, ())]
        for found in (meant, self.exact(word), [self.by_id[i] for i in self._others.get(plain, ())]):
            fitting = [t for t in found if where is None or where(t)]
            if len(fitting) == 1:
                return fitting[0]
            if fitting:
                raise Bad(field, f"“{word}” means {len(fitting)} {self.what}s; use a nickname or say whose it is.")
        raise Bad(field, f"There is no {self.what} called “{word}”.")
