"""What a form asks, as data: numbers, choices, text, heat and steps; nothing of widgets is known here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from arsenal.trade.ball import Ball
from arsenal.trade.entries import Kind, Payload
from arsenal.trade.lane import Lane
from arsenal.trade.limits import Limit
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person

Values = Mapping[str, Any]
Choices = Sequence[tuple[str, Any]]
Only = tuple[str, tuple[Any, ...]] | None


@dataclass(frozen=True, slots=True)
class Around:
    """What a form may name besides its own ball, and the units its numbers are shown in."""

    ball: Ball
    balls: Sequence[Ball]
    people: Sequence[Person]
    lanes: Sequence[Lane]
    pads: Sequence[Pad]
    today: date
    system: str = "imperial"
    cracked: bool = False
    plugged: bool = False
    barred: str = ""
    """What the rule says where pads may not be used now."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number within a limit (a key of LIMITS, or one of its own); its value is SI, None where left empty."""

    key: str
    label: str
    limit: str | Limit
    required: bool = False
    whole: bool = False
    start: float | None = None
    """SI."""
    only: Only = None
    """Asked only while another field has one of these values: (its key, the values)."""


@dataclass(frozen=True, slots=True)
class Heat:
    """A temperature in the user's unit; its value is in degrees Celsius."""

    key: str
    label: str
    only: Only = None


@dataclass(frozen=True, slots=True)
class Pick:
    """One of several values."""

    key: str
    label: str
    choices: Choices | Callable[[Around], Choices]
    start: Any = None
    only: Only = None


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text. `required` is the sentence said where it is empty; `people` offers the names known."""

    key: str
    label: str
    hint: str = ""
    required: str = ""
    most: int = 120
    people: bool = False
    only: Only = None


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps of surface work, one at least. `shine` ones polish or compound, the others also sand."""

    key: str
    label: str
    shine: bool = False
    only: Only = None


Field = Number | Heat | Pick | Text | Steps


@dataclass(frozen=True, slots=True)
class Made:
    """What a form came to."""

    kind: Kind
    payload: Payload
    typed: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """One kind of entry: where it stands in the list, what it asks, and what it makes of the answers.

    `make` raises KnownError for what the answers cannot mean; `blames` is the field such a sentence stands under.
    """

    key: str
    group: str
    title: str
    fields: tuple[Field, ...]
    make: Callable[[Values, Around], Made]
    caution: tuple[str, str] = ("", "")
    blames: str = ""


CRACKED = "A crack is open: no heat, and show it to a licensed or certified practitioner before any work."
PLUGGED = "This ball is plugged: ask a licensed or certified practitioner before heat."
WORK, HEAT = ("sanded", "polished"), ("oil drawn",)


def cautions(form: Form, around: Around) -> list[tuple[str, str]]:
    """What to mind before a form is filled, the ball's own damage first: (strong, plain)."""
    told = []
    if around.cracked and form.key in (*WORK, *HEAT):
        told.append((CRACKED, ""))
    elif around.plugged and form.key in HEAT:
        told.append((PLUGGED, ""))
    if around.barred and form.key in WORK:
        told.append((around.barred, "A dry towel only, the rule book says; check yours."))
    return [*told, form.caution] if form.caution[0] else told
