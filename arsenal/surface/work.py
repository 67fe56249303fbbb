"""Surface work before it touches a ball: grain and closure of a step, cut of a pad, minutes, one pad or full."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from arsenal.kernels import wear
from arsenal.trade.entries import Abrasive, Scale, Step, SurfaceWork, Tool
from arsenal.trade.limits import LIMITS
from arsenal.trade.pads import Pad
from arsenal.trade.priors import Priors, SurfacePriors

SEVERAL_STEPS = 3
COARSE_START_M = 30.0e-6
LEAST_CUT = 1e-6
LEAST_NUMBER, MOST_NUMBER = 0.1, 20_000.0
"""On any scale; microns are small numbers."""
SETUP_MIN, CHANGE_MIN = 1.5, 0.8


def cuts(pad: Pad, priors: Priors) -> float:
    """Share of its first cut that `pad` still has, 0 to 1."""
    s = priors.surface
    return wear.pad_wear(pad.uses_hand, pad.uses_spinner, s.pad_uses_hand, s.pad_uses_spinner)


def uses_as(pad: Pad, tool: Tool, priors: Priors) -> float:
    """All uses of `pad` as so many uses with `tool`: what a step logged now keeps as `uses_before`."""
    s = priors.surface
    by_hand = pad.uses_hand + pad.uses_spinner * s.pad_uses_hand / s.pad_uses_spinner
    return by_hand if tool is Tool.HAND else by_hand * s.pad_uses_spinner / s.pad_uses_hand


def is_resurface(work: SurfaceWork) -> bool:
    """A full sequence on the whole ball: spinner or machine, three grits or more, or two begun at 500 or coarser.

    Everything else is a refresh; one pad always is.
    """
    grits = [s for s in work.steps if s.abrasive is Abrasive.GRIT and problem(s) is None]
    if not work.whole or len(grits) < 2 or any(s.tool is Tool.HAND for s in grits):
        return False
    coarsest = max(grain_m(s) for s in grits)
    return len(grits) >= SEVERAL_STEPS or coarsest >= COARSE_START_M


def minutes(steps: Sequence[Step]) -> float:
    """Bench minutes of a recipe: getting ready, changing pads, and the time under each (our own estimate)."""
    if not steps:
        return 0.0
    return SETUP_MIN + sum(CHANGE_MIN + _seconds_or_usual(step) / 60.0 for step in steps)


def _seconds_or_usual(step: Step) -> float:
    """Seconds under the pad where stated, else the time a usual pass takes."""
    stated = time_s(step, SurfacePriors())
    return 45.0 if stated is None else stated


def time_s(step: Step, s: SurfacePriors) -> float | None:
    """Seconds under the pad; None for a hand pass that nobody timed."""
    if step.sides is None and step.seconds is None and step.tool is Tool.HAND:
        return None
    usual_sides = 1 if step.tool is Tool.HAND else s.machine_pass_sides
    sides = usual_sides if step.sides is None else step.sides
    return sides * (s.machine_pass_seconds if step.seconds is None else step.seconds)


@dataclass(frozen=True, slots=True)
class Closure:
    """Share of the gap in ln grit that a step closes, its doubt apart from the pad's own cut, and how it grows with the
    logarithm of that cut.
    """

    share: float
    sd: float = 0.0
    slope: float = 0.0


def closure(step: Step, uses: tuple[float, float], s: SurfacePriors, ln_cut: float = 0.0) -> Closure:
    """What a step does with a pad of so many `uses`, by hand and on a spinner; `ln_cut` is how much quicker this pad
    cuts than its kind, as readings have taught.
    """
    cut = wear.pad_wear(uses[0], uses[1], s.pad_uses_hand, s.pad_uses_spinner)
    worn_sd = -math.log(max(cut, LEAST_CUT)) * s.tau_sand_ln_sd
    time = time_s(step, s)
    if time is None:
        lasted, usual_sd = -math.log1p(-s.light_pass), s.light_pass_sd
    else:
        lasted = time / (s.tau_hand_s if step.tool is Tool.HAND else s.tau_spinner_s)
        usual_sd = lasted * math.exp(-lasted) * s.tau_sand_ln_sd
    usual_slope = lasted * math.exp(-lasted)
    lasted *= math.exp(ln_cut)
    share = wear.closure(lasted, 1.0, cut)
    own_sd = math.sqrt(max(usual_sd**2 - (usual_slope * s.pad_cut_ln_sd) ** 2, 0.0))
    return Closure(share, math.hypot(cut * own_sd, share * worn_sd), cut * lasted * math.exp(-lasted))


def ln_grit(step: Step, s: SurfacePriors) -> tuple[float, float]:
    """Logarithm of a step's grain as a P number, and its doubt."""
    if step.abrasive is Abrasive.NONWOVEN and step.number is None:
        return math.log(s.nonwoven_grit), s.nonwoven_ln_sd
    assert step.number is not None  # noqa: S101 -- `problem` has seen the step
    plain = s.plain_pad_ln_sd if step.scale is Scale.PLAIN else 0.0
    woven = s.nonwoven_ln_sd if step.abrasive is Abrasive.NONWOVEN else 0.0
    return math.log(wear.p_equivalent(step.number, step.scale.value)), math.hypot(s.pad_ln_sd, plain, woven)


def grain_m(step: Step) -> float:
    """Median grain of a numbered step, m."""
    return wear.median_m(step.number, step.scale.value) if step.number else 0.0


def problem(step: Step) -> str | None:
    """Why a step cannot be true, in words; None where it can."""
    number = step.number
    if number is None:
        if step.abrasive is Abrasive.GRIT:
            return "no grain number"
    elif not LEAST_NUMBER <= number <= MOST_NUMBER:
        return f"a grain number of {number:g}"
    else:
        limit = LIMITS["grain number"]
        if not limit.low <= wear.p_equivalent(number, step.scale.value) <= limit.high:
            return f"grain {number:g} {step.scale.value}, outside {limit.allowed} on the P scale"
    for name, value in (("sides", step.sides), ("seconds", step.seconds)):
        if value is not None and (not math.isfinite(value) or value < 0.0 or value > LIMITS[name].high):
            return f"{value:g} {name}"
    return None


def nothing_done(step: Step, s: SurfacePriors) -> bool:
    """True for a step of no time at all: it changes nothing, not even the counters."""
    return time_s(step, s) == 0.0
