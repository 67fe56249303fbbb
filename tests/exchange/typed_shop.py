"""A few invented balls, bowlers, conditions and pads that the tests of this folder speak of."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from arsenal.exchange import one_line
from arsenal.exchange.one_line import LineRead
from arsenal.trade import Ball, Cover, FilmSummary, Hand, Lane, Person, UnknownHouse
from arsenal.trade.entries import Abrasive, Draft, Entry, Payload, Scale, Step, Tool
from arsenal.trade.pads import Pad, Recipe

TODAY = date(2026, 11, 24)  # a Tuesday
PEOPLE = (
    Person(1, "Mirel Oster", "mirel"),
    Person(2, "Sunna Vik", "sunna", Hand.LEFT),
    Person(3, "Juni Halloran", "juni"),
)
ROOK = Ball(1, "Rook Hollow", "rook", 1, Cover.URETHANE, bought_on=date(2025, 3, 1), serial="7K20418")
JAY = Ball(2, "Jay Song", "jay", 1, Cover.SOLID)
MOTH = Ball(3, "Paper Moth", "moth", 1, Cover.PEARL)
GATE = Ball(4, "Plain Gate", "gate", 1, Cover.POLYESTER, spare=True)
GRANARY = Ball(5, "Dusk Granary", "granary", 2, Cover.HYBRID)
MEADOW = Ball(6, "First Meadow", "", 3, Cover.PEARL)
BALLS = (ROOK, JAY, MOTH, GATE, GRANARY, MEADOW)
LANES = (
    Lane(1, "41 ft house, 25 mL, fresh", FilmSummary(12.4968, 25e-6, 8.0)),
    Lane(2, "40 ft flat sport", FilmSummary(12.192, 26e-6, 2.0)),
    Lane(3, "Guest house, unknown oil", UnknownHouse()),
)
PADS = (
    Pad(1, 1000.0, owner_id=1, uses_hand=6.0),
    Pad(2, 1000.0, owner_id=1, used_up=True),
    Pad(3, 1000.0),
    Pad(4, 500.0),
    Pad(5, 1000.0, Scale.P),
    Pad(6, None, abrasive=Abrasive.POLISH, kind="liquid", bought_on=date(2026, 9, 1)),
)
_WET = Step(tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0)
RECIPES = (
    Recipe("early Monday", (replace(_WET, number=500.0), replace(_WET, number=16.0, scale=Scale.MICRON)), 1),
    Recipe(
        "=SUM(shine)",
        (Step(number=3000.0, scale=Scale.P), Step(Abrasive.NONWOVEN), Step(Abrasive.POLISH)),
        2,
        2,
        "x, y",
    ),
)


def read(text: str, *, pads: tuple[Pad, ...] = (), entries: tuple[Entry, ...] = (), **more: object) -> LineRead:
    """One line read on Tuesday, 24 November 2026."""
    return one_line.read(
        text, balls=BALLS, today=TODAY, pads=pads, lanes=LANES, people=PEOPLE, entries=entries, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def only(text: str, **more: object) -> Draft:
    """The one entry of a line."""
    (draft,) = read(text, **more).drafts  # type: ignore[arg-type]
    return draft


def payload(text: str, **more: object) -> Payload:
    """What the one entry of a line says."""
    return only(text, **more).payload


def said(found: LineRead) -> str:
    """The meaning with strong words between stars."""
    return "".join(f"*{text}*" if strong else text for text, strong in found.parts)
