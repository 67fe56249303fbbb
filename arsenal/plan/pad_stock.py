"""Which pads will no longer cut by a given day, at the usual upkeep, and which grains are wanted that nobody has."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from arsenal.order.pad_life import HARDLY_CUTS, LASTS_LN_SD, is_done
from arsenal.plan.records import Job, Work
from arsenal.surface import cuts
from arsenal.trade.entries import Abrasive, Scale, Step, Tool
from arsenal.trade.pads import Pad
from arsenal.trade.priors import Priors

MOST_REPEATS = 60
SOON_SHARE = 0.7
"""A pad that uses so much of what it has left may run out: pads last unequally (our own assumption)."""

Grain = tuple[float | None, Scale, Abrasive]


@dataclass(frozen=True, slots=True)
class Use:
    """One planned use of a pad: which step, on what day, on which ball."""

    step: Step
    on: date
    ball_id: int


@dataclass(frozen=True, slots=True)
class Need:
    """A grain to buy. `pad` is the best one in stock of it, None where there is none."""

    grain: Grain
    pad: Pad | None
    cuts_now: float
    cuts_then: float
    """Of that pad at the end, if it did all of it."""
    uses: int
    """Planned until then."""
    by: date | None
    """The day from which nothing of this grain cuts enough; None where it may just last."""
    sure: bool
    """False where it only may run out."""


def planned(
    jobs: Sequence[Job], today: date, until: date, every_days: Callable[[Job], float | None]
) -> tuple[Use, ...]:  # fmt: skip
    """Every use of a pad that the jobs ask for until then: what is due, and a refresh again each `every_days` after."""
    uses: list[Use] = []
    for job in jobs:
        if not job.steps or (job.by is None and job.share < 1.0):
            continue
        first = max(job.by or today, today)
        period = every_days(job) if job.work is Work.REFRESH else None
        for n in range(MOST_REPEATS if period else 1):
            on = first + timedelta(days=math.floor(n * (period or 0.0)))
            if on > until:
                break
            uses += [Use(step, on, job.ball_id) for step in job.steps]
    return tuple(sorted(uses, key=lambda use: use.on))


def needs(
    uses: Sequence[Use], pads: Sequence[Pad], priors: Priors, *, share: float = HARDLY_CUTS
) -> tuple[Need, ...]:  # fmt: skip
    """What to buy: grains whose pads, all together, fall under `share` of their first cut by these uses, and grains of
    which every pad is done with already. Uses of a grain nobody has count only where a stock is kept at all.
    """
    by_grain: dict[Grain, list[Use]] = defaultdict(list)
    for use in uses:
        by_grain[use.step.number, use.step.scale, use.step.abrasive].append(use)
    held: dict[Grain, list[Pad]] = defaultdict(list)
    for pad in pads:
        held[pad.number, pad.scale, pad.abrasive].append(pad)
    grains = [grain for grain in dict.fromkeys((*held, *by_grain)) if grain in held or pads]
    found = [_need(grain, by_grain[grain], held[grain], priors, share) for grain in grains]
    return tuple(sorted((n for n in found if n), key=lambda n: (not n.sure, n.by or date.max, n.grain[0] or 0.0)))


def _need(grain: Grain, uses: Sequence[Use], held: Sequence[Pad], priors: Priors, share: float) -> Need | None:
    fit = [pad for pad in held if not is_done(pad, priors)]
    if not fit:
        best = max(held, key=lambda p: p.id) if held else None
        by = uses[0].on if uses else None
        now = 0.0 if best is None or best.used_up else cuts(best, priors)
        return Need(grain, best, now, now, len(uses), by, sure=True)
    best = max(fit, key=lambda pad: cuts(pad, priors))
    left = sum(max(math.log(cuts(pad, priors) / share), 0.0) for pad in fit)
    spent, by = 0.0, None
    for use in uses:
        spent += _wear(use.step.tool, priors)
        if by is None and spent > left:
            by = use.on
    if not uses or spent < SOON_SHARE * left:
        return None
    sure = spent > left * math.exp(LASTS_LN_SD)
    now = cuts(best, priors)
    return Need(grain, best, now, now * math.exp(-spent), len(uses), by, sure)


def _wear(tool: Tool, priors: Priors) -> float:
    """What one use takes off the logarithm of a pad's cut."""
    s = priors.surface
    return 1.0 / (s.pad_uses_hand if tool is Tool.HAND else s.pad_uses_spinner)
