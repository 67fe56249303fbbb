"""The pads as keys: which recipes a bowler can put on a ball from what is in stock."""

from __future__ import annotations

import math
from dataclasses import replace

from arsenal.acts.shop import Shop
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Scale, Step, Tool
from arsenal.trade.pads import Pad, Recipe, label

SINGLES = 4
USUAL = (500.0, 1000.0, 2000.0, 3000.0)
"""Grains shown where nobody has said which pads there are (common practice)."""
COARSE, FINE = 500.0, 2000.0
COARSER = 4.0
"""The keys centre on pads two halvings below what the ball plays now: a light pass closes a third of the gap, so pads
near its present grit would say nothing (our own assumption)."""
POLISH = Recipe("polish", (Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True),))


def recipes_for(shop: Shop, bowler_id: int, ball: Ball) -> tuple[Recipe, ...]:
    """Up to six keys, roughest first: four pads in stock that would change it within reason, two steps, polish."""
    stock = in_stock(shop, bowler_id)
    grains = {pad.number: pad for pad in stock if pad.number is not None and pad.abrasive is Abrasive.GRIT}
    numbers = sorted(grains) or list(USUAL)
    wanted = shop.state(ball.id).grit / COARSER
    near = sorted(numbers, key=lambda n: abs(math.log(n / wanted)))[:SINGLES]
    singles = tuple(by_hand(number, grains.get(number)) for number in sorted(near))
    return (*singles, two_steps(numbers, grains), POLISH)


def in_stock(shop: Shop, bowler_id: int) -> tuple[Pad, ...]:
    """Pads that still cut, the shop's first: of one grain the bowler's own, and of those the newest, comes last."""
    usable = [pad for pad in shop.pads(bowler_id) if not pad.used_up]
    return tuple(sorted(usable, key=lambda pad: (pad.owner_id is not None, pad.id)))


def with_pads(shop: Shop, owner_id: int, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Each step with the pad of its grain that would be taken: the bowler's own newest, else the shop's."""
    held = {(pad.number, pad.scale, pad.abrasive): pad.id for pad in in_stock(shop, owner_id)}
    return tuple(replace(step, pad_id=held.get((step.number, step.scale, step.abrasive))) for step in steps)


def by_hand(number: float, pad: Pad | None) -> Recipe:
    """One light pass by hand, dry."""
    step = Step(number=number, scale=pad.scale if pad else Scale.PLAIN, pad_id=pad.id if pad else None)
    return Recipe(label((step,)), (step,))


def two_steps(numbers: list[float], grains: dict[float, Pad]) -> Recipe:
    """A coarse and a fine pad by machine, wet: from stock where both are there."""
    coarse = min(numbers, key=lambda n: abs(math.log(n / COARSE)))
    finer = [n for n in numbers if n >= 2.0 * coarse]
    pair = (coarse, min(finer, key=lambda n: abs(math.log(n / FINE)))) if finer else (COARSE, FINE)
    steps = tuple(_machine(number, grains.get(number)) for number in pair)
    return Recipe(label(steps), steps)


def _machine(number: float, pad: Pad | None) -> Step:
    return Step(
        number=number, scale=pad.scale if pad else Scale.PLAIN, tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0,
        pad_id=pad.id if pad else None,
    )  # fmt: skip
