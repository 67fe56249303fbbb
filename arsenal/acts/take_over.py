"""The file handed over from one machine to another: a checked copy goes, this one only reads until it is taken back.

One file is in charge at any time. What cannot be known from here (whether a copy was taken over elsewhere) is said;
what can be told from the files (an older copy, a copy taken over before, two that went different ways) is noticed and
refused unless it is wanted all the same. Nothing is lost either way: what is replaced is kept beside the file.
"""

from __future__ import annotations

import platform
from dataclasses import dataclass
from pathlib import Path

from arsenal.acts import words
from arsenal.acts.shop import Clock, Shop, system
from arsenal.ledger import HandedOver, Handing, Ledger, Looked, Relation, Role, TakenOver
from arsenal.trade.errors import KnownError

__all__ = ["Looked", "Outlook", "Relation", "TakenOver", "hand_over", "look", "standing", "take_back", "take_over"]


@dataclass(frozen=True, slots=True)
class Outlook:
    """A copy before it is taken over: what it is, and what speaks against it."""

    looked: Looked
    sentence: str
    against: str = ""
    """Why it is not taken over just like that."""
    possible: bool = True
    """False where it cannot be taken over at all."""


def machine() -> str:
    """What this machine calls itself."""
    return platform.node() or "this machine"


def suggested_name(shop: Shop) -> str:
    """A name for the copy that says what and when."""
    return f"{shop.path.stem}-{shop.now():%Y%m%d-%H%M}.padbook"


def standing(shop: Shop) -> str:
    """Why nothing can be written in this file: it was handed over, or is a copy on its way; empty while in charge."""
    told = shop.ledger.handing
    if told is None:
        return ""
    error = HandedOver(shop.path, told)
    return f"{error.sentence} {error.next_step}"


def may_take_back(shop: Shop) -> bool:
    """Whether this file was handed over and stays behind."""
    told = shop.ledger.handing
    return told is not None and told.role is Role.AWAY


def hand_over(shop: Shop, onto: Path, who: str = "") -> Handing:
    """Write a checked copy for another machine and only read here from then on. Raises KnownError; this file is then
    still in charge, and no copy is there.
    """
    return shop.ledger.hand_over(onto, who.strip(), machine())


def take_back(shop: Shop, who: str = "") -> Handing:
    """Be in charge here again. The copy is an older one from then on. Raises KnownError."""
    return shop.ledger.take_back(who.strip(), machine())


def is_copy(path: Path, onto: Path) -> bool:
    """Whether a file was made to be taken over. Raises KnownError for a file that is none of ours."""
    told = Ledger.look_over(path, onto).handing
    return told is not None and told.role is Role.COPY


def look(copy: Path, onto: Path) -> Outlook:
    """What taking a copy over would mean for the file at `onto`. Raises KnownError for a file that is none of ours."""
    looked = Ledger.look_over(copy, onto)
    told = looked.handing
    came = f"Handed over on {told.when} {told.by}. " if told is not None else ""
    try:
        Ledger.may_take_over(copy, looked)
    except KnownError as error:
        try:
            Ledger.may_take_over(copy, looked, anyway=True)
        except KnownError as never:
            return Outlook(looked, came + never.sentence, f"{never.sentence} {never.next_step}", possible=False)
        return Outlook(looked, came + error.sentence, f"{error.sentence} {error.next_step}")
    return Outlook(looked, came + _relation(looked))


def _relation(looked: Looked) -> str:
    if looked.relation is Relation.NONE_HERE:
        return "There is no file here yet; it becomes the one."
    if looked.relation is Relation.SAME:
        return "It holds exactly what is here."
    return f"It goes on from what is here: {words.count(looked.revision - looked.here, 'change')} more."


def take_over(
    copy: Path, onto: Path, who: str = "", *, anyway: bool = False, clock: Clock = system
) -> TakenOver:  # fmt: skip
    """Put a copy in the place of the closed file `onto` and be in charge of it. Raises KnownError; what is here is then
    untouched.
    """
    return Ledger.take_over(copy, onto, who.strip(), machine(), anyway=anyway, clock=clock)


def said(taken: TakenOver) -> str:
    """What taking over came to, in words."""
    told = [f"Taken over: {taken.path} is in charge now."]
    if taken.kept is not None:
        told.append(f"What was here before is kept as {taken.kept.name}.")
    if not taken.marked:
        told.append("The copy could not be marked as taken over: put it away, so that nobody else takes it over.")
    return " ".join(told)


def said_handed(told: Handing) -> str:
    """What handing over came to, in words."""
    return f"Handed over: the copy is {told.onto}, checked. This file is only read from now on, until it is taken back."
