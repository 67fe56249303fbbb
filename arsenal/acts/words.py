"""Words for numbers and acts: two-figure grits, a doubt beside its number, the last-act line of what was logged."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date

from arsenal.exchange import sight_words
from arsenal.surface.state import SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import (
    Cleaned,
    Compared,
    Crack,
    Draft,
    Handed,
    Kind,
    New,
    OilDrawn,
    Played,
    Quantity,
    Reading,
    Saw,
    Shot,
    SurfaceWork,
    Wiped,
)
from arsenal.trade.pads import label

P90 = 1.2815515655446004
"""Standard deviations from the mean to the 90th percentile of a normal spread (standard tables)."""


def two_figures(value: float) -> float:
    """To two significant figures, as a grit is said."""
    if not math.isfinite(value) or value == 0.0:
        return value
    step = 10.0 ** (math.floor(math.log10(abs(value))) - 1)
    return round(value / step) * step


def grit_sd(low: float, high: float) -> float:
    """One standard deviation of a grit from its 10th and 90th percentile."""
    return (high - low) / (2.0 * P90)


def grit_words(state: SurfaceState) -> str:
    """“1700 ± 300”: both to the figure the first is said to."""
    grit = two_figures(state.grit)
    step = 10.0 ** (math.floor(math.log10(grit)) - 1) if grit > 0 else 1.0
    doubt = max(round(grit_sd(state.grit_low, state.grit_high) / step), 1) * step
    return f"{grit:.0f} ± {doubt:.0f}"


def signed(boards: float) -> str:
    """“+3”, “0”, “−5”, with a real minus sign."""
    whole = round(boards)
    return "0" if whole == 0 else f"+{whole}" if whole > 0 else f"−{-whole}"


def doubt(sd_boards: float) -> str:
    """“± 1”, “± ½” for a doubt under three quarters, never ± 0."""
    return "± ½" if sd_boards < 0.75 else f"± {sd_boards:.0f}"


def count(number: float, what: str) -> str:
    """“1 game”, “3 games”, “2.5 games”."""
    said = f"{number:.1f}".removesuffix(".0")
    return f"{said} {what}" if said == "1" else f"{said} {what}s"


def as_last(day: date, today: date) -> str:
    """“yesterday”, “last Thursday”, “Thu 5 Nov”."""
    ago = (today - day).days
    if ago <= 0:
        return "today"
    if ago == 1:
        return "yesterday"
    return f"last {days.WEEKDAYS[day.weekday()]}" if ago <= 7 else days.weekday_and_day(day)


def played(record: Played) -> str:
    """“3 games”, “14 shots”, “about 20 games”."""
    about = "about " if record.sd > 0 else ""
    if record.games_typed is not None:
        return about + count(record.games_typed, "game")
    return about + count(record.shots, "shot")


_WIPED = {Wiped.EACH: "wiped every shot", Wiped.SOMETIMES: "wiped sometimes", Wiped.NEVER: "never wiped"}
WIPED_IN_SHORT = {Wiped.EACH: "wiped", Wiped.SOMETIMES: "wiped sometimes", Wiped.NEVER: "never wiped"}
_READING = {
    Quantity.SCANNER_GRIT: "scanner number", Quantity.RA: "roughness", Quantity.GLOSS: "gloss",
    Quantity.MASS: "weight", Quantity.HARDNESS: "hardness", Quantity.DIAMETER: "diameter",
}  # fmt: skip


def done(drafts: Sequence[Draft], balls: Mapping[int, Ball]) -> str:
    """What was done, for the last-act line: “Logged 3 games on Rook Hollow, wiped every shot; cleaned”."""
    names = list(dict.fromkeys(balls[d.ball_id].name for d in drafts))
    if len(names) == 1:
        return "; ".join([_one(drafts[0], names[0], balls), *(short(d) for d in drafts[1:])])
    per_ball = {tuple(short(d) for d in drafts if balls[d.ball_id].name == name) for name in names}
    whom = ", ".join(names[:-1]) + f" and {names[-1]}" if len(names) <= 4 else f"{len(names)} balls"
    if len(per_ball) == 1:
        return f"Logged for {whom}: {'; '.join(per_ball.pop())}"
    return f"Logged {len(drafts)} entries for {whom}"


def _worked(draft: Draft) -> str:
    verb = "polished" if draft.kind == Kind.POLISHED else "sanded"
    return f"{verb} {label(draft.payload.steps)}" if isinstance(draft.payload, SurfaceWork) else verb


def _wiping(record: Played) -> str:
    return f", {_WIPED[record.wiped]}" if record.wiped else ""


def _in_short(shot: Shot) -> str:
    said = sight_words.in_short(shot.seen)
    return f": {said}" if said else ""


def short(draft: Draft) -> str:
    """What was done, without the ball: “sanded 1000 h”, “cleaned, same night”."""
    payload = draft.payload
    match payload:
        case Played():
            said = played(payload) + _wiping(payload)
        case SurfaceWork():
            said = _worked(draft)
        case Reading():
            said = f"read its {_READING[payload.quantity]}"
        case Cleaned():
            said = "cleaned, same night" if payload.same_night else "cleaned, later"
        case Saw():
            said = f"saw {payload.seen}"
        case Shot():
            said = "practice shot" + _in_short(payload)
        case OilDrawn():
            said = f"oil drawn, {payload.method.value}"
        case _:
            said = "took an entry back" if draft.kind == Kind.UNDO else str(draft.kind)
    return said


def in_a_key(drafts: Sequence[Draft]) -> str:
    """What a key would log, as short as it can be told: “1 game, wiped, cleaned”."""
    told: list[str] = []
    for draft in drafts:
        payload = draft.payload
        if isinstance(payload, Played):
            told += [played(payload), *([WIPED_IN_SHORT[payload.wiped]] if payload.wiped else [])]
        elif isinstance(payload, Cleaned) and payload.same_night and len(drafts) > 1:
            told.append("cleaned")
        else:
            told.append(short(draft))
    return ", ".join(told)


def _handed(kind: Kind | str, name: str, to: str) -> str:
    """“Lent Rook Hollow to Kell”, “Took Rook Hollow back”."""
    if kind == Kind.RETURNED:
        return f"Took {name} back"
    return f"{str(kind).capitalize()} {name}" + (f" to {to}" if to else "")


def _one(draft: Draft, name: str, balls: Mapping[int, Ball]) -> str:
    payload = draft.payload
    match payload:
        case Played():
            said = f"Logged {played(payload)} on {name}{_wiping(payload)}"
        case SurfaceWork():
            verb = "Polished" if draft.kind == Kind.POLISHED else "Sanded"
            said = f"{verb} {name}, {label(payload.steps)}"
        case Cleaned():
            said = f"Cleaned {name}, {'same night' if payload.same_night else 'later'}"
        case OilDrawn():
            said = f"Drew oil out of {name}, {payload.method.value}"
        case Reading():
            said = f"Kept the {_READING[payload.quantity]} of {name}"
        case Compared():
            other = balls[payload.other_ball_id].name if payload.other_ball_id in balls else "another ball"
            said = f"Kept that {name} ends {signed(payload.boards)} boards against {other}"
        case Saw():
            said = f"Logged {payload.seen} with {name}"
        case Shot():
            said = f"Logged a practice shot with {name}" + _in_short(payload)
        case Handed():
            said = _handed(draft.kind, name, payload.to)
        case _:
            said = _rest(draft, name)
    return said


def _rest(draft: Draft, name: str) -> str:
    if isinstance(draft.payload, Crack):
        return f"Noted a crack in {name}"
    if isinstance(draft.payload, New):
        return f"Noted how {name} came"
    return f"Took an entry of {name} back" if draft.kind == Kind.UNDO else f"Logged for {name}: {draft.kind}"
