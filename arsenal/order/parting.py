"""What one pad on one of two balls alike would do: the gentlest that parts them, at the means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from arsenal.motion.records import Trace
from arsenal.order.compare import OVERLAP_BOARDS, Reaction, overlap
from arsenal.order.shot import Shot, mean_trace
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
    best: tuple[float, Parting] | None = None
    for ball, state in movable:
        own = reactions[ball.id]
        for recipe in recipes or USUAL_PADS:
            trace = mean_trace(shot, ball, after_work(ball, state, recipe.steps, shot.priors, pads=pads))
            then = reaction(ball.id, trace, zero_m)
            change = abs(then.boards - own.boards)
            if trace.rolls_out or change < LEAST_CHANGE_BOARDS:
                continue
            others = [r for i, r in reactions.items() if i != ball.id]
            near = [reactions[i] for i in group if i != ball.id]
            apart = all(abs(then.boards - r.boards) > OVERLAP_BOARDS for r in near)
            if apart and not any(overlap(then, r) for r in others) and (best is None or change < best[0]):
                best = change, Parting(ball.id, recipe, then.boards)
    return best[1] if best else None
