"""Records of an open file by kind and id: each kind read once, then only what an act has changed since."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from arsenal.ledger import Ledger
from arsenal.trade.ball import Ball
from arsenal.trade.errors import NotFound

MANY = 400
"""With more records of one kind changed than this, the kind is read anew."""
Changed = dict[type, set[int]]


class HeldRecords:
    """Not thread-safe. What was given out is never changed: after an act there are other mappings and tuples."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._revision = -1
        self._held: dict[type, dict[int, Any]] = {}
        self._lists: dict[type, tuple[Any, ...]] = {}
        self._owned: dict[int, tuple[Ball, ...]] | None = None

    def forget(self) -> None:
        """Read everything anew."""
        self._revision = -1
        self._held, self._lists, self._owned = {}, {}, None

    def catch_up(self, revision: int) -> Changed:
        """Take in what acts have changed up to `revision`, and say what that was; empty the first time."""
        before, self._revision = self._revision, revision
        if before < 0 or before == revision:
            return {}
        changed = self._ledger.changed_since(before)
        for cls, ids in changed.items():
            if cls in self._held:
                self._lists.pop(cls, None)
                self._take(cls, ids)
            if cls is Ball:
                self._owned = None
        return changed

    def _take(self, cls: type[Any], ids: set[int]) -> None:
        if len(ids) > MANY:
            del self._held[cls]
            return
        held = dict(self._held[cls])
        last = next(reversed(held), 0)
        for record_id in sorted(ids):
            try:
                held[record_id] = self._ledger.one(cls, record_id)
            except NotFound:
                held.pop(record_id, None)
        came_back = any(record_id <= last for record_id in ids & held.keys() - self._held[cls].keys())
        self._held[cls] = dict(sorted(held.items())) if came_back else held

    def by_id(self, cls: type[Any]) -> Mapping[int, Any]:
        """Every record of a kind in sight, in the order they were made."""
        found = self._held.get(cls)
        if found is None:
            found = self._held[cls] = {record.id: record for record in self._ledger.every(cls)}
        return found

    def every(self, cls: type[Any]) -> tuple[Any, ...]:
        """The same without the ids."""
        found = self._lists.get(cls)
        if found is None:
            found = self._lists[cls] = tuple(self.by_id(cls).values())
        return found

    def of_owner(self, owner_id: int) -> tuple[Ball, ...]:
        """One person's balls."""
        if self._owned is None:
            owned: dict[int, list[Ball]] = {}
            for ball in self.every(Ball):
                owned.setdefault(ball.owner_id, []).append(ball)
            self._owned = {owner: tuple(balls) for owner, balls in owned.items()}
        return self._owned.get(owner_id, ())
