"""What one pad on one of two balls alike would do: the gentlest that parts them, at the means."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from arsenal import motion
from arsenal.motion.records import Trace
from arsenal.order.compare import OVERLAP_BOARDS, Reaction, overlap
from arsenal.order.shot import Shot
from arsenal.surface.ahead import after_work
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Scale, Step, Tool
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.units import BOARD_M

LEAST_CHANGE_BOARDS = 0.5


def _one(step: Step) -> Recipe:
    return Recipe(label((step,)), (step,))


USUAL_PADS: tuple[Recipe, ...] = (
    *(_one(Step(number=n, scale=Scale.PLAIN)) for n in (500.0, 1000.0, 2000.0, 3000.0)),
    *(_one(Step(number=n, tool=Tool.SPINNER, wet=True)) for n in (500.0, 1000.0, 2000.0, 4000.0)),
    _one(Step(abrasive=Abrasive.POLISH, tool=Tool.SPINNER)),
)
"""One new pad of each usual grain, lightly by hand or wet on a spinner, and polish (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Parting:
    """A pad that would part a ball from those like it, and where the ball would then stand."""

    ball_id: int
    recipe: Recipe
    boards: float


def reaction(ball_id: int, trace: Trace, zero_m: float) -> Reaction:
    """What is compared of a traced ball; `zero_m` is where the benchmark ends."""
    return Reaction(ball_id, (trace.landing_m - zero_m) / BOARD_M, trace.first_read_m, trace.shape_m)


def part(
    shot: Shot,
    movable: Sequence[tuple[Ball, SurfaceState]],
    group: Sequence[int],
    reactions: Mapping[int, Reaction],
    zero_m: float,
    *,
    recipes: Sequence[Recipe] = (),
    pads: Mapping[int, Pad] = {},
) -> Parting | None:
    """The gentlest recipe on one of the `movable` balls after which it overlaps no ball in `reactions` and stands over
    1½ boards from the others of its `group`; None where no recipe does it.
    """
    tried = [(ball, state, recipe) for ball, state in movable for recipe in recipes or USUAL_PADS]
    best: tuple[float, Parting] | None = None
    for (ball, _, recipe), then in zip(tried, _reactions(shot, tried, zero_m, pads), strict=True):
        change = abs(then.boards - reactions[ball.id].boards) if then else 0.0
        if then is None or change < LEAST_CHANGE_BOARDS or (best is not None and change >= best[0]):
            continue
        near = [reactions[i] for i in group if i != ball.id]
        apart = all(abs(then.boards - r.boards) > OVERLAP_BOARDS for r in near)
        if apart and not any(overlap(then, r) for i, r in reactions.items() if i != ball.id):
            best = change, Parting(ball.id, recipe, then.boards)
    return best[1] if best else None


def _reactions(
    shot: Shot, tried: Sequence[tuple[Ball, SurfaceState, Recipe]], zero_m: float, pads: Mapping[int, Pad]
) -> list[Reaction | None]:
    """What each ball would do after each recipe, in one batch; None where it would roll out."""
    if not tried:
        return []
    states = [after_work(ball, state, recipe.steps, shot.priors, pads=pads) for ball, state, recipe in tried]
    balls = [ball for ball, _, _ in tried]
    grips = [shot.grip(b, s) for b, s in zip(balls, states, strict=True)]
    bodies = [motion.body_of(b, s) for b, s in zip(balls, states, strict=True)]
    runs = motion.batch(shot.bed, bodies, shot.style.on(shot.line), motion.Grip.join(grips))
    boards = (runs.landing_m - zero_m) / BOARD_M
    return [
        None
        if runs.rolls_out[i]
        else Reaction(b.id, float(boards[i]), _mark(runs.first_read_m[i]), _mark(runs.shape_m[i]))
        for i, b in enumerate(balls)
    ]


def _mark(value: float) -> float | None:
    return None if math.isnan(value) else float(value)
