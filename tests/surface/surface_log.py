"""Short words to write a ball's log in a test."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import (
    Abrasive,
    Cleaned,
    Entry,
    Kind,
    New,
    Payload,
    Played,
    Quantity,
    Reading,
    Scale,
    Step,
    SurfaceWork,
    Tool,
    Undo,
    Wiped,
)  # fmt: skip
from arsenal.trade.priors import default_priors
from arsenal.trade.units import SHOTS_A_GAME

PRIORS = default_priors()
DAY = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def ball(cover: Cover = Cover.SOLID, **fields: object) -> Ball:
    return Ball(1, "Rook", "rook", 1, cover, **fields)  # type: ignore[arg-type]


def hand(number: float | None, **fields: object) -> Step:
    return Step(number=number, scale=Scale.P, tool=Tool.HAND, **fields)  # type: ignore[arg-type]


def machine(number: float | None, **fields: object) -> Step:
    return Step(number=number, scale=Scale.P, tool=Tool.MACHINE, wet=True, **fields)  # type: ignore[arg-type]


POLISH = Step(Abrasive.POLISH, tool=Tool.SPINNER)
COMPOUND = Step(Abrasive.COMPOUND, tool=Tool.SPINNER)


def new(*steps: Step) -> tuple[Kind, New]:
    return Kind.NEW, New(steps)


def used(games: float | None = None) -> tuple[Kind, New]:
    return Kind.NEW, New((), history_known=False, games_before=games)


def sanded(*steps: Step, **fields: object) -> tuple[Kind, SurfaceWork]:
    return Kind.SANDED, SurfaceWork(steps, **fields)  # type: ignore[arg-type]


def played(games: float, *, sd: float = 0.0, wiped: Wiped | None = Wiped.EACH, lane: int | None = None) -> tuple[
    Kind, Played
]:  # fmt: skip
    return Kind.PLAYED, Played(games * SHOTS_A_GAME, sd, games, lane, wiped)


def cleaned(*, same_night: bool = True) -> tuple[Kind, Cleaned]:
    return Kind.CLEANED, Cleaned(same_night)


def scanner(value: float, *, sd: float | None = None, by: str = "bench scanner") -> tuple[Kind, Reading]:
    return Kind.READING, Reading(Quantity.SCANNER_GRIT, value, by, sd)


def read_ra(value_m: float, *, sd: float | None = None, by: str = "stylus") -> tuple[Kind, Reading]:
    return Kind.READING, Reading(Quantity.RA, value_m, by, sd)


def entry(seq: int, kind: Kind | str, payload: Payload, *, on: date | None = None, **fields: object) -> Entry:
    return Entry(seq, 1, kind, on or DAY, payload, NOON, 0, **fields)  # type: ignore[arg-type]


def log(*told: tuple[Kind | str, Payload], start: date = DAY, days: int = 1) -> list[Entry]:
    """One entry after the other, `days` apart."""
    return [entry(i + 1, kind, payload, on=start + timedelta(days=i * days)) for i, (kind, payload) in enumerate(told)]


def undo(seq: int, of: int, on: date = DAY) -> Entry:
    return entry(seq, Kind.UNDO, Undo(), on=on, undoes=of)
