"""A bowler's bag with its logs, to ask what is due in a test; all invented."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from arsenal.surface import fold
from arsenal.surface.state import SurfaceState
from arsenal.trade import Ball, Cover, FilmSummary, Lane, Person, Style
from arsenal.trade.entries import (
    Cleaned,
    Crack,
    Drilled,
    Entry,
    Handed,
    Inspected,
    Kind,
    New,
    OilDrawn,
    OilMethod,
    Payload,
    Played,
    Scale,
    Step,
    SurfaceWork,
    Tool,
    Wiped,
)  # fmt: skip
from arsenal.trade.priors import default_priors
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS, SHOTS_A_GAME

PRIORS = default_priors()
HOUSE = Lane(1, "41 ft house, 25 mL", FilmSummary(41.0 * FOOT_M, 25e-6, 8.0))
STYLE = Style(17.9 * MPH_MPS, 416.0 * RPM_RADPS, 45.0 * DEGREE_RAD, 0.0)
MIREL = Person(1, "Mirel", style=STYLE, benchmark_ball_id=1, usual_lane_id=1, games_a_week=6.0)
START = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)

Event = tuple[date, Kind, Payload]


def pad(number: float, tool: Tool = Tool.MACHINE) -> Step:
    return Step(number=number, scale=Scale.P, tool=tool, wet=tool is not Tool.HAND)


def new(on: date = START, *steps: Step) -> Event:
    return on, Kind.NEW, New(steps or (pad(2000.0),))


def sanded(on: date, *numbers: float) -> Event:
    return on, Kind.SANDED, SurfaceWork(tuple(pad(n) for n in numbers))


def played(on: date, games: float, wiped: Wiped | None = Wiped.EACH) -> Event:
    return on, Kind.PLAYED, Played(games * SHOTS_A_GAME, games_typed=games, wiped=wiped)


def cleaned(on: date) -> Event:
    return on, Kind.CLEANED, Cleaned()


def drawn(on: date) -> Event:
    return on, Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, 50.0, 20.0, 2)


def inspected(on: date) -> Event:
    return on, Kind.INSPECTED, Inspected()


def cracked(on: date) -> Event:
    return on, Kind.CRACK, Crack("bridge")


def sold(on: date) -> Event:
    return on, Kind.SOLD, Handed("a friend")


def drilled(on: date) -> Event:
    return on, Kind.DRILLED, Drilled()


def nights(first: date, count: int, games: float, every_days: int = 7, *, clean: bool = True) -> list[Event]:
    days = [first + timedelta(days=every_days * k) for k in range(count)]
    return [e for day in days for e in ([played(day, games), cleaned(day)] if clean else [played(day, games)])]


def log(ball_id: int, *events: Event) -> list[Entry]:
    return [
        Entry(100 * ball_id + i, ball_id, kind, on, payload, NOON, 0) for i, (on, kind, payload) in enumerate(events)
    ]


def ball(number: int = 1, cover: Cover = Cover.SOLID, **fields: object) -> Ball:
    return Ball(number, f"Ball {number}", f"b{number}", 1, cover, **fields)  # type: ignore[arg-type]


def folded(of: Ball, entries: list[Entry], until: date | None = None) -> tuple[Ball, SurfaceState]:
    return of, fold(of, entries, PRIORS, until=until)
