"""The words of an event's plan: a cell, a line, a stage, why this bag."""

from __future__ import annotations

from datetime import datetime

from arsenal.acts import own_side, words
from arsenal.motion import at_arrows
from arsenal.order import words as say
from arsenal.plan.own_lines import OwnLine
from arsenal.plan.stages import LaneStage
from arsenal.surface.state import Estimate
from arsenal.trade import days
from arsenal.trade.person import Person
from arsenal.trade.units import FOOT_M, POUND_KG

TAKES = {"carrydown": "low flare on the pair"}


def line(person: Person, own: OwnLine) -> str:
    """“22, over 15” from the bowler's own gutter; empty where no line reaches."""
    if own.line is None:
        return ""
    arrows = own_side.board(person, at_arrows(own.line)[1])
    return f"{own_side.board(person, own.line.lateral_m):.0f}, over {arrows:.0f}"


def cell(own: OwnLine) -> str:
    """“2 in, 1 out”, “rolls out”, “late”, “early”."""
    if own.trace is None:
        return "early" if " high." in own.why else "late"
    if own.trace.rolls_out:
        return "rolls out"
    return f"{say.halves(own.in_boards)} in, {say.halves(own.out_boards)} out"


def boards(number: float) -> str:
    """“½ board”, “1 board”, “2½ boards”."""
    said = say.halves(number)
    return f"{said} board" if said in ("½", "1") else f"{said} boards"


def cell_hover(own: OwnLine, room: Estimate) -> str:
    """Room in shots, with its doubt, and what else tells the ball there."""
    share = f"{100 * room.mean:.0f} ± {max(100 * room.sd, 1.0):.0f} of 100 shots end in the pocket"
    if own.trace is None:
        return f"{own.why} Over all the lane may be, {share}."
    read = own.trace.first_read_m
    first = f"; first read {read / FOOT_M:.0f} ft" if read is not None else ""
    return f"{share}{first}."


def shots(stage: LaneStage) -> str:
    """“to shot 40”, “40 to 110”, “from 190”; of the variant what it takes."""
    if stage.variant:
        return TAKES[stage.key]
    if not stage.from_shot:
        return f"to shot {stage.to_shot}" if stage.to_shot else "all shots"
    return f"{stage.from_shot} to {stage.to_shot}" if stage.to_shot else f"from {stage.from_shot}"


def told(stage: LaneStage) -> str:
    """How the film tells the stage."""
    t = stage.told
    if not t.games:
        return "The lane as it was oiled. Shots are counted over everybody on the pair, warm-up too."
    said = [
        f"After {words.count(t.games, 'game')} the worn track holds {100 * t.mids:.0f} % of its oil past the fronts",
        f"{100 * t.heads:.0f} % in the fronts",
        f"a medium ball's best line lies {boards(abs(t.moved_in_boards))} "
        f"{'in' if t.moved_in_boards >= 0 else 'out'}side of its first",
        f"the bowler's first line ends {boards(abs(t.ends_boards))} {'higher' if t.ends_boards >= 0 else 'lighter'}",
    ]
    return "; ".join(said) + ". How fast shots wear a lane is a rough guess."


def likely(stage: LaneStage, games: int) -> str:
    """“may not come to it in 6 games”; empty where it does."""
    return "" if stage.likely else f"may not come to it in {words.count(games, 'game')}"


def clock(at: datetime) -> str:
    """“7:45”."""
    return f"{at.hour}:{at.minute:02d}"


def day_clock(at: datetime) -> str:
    """“Fri 27 Nov, 21:00”."""
    return f"{days.weekday_and_day(at.date())}, {clock(at)}"


def listed(names: list[str]) -> str:
    """“A”, “A and B”, “A, B and C”."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def weight_unit(units: str) -> str:
    """“lb”, or “kg” where metric units are set."""
    return "kg" if units == "metric" else "lb"


def weight(mass_kg: float, units: str, digits: int = 0) -> str:
    """A weight in the unit that is set, without its name: whole pounds or to `digits`, kilograms to a tenth."""
    said = f"{mass_kg:.1f}" if units == "metric" else f"{mass_kg / POUND_KG:.{digits}f}"
    return said.removesuffix(".0")
