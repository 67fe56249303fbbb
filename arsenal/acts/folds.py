"""Folded states kept in the file from one start to the next; dropped at any time, nothing is lost but time.

A state is found again only under the same fold version, priors, ball, lanes, log, day and what other balls have taught,
each part of its key.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from arsenal.ledger import CodecError, Ledger, from_plain, to_plain
from arsenal.surface import FOLD_VERSION, Learned, fold
from arsenal.surface.folding import NOTHING
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Played, Shot, effective
from arsenal.trade.lane import Lane
from arsenal.trade.priors import Priors

WORTH_KEEPING = 40
"""Entries from which reading a kept state is quicker than folding the log again."""


class Folds:
    """States of today's logs; those folded anew are kept in the file by `keep`."""

    def __init__(self, ledger: Ledger, priors: Priors) -> None:
        self._ledger = ledger
        self._priors = priors
        self._made_with = _digest(repr(priors))
        self._fresh: dict[str, Any] = {}

    def state(
        self, ball: Ball, entries: Sequence[Entry], lanes: Mapping[int, Lane], today: date, learned: Learned = NOTHING
    ) -> SurfaceState:
        """The ball's state today, after all of `entries`: one dated ahead of the clock still counts, on its own day."""
        day = max([today, *(entry.on for entry in effective(list(entries)))])
        if len(entries) < WORTH_KEEPING:
            return fold(ball, entries, self._priors, until=day, lanes=lanes, learned=learned)
        key = self._key(ball, entries, lanes, day, learned)
        kept = self._ledger.cached_state(key)
        if kept is not None:
            try:
                found: SurfaceState = from_plain(SurfaceState, kept)
            except CodecError:  # kept by a version whose state had other fields
                pass
            else:
                return found
        state = fold(ball, entries, self._priors, until=day, lanes=lanes, learned=learned)
        self._fresh[key] = state
        return state

    def keep(self) -> None:
        """Keep what was folded since the last time."""
        fresh, self._fresh = self._fresh, {}
        self._ledger.keep_states({key: to_plain(state) for key, state in fresh.items()})

    def _key(self, ball: Ball, entries: Sequence[Entry], lanes: Mapping[int, Lane], day: date, learned: Learned) -> str:
        met = {e.payload.lane_id for e in entries if isinstance(e.payload, Played | Shot)}
        played_on = [lanes.get(lane_id) for lane_id in sorted(i for i in met if i is not None)]
        of = f"{ball.id}:{entries[-1].seq}:{day}"
        return f"{FOLD_VERSION}:{self._made_with}:{of}:{_digest(repr((ball, played_on, learned)))}"


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]
