"""The sentence under the pad keys and its warnings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from arsenal.motion.records import BestLine, NoLine
from arsenal.order import words
from arsenal.order.compare import Reaction
from arsenal.order.pad_life import HARDLY_CUTS
from arsenal.order.sequence import COMMON_GRITS, grain
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.entries import Scale, Step
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.units import FOOT_M, INCH_M

MAY_ROLL_OUT = 0.25
"""Said from one draw in four on (our own assumption)."""
THOU_M = 0.001 * INCH_M


@dataclass(frozen=True, slots=True)
class Told:
    """What the sentence is made of."""

    place: int
    place_before: int
    then: Reaction
    others: tuple[tuple[str, Reaction], ...]
    boards: Estimate
    rolls_m: float | None
    rolls_sd_m: float
    minutes: float
    uses: float | None
    best: BestLine | NoLine | None
    spare: bool


def sentence(told: Told) -> str:
    """“still place 2, 1 board under Umber Kestrel · room 1 in, 1 out · rolls at 47 ± 1 ft · about 3 min, pad's 7th
    use”.
    """
    parts = [_place(told)]
    if isinstance(told.best, BestLine):
        inside, outside = words.halves(told.best.room_in_boards), words.halves(told.best.room_out_boards)
        parts.append(f"room {inside} in, {outside} out")
    elif isinstance(told.best, NoLine):
        parts.append("no line reaches the pocket")
    if told.rolls_m is not None:
        parts.append(f"rolls at {words.feet(told.rolls_m)} ± {words.doubt(told.rolls_sd_m / FOOT_M)} ft")
    takes = f"about {max(1.0, told.minutes):.0f} min"
    if told.uses is not None:
        takes += f", pad’s {words.nth(int(told.uses) + 1)} use"
    parts.append(takes)
    if abs(told.boards.mean) <= told.boards.sd:
        parts.append("the doubt is as large as the change")
    return " · ".join(parts)


def _place(told: Told) -> str:
    if told.spare:
        return "a spare ball, out of the order"
    place = f"still place {told.place}" if told.place == told.place_before else f"place {told.place}"
    above = [(r.boards, name) for name, r in told.others if r.boards > told.then.boards + 1e-6]
    below = [(r.boards, name) for name, r in told.others if r.boards <= told.then.boards + 1e-6]
    if above:
        boards, name = min(above)
        return f"{place}, {_apart(boards - told.then.boards, 'under', name)}"
    if below:
        boards, name = max(below)
        return f"{place}, {_apart(told.then.boards - boards, 'over', name)}"
    return place


def _apart(boards: float, way: str, name: str) -> str:
    if words.halves(boards) == "0":
        return f"level with {name}"
    return f"{words.counted(boards, 1.0 if boards >= 1.0 else 0.0)} {way} {name}"


def _nearest(grit: float) -> int:
    return min(range(len(COMMON_GRITS)), key=lambda i: abs(math.log(COMMON_GRITS[i] / grit)))


def gentler_first(steps: Sequence[Step], plays_about: float) -> float | None:
    """The common grit to try first where the recipe jumps over more than one of them toward coarser; else None."""
    last = grain(steps[-1]) if steps else None
    if last is None or last <= 0.0:
        return None
    now, then = _nearest(plays_about), _nearest(last)
    return COMMON_GRITS[now - 1] if now - then > 2 else None


def known_at(state: SurfaceState) -> float:
    """The roughest grit its owner knows this ball at: as it plays, as it was set, or the pad that set it. Going back to
    that is no jump.
    """
    grains = [state.grit, state.finish_set_grit]
    last = grain(state.finish[-1]) if state.finish else None
    return min(g for g in (*grains, last) if g is not None and g > 0.0)


def gentler(recipe: Recipe, before: SurfaceState, stock: Mapping[int, Pad]) -> Recipe | None:
    """The one step to try before a long jump, done the way the recipe ends, with a pad of that grain where one is in
    stock; None where the recipe is no long jump.
    """
    first = gentler_first(recipe.steps, known_at(before))
    if first is None:
        return None
    step = replace(recipe.steps[-1], number=first, scale=Scale.PLAIN, pad_id=None, uses_before=None)
    fitting = [p for p in stock.values() if not p.used_up and p.abrasive is step.abrasive and p.number == first]
    plain = [p for p in fitting if p.scale in (Scale.PLAIN, Scale.P)]
    if plain:
        chosen = max(plain, key=lambda p: (p.owner_id is not None, p.id))
        step = replace(step, scale=chosen.scale, pad_id=chosen.id)
    return Recipe(label((step,)), (step,))


def way_back(before: SurfaceState, after: SurfaceState, off: Estimate) -> str:
    """What would undo a recipe and what would not."""
    if after.ln_ra_m == before.ln_ra_m and off.mean <= 0.0:
        return "Nothing to undo."
    if off.mean <= 0.0:
        return "A pad takes it off again; hardly any cover comes off."
    rougher = after.ln_ra_m.mean > before.ln_ra_m.mean
    how = "A finer pad smooths it again" if rougher else "A coarser pad roughens it again"
    return f"{how}; the cover it takes off, {_thou(off)}, stays off."


def _thou(off: Estimate) -> str:
    """Cover off the radius in thousandths of an inch, to one figure."""
    return f"about {off.mean / THOU_M:.1g} ± {off.sd / THOU_M:.1g} thousandths of an inch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Minded:
    """What warnings are made of. `wipe_boards` is what a towel alone would do; `cut` the most worn pad's."""

    recipe: Recipe
    before: SurfaceState
    after: SurfaceState
    cut: float | None
    wipe_boards: float
    rolls_out: bool
    rolls_out_share: float = 0.0
    used_up: bool = False


def warnings(m: Minded) -> tuple[str, ...]:
    """What to mind before the pad touches the ball, the most pressing first."""
    told = []
    if m.before.cracked:
        told.append("A crack is open: show the ball to a pro shop before any work.")
    if m.rolls_out:
        told.append("Over-surfaced: it rolls out too early and has nothing left for the pins.")
    elif m.rolls_out_share >= MAY_ROLL_OUT and m.after.ln_ra_m.mean > m.before.ln_ra_m.mean:
        told.append(f"It may roll out too early: {round(10.0 * m.rolls_out_share)} chances in 10.")
    first = gentler_first(m.recipe.steps, known_at(m.before))
    if first is not None:
        told.append(long_jump(known_at(m.before), first))
    if words.halves(m.wipe_boards) != "0":
        told.append(f"Wiping alone would do {words.signed(m.wipe_boards)} of it: there is film on the ball.")
    told += _pad_warnings(m)
    if m.after.ln_ra_m.mean < m.before.ln_ra_m.mean:
        told.append("A finer pad does not put cover back.")
    return tuple(told)


def long_jump(plays_about: float, first: float) -> str:
    """The warning of a jump over more than one common grit."""
    return f"A long jump from about {two_figures(plays_about)}: try {first:g} first and look."


def _pad_warnings(m: Minded) -> list[str]:
    if m.used_up:
        return ["This pad is marked used up."]
    if m.cut is not None and m.cut < HARDLY_CUTS:
        return [f"This pad hardly cuts any more: {100.0 * m.cut:.0f} % of what it did new."]
    return []


def two_figures(grit: float) -> str:
    """A grit number to two figures."""
    step = 10.0 ** (math.floor(math.log10(grit)) - 1)
    return f"{round(grit / step) * step:g}"
