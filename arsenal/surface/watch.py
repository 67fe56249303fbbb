"""What is odd in a ball's log, as finished sentences: findings, never exceptions."""

from __future__ import annotations

import math
import re
from datetime import date

from arsenal.surface.state import Estimate
from arsenal.trade.ball import Ball
from arsenal.trade.days import day_and_year as day
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.rules import rule
from arsenal.trade.units import INCH_M

HEAT_LIMIT_C = 54.5
"""130 °F is 54.4 °C; no governing body's limit was found, so this is a caution and no rule."""
DIAMETER_RULE = "ball-diameter"
DIAMETER_NEAR_IN = 0.005
"""Our own assumption: so much above the least diameter is near."""
NEVER_CLEANED_GAMES = 30.0
CRACK_WORDS = {"crack", "cracks", "cracked", "hairline", "hairlines"}
NONE_WORDS = {"no", "not", "none", "without"}


def two_figures(grit: float) -> str:
    """A grit number to two figures."""
    if not math.isfinite(grit) or grit <= 0.0:
        return "nothing"
    step = 10.0 ** (math.floor(math.log10(grit)) - 1)
    return f"{round(grit / step) * step:g}"


def impossible(seq: int | None, on: date, what: str, why: str) -> Finding:
    """An entry that cannot be true is left out and shown."""
    return Finding("impossible", f"{what} on {day(on)} has {why}: it is shown but not counted.", Weight.WARN, seq)


def part_surface(seq: int | None, on: date) -> Finding:
    """Worked on only part of the surface."""
    sentence = (
        f"Surface work on {day(on)} was not on the whole ball. The rule book asks for the whole surface; check yours."
    )
    return Finding("part-surface", sentence, Weight.BAD, seq, "surface-whole")


def in_competition(seq: int | None, on: date) -> Finding:
    """Surface work dated inside a competition."""
    sentence = (
        f"Surface work on {day(on)} is marked as during competition, when the rule book allows only a dry towel; "
        "check yours."
    )
    return Finding("in-competition", sentence, Weight.BAD, seq, "surface-in-competition")


def before_bought(seq: int, on: date, bought: date) -> Finding:
    """An entry older than the ball."""
    sentence = (
        f"An entry tells of {day(on)}, before the ball was bought on {day(bought)}. It is counted; check the dates."
    )
    return Finding("before-bought", sentence, Weight.WARN, seq)


def came_later(seq: int, on: date, entries: int) -> Finding:
    """The ball came after entries that tell of it."""
    were = "1 entry is" if entries == 1 else f"{entries} entries are"
    return Finding("before-new", f"The ball came on {day(on)}, but {were} older. Check the dates.", Weight.WARN, seq)


def after_gone(seq: int, on: date, what: str, holder: str) -> Finding:
    """Used after it was sold or retired."""
    return Finding(
        "after-gone", f"{what} on {day(on)}, after the ball was {holder}. Check the dates.", Weight.WARN, seq
    )


def crack_open(seq: int | None, on: date, where: str) -> Finding:
    """A crack nobody has mended."""
    at = f" ({where})" if where else ""
    sentence = f"A crack was found on {day(on)}{at}: no heat, and show it to a pro shop before any work."
    return Finding("crack", sentence, Weight.BAD, seq)


def worked_cracked(seq: int, on: date, what: str) -> Finding:
    """Work or heat on a cracked ball."""
    return Finding("crack-worked", f"{what} on {day(on)} with a crack open. Stop and show the ball.", Weight.BAD, seq)


def heat_plugged(seq: int, on: date) -> Finding:
    """Heat on a plugged ball."""
    sentence = f"Heat on {day(on)} on a plugged ball: plugs can lift. Have them looked at."
    return Finding("heat-plugged", sentence, Weight.WARN, seq)


def too_hot(seq: int, on: date, celsius: float) -> Finding:
    """Above the temperature people call safe."""
    fahrenheit = celsius * 1.8 + 32.0
    sentence = f"Oil was drawn at {celsius:.0f} °C ({fahrenheit:.0f} °F) on {day(on)}: above 54 °C a ball can crack."
    return Finding("too-hot", sentence, Weight.WARN, seq)


def other_method(seq: int, on: date) -> Finding:
    """Neither a bath nor a cabinet."""
    sentence = (
        f"Oil was drawn on {day(on)} by neither bath nor heat cabinet: how much came out is not known, and heat guns, "
        "ovens and flames crack balls."
    )
    return Finding("other-heat", sentence, Weight.WARN, seq)


def reading_against_log(seq: int, on: date, read: float, log: float, spreads: float) -> Finding:
    """A reading that the log cannot explain."""
    sentence = (
        f"The reading of {day(on)} stands for about {two_figures(read)}; by the log it was about {two_figures(log)}, "
        f"{spreads:.0f} spreads off. One of them misses something; the doubt is widened until the next reading."
    )
    return Finding("reading-against-log", sentence, Weight.WARN, seq)


def other_against_log(seq: int, on: date, what: str, said: str, spreads: float) -> Finding:
    """A weight, a diameter or a gloss that the log cannot explain."""
    sentence = (
        f"The {said} read on {day(on)} lies {spreads:.0f} spreads off what the log makes of it. It is kept; measure "
        "again, or see what the log misses."
    )
    return Finding(f"{what}-against-log", sentence, Weight.WARN, seq)


def gloss_no_use(seq: int, on: date) -> Finding:
    """A gloss reading where its angle tells nothing."""
    sentence = f"Gloss at 60° on {day(on)} tells nothing on a finish this rough: measure at 85°."
    return Finding("gloss-rough", sentence, Weight.NOTE, seq)


def unknown_kind(seq: int, on: date, kind: str) -> Finding:
    """An entry of a newer program."""
    return Finding(
        "unknown-kind",
        f"An entry of {day(on)} is of a kind not known here, “{kind}”: kept, not counted.",
        Weight.NOTE,
        seq,
    )


def loose_undo(seq: int, on: date) -> Finding:
    """An undo of nothing."""
    return Finding("loose-undo", f"An undo of {day(on)} names no entry: nothing was taken back.", Weight.NOTE, seq)


def nothing_done(seq: int, on: date) -> Finding:
    """A sanding of no time."""
    return Finding(
        "nothing-done", f"The surface work of {day(on)} took no time at all: nothing changed.", Weight.NOTE, seq
    )


def nobody_said() -> Finding:
    """No word of how the ball came."""
    sentence = "Nobody has said how this ball came, new or used: the games count from the log's first entry."
    return Finding("no-beginning", sentence, Weight.NOTE)


def never_cleaned(games: float) -> Finding:
    """No cleaning in the log."""
    return Finding("never-cleaned", f"No cleaning is in the log in {games:.0f} games.", Weight.NOTE)


def inspection_found(seq: int, on: date, found: str) -> Finding:
    """An inspection saw something; where it speaks of a crack, the log should too."""
    words = set(re.findall(r"\w+", found.casefold()))
    if words & CRACK_WORDS and not words & NONE_WORDS:
        sentence = (
            f"Inspection of {day(on)}: {found.rstrip('.')}. If it is a crack, log it as one: no heat, and show it to a "
            "licensed or certified practitioner before any work."
        )
        return Finding("inspected", sentence, Weight.WARN, seq)
    return Finding("inspected", f"Inspection of {day(on)}: {found.rstrip('.')}.", Weight.NOTE, seq)


def diameter(ball: Ball, radius: Estimate, off: Estimate, seq: int | None) -> Finding | None:
    """Near or under the least diameter of the rule table, or over the most; balls of its weights only. One that nobody
    has measured is only ever told as near, once surface work in its log brings it there.
    """
    row = rule(DIAMETER_RULE)
    if not row.covers(ball.mass_kg) or row.low is None or row.high is None:
        return None
    if seq is None and off.mean <= 0.0:
        return None
    across, doubt = 2.0 * radius.mean / INCH_M, 2.0 * radius.sd / INCH_M
    said = f"{across:.3f} in across (± {doubt:.3f})"
    if seq is None:
        said += " by what its log says was sanded off"
    elif not row.allows(across):
        text = f"The ball is {said}; the rule book asks for {row.low:.3f} to {row.high:.3f} in. Check yours."
        return Finding("diameter", text, Weight.BAD, seq, row.id)
    if across - row.low < DIAMETER_NEAR_IN + doubt:
        text = f"The ball is {said}, near the least diameter of {row.low:.3f} in: "
        text += "measure it before the next sanding." if seq is None else "sand no more than it needs."
        return Finding("diameter-near", text, Weight.WARN, seq, row.id)
    return None
