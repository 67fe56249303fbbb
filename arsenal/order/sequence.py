"""The full sequence behind a jump: every common grit between what a ball plays and where a recipe ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from arsenal.kernels.wear import p_equivalent
from arsenal.trade.entries import Abrasive, Scale, Step

COMMON_GRITS = (360.0, 500.0, 1000.0, 2000.0, 3000.0, 4000.0)
"""The steps people go down by, one at a time (common practice, no source)."""
APART = 1.15
"""A common grit this near to one that is there already is not another step."""


def grain(step: Step) -> float | None:
    """A step's grain as a P number; None for compound, polish and non-woven without a number."""
    if step.number is None or step.abrasive in (Abrasive.COMPOUND, Abrasive.POLISH):
        return None
    return float(p_equivalent(step.number, step.scale.value))


def full_sequence(steps: Sequence[Step], plays_about: float) -> tuple[Step, ...] | None:
    """`steps` with the common grits it leaves out put in, coming from `plays_about` and from pad to pad; each is done
    the way the step after it is. None where it leaves none out.
    """
    made: list[Step] = []
    at = plays_about
    for step in steps:
        grit = grain(step)
        if grit is not None:
            between = [g for g in COMMON_GRITS if min(at, grit) * APART < g < max(at, grit) / APART]
            put_in = sorted(between, reverse=grit < at)
            made += [replace(step, number=g, scale=Scale.PLAIN, pad_id=None, uses_before=None) for g in put_in]
            at = grit
        made.append(step)
    return tuple(made) if len(made) > len(steps) else None
