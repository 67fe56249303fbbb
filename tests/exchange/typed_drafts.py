"""Hypothesis strategies: any entry of any kind that a form could make."""

from __future__ import annotations

from datetime import date

from hypothesis import strategies as st
from typed_shop import BALLS, LANES, PADS, PEOPLE, ROOK, TODAY

from arsenal.trade import entries as e
from arsenal.trade.release import Line, Measured
from arsenal.trade.trial import Sighting, Word
from arsenal.trade.units import (
    BOARD_M,
    DEGREE_RAD,
    FOOT_M,
    INCH_M,
    MICROINCH_M,
    MPH_MPS,
    POUND_KG,
    RPM_RADPS,
    SHOTS_A_GAME,
    c_from_f,
)


def between(low: float, high: float) -> st.SearchStrategy[float]:
    """A number as typed (few digits) or any float."""
    typed = st.integers(round(low * 1000), round(high * 1000)).map(lambda n: min(max(n / 1000, low), high))
    return typed | st.floats(low, high)


TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30)
SOME_TEXT = TEXT.filter(lambda text: bool(text.strip()))
SHARE = st.none() | between(0.0, 1.0)
PAD_IDS = st.none() | st.sampled_from([p.id for p in PADS])


@st.composite
def steps(draw: st.DrawFn) -> e.Step:
    abrasive = draw(st.sampled_from(e.Abrasive))
    scale = draw(st.sampled_from(e.Scale))
    number = draw(between(0.5, 100.0) if scale is e.Scale.MICRON else between(30.0, 12000.0))
    if abrasive is not e.Abrasive.GRIT and draw(st.booleans()):
        number, scale = None, e.Scale.PLAIN
    tool = draw(st.sampled_from(e.Tool))
    sides, seconds = draw(st.none() | st.integers(1, 12)), draw(st.none() | between(1.0, 600.0))
    if tool is e.Tool.MACHINE and sides is None and seconds is None:
        sides, seconds = 4, 30.0  # what a line means by a machine
    uses = draw(st.none() | between(0.0, 50.0))
    return e.Step(abrasive, number, scale, tool, draw(st.booleans()), sides, seconds, draw(PAD_IDS), uses)


STEPS = st.lists(steps(), min_size=1, max_size=4).map(tuple)
PLAYED_SD = st.sampled_from([0.0, 0.2]) | between(0.001, 1.0)
LANE_IDS = st.none() | st.sampled_from([lane.id for lane in LANES])
GAMES = between(0.1, 400.0)


@st.composite
def played(draw: st.DrawFn) -> e.Played:
    games = draw(st.none() | GAMES)
    shots = draw(between(1.0, 4400.0)) if games is None or draw(st.booleans()) else games * SHOTS_A_GAME
    return e.Played(shots, draw(PLAYED_SD), games, draw(LANE_IDS), draw(st.none() | st.sampled_from(e.Wiped)))


@st.composite
def drilled(draw: st.DrawFn) -> e.Drilled:
    holes = draw(st.integers(0, 8))
    pin = draw(st.none() | between(0.0, 6.75).map(lambda inches: inches * INCH_M))
    return e.Drilled(pin, holes, draw(st.integers(0, holes)), draw(st.booleans()), draw(st.just("") | SOME_TEXT))


_READING = {
    e.Quantity.SCANNER_GRIT: between(50.0, 12000.0),
    e.Quantity.RA: between(0.5, 200.0).map(lambda v: v * MICROINCH_M),
    e.Quantity.GLOSS: between(0.0, 200.0),
    e.Quantity.MASS: between(6.0, 16.01).map(lambda v: v * POUND_KG),
    e.Quantity.HARDNESS: between(40.0, 100.0),
    e.Quantity.DIAMETER: between(8.3, 8.6).map(lambda v: v * INCH_M),
}


@st.composite
def readings(draw: st.DrawFn) -> e.Reading:
    quantity = draw(st.sampled_from(e.Quantity))
    value = draw(_READING[quantity])
    angle = draw(st.sampled_from([None, 20.0, 60.0, 85.0])) if quantity is e.Quantity.GLOSS else None
    sd = draw(st.none() | between(0.0, 1.0).map(lambda share: share * value))
    warm = draw(st.none() | between(10.0, 40.0))
    return e.Reading(quantity, value, draw(st.just("") | SOME_TEXT), sd, angle, warm)


OIL = st.builds(
    e.OilDrawn, st.sampled_from(e.OilMethod), st.none() | between(10.0, 121.0), st.none() | between(1.0, 600.0),
    st.integers(1, 20), st.booleans(),
)  # fmt: skip
HANDED = st.one_of(
    st.builds(e.Handed, SOME_TEXT, st.none() | st.sampled_from([p.id for p in PEOPLE])),
    st.sampled_from(PEOPLE).map(lambda p: e.Handed(p.name, p.id)),
)
COMPARED = st.builds(
    e.Compared, st.sampled_from([b.id for b in BALLS if b is not ROOK]), between(-40.0, 40.0).map(lambda b: b + 0.0),
    between(0.01, 40.0), LANE_IDS,
)  # fmt: skip


def _in(unit_si: float, low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.none() | between(low, high).map(lambda v: v * unit_si + 0.0)


BOARD = st.none() | between(-5.0, 60.0).map(lambda board: (board - 0.5) * BOARD_M)
SIGHTINGS = st.builds(
    Sighting, BOARD, _in(FOOT_M, 0.0, 90.0), _in(FOOT_M, 0.0, 90.0), BOARD, BOARD, _in(BOARD_M, -12.0, 12.0),
    st.lists(st.sampled_from(Word), unique=True, max_size=3).map(tuple),
    st.lists(st.integers(1, 10), unique=True, max_size=4).map(tuple), st.booleans(),
)  # fmt: skip
MEASURED = st.builds(
    Measured, _in(MPH_MPS, 8.0, 25.0), _in(RPM_RADPS, 1.0, 750.0), _in(DEGREE_RAD, -20.0, 120.0),
    _in(DEGREE_RAD, 0.0, 90.0), _in(DEGREE_RAD, -8.0, 8.0), _in(DEGREE_RAD, -15.0, 15.0),
).map(lambda read: None if read == Measured() else read)  # fmt: skip
OWN_LINE = st.builds(
    Line, between(1.0, 39.0).map(lambda b: b * BOARD_M), between(-8.0, 8.0).map(lambda d: d * DEGREE_RAD + 0.0)
)
SHOTS = st.builds(
    e.Shot, SIGHTINGS, st.none() | st.sampled_from([p.id for p in PEOPLE]), LANE_IDS, st.none() | OWN_LINE, MEASURED,
    st.sampled_from([None, True, False]), st.none() | st.integers(0, 24 * 60 - 1), st.just("") | SOME_TEXT,
)  # fmt: skip
NEW = st.builds(e.New, st.just(()) | STEPS, st.booleans(), st.none() | GAMES)
REPAIR = st.builds(e.Repair, SOME_TEXT, st.booleans(), st.booleans())


def _work(made: tuple[e.Step, ...], kind: e.Kind, whole: bool, competing: bool) -> tuple[e.Kind, e.Payload]:
    return kind, e.SurfaceWork(made, whole, competing)


SURFACE = st.builds(_work, STEPS, st.sampled_from([e.Kind.SANDED, e.Kind.POLISHED]), st.booleans(), st.booleans())


def _of(kind: e.Kind, payloads: st.SearchStrategy[e.Payload]) -> st.SearchStrategy[tuple[e.Kind, e.Payload]]:
    return st.tuples(st.just(kind), payloads)


KINDS: dict[str, st.SearchStrategy[tuple[e.Kind, e.Payload]]] = {
    "new": _of(e.Kind.NEW, NEW), "drilled": _of(e.Kind.DRILLED, drilled()), "surface": SURFACE,
    "played": _of(e.Kind.PLAYED, played()), "cleaned": _of(e.Kind.CLEANED, st.builds(e.Cleaned, st.booleans())),
    "oil drawn": _of(e.Kind.OIL_DRAWN, OIL), "reading": _of(e.Kind.READING, readings()),
    "drop test": _of(e.Kind.DROP_TEST, st.builds(e.DropTest, between(0.2, 600.0))),
    "inspected": _of(e.Kind.INSPECTED, st.builds(e.Inspected, st.just("") | SOME_TEXT)),
    "crack": _of(e.Kind.CRACK, st.builds(e.Crack, st.just("") | SOME_TEXT, st.booleans())),
    "repair": _of(e.Kind.REPAIR, REPAIR), "lent": _of(e.Kind.LENT, HANDED),
    "returned": _of(e.Kind.RETURNED, HANDED | st.just(e.Handed())),
    "sold": _of(e.Kind.SOLD, HANDED | st.just(e.Handed())),
    "retired": _of(e.Kind.RETIRED, st.just(e.Handed())), "compared": _of(e.Kind.COMPARED, COMPARED),
    "saw": _of(e.Kind.SAW, st.builds(e.Saw, st.sampled_from(e.Seen), LANE_IDS)),
    "shot": _of(e.Kind.SHOT, SHOTS),
    "note": _of(e.Kind.NOTE, st.builds(e.Note, SOME_TEXT)),
}  # fmt: skip
DAYS = st.dates(date(2025, 3, 1), TODAY)


@st.composite
def drafts(draw: st.DrawFn) -> e.Draft:
    """Any entry of Rook Hollow that a form could make."""
    kind, payload = draw(st.one_of(*KINDS.values()))
    on = draw(DAYS)
    return e.Draft(ROOK.id, kind, on, payload, late=on < TODAY)


__all__ = ["KINDS", "between", "c_from_f", "drafts"]
