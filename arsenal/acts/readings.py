"""What an instrument's readings have taught of a ball, which would teach the most next, and the cover taken off it."""

from __future__ import annotations

import math
from datetime import date

from arsenal.acts.pads import words as pad_words
from arsenal.acts.shop import Shop
from arsenal.surface.folding import house_key
from arsenal.surface.moments import cover_jobs
from arsenal.surface.state import CoverTaken, Estimate, SurfaceState, Worth
from arsenal.surface.worth import readings_worth
from arsenal.trade.ball import Ball
from arsenal.trade.priors import SurfacePriors
from arsenal.trade.units import GRAM_KG, INCH_M

NARROWED = 0.9
"""What is still this share as wide as before anybody read anything is not worth telling (our own assumption)."""
AS_USUAL = 1.05
THOU_M = 0.001 * INCH_M


def worth(shop: Shop, ball: Ball, state: SurfaceState) -> tuple[Worth, ...]:
    """Every cheap reading worth taking, the one that narrows the most first; none for a spare ball."""
    if ball.spare:
        return ()
    pads = shop.pads_by_id()
    key = ("worth", ball, state, tuple(pads.values()))
    return shop.remembered(key, lambda: readings_worth(ball, state, shop.priors, pads=pads))


def of_bowler(shop: Shop, bowler_id: int) -> tuple[tuple[int, Worth], ...]:
    """(ball, reading) for each strike ball in the bag worth reading, the one that narrows a friction the most first.
    Raises NotFound.
    """
    best = [(ball.id, worth(shop, ball, state)[:1]) for ball, state in shop.held(shop.person(bowler_id).id)]
    found = [(ball_id, readings[0]) for ball_id, readings in best if readings]
    return tuple(sorted(found, key=lambda pair: (-pair[1].narrows, pair[0])))


def learned(shop: Shop, state: SurfaceState) -> tuple[str, ...]:
    """One sentence for each thing that readings, of this ball or of others, have narrowed."""
    s = shop.priors.surface
    told = [_ball_words(state.wear_pace, s), _house_words(shop, state, s), _hand_words(state.hand_offset_ln, s)]
    told += [_pad_words(shop, cut.pad_id, cut.ln_cut, s) for cut in state.pad_cuts]
    return tuple(sentence for sentence in told if sentence)


def _narrowed(sd: float, prior_sd: float) -> bool:
    return sd < NARROWED * prior_sd


def _as_usual(factor: Estimate) -> bool:
    """So near to one that “1.0 times” would be said of it."""
    return abs(math.log(factor.mean)) < math.log(AS_USUAL)


def _times(factor: Estimate) -> str:
    """“1.4 ± 0.3 times”; under one it is turned over."""
    mean = factor.mean if factor.mean >= 1.0 else 1.0 / factor.mean
    return f"{mean:.1f} ± {max(mean * factor.sd / factor.mean, 0.05):.1f} times"


def _ball_words(pace: Estimate, s: SurfacePriors) -> str:
    if not _narrowed(pace.sd / pace.mean, s.pace_ln_sd) or _as_usual(pace):
        return ""
    if pace.mean >= 1.0:
        return f"It keeps its finish {_times(pace)} as long as its cover usually does."
    return f"It loses its finish {_times(pace)} as fast as its cover usually does."


def _house_words(shop: Shop, state: SurfaceState, s: SurfacePriors) -> str:
    pace = state.house_pace
    if not state.house or not _narrowed(pace.sd / pace.mean, s.house_pace_ln_sd) or _as_usual(pace):
        return ""
    name = next((lane.house for lane in shop.lanes().values() if house_key(lane) == state.house), state.house)
    way = "keep" if pace.mean >= 1.0 else "lose"
    how = "long" if pace.mean >= 1.0 else "fast"
    return f"In {name} balls {way} their finish {_times(pace)} as {how} as elsewhere."


def _hand_words(offset: Estimate, s: SurfacePriors) -> str:
    if not _narrowed(offset.sd, s.hand_ln_sd):
        return ""
    way, percent = "rougher" if offset.mean >= 0.0 else "smoother", 100.0 * math.expm1(abs(offset.mean))
    return f"A hand finish reads {percent:.0f} ± {100.0 * offset.sd:.0f} % {way} on it than a spinner's."


def _pad_words(shop: Shop, pad_id: int, ln_cut: Estimate, s: SurfacePriors) -> str:
    pad = shop.pads_by_id().get(pad_id)
    mean = math.exp(ln_cut.mean)
    factor = Estimate(mean, mean * ln_cut.sd)
    if pad is None or not _narrowed(ln_cut.sd, s.pad_cut_ln_sd) or _as_usual(factor):
        return ""
    way = "quickly" if mean >= 1.0 else "slowly"
    return f"The {pad_words(pad)} pad cuts {_times(factor)} as {way} as its kind."


def cover_words(shop: Shop, state: SurfaceState) -> str:
    """“0.004 ± 0.002 in off the radius in all, about 16 g; 8.585 ± 0.008 in across”."""
    off, radius = state.cover_off_m, state.radius_m
    across = f"{2.0 * radius.mean / INCH_M:.3f} ± {max(2.0 * radius.sd / INCH_M, 0.001):.3f} in across"
    if off.mean <= 0.0:
        return across
    grams = off.mean / THOU_M * shop.priors.oil.cover_mass_per_thou_kg / GRAM_KG
    inches = f"{off.mean / INCH_M:.4f} ± {max(off.sd / INCH_M, 0.0001):.4f} in off the radius in all"
    return f"{inches}, about {grams:.0f} g; {across}"


def cover_taken(shop: Shop, ball: Ball, day: date | None = None) -> tuple[CoverTaken, ...]:
    """What each surface work took off, newest first."""
    log, learnt = shop.entries(ball.id), shop.learned(ball.id)

    def make() -> tuple[CoverTaken, ...]:
        return cover_jobs(ball, log, shop.priors, until=day, learned=learnt)[::-1]

    return shop.remembered(("cover", ball, len(log), day, repr(learnt.pads)), make)
