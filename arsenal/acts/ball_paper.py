"""A ball's history as it is printed: for its owner with everything, for a buyer without anybody's name."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from arsenal.acts import counter, fits, hands, words
from arsenal.acts.counter_views import HistoryLine
from arsenal.acts.shop import Shop
from arsenal.surface.state import SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.fit import DrillRecord
from arsenal.trade.pads import label
from arsenal.trade.units import INCH_M, POUND_KG


@dataclass(frozen=True, slots=True)
class BallPaper:
    """What the sheet says: facts as (what, value), what is dangerous, the history with the oldest day first."""

    ball: Ball
    owner: str
    """Empty on a buyer's copy."""
    facts: tuple[tuple[str, str], ...]
    hazards: tuple[str, ...]
    lines: tuple[HistoryLine, ...]
    left_out: int
    on: date
    buyers: bool


def paper(shop: Shop, ball_id: int, *, buyers: bool, metric: bool = False) -> BallPaper:
    """The sheet of one ball. Raises NotFound."""
    ball, state = shop.ball(ball_id), shop.state(ball_id)
    drills = fits.drills_of(shop, ball_id)
    if buyers:
        told = hands.buyers_history(shop, ball_id)
        ball, lines, left_out = told.ball, told.lines, told.left_out
    else:
        lines, left_out = tuple(reversed(counter.history(shop, ball_id))), 0
    facts = (*_what(ball, state, metric=metric), *_now(state), *_drilled(drills, buyers=buyers, metric=metric))
    owner = "" if buyers else shop.person(ball.owner_id).name
    return BallPaper(ball, owner, facts, _hazards(state), lines, left_out, shop.today(), buyers)


def _what(ball: Ball, state: SurfaceState, *, metric: bool) -> list[tuple[str, str]]:
    kg = state.mass_kg or ball.mass_kg
    weight = f"{kg:.3f} kg" if metric else f"{kg / POUND_KG:.2f} lb"
    told = [("Cover", ball.cover.value), ("Colour", ball.colour), ("Serial", ball.serial or "none written down"),
            ("Weight", weight)]  # fmt: skip
    if ball.spec_known:
        factor, unit = (0.001, "mm") if metric else (INCH_M, "in")
        digits = 1 if metric else 3
        told.append(("RG", f"{ball.rg_m / factor:.{digits}f} {unit}"))
        told.append(("Differential", f"{ball.differential_m / factor:.{digits}f} {unit}"))
    return [(what, value) for what, value in told if value]


def _now(state: SurfaceState) -> list[tuple[str, str]]:
    finish = label(state.finish) if state.finish else "as it came"
    on = f", {days.day_and_year(state.finish_on)}" if state.finish_on else ""
    step = 10.0 ** (math.floor(math.log10(max(state.grit, 10.0))) - 1)
    doubt = max(round(words.grit_sd(state.grit_low, state.grit_high) / step), 1) * step
    plays = f"{words.two_figures(state.grit):.0f} ± {doubt:.0f}"
    told = [
        ("Finish", f"{finish}{on}"), ("Plays about", plays),
        ("Games", f"{state.games_in_all.mean:.0f} in this log, {state.games_on_finish.mean:.0f} on this finish"),
        ("Resurfaced", days.day_and_year(state.resurfaced_on) if state.resurfaced_on else ""),
        ("Deep oil drawn", days.day_and_year(state.deep_oil_on) if state.deep_oil_on else ""),
        ("Looked over", days.day_and_year(state.inspected_on) if state.inspected_on else ""),
    ]  # fmt: skip
    return [(what, value) for what, value in told if value]


def _drilled(drills: tuple[DrillRecord, ...], *, buyers: bool, metric: bool) -> list[tuple[str, str]]:
    """The last drilling; whose hand it fits and who drilled it are not a buyer's."""
    if not drills:
        return []
    last = drills[0]
    in_short = fits.in_short(last, metric=metric)
    told = [("Drilled", ", ".join(part for part in (days.day_and_year(last.drilled_on), in_short) if part))]
    if not buyers:
        told += [(what[:1].upper() + what[1:], value) for what, value in fits.words(last, metric=metric)
                 if what not in ("pin to axis point", "palm mark")]  # fmt: skip
    return told


def _hazards(state: SurfaceState) -> tuple[str, ...]:
    cracked = ("A crack is open: no heat; show it to a licensed or certified practitioner.",) if state.cracked else ()
    plugged = ("Plugged: ask a licensed or certified practitioner before heat.",) if state.plugged else ()
    return cracked + plugged
