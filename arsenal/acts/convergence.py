"""Alarms of a bowler's set on a condition, and the boards each of its balls has lost there."""

from __future__ import annotations

from arsenal.acts import taught
from arsenal.acts.shop import Shop
from arsenal.acts.taught import Known
from arsenal.order import convergence
from arsenal.order.records import Remark
from arsenal.order.shot import Shot, shared_shot
from arsenal.plan.losses import Loss, losses
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

DRAWS = 100


def alarms(shop: Shop, bowler_id: int, lane_id: int | None = None) -> tuple[Remark, ...]:
    """Balls that have grown alike, fallen below a neighbour or lost their boards since they were set, on a condition
    (None: the bowler's usual one). Empty where throw or condition are not known. Raises NotFound.
    """
    bowler = shop.person(bowler_id)
    lane = _lane(shop, bowler, lane_id)
    if lane is None or bowler.style is None:
        return ()
    had, known = shop.held(bowler.id), taught.usual(shop, bowler, lane)

    def make() -> tuple[Remark, ...]:
        return convergence.alarms(_shot(shop, known), had)

    return shop.remembered(("alarms", had, known.key), make)


def lost(shop: Shop, bowler_id: int, lane_id: int | None = None) -> dict[int, Loss]:
    """Boards lost by ball id on a condition (None: the usual one): to the surface since it settled in, and to oil in
    the cover, two deficits each with its doubt. Strike balls only; empty where throw or condition are not known.
    """
    bowler = shop.person(bowler_id)
    lane = _lane(shop, bowler, lane_id)
    if lane is None or bowler.style is None:
        return {}
    had = tuple((ball, state) for ball, state in shop.held(bowler.id) if not ball.spare)
    known = taught.usual(shop, bowler, lane)

    def make() -> dict[int, Loss]:
        return losses(_shot(shop, known), had)

    return shop.remembered(("lost", had, known.key), make)


def lost_as(
    shop: Shop, bowler_id: int, balls: tuple[tuple[Ball, SurfaceState], ...], lane_id: int | None = None
) -> dict[int, Loss]:  # fmt: skip
    """The same for strike balls in states they are not in, as a refresh would leave them."""
    bowler = shop.person(bowler_id)
    lane = _lane(shop, bowler, lane_id)
    if lane is None or bowler.style is None or not balls:
        return {}
    known = taught.usual(shop, bowler, lane)
    return shop.remembered(("lost as", balls, known.key), lambda: losses(_shot(shop, known), balls))


def _shot(shop: Shop, known: Known) -> Shot:
    """The shared shot, made once for losses and alarms."""

    def make() -> Shot:
        return shared_shot(
            known.bowler, known.lane, known.priors, line=None, seed=1, draws=DRAWS, taught=known.taught
        )  # fmt: skip

    return shop.remembered(("shot", known.key), make)


def _lane(shop: Shop, bowler: Person, lane_id: int | None) -> Lane | None:
    if lane_id is not None:
        return shop.lane(lane_id)
    return shop.lanes().get(bowler.usual_lane_id) if bowler.usual_lane_id is not None else None
