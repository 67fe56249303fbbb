"""What could be thrown next: every ball as it is, wiped or not, two of them back to back, or one after work with pads
that are there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from arsenal.order.pad_life import is_done
from arsenal.order.sequence import full_sequence, grain
from arsenal.practice.cases import Thrown
from arsenal.surface import after_work, minutes
from arsenal.surface.state import ZERO, SurfaceState
from arsenal.trade.entries import Step, Tool
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.priors import Priors

SHOT_MIN = 1.0
"""A: minutes a shot takes, walking and noting included."""
LEAST_COARSER_LN = 0.05
"""A: work that roughens a ball by less (ln Ra) makes no other ball of it."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One test: a ball as it is, two of them back to back on one line, or one ball after a recipe, with a shot before
    the work or without one.
    """

    throws: tuple[Thrown, ...]
    recipe: Recipe | None = None
    wiped: bool = True
    work_min: float = 0.0

    @property
    def thrown(self) -> Thrown:
        """The ball thrown first."""
        return self.throws[0]

    @property
    def left(self) -> Thrown:
        """The ball thrown last: after the work, where there is some."""
        return self.throws[-1]

    @property
    def ball_id(self) -> int:
        """The ball thrown first."""
        return self.thrown.ball.id

    @property
    def ball_ids(self) -> tuple[int, ...]:
        """Every ball it takes, once."""
        return tuple(dict.fromkeys(t.ball.id for t in self.throws))

    @property
    def sands(self) -> bool:
        """Whether it leaves the ball another one than it was."""
        return self.recipe is not None

    @property
    def minutes(self) -> float:
        """Work and shots together."""
        return self.work_min + SHOT_MIN * len(self.throws)


def candidates_of(
    owned: Sequence[Thrown], recipes: Sequence[Recipe], pads: Mapping[int, Pad], priors: Priors, *,
    left: Sequence[Thrown] | None = None, pairs: bool = True, jumps: bool = False,
) -> tuple[Candidate, ...]:  # fmt: skip
    """Every ball as it is, wiped and not; every two of them back to back; every ball after each recipe that makes it
    coarser, with pads that still cut. A recipe whose pads are not in `pads` is left out, and one that leaves a common
    grit out too, unless `jumps`. `left` are the balls as the last shot left them, where they are not thrown so.
    """
    clean = {t.ball.id: replace(t, state=replace(t.state, film_m=ZERO)) for t in owned}
    made = [Candidate((t,)) for t in clean.values()]
    made += [Candidate((t,), wiped=False) for t in left or owned if t.state.film_m.mean > priors.oil.film_wiped_m]
    if pairs:
        made += [Candidate(pair) for pair in combinations(clean.values(), 2)]
    usable = [recipe for recipe in recipes if in_stock(recipe, pads, priors)]
    return (*made, *(c for t in owned for c in sanded(t, usable, pads, priors, jumps=jumps)))


def in_stock(recipe: Recipe, pads: Mapping[int, Pad], priors: Priors) -> bool:
    """Whether every step of a recipe has a pad that is there and still cuts."""
    named = [pads.get(step.pad_id) if step.pad_id is not None else None for step in recipe.steps]
    return bool(named) and all(pad is not None and not is_done(pad, priors) for pad in named)


def sanded(
    t: Thrown, recipes: Iterable[Recipe], pads: Mapping[int, Pad], priors: Priors, *, jumps: bool = False
) -> tuple[Candidate, ...]:  # fmt: skip
    """The ball wiped after each recipe that makes it coarser than it is, with no finer a pad than it was set with; one
    common grit down at a time unless `jumps` (common practice, no source).
    """
    made = []
    for recipe in recipes:
        if grit_of(recipe.steps) > grit_of(t.state.finish) or not (jumps or is_a_step(recipe.steps, t.state)):
            continue
        after = after_work(t.ball, t.state, recipe.steps, priors, pads=pads)
        if after.ln_ra_m.mean > t.state.ln_ra_m.mean + LEAST_COARSER_LN:
            one = replace(t, state=replace(after, film_m=ZERO))
            made.append(Candidate((one,), recipe, work_min=minutes(recipe.steps)))
    return tuple(made)


def is_a_step(steps: Sequence[Step], now: SurfaceState) -> bool:
    """Whether a recipe leaves no common grit out, from what the ball plays now or from what it was set with."""
    set_with = grit_of(now.finish)
    ways = (now.grit, set_with if math.isfinite(set_with) else now.grit)
    return any(full_sequence(steps, at) is None for at in ways)


def grit_of(steps: Sequence[Step]) -> float:
    """The P grit of the last pad; infinite where it has no number, as fine as can be, and where nobody said."""
    last = grain(steps[-1]) if steps else None
    return last if last is not None else math.inf


def before_and_after(owned: Sequence[Thrown], tests: Iterable[Candidate]) -> tuple[Candidate, ...]:
    """Each test after work with one more shot before it: what lane and release do falls out of the difference."""
    clean = {t.ball.id: replace(t, state=replace(t.state, film_m=ZERO)) for t in owned}
    return tuple(replace(c, throws=(clean[c.ball_id], *c.throws)) for c in tests if c.sands and len(c.throws) == 1)


def after_use(pads: Mapping[int, Pad], steps: Sequence[Step]) -> dict[int, Pad]:
    """The pads once these steps were done with them; a machine counts as a spinner."""
    left = dict(pads)
    for step in steps:
        if step.pad_id is not None and step.pad_id in left:
            pad = left[step.pad_id]
            by_hand = float(step.tool is Tool.HAND)
            left[pad.id] = replace(
                pad, uses_hand=pad.uses_hand + by_hand, uses_spinner=pad.uses_spinner + 1.0 - by_hand
            )
    return left
