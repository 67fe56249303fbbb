"""How long a pad goes on cutting: when it no longer does what it is chosen for, and how many uses that leaves."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from arsenal.surface import cuts
from arsenal.surface.state import Estimate
from arsenal.trade.entries import Step, Tool
from arsenal.trade.pads import Pad
from arsenal.trade.priors import Priors

HARDLY_CUTS = 0.35
"""Share of its first cut under which a pad hardly cuts: with the usual priors after 10 balls by hand, 26 on a spinner
(common practice, no source: a pad does 8–15 by hand, 20–30 wet on a spinner)."""
NO_LONGER_CUTS = 0.2
"""A pad that cuts less than this share of its first cut is as good as used up (our own assumption)."""
LASTS_LN_SD = 0.3
"""Spread of how long pads of one grain last, in ln (our own assumption, by the same ranges)."""


def is_done(pad: Pad, priors: Priors) -> bool:
    """Marked used up, or cutting so little that it might as well be."""
    return pad.used_up or cuts(pad, priors) < NO_LONGER_CUTS


def uses_left(pad: Pad, tool: Tool, priors: Priors, share: float = HARDLY_CUTS) -> Estimate:
    """Uses with `tool` until the pad cuts less than `share` of its first cut; 0 for one used up."""
    if pad.used_up:
        return Estimate(0.0)
    s = priors.surface
    lasts = s.pad_uses_hand if tool is Tool.HAND else s.pad_uses_spinner
    left = lasts * (math.log(max(cuts(pad, priors), 1e-12)) - math.log(share))
    whole = -lasts * math.log(share)
    return Estimate(max(left, 0.0), LASTS_LN_SD * whole if left > 0.0 else 0.0)


def pads_of(steps: Iterable[Step], stock: Mapping[int, Pad]) -> tuple[tuple[Pad, Tool], ...]:
    """The pads in stock that the steps name, each with what drives it."""
    return tuple((stock[s.pad_id], s.tool) for s in steps if s.pad_id is not None and s.pad_id in stock)
