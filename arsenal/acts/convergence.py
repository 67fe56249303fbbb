"""Alarms of a bowler's set on a condition, and the boards each of its balls has lost there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence

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
BALLS_AT_ONCE = 48
Held = tuple[tuple[Ball, SurfaceState], ...]
Progress = Callable[[float], None]


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

    return shop.remembered(("alarms", had, known.key), make, small=True)


def lost(shop: Shop, bowler_id: int, lane_id: int | None = None) -> dict[int, Loss]:
    """Boards lost by ball id on a condition (None: the usual one): to the surface since it settled in, and to oil in
    the cover, two deficits each with its doubt. Strike balls only; empty where throw or condition are not known.
    """
    asked = _asked(shop, shop.person(bowler_id), lane_id)
    if asked is None:
        return {}
    known, had = asked
    return shop.remembered(("lost", had, known.key), lambda: losses(_shot(shop, known), had), small=True)


def lost_of_many(shop: Shop, people: Sequence[Person], progress: Progress | None = None) -> None:
    """Reckon what the balls of many bowlers have lost, so that `lost` has it ready: bowlers who throw alike on one
    condition are reckoned in one batch. The numbers are the same: each ball's draws are its own.
    """
    groups: dict[Hashable, list[tuple[Known, Held]]] = defaultdict(list)
    for n, bowler in enumerate(people):
        asked = _asked(shop, bowler, None)
        if asked is not None and asked[1] and not shop.recalls(("lost", asked[1], asked[0].key)):
            groups[_alike(*asked)].append(asked)
        if progress is not None and n % 16 == 0:
            progress(0.5 * n / len(people))
    done, whole = 0, sum(map(len, groups.values()))
    for group in groups.values():
        for some in _chunks(group):
            made = _together(shop, some)
            for known, had in some:
                own = {ball.id: made[ball.id] for ball, _ in had if ball.id in made}
                shop.remembered(("lost", had, known.key), _given(own), small=True)
            done += len(some)
            if progress is not None:
                progress(0.5 + 0.5 * done / whole)


def _given(own: dict[int, Loss]) -> Callable[[], dict[int, Loss]]:
    return lambda: own


def _asked(shop: Shop, bowler: Person, lane_id: int | None) -> tuple[Known, Held] | None:
    lane = _lane(shop, bowler, lane_id)
    if lane is None or bowler.style is None:
        return None
    had = tuple((ball, state) for ball, state in shop.held(bowler.id) if not ball.spare)
    return taught.usual(shop, bowler, lane), had


def _alike(known: Known, had: Held) -> Hashable:
    """Whoever has this in common has the same shot; a bowler of whose balls practice taught something stands alone."""
    bowler = known.bowler
    if known.balls:
        return bowler.id, len(had)
    return bowler.style, bowler.hooks_to_left, dict(bowler.lines).get(known.lane.id), known.lane


def _chunks(group: Sequence[tuple[Known, Held]]) -> Iterator[list[tuple[Known, Held]]]:
    some: list[tuple[Known, Held]] = []
    for one in group:
        some.append(one)
        if sum(len(had) for _, had in some) >= BALLS_AT_ONCE:
            yield some
            some = []
    if some:
        yield some


def _together(shop: Shop, some: Sequence[tuple[Known, Held]]) -> dict[int, Loss]:
    return losses(_shot(shop, some[0][0]), [pair for _, had in some for pair in had])


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
