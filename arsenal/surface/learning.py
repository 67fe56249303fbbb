"""What readings of one ball teach of what it shares with others: the houses it was played in and the pads it met.

Each ball's own fold says how much surer it made of a house's pace and of a pad's cut. Balls are independent given
those, so what they say multiplies; a ball is never told what it said itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from arsenal.surface.folding import Folder, Learned, standing_entries
from arsenal.surface.slots import Moments
from arsenal.surface.state import Estimate
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Quantity, Reading
from arsenal.trade.lane import Lane
from arsenal.trade.priors import Priors

K = TypeVar("K")
LEAST_PRECISION = 1e-3
Said = tuple[float, float]
"""Precision, and precision times mean."""


@dataclass(frozen=True, slots=True)
class Taught:
    """What one ball's log says beyond the priors: of ln of a house's pace, of ln of a pad's rate."""

    houses: Mapping[str, Said] = field(default_factory=dict)
    pads: Mapping[int, Said] = field(default_factory=dict)


def teaches(entries: Iterable[Entry]) -> bool:
    """True for a log with a reading of roughness or gloss; no other teaches anything here."""
    told = (Quantity.RA, Quantity.SCANNER_GRIT, Quantity.GLOSS)
    return any(isinstance(e.payload, Reading) and e.payload.quantity in told for e in entries)


def taught(ball: Ball, entries: Sequence[Entry], priors: Priors, *, lanes: Mapping[int, Lane] = {}) -> Taught:
    """What this ball's readings say of houses and pads, from the priors alone."""
    if not teaches(entries):
        return Taught()
    folder = Folder(ball, priors, lanes)
    for entry in standing_entries(ball, entries):
        folder.take(entry)
    s, life = priors.surface, folder.life
    houses = life.houses.moments(life.finish)
    pads = {cut.pad_id: (cut.ln_cut.mean, cut.ln_cut.sd**2) for cut in life.state(None).pad_cuts}
    return Taught(_said(houses, s.house_pace_ln_sd), _said(pads, s.pad_cut_ln_sd))


def learned(told: Iterable[Taught], priors: Priors) -> Learned:
    """What several balls say together."""
    s, every = priors.surface, tuple(told)
    return Learned(
        _together((t.houses for t in every), s.house_pace_ln_sd), _together((t.pads for t in every), s.pad_cut_ln_sd)
    )


def _said(known: Mapping[K, Moments], prior_sd: float) -> dict[K, Said]:
    found = {}
    for key, (mean, var) in known.items():
        more = 1.0 / max(var, 1e-12) - 1.0 / prior_sd**2
        if more > LEAST_PRECISION:
            found[key] = (more, mean / max(var, 1e-12))
    return found


def _together(told: Iterable[Mapping[K, Said]], prior_sd: float) -> dict[K, Estimate]:
    sums: dict[K, Said] = {}
    for said in told:
        for key, (precision, weighted) in said.items():
            had = sums.get(key, (1.0 / prior_sd**2, 0.0))
            sums[key] = (had[0] + precision, had[1] + weighted)
    return {key: Estimate(weighted / total, 1.0 / math.sqrt(total)) for key, (total, weighted) in sums.items()}
