"""What the balls in a file have taught of what they share: the houses they are played in and the pads put on them.

A ball learns from every other that was read, in a shop of thousands from its owner's alone; never from itself, whose
readings its own fold knows already.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from arsenal.ledger import Ledger
from arsenal.surface import FOLD_VERSION, Learned, Taught, learned, taught
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.lane import Lane
from arsenal.trade.priors import Priors

MANY_READ = 300
"""With more balls read than this, each learns from its owner's alone: to fold them all would take too long."""
Logs = Callable[[Sequence[Ball]], Mapping[int, Sequence[Entry]]]


class Teachings:
    """What each ball has taught, kept until its log changes, and what the others make of it.

    Kept in the file from one start to the next too, by `keep`; dropped at any time, nothing is lost but time.
    """

    def __init__(self, ledger: Ledger | None, priors: Priors) -> None:
        self._ledger = ledger
        self._priors = priors
        self._made_with = _digest(repr(priors))
        self._fresh: dict[str, Any] = {}
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

    def found(self, ball_id: int) -> Learned | None:
        """What `learned_by` came to for a ball, where it was asked since anything changed."""
        return self._learned.get(ball_id)

    def learned_by(
        self, ball: Ball, balls: Collection[Ball], read: Mapping[int, int], lanes: Mapping[int, Lane], logs: Logs
    ) -> Learned:
        """What the balls of `read` teach `ball`; the number of each one's last entry is beside it."""
        if ball.id not in self._learned:
            near = [b for b in balls if b.id in read and b.id != ball.id]
            if len(near) > MANY_READ:
                near = [b for b in near if b.owner_id == ball.owner_id]
            self._teach(near, read, lanes, logs)
            self._learned[ball.id] = learned((self._fitting(b, ball) for b in near), self._priors)
        return self._learned[ball.id]

    def _teach(self, balls: Sequence[Ball], read: Mapping[int, int], lanes: Mapping[int, Lane], logs: Logs) -> None:
        told = _digest(repr(sorted(lanes.items())))
        new = {b: self._key(b, read[b.id], told) for b in balls if b.id not in self._taught}
        for ball in list(new):
            kept = self._ledger.cached_state(new[ball]) if self._ledger else None
            if kept is not None:
                self._taught[ball.id] = _from_plain(kept)
                del new[ball]
        found = logs(list(new)) if new else {}
        for ball, key in new.items():
            self._taught[ball.id] = said = taught(ball, found[ball.id], self._priors, lanes=lanes)
            self._fresh[key] = _plain(said)

    def _key(self, ball: Ball, last_seq: int, lanes: str) -> str:
        return f"taught:{FOLD_VERSION}:{self._made_with}:{ball.id}:{last_seq}:{lanes}:{_digest(repr(ball))}"

    def keep(self) -> None:
        """Keep what was found out since the last time."""
        fresh, self._fresh = self._fresh, {}
        if self._ledger:
            self._ledger.keep_states(fresh)

    def _fitting(self, teacher: Ball, ball: Ball) -> Taught:
        """Of games in no named house nothing goes from one owner to another: it is not one house."""
        said = self._taught[teacher.id]
        if teacher.owner_id == ball.owner_id or "" not in said.houses:
            return said
        return Taught({house: of for house, of in said.houses.items() if house}, said.pads)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _plain(said: Taught) -> Any:
    return {"houses": dict(said.houses), "pads": {str(pad_id): of for pad_id, of in said.pads.items()}}


def _from_plain(kept: Any) -> Taught:
    houses = {house: (float(a), float(b)) for house, (a, b) in kept["houses"].items()}
    return Taught(houses, {int(pad_id): (float(a), float(b)) for pad_id, (a, b) in kept["pads"].items()})
