"""A ball's own best line in numbers, and its entry held against the window of the published studies."""

from __future__ import annotations

from enum import IntEnum

from arsenal.acts import own_side
from arsenal.desk.parts.text import Run
from arsenal.motion import at_arrows
from arsenal.motion.entry import ANGLE_LOW_RAD, Entry, entry_of
from arsenal.motion.records import BestLine
from arsenal.order import words as say
from arsenal.trade.person import Person
from arsenal.trade.units import DEGREE_RAD, FOOT_M, INCH_M, KMH_MPS, MPH_MPS

LINE = (
    "The line with the most room for this ball and this release, by their own scatter. Room is how far a miss may go "
    "and still land on boards 17 to 18."
)


class Length(IntEnum):
    """How much is said."""

    SHORT = 0
    USUAL = 1
    ENTRY = 2
    PINS = 3


LENGTHS = (Length.PINS, Length.ENTRY, Length.USUAL, Length.SHORT)
"""Longest first."""


def facts(
    person: Person, best: BestLine, rolls_sd_m: float, length: Length, system: str = "imperial"
) -> tuple[Run, ...]:
    """“laydown 24   arrows 15   breakpoint 8 at 38 ft   entry 4.3°, at most 5.1°   rolls at 48 ± 1 ft   …”."""
    trace, usual = best.trace, length >= Length.USUAL
    told = [
        ("laydown", f"{own_side.board(person, best.line.lateral_m):.0f}", ""),
        ("arrows", f"{own_side.board(person, at_arrows(best.line)[1]):.0f}", ""),
    ]
    if trace.breakpoint_m is not None and trace.breakpoint_lateral_m is not None:
        board = f"{own_side.board(person, trace.breakpoint_lateral_m):.0f}"
        told.append(("breakpoint", board, f" at {say.feet(trace.breakpoint_m)} ft" if usual else ""))
    else:
        told.append(("plays", "straight", ""))
    steeper = degrees(best.entry_most_rad) != degrees(trace.entry_rad)
    most = f" of {degrees(best.entry_most_rad)} at most" if steeper and length >= Length.ENTRY else ""
    told.append(("entry", degrees(trace.entry_rad), most))
    if trace.rolls_m is not None:
        doubt = f" ± {say.doubt(rolls_sd_m / FOOT_M)} ft" if usual else ""
        told.append(("rolls at", say.feet(trace.rolls_m), doubt))
    if length >= Length.PINS:
        told.append(("at the pins", at_pins(best, system), ""))
    runs: list[Run] = []
    for number, (name, value, rest) in enumerate(told):
        runs += [Run(("    " if number else "") + name + " "), Run(value, True), Run(rest)]
    return tuple(runs)


def degrees(rad: float) -> str:
    """“4.3°”."""
    return f"{abs(rad) / DEGREE_RAD:.1f}°"


def at_pins(best: BestLine, system: str) -> str:
    """“14.2 mph, 0 % skid left”."""
    metric = system == "metric"
    speed = best.trace.speed_at_pins_mps / (KMH_MPS if metric else MPH_MPS)
    return f"{speed:.1f} {'km/h' if metric else 'mph'}, {100.0 * best.trace.skid_left_at_pins:.0f} % skid left"


def sentence(person: Person, best: BestLine, system: str = "imperial") -> str:
    """The entry in words: board, angle, window, what this release can reach, offset from the head pin, the pins."""
    one = entry_of(best)
    board = say.halves(own_side.board(person, one.landing_m))
    away = f"{100.0 * abs(one.offset_m):.1f} cm" if system == "metric" else f"{abs(one.offset_m) / INCH_M:.1f} in"
    return (
        f"Enters on board {board} at {degrees(one.angle_rad)}, {_window(one)}; the steepest this release and ball "
        f"reach here is {degrees(best.entry_most_rad)}. Its centre is {away} "
        f"{'beside' if one.offset_m >= 0.0 else 'past'} the head pin’s. At the pins {at_pins(best, system)}."
    )


def _window(one: Entry) -> str:
    if one.inside:
        return "inside the window of the published studies, boards 17 to 18 at 4 to 6°"
    if one.on_boards:
        side = "under" if one.angle_rad < ANGLE_LOW_RAD else "over"
        return f"on the boards of the published studies, 17 to 18, and {side} their 4 to 6°"
    return "outside the window of the published studies, boards 17 to 18 at 4 to 6°"
