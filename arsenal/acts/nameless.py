"""Free text without anybody's name: whoever owned or held a ball is “the owner”, others of the file “somebody”.

Only what people typed is gone over, never the program's own words: an owner called Hand leaves “by hand” alone. A name
nobody has told the file is not known here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import fields, is_dataclass, replace
from itertools import pairwise
from typing import Any, TypeVar

from arsenal.acts.shop import Shop
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Handed
from arsenal.trade.lane import Lane

OWNER, SOMEBODY = "the owner", "somebody"
SHORTEST = 3
"""Letters a part of a name has at least before it is looked for."""
_WORD = re.compile(r"[^\W\d_](?:[\w’'-]*\w)?")
_BETWEEN = re.compile(r"[\s,]+")
T = TypeVar("T")


class Nameless:
    """What is taken out of the texts about one ball."""

    def __init__(self, shop: Shop, ball: Ball, log: Sequence[Entry], *, but: int = 0) -> None:
        """`but` is a person whose own name may stay: theirs is the sheet."""
        handed = [entry.payload for entry in log if isinstance(entry.payload, Handed)]
        known = {person.id for person in shop.people()}
        held = {payload.person_id for payload in handed if payload.person_id is not None}
        owners = {*shop.ledger.owners_of(ball.id), *(held & known)} - {but}
        theirs = [shop.ledger.known_by(one) for one in owners]
        typed = _typed(payload.to for payload in handed if payload.person_id is None or payload.person_id != but)
        self._owners = [pattern for pattern in (*theirs, typed) if pattern]
        self._pairs = {pair for person in shop.people() if person.id != but for pair in _pairs(person.name)}

    def text(self, said: str) -> str:
        """One text without names."""
        for pattern in self._owners:
            said = pattern.sub(OWNER, said)
        words = list(_WORD.finditer(said))
        untouched = len(said)
        for first, second in reversed(list(pairwise(words))):
            between = said[first.end() : second.start()]
            named = (first[0].casefold(), _bare(second[0])) in self._pairs and _BETWEEN.fullmatch(between)
            if named and second.end() <= untouched:
                said, untouched = said[: first.start()] + SOMEBODY + said[second.end() :], first.start()
        return said

    def record(self, value: T) -> T:
        """A record with every free text in it gone over; numbers and words of the trade stay."""
        made: Any = value
        if type(made) is str:
            made = self.text(made)
        elif isinstance(value, tuple):
            made = tuple(self.record(one) for one in value)
        elif is_dataclass(value) and not isinstance(value, type):
            made = replace(value, **{field.name: self.record(getattr(value, field.name)) for field in fields(value)})
        return made  # type: ignore[no-any-return]

    def lane(self, lane: Lane) -> Lane:
        """A condition under a name that names nobody."""
        return replace(lane, name=self.text(lane.name), house=self.text(lane.house))


def _typed(names: Iterable[str]) -> re.Pattern[str] | None:
    """Names of no person of the file, as they were typed, and their parts."""
    told = {word for name in names for word in (name, *name.split()) if len(word) >= SHORTEST}
    if not told:
        return None
    longest_first = "|".join(re.escape(word) for word in sorted(told, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{longest_first})(?:['’]?s)?(?!\w)", re.IGNORECASE)


def _pairs(name: str) -> list[tuple[str, str]]:
    """First and last word of a name, either first."""
    words = [found[0].casefold() for found in _WORD.finditer(name)]
    return [(words[0], words[-1]), (words[-1], words[0])] if len(words) > 1 else []


def _bare(word: str) -> str:
    """A last word without an s of possession after an apostrophe."""
    return re.sub(r"['’]s$", "", word.casefold())
