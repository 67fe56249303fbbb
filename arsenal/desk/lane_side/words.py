"""Words of the room: finish, flag, marks and doubts of a row, and a ball said whole to a screen reader.

Boards and feet are whole, halves where the doubt is under one; grit has two figures; minus is U+2212.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from arsenal.acts import own_side
from arsenal.acts.words import two_figures
from arsenal.motion import at_arrows
from arsenal.motion.records import Trace
from arsenal.order import words as say
from arsenal.order.records import OrderRow, PadResult
from arsenal.plan.records import Due, Job, Work
from arsenal.surface.state import SurfaceState
from arsenal.trade.entries import Scale, Step
from arsenal.trade.pads import label
from arsenal.trade.person import Person
from arsenal.trade.release import Line, Style
from arsenal.trade.units import FOOT_M, KMH_MPS, MPH_MPS, RPM_RADPS

FLAGS = ("leaves lane", "rolls out", "wipe", "refresh", "same as above")
"""What a row may be marked with, most pressing first; one at most is shown."""
DUE_NOW = (Due.DUE, Due.OVER)
RELATIVE = (
    "Temperature, topography and the make of the lane move every ball alike, by up to 8 boards and more: "
    "believe the differences between balls before the boards themselves."
)


def boards(row: OrderRow) -> str:
    """“+2½”, “0”, “−5”."""
    return "0" if row.benchmark else say.signed(row.boards, row.boards_sd)


def doubt(row: OrderRow) -> str:
    """“± 1”; empty for the benchmark, which the others are counted from."""
    return "" if row.benchmark else f"± {say.doubt(row.boards_sd)}"


def grit(state: SurfaceState) -> str:
    """“2100”."""
    return f"{two_figures(state.grit):.0f}"


def finish(state: SurfaceState) -> str:
    """“1000 h”."""
    return label(state.finish)


def rest_of_finish(state: SurfaceState, *, short: bool = False) -> str:
    """“, plays about 2100, 5 games”."""
    return rests_of_finish(state)[1 if short else 0]


def rests_of_finish(state: SurfaceState) -> tuple[str, ...]:
    """The same from long to short, the last where a finish of many steps leaves little room."""
    grit_, count = grit(state), games(state.games_on_finish.mean)
    return f", plays about {grit_}, {count}", f", ~{grit_}, {count}", f", ~{grit_}, {count.split()[0]} g", f", ~{grit_}"


def games(number: float) -> str:
    """“5 games”, “1 game”."""
    whole = round(number)
    return f"{whole} game" if whole == 1 else f"{whole} games"


def flag(row: OrderRow, jobs: Iterable[Job]) -> str:
    """The one flag of a row; empty where there is none. The benchmark keeps its word: it is what others are like."""
    due = {job.work for job in jobs if job.ball_id == row.ball.id and job.due in DUE_NOW}
    told = set(row.flags) - ({"same as above"} if row.benchmark else set())
    if Work.WIPE in due:
        told.add("wipe")
    if due & {Work.REFRESH, Work.RESURFACE}:
        told.add("refresh")
    return next((name for name in FLAGS if name in told), "")


def marks(person: Person, trace: Trace) -> str:
    """“first read 33 ft, breakpoint 8 at 38 ft, rolls at 48 ft”; a mark that does not exist is said so."""
    told = [
        "never reads on the lane" if trace.first_read_m is None else f"first read {say.feet(trace.first_read_m)} ft"
    ]
    if trace.breakpoint_m is None or trace.breakpoint_lateral_m is None:
        told.append("plays straight")
    else:
        board = own_side.board(person, trace.breakpoint_lateral_m)
        told.append(f"breakpoint {board:.0f} at {say.feet(trace.breakpoint_m)} ft")
    if trace.rolls_m is not None:
        beyond = ", beyond the pins" if trace.rolls_m > 60.0 * FOOT_M else ""
        told.append(f"rolls at {say.feet(trace.rolls_m)} ft{beyond}")
    return ", ".join(told)


def scale(steps: Iterable[Step]) -> str:
    """What the numbers of a finish count on, for the hover."""
    named = [step.scale for step in steps if step.number is not None]
    if not named:
        return ""
    if any(one is not Scale.PLAIN for one in named):
        return (
            f"Grain on the {' and '.join(dict.fromkeys(one.value for one in named if one is not Scale.PLAIN))} scale."
        )
    return "Pads sold by a number alone: the P scale is taken, with more doubt."


def doubt_source(state: SurfaceState) -> str:
    """How well the roughness is known, and what would narrow it."""
    percent = 100.0 * (math.exp(state.ln_ra_m.sd) - 1.0)
    return f"Its roughness is known to about {percent:.0f} %; a reading narrows it, play since then widens it."


def hover(row: OrderRow, person: Person, tied: Iterable[str]) -> str:
    """Everything about a row: words before feet."""
    read = f"Reads {row.read_word}, shape {row.shape_word}." if row.read_word else "Never reads on this shot."
    state = row.state
    parts = [
        f"{row.ball.name}, {row.ball.cover.value}.", read, f"{marks(person, row.trace).capitalize()}.",
        f"Set to {finish(state)}, about {two_figures(state.finish_set_grit):.0f} then; plays about {grit(state)} now "
        f"({two_figures(state.grit_low):.0f} to {two_figures(state.grit_high):.0f}).",
        scale(state.finish), doubt_source(state),
    ]  # fmt: skip
    names = list(tied)
    if names:
        parts.append(f"Under 90 % sure against {say.names(names)}.")
    parts += [finding.sentence for finding in row.findings]
    return " ".join(part for part in parts if part)


def spoken(row: OrderRow, mark: str, *, hand: bool = False, drawn: bool = False) -> str:
    """A row of the list as one sentence."""
    name = f"{row.place}. {row.ball.name}" if row.place else f"{row.ball.name}, spare ball, not in the order"
    told = [name, f"{finish(row.state)}{rest_of_finish(row.state)}"]
    if row.place:
        counted = "benchmark" if row.benchmark else f"{boards(row)} boards {doubt(row)}"
        told += [counted, f"reads {row.read_word or 'never'}, {row.shape_word}".rstrip(", ")]
    told += [mark] if mark else []
    told += ["in hand"] if hand else []
    told += [("stays drawn" if hand else "drawn too")] if drawn else []
    return ", ".join(told)


def throw(style: Style | None, system: str = "imperial") -> str:
    """“16.4 mph, 325 rpm”."""
    if style is None:
        return "nobody knows how yet"
    speed = style.speed_mps / (KMH_MPS if system == "metric" else MPH_MPS)
    unit = "km/h" if system == "metric" else "mph"
    return f"{speed:.1f} {unit}, {style.rev_rate_radps / RPM_RADPS:.0f} rpm"


def line(person: Person, of: Line) -> str:
    """“22, over 15”: laydown, and the board at the arrows."""
    arrows = own_side.board(person, at_arrows(of)[1])
    return f"{own_side.board(person, of.lateral_m):.0f}, over {arrows:.0f}"


def room(inside: float, outside: float) -> str:
    """“2 in, 1 out”."""
    return f"{say.halves(inside)} in, {say.halves(outside)} out"


def pad_boards(result: PadResult) -> tuple[str, str]:
    """(“+1”, “board ± 1”) of a pad key."""
    change = result.boards_change
    amount = say.amount(change.mean, change.sd)
    unit = "board" if amount in ("½", "1") else "boards"
    return say.signed(change.mean, change.sd), f"{unit} ± {say.doubt(change.sd)}"


def pad_read(result: PadResult, *, short: bool = False) -> str:
    """“reads 1 ft earlier”, “reads the same”."""
    change = result.first_read_change_m
    feet, sd = change.mean / FOOT_M, change.sd / FOOT_M
    amount = say.amount(feet, sd)
    said = "the same" if amount == "0" else f"{amount} ft {'earlier' if feet < 0 else 'later'}"
    return said if short else f"reads {said}"
