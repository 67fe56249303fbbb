"""What each pad in stock and each recipe would do to one ball, and which of them does a thing asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from arsenal.acts import lane_side, recipes, rules_now
from arsenal.acts.shop import Shop
from arsenal.acts.views import LaneSide, RuleState
from arsenal.order.asked import Answer, Want, answer
from arsenal.order.records import PadResult
from arsenal.order.sequence import grain
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Step, Tool
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.person import Person

NOT_ALLOWED = "Competition is running: for the next block only. Rule book says a dry towel; check yours."
TIMES = ((2, 15.0), (4, 15.0), (4, 60.0))
"""Sides and seconds wet on a spinner that are tried besides the usual four of thirty where a thing is asked for."""
PASSES_S = (15.0, 45.0, 90.0)
"""Seconds by hand that are tried besides the light pass."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Every pad in stock and every recipe on one ball, in the order they are listed: pads roughest first, each by hand
    and on the spinner, then the recipes.
    """

    bowler: Person
    ball: Ball
    side: LaneSide
    rule: RuleState
    results: tuple[PadResult, ...]

    def of_pad(self, pad_id: int) -> tuple[PadResult, ...]:
        """What one pad would do, by hand and on the spinner."""
        return tuple(r for r in self.results if len(r.recipe.steps) == 1 and r.recipe.steps[0].pad_id == pad_id)

    def of_recipe(self, recipe_id: int) -> PadResult | None:
        """What a kept recipe would do."""
        return next((r for r in self.results if r.recipe.id == recipe_id), None) if recipe_id else None


def pad_recipes(pad: Pad) -> tuple[Recipe, ...]:
    """The ways one pad is used: a light pass by hand, dry, and its usual time wet on a spinner; polish and compound on
    the spinner alone.
    """
    said = {"abrasive": pad.abrasive, "number": pad.number, "scale": pad.scale, "pad_id": pad.id}
    spun = Step(**said, tool=Tool.SPINNER, wet=True)  # type: ignore[arg-type]
    shine = pad.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND)
    steps = (spun,) if shine else (Step(**said), spun)  # type: ignore[arg-type]
    return tuple(Recipe(label((step,)), (step,)) for step in steps)


def every_recipe(shop: Shop, bowler_id: int, *, done: bool = True) -> tuple[Recipe, ...]:
    """Every way of every pad in reach of this bowler, roughest first, then every kept recipe with the pads it would
    take. `done` False leaves out pads marked used up.
    """
    stock = [pad for pad in shop.pads(bowler_id) if done or not pad.used_up]
    stock.sort(key=lambda p: (p.number is None, _p_number(p), p.owner_id is None, p.id))
    ways = [recipe for pad in stock for recipe in pad_recipes(pad)]
    kept = [replace(r, steps=recipes.with_pads(shop, bowler_id, r.steps)) for r in shop.recipes(bowler_id)]
    return (*ways, *kept)


def _p_number(pad: Pad) -> float:
    return grain(Step(pad.abrasive, pad.number, pad.scale)) or 0.0


def what_if(
    shop: Shop, bowler_id: int, ball_id: int, lane_id: int | None = None, *, side: LaneSide | None = None,
    asked: Sequence[Recipe] | None = None,
) -> WhatIf:  # fmt: skip
    """Every pad in stock and every recipe (or those `asked`) on a ball, on a condition (None: the usual one) or on the
    order already in `side`. Raises NotFound, KnownError without a throw.
    """
    on = side or lane_side.lane_side(shop, bowler_id, lane_id, rooms=False)
    chosen = tuple(asked) if asked is not None else every_recipe(shop, bowler_id)
    results = lane_side.pad_keys(shop, bowler_id, on.lane.id, ball_id, on, recipes=chosen)
    results = tuple(replace(r, warnings=(*missing(r.recipe), *r.warnings)) for r in results)
    rule = rules_now.rule_state(shop, bowler_id)
    if not rule.pads_allowed:
        results = tuple(replace(r, warnings=(NOT_ALLOWED, *r.warnings)) for r in results)
    return WhatIf(shop.person(bowler_id), shop.ball(ball_id), on, rule, results)


def missing(recipe: Recipe) -> tuple[str, ...]:
    """What a kept recipe wants that is not in stock, as one sentence or none."""
    wanted = [step for step in recipe.steps if step.pad_id is None] if recipe.id else []
    names = [f"{s.number:g}" if s.number is not None else s.abrasive.value for s in wanted]
    return (f"Not in stock for it: {', '.join(dict.fromkeys(names))}.",) if names else ()


def ask(
    shop: Shop, bowler_id: int, ball_id: int, want: Want, lane_id: int | None = None, *, side: LaneSide | None = None
) -> Answer:  # fmt: skip
    """The gentlest recipe from stock that does what is wanted to a ball, or that none does and which comes nearest.

    Raises NotFound, KnownError without a throw or without a pad in stock.
    """
    on = side or lane_side.lane_side(shop, bowler_id, lane_id, rooms=False)
    tried = candidates(shop, bowler_id)
    if not tried:
        raise KnownError("There is no pad in stock to try.", next_step="Add the pads you have.")
    had = tuple((row.ball, row.state) for row in (*on.order.rows, *on.order.spares))
    lane, priors = lane_side.lane_and_priors(shop, on)
    stamp, known = on.order.stamp, lane_side.known_of(shop, on)
    key = ("asked", had, known.key, lane, on.order.line, stamp.seed, stamp.draws, ball_id, want, tried, shop.pads())

    def make() -> Answer:
        return answer(
            on.order, known.bowler, lane, had, ball_id, want, tried, shop.pads_by_id(), priors, seed=stamp.seed,
            draws=stamp.draws, taught=known.taught,
        )  # fmt: skip

    return shop.remembered(key, make)


def _time(step: Step) -> str:
    seconds = f"{step.seconds:g} s"
    return seconds if step.sides == 1 else f"{step.sides} sides of {seconds}"


def candidates(shop: Shop, bowler_id: int) -> tuple[Recipe, ...]:
    """What may be tried for a thing asked: every way of every usable pad, shorter and longer ones, and recipes."""
    found = [recipe for recipe in every_recipe(shop, bowler_id, done=False) if not missing(recipe)]
    for recipe in tuple(found):
        step = recipe.steps[0]
        if recipe.id or len(recipe.steps) > 1 or step.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND):
            continue
        if step.tool is Tool.HAND:
            timed = [replace(step, sides=1, seconds=s) for s in PASSES_S]
        else:
            timed = [replace(step, sides=sides, seconds=s) for sides, s in TIMES]
        found += [Recipe(f"{label((t,))}, {_time(t)}", (t,)) for t in timed]
    return tuple(found)
