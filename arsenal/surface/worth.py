"""Which cheap reading would narrow the most: the fall of doubt that each would bring, from the fold's own covariance.

How much a reading narrows does not depend on what it will read (the filter is Gaussian), so each is tried on the ball's
likely next days: now, after two games, after six, after the last pad once more, and two games after that.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

from arsenal.surface.life import Life
from arsenal.surface.state import SurfaceState, Worth
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Step, SurfaceWork
from arsenal.trade.pads import Pad, label
from arsenal.trade.priors import Priors
from arsenal.trade.units import GRAM_KG

NEXT_GAMES, SANDED_AFTER_GAMES = 2.0, 6.0
GRIP_PER_LN_RA = 0.4
"""Our own assumption, about what the friction law gives in the oil: d ln μ / d ln Ra. Weighs roughness against oil."""
LEAST_FALL = 0.05
"""Our own assumption: a reading that narrows less is not worth the walk."""
USUAL_PADS = (500.0, 1000.0, 2000.0, 3000.0, 4000.0)
NOW, NEXT, LATER, SANDED, AT_LAST = range(5)
WHEN: Mapping[str, tuple[tuple[int, ...], int, str]] = {
    "now": ((NOW,), NOW, "now: what it plays"),
    "after the next two games": ((NEXT,), NEXT, "after the next two games: what it plays then"),
    "before and after the next sanding": (
        (LATER, SANDED),
        SANDED,
        "before and after its next sanding: what {pad} left",
    ),
}
"""When the readings are taken, the day whose doubt is told, and the sentence's own words."""


def readings_worth(
    ball: Ball, state: SurfaceState, priors: Priors, *, pads: Mapping[int, Pad] = {}
) -> tuple[Worth, ...]:
    """Every cheap reading of this ball worth taking, the one that narrows the most first; empty where none is."""
    bare = _days(ball, state, priors, pads, ())
    oil_sd = priors.friction.oil_grip_loss * state.oil_kg.sd / priors.oil.capacity_kg[ball.cover]
    doubt = _grip(bare, oil_sd)
    found = []
    for when, (taken, day, words) in WHEN.items():
        read = _days(ball, state, priors, pads, taken)
        fall = (1.0 - _grip(read, oil_sd) / doubt) / len(taken)
        sds = bare[day][1], read[day][1]
        said = words.format(pad=label((_next_pad(state),)))
        sentence = f"Read {ball.name} {said} would be known to ± {_round(sds[1])} instead of ± {_round(sds[0])}."
        found.append(Worth("roughness", when, fall, sds[0], sds[1], sentence, fall * doubt))
    weighed = _weighing(ball, state, priors, bare, doubt)
    if weighed is not None:
        found.append(weighed)
    return tuple(sorted((w for w in found if w.fall >= LEAST_FALL), key=lambda w: -w.fall))


def _grip(days: list[tuple[float, float]], oil_sd: float) -> float:
    """Doubt of ln friction, over the days."""
    return sum(math.hypot(GRIP_PER_LN_RA * sd, oil_sd) for sd, _ in days) / len(days)


def _days(
    ball: Ball, state: SurfaceState, priors: Priors, pads: Mapping[int, Pad], read: Collection[int]
) -> list[tuple[float, float]]:
    """Spread of ln Ra, and the same as a grit, on each of the five days, with readings on those of `read`."""
    life = Life.of(ball, state, priors)
    s, finish = priors.surface, life.finish
    if not state.meter:
        finish.take_up(finish.meter, 0.0, s.instrument_ln_sd**2)
    var = (s.scanner_ln_sd * -s.ra_exponent) ** 2
    found = []
    for day in (NOW, NEXT, LATER, SANDED, AT_LAST):
        if day in (NEXT, AT_LAST):
            finish.shine(NEXT_GAMES)
        elif day == LATER:
            finish.shine(SANDED_AFTER_GAMES - NEXT_GAMES)
        elif day == SANDED:
            _sand(life, _next_pad(state), pads)
        if day in read:
            finish.observe(finish.mean_ln_ra() + finish.x[finish.meter], var, math.inf)
        mean, ra_var = finish.ln_ra()
        sd = math.sqrt(ra_var)
        found.append((sd, finish.grit_of(mean) * sd / -s.ra_exponent))
    return found


def _sand(life: Life, step: Step, pads: Mapping[int, Pad]) -> None:
    pad = pads.get(step.pad_id) if step.pad_id is not None else None
    uses = (pad.uses_hand, pad.uses_spinner) if pad is not None else (0.0, 0.0)
    life.work(SurfaceWork((step,)), (step,), None, lambda _: uses)


def _next_pad(state: SurfaceState) -> Step:
    """The last step of the finish as it was set; where nobody said, a hand pad near what it played."""
    if state.finish:
        return state.finish[-1]
    return Step(number=min(USUAL_PADS, key=lambda n: abs(n - state.finish_set_grit)))


def _weighing(
    ball: Ball, state: SurfaceState, priors: Priors, bare: list[tuple[float, float]], doubt: float
) -> Worth | None:
    """Weighed clean now, where it was weighed before; a first weighing tells nothing yet."""
    if not state.weighed or not ball.cover.reactive:
        return None
    oil = Life.of(ball, state, priors).oil
    before = math.sqrt(oil.kg_var)
    oil.weighed(oil.gained().mean, 2.0 * priors.oil.scale_sd_kg**2, math.inf)
    after = math.sqrt(oil.kg_var)
    per_kg = priors.friction.oil_grip_loss / priors.oil.capacity_kg[ball.cover]
    fall = 1.0 - _grip(bare, after * per_kg) / doubt
    grams = before / GRAM_KG, after / GRAM_KG
    sentence = f"Weigh {ball.name} clean now: the oil in its cover would be known to ± {grams[1]:.1f} g instead of "
    return Worth("weight", "now", fall, grams[0], grams[1], f"{sentence}± {grams[0]:.1f} g.", fall * doubt)


def _round(grit: float) -> str:
    """To one figure, two from 1 to 2."""
    if grit <= 0.0:
        return "0"
    step = 10.0 ** math.floor(math.log10(grit))
    return f"{round(grit / step) * step if grit >= 2.0 * step else round(10.0 * grit / step) * step / 10.0:.0f}"
