"""Rows that may speak of somebody or something that is there already: asked about, never taken for granted.

Two customers may have one name, and one serial number may stand on two balls. A row that says nothing but what is
known already is passed over; any other becomes a question, which is answered by “the same” (what the shop knows stays,
what it lacks is filled in, what differs is told) or by “another one” (kept with an addition to its name).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any, TypeVar

from arsenal.exchange.tables.rows import Row
from arsenal.trade.ball import Ball
from arsenal.trade.person import Person

_ADDITION = re.compile(r"\s*\([^()]*\)$")
_NO_SERIAL = {"", "-", "?", "n/a", "na", "none", "unknown", "unreadable", "worn", "x"}
T = TypeVar("T", Person, Ball)


class Rest(StrEnum):
    """What is done about questions nobody answered."""

    ASK = "ask"
    SAME = "same"
    ANOTHER = "another"


@dataclass(frozen=True, slots=True)
class Candidate:
    """Whom or what a row may mean: `key` names it in an answer."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class Question:
    """A row that waits for an answer."""

    file: str
    row: int
    kind: str
    """bowler or ball."""
    sentence: str
    candidates: tuple[Candidate, ...]
    addition: str = ""
    """What would tell another one of the same name apart."""


@dataclass(frozen=True, slots=True)
class Answer:
    """To one question: the key of the same one, or None for another one, told apart by `addition`."""

    same: str | None = None
    addition: str = ""


@dataclass(frozen=True)
class Answers:
    """Answers by (file, row)."""

    by_row: Mapping[tuple[str, int], Answer] = field(default_factory=dict)
    rest: Rest = Rest.ASK

    def to(self, question: Question) -> Answer | None:
        """The answer to a question; None where it is still open."""
        said = self.by_row.get((question.file, question.row))
        if said is not None or self.rest is Rest.ASK:
            return said
        return Answer(question.candidates[0].key) if self.rest is Rest.SAME else Answer(None, question.addition)


def bare(name: str) -> str:
    """A name without the addition that tells two of one name apart, as it is compared."""
    return _ADDITION.sub("", name.strip()).casefold()


def serial_of(text: str) -> str:
    """A serial number as it is compared; empty for what says that there is none."""
    plain = re.sub(r"[\s-]+", "", text).casefold()
    return "" if text.strip().casefold() in _NO_SERIAL or plain in _NO_SERIAL else plain


def _digits(phone: str) -> str:
    found = re.sub(r"\D", "", phone)
    return found or phone.strip().casefold()


def _style(name: str) -> Callable[[Person], Any]:
    return lambda person: None if person.style is None else getattr(person.style, name)


_PERSON: Mapping[str, Callable[[Person], Any]] = {
    "nickname": lambda p: p.nickname.casefold() or None,
    "hand": lambda p: p.hand,
    "two_handed": lambda p: p.two_handed,
    "back_up": lambda p: p.back_up,
    "speed": _style("speed_mps"),
    "revs": _style("rev_rate_radps"),
    "rotation": _style("axis_rotation_rad"),
    "tilt": _style("axis_tilt_rad"),
    "games_a_week": lambda p: p.games_a_week,
    "note": lambda p: p.note.strip() or None,
    "drift": lambda p: p.stance_to_laydown_boards,
    "phone": lambda p: _digits(p.phone) or None,
    "email": lambda p: p.email.strip().casefold() or None,
    "reminders_agreed": lambda p: p.reminders_consented_on,
    "minor": lambda p: p.minor,
    "guardian": lambda p: p.guardian.strip() or None,
}
_BALL: Mapping[str, Callable[[Ball], Any]] = {
    "ball": lambda b: b.name.casefold(),
    "nickname": lambda b: b.nickname.casefold() or None,
    "bowler": lambda b: b.owner_id,
    "cover": lambda b: b.cover,
    "weight": lambda b: b.mass_kg,
    "serial": lambda b: serial_of(b.serial) or None,
    "bought": lambda b: b.bought_on,
    "colour": lambda b: b.colour.strip() or None,
    "note": lambda b: b.note.strip() or None,
}
_FILLS = {"nickname": "nickname", "note": "note", "drift": "stance_to_laydown_boards", "phone": "phone",
          "email": "email", "reminders_agreed": "reminders_consented_on", "guardian": "guardian", "serial": "serial",
          "bought": "bought_on", "colour": "colour"}  # fmt: skip
"""Columns that are simply missing where nobody filled them in, and their fields."""


def differences(known: T, told: T, row: Row) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(columns the row fills in, columns in which it says otherwise) of those it says anything in."""
    looks: Mapping[str, Callable[[Any], Any]] = _PERSON if isinstance(known, Person) else _BALL
    fills, others = [], []
    for name, look in looks.items():
        if not row.says(name):
            continue
        have, want = look(known), look(told)
        if have is None and want is not None:
            fills.append(name)
        elif not _alike(have, want):
            others.append(name)
    return tuple(fills), tuple(others)


def _alike(have: Any, want: Any) -> bool:
    if isinstance(have, float) and isinstance(want, float):
        return abs(have - want) <= 1e-9 * max(abs(have), abs(want))
    return bool(have == want)


def filled(known: T, told: T, fills: Sequence[str]) -> T:
    """The known one with what it lacks; the release comes as one."""
    simple = {_FILLS[name]: getattr(told, _FILLS[name]) for name in fills if name in _FILLS}
    if isinstance(known, Person) and isinstance(told, Person) and known.style is None and told.style is not None:
        simple |= {"style": told.style, "speed_reading": told.speed_reading}
    return replace(known, **simple)


def person_words(person: Person, *, named: bool = True) -> str:
    """What tells one of a name from another."""
    more = [person.nickname and f"“{person.nickname}”", person.phone, person.email, person.note[:40]]
    return ", ".join([*([person.name] if named else []), *(part for part in more if part)])


def addition_for(name: str, phone: str, taken: Callable[[str], bool]) -> str:
    """Something short that tells another one of a name apart: the end of the phone number, else a number."""
    ends = [end] if (end := _end_of(phone)) else []
    numbers = (str(n) for n in range(2, 10_000))
    for addition in (*ends, *numbers):
        if not taken(f"{name} ({addition})"):
            return addition
    return ""


def ends_in_phone(name: str, phone: str) -> bool:
    """Whether the addition to a name is the end of that phone number."""
    return bool(end := _end_of(phone)) and name.rstrip().endswith(f"({end})")


def _end_of(phone: str) -> str:
    return _digits(phone)[-4:] if len(re.sub(r"\D", "", phone)) >= 4 else ""
