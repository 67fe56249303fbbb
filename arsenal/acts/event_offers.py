"""Which finishes each ball can have by an event: as it is, by the pads in stock, by the recipes kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from arsenal.acts import recipes, whatif
from arsenal.acts.shop import Shop
from arsenal.order import pad_life
from arsenal.surface import after_work, cuts, foresee, minutes
from arsenal.surface import fold as folded
from arsenal.surface.state import ZERO, SurfaceState
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Abrasive, Entry, Kind, New, Scale, Step, Tool
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.units import INCH_M

AS_IT_IS = "as it is"
TO_BUY = (500.0, 1000.0, 2000.0, 3000.0, 4000.0)
"""Common grains looked at where none is in stock (common practice)."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One ball with one finish, as it would be there: worked on and settled in, wiped."""

    ball: Ball
    name: str
    label: str
    steps: tuple[Step, ...]
    minutes: float
    state: SurfaceState
    why_not: str = ""
    """Why it cannot be had; empty where it can."""
    to_buy: str = ""
    """The pad it takes that is not in stock; empty where all are."""


def offers(shop: Shop, bowler_id: int, balls: Sequence[Ball], *, spinner: bool, barred: bool) -> tuple[Offer, ...]:
    """Every finish of every ball. `barred`: no pad may touch a ball any more. Finishes that would take a pad to buy are
    among them, marked.
    """
    ways = [] if barred else [*_ways(shop, bowler_id, spinner=spinner)]
    buy = [] if barred else [*_to_buy(shop, bowler_id)]
    made: list[Offer] = []
    for ball in balls:
        now = replace(shop.state(ball.id), film_m=ZERO)
        made.append(Offer(ball, AS_IT_IS, label(now.finish), (), 0.0, now))
        if now.cracked:
            continue
        made += [_offer(shop, ball, now, way) for way in ways]
        made += [_offer(shop, ball, now, way, to_buy=way.name) for way in buy]
    return tuple(made)


def _offer(shop: Shop, ball: Ball, now: SurfaceState, way: Recipe, to_buy: str = "") -> Offer:
    steps = recipes.with_pads(shop, ball.owner_id, way.steps) if way.id else way.steps
    then = after_work(ball, now, steps, shop.priors, pads=shop.pads_by_id())
    settled = foresee(ball, then, shop.priors.surface.settle_games, shop.priors)
    return Offer(ball, way.name, label(steps), steps, minutes(steps), replace(settled, film_m=ZERO), to_buy=to_buy)


def _ways(shop: Shop, bowler_id: int, *, spinner: bool) -> tuple[Recipe, ...]:
    """Each grain in stock by hand and on a spinner with the pad of it that cuts best, then every recipe kept whose pads
    are there.
    """
    best: dict[tuple[float | None, Scale, Abrasive], Pad] = {}
    for pad in shop.pads(bowler_id):
        grain = (pad.number, pad.scale, pad.abrasive)
        if pad.used_up or pad_life.is_done(pad, shop.priors):
            continue
        if grain not in best or cuts(pad, shop.priors) > cuts(best[grain], shop.priors):
            best[grain] = pad
    found = [way for pad in sorted(best.values(), key=_roughest) for way in whatif.pad_recipes(pad)]
    kept = [r for r in whatif.every_recipe(shop, bowler_id, done=False) if r.id and not whatif.missing(r)]
    able = [way for way in (*found, *kept) if spinner or all(s.tool is Tool.HAND for s in way.steps)]
    return tuple({way.name: way for way in reversed(able)}.values())[::-1]


def _roughest(pad: Pad) -> tuple[bool, float, int]:
    return (pad.number is None, pad.number or 0.0, pad.id)


def _to_buy(shop: Shop, bowler_id: int) -> tuple[Recipe, ...]:
    have = {pad.number for pad in shop.pads(bowler_id) if not pad_life.is_done(pad, shop.priors)}
    return tuple(recipes.by_hand(number, None) for number in TO_BUY if number not in have)


def _boxed(number: float) -> Step:
    return Step(number=number, tool=Tool.MACHINE, wet=True)


KINDS: tuple[tuple[str, Ball, tuple[Step, ...]], ...] = tuple(
    (said, Ball(-10 - k, said, "", 0, cover, rg_m=rg_in * INCH_M, differential_m=flare_in * INCH_M), box)
    for k, (said, cover, rg_in, flare_in, box) in enumerate((
        ("strong solid, 2000 from the box", Cover.SOLID, 2.47, 0.055, (_boxed(2000.0),)),
        ("weak pearl, polished from the box", Cover.PEARL, 2.56, 0.035,
         (_boxed(1500.0), Step(Abrasive.POLISH, tool=Tool.MACHINE, wet=True))),
        ("urethane, 1000 from the box", Cover.URETHANE, 2.52, 0.022, (_boxed(1000.0),)),
    ))
)  # fmt: skip
"""Kinds of ball a bowler may not have (our own choice of three far apart)."""


def not_owned(shop: Shop, owner_id: int) -> tuple[Offer, ...]:
    """A ball of each kind, new with its box finish as stated."""
    today, at = shop.today(), datetime(2000, 1, 1, tzinfo=UTC)
    made = []
    for said, kind, box in KINDS:
        ball = replace(kind, owner_id=owner_id)
        state = folded(ball, (Entry(1, ball.id, Kind.NEW, today, New(box), at, 0),), shop.priors, until=today)
        made.append(Offer(ball, said, label(box), (), 0.0, replace(state, film_m=ZERO)))
    return tuple(made)
