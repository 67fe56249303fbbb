"""What is dangerous about a ball: what its log knows, and which words of a ticket are news to it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from arsenal.trade import days
from arsenal.trade.entries import Crack, Entry, Repair

if TYPE_CHECKING:
    from arsenal.trade.ticket import TakenIn

_CRACK = re.compile(r"\b(?:crack|cracks|cracked|hairlines?)\b", re.IGNORECASE)
_NO_CRACK = re.compile(r"\b(?:no|without|not)\s+(?:a\s+|any\s+)?crack(?:s|ed)?\b", re.IGNORECASE)
PLUGGED = "Plugged: stop and ask before heat"


def is_crack(words: str) -> bool:
    """Whether words of a ticket tell of a crack; “no cracks” does not, and what is in doubt does."""
    return _CRACK.search(_NO_CRACK.sub("", words)) is not None


def known(log: Sequence[Entry]) -> tuple[str, ...]:
    """Cracks that are not mended and plugs, as a ticket and a card tell them. `log` without what was taken back."""
    cracked: list[str] = []
    for entry in log:
        if isinstance(entry.payload, Crack):
            cracked.append(_words(entry.payload.where, entry.on))
        elif isinstance(entry.payload, Repair) and entry.payload.mends_crack:
            cracked.clear()
    plugged = any(isinstance(entry.payload, Repair) and entry.payload.plugged for entry in log)
    return (*cracked, *((PLUGGED,) if plugged else ()))


def of(taken: TakenIn) -> tuple[str, ...]:
    """What is dangerous about a ball of a ticket: as told, and a crack its words or its note speak of, “blue one, crack
    by thumb”.
    """
    if any(is_crack(words) for words in taken.hazards):
        return taken.hazards
    return (*taken.hazards, *(words for words in (taken.words, taken.note) if is_crack(words)))


def news(log: Sequence[Entry], told: Iterable[str]) -> tuple[str, ...]:
    """Cracks told at the counter that the log has not heard of, mended or not: a ticket copies what the log knew when
    the ball came in.
    """
    heard = set()
    for entry in log:
        if isinstance(entry.payload, Crack):
            heard |= {entry.payload.where.casefold(), _words(entry.payload.where, entry.on).casefold()}
    return tuple(words for words in told if is_crack(words) and words.casefold() not in heard)


def _words(where: str, on: date) -> str:
    """“Crack near the thumb, seen 3 Oct”, “Hairline crack at the bridge, seen 3 Oct”."""
    said = where or "somewhere"
    told = f"{said[0].upper()}{said[1:]}" if is_crack(said) else f"Crack {said}"
    return f"{told}, seen {days.day(on)}"
