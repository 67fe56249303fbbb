"""Results kept in the file from one start to the next; dropped at any time, nothing is lost but time.

A key holds everything its result was made of.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any, TypeVar

from arsenal.ledger import CodecError, Ledger, from_plain, to_plain

T = TypeVar("T")


class Kept:
    """Records by key; those made anew are written by `keep`."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._fresh: dict[str, Any] = {}

    def get(self, key: str, cls: type[T], make: Callable[[], T]) -> T:
        """The record kept under `key`, made where it is not there."""
        plain = self._fresh.get(key) or self._ledger.cached_state(key)
        if plain is not None:
            try:
                found: T = from_plain(cls, plain)
            except CodecError:  # kept by a version whose record had other fields
                pass
            else:
                return found
        made = make()
        self._fresh[key] = to_plain(made)
        return made

    def keep(self) -> None:
        """Write what was made since the last time."""
        fresh, self._fresh = self._fresh, {}
        self._ledger.keep_states(fresh)


def digest(*parts: object) -> str:
    """One short hash over the words of `parts`."""
    return hashlib.sha256("\n".join(repr(part) for part in parts).encode()).hexdigest()[:16]
