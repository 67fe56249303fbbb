"""Lane-side: a bowler's set in order on one condition, and what one pad would do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from arsenal.acts import jobs, later, rules_now, taught
from arsenal.acts.recipes import recipes_for
from arsenal.acts.shop import Shop
from arsenal.acts.taught import Known
from arsenal.acts.views import Contours, LaneSide
from arsenal.motion import bed
from arsenal.motion.pair import Stage
from arsenal.order import order, what_if
from arsenal.order.later import doubted
from arsenal.order.records import Order, PadResult
from arsenal.plan.records import Due
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M, OIL_UNIT_M

__all__ = ["contours", "lane_side", "pad_keys", "recipes_for"]
DRAWS = 200
GRID = (101, 53)
"""Distances and boards of the film as it is drawn: contours of more cost too long."""


def lane_side(
    shop: Shop, bowler_id: int, lane_id: int | None = None, *, line: Line | None = None, seed: int = 1,
    day: date | None = None, rooms: bool = True, game: int = 0, with_ids: Sequence[int] = (),
) -> LaneSide:  # fmt: skip
    """Order, contours, jobs and rule for a bowler on a condition (None: the usual lane). `line` None: the bowler's own
    line there, else the reference ball's best. `day` shows a past day.

    `game` is how many games were bowled on the lane before, by the bowler and those of `with_ids` (see `acts.later`).
    Raises NotFound; KnownError without a throw; OutOfRange for games no set has.
    """
    bowler = shop.person(bowler_id)
    lane = _lane(shop, bowler, lane_id)
    if bowler.style is None:
        raise KnownError(
            f"How {bowler.name} throws is not known yet.", next_step="Say speed and revs in the desk, or load them."
        )
    own = line or dict(bowler.lines).get(lane.id)
    known = taught.known(shop, bowler, lane, day)
    stage, found = _order(shop, known, own if not game else line, seed, day, rooms, game, with_ids)
    due = tuple(job for job in jobs.of_bowler(shop, bowler) if job.due is not Due.FINE)
    drawn = contours(shop, bowler, known.lane)
    if stage:
        # the pattern still ends where it ended: what was carried on past it is not pattern
        drawn = replace(contours(shop, bowler, stage.lane), oil_ends_ft=drawn.oil_ends_ft)
    return LaneSide(
        bowler, lane, taught.with_findings(shop, found), drawn, rules_now.rule_state(shop, bowler.id), due, game,
        later.words(shop, bowler, game, with_ids), stage, known,
    )  # fmt: skip


def pad_keys(
    shop: Shop, bowler_id: int, lane_id: int, ball_id: int, side: LaneSide, *,
    recipes: Sequence[Recipe] | None = None,
) -> tuple[PadResult, ...]:  # fmt: skip
    """What each pad would do to one ball on this condition, by paired draws with the order in `side`."""
    ball, known = shop.ball(ball_id), known_of(shop, side)
    lane, priors = lane_and_priors(shop, side, lane_id)
    chosen = tuple(recipes) if recipes is not None else recipes_for(shop, bowler_id, ball)
    had = tuple((row.ball, row.state) for row in (*side.order.rows, *side.order.spares))
    seed, draws = side.order.stamp.seed, side.order.stamp.draws

    def make() -> tuple[PadResult, ...]:
        return what_if(
            side.order, known.bowler, lane, had, ball_id, chosen, shop.pads_by_id(), priors, seed=seed, draws=draws,
            taught=known.taught,
        )  # fmt: skip

    key = ("pads", had, known.key, lane, side.order.line, seed, draws, ball_id, chosen, shop.pads())
    return shop.remembered(key, make)


def lane_and_priors(shop: Shop, side: LaneSide, lane_id: int | None = None) -> tuple[Lane, Priors]:
    """The lane the shots of `side` are thrown on, and the priors that go with it."""
    known = known_of(shop, side)
    if lane_id is not None and lane_id != side.lane.id:
        return shop.lane(lane_id), shop.priors
    if side.stage:
        return side.stage.lane, doubted(known.priors, known.lane, side.stage)
    return known.lane, known.priors


def known_of(shop: Shop, side: LaneSide) -> Known:
    """What the shots of `side` are reckoned with."""
    return side.known or taught.Known(side.bowler, side.lane, shop.priors)


def contours(shop: Shop, bowler: Person, lane: Lane) -> Contours:
    """The film for drawing, in the frame of the paths: boards from the gutter opposite the hook side. An unknown house
    is drawn at the middle of its spread.
    """

    def make() -> Contours:
        film = bed(lane, bowler.hooks_to_left, shop.priors)
        distance_m = np.linspace(0.0, LANE_LENGTH_M, GRID[0])
        boards = np.linspace(0.5, 39.5, GRID[1])
        height = film.height_m(distance_m[:, None], (boards[None, :] - 0.5) * BOARD_M)
        return Contours(distance_m / FOOT_M, boards, height / OIL_UNIT_M, film.length_m / FOOT_M)

    return shop.remembered(("contours", lane, bowler.hooks_to_left), make)


def _order(
    shop: Shop, known: Known, line: Line | None, seed: int, day: date | None, rooms: bool, game: int,
    with_ids: Sequence[int],
) -> tuple[Stage | None, Order]:  # fmt: skip
    bowler, lane = known.bowler, known.lane
    had = shop.held(bowler.id, until=day)
    keys = (recipe for ball, _ in had if not ball.spare for recipe in recipes_for(shop, bowler.id, ball))
    recipes = tuple(dict.fromkeys(keys))
    if game:
        return later.order(
            shop, known, had, game, with_ids, line=line, seed=seed, draws=DRAWS, rooms=rooms, recipes=recipes
        )  # fmt: skip

    def make() -> Order:
        made = order(
            bowler, lane, had, known.priors, line=line, seed=seed, draws=DRAWS, rooms=rooms, recipes=recipes,
            pads=shop.pads_by_id(), taught=known.taught,
        )  # fmt: skip
        return taught.remarked(made, known)

    return None, shop.remembered(("order", had, known.key, line, seed, rooms, recipes, shop.pads()), make)


def _lane(shop: Shop, bowler: Person, lane_id: int | None) -> Lane:
    chosen = lane_id if lane_id is not None else bowler.usual_lane_id
    if chosen is not None:
        return shop.lane(chosen)
    every = shop.lanes()
    if len(every) == 1:
        return next(iter(every.values()))
    if not every:
        raise NotFound("There is no lane condition in this file yet.", next_step="Add one, or load some.")
    names = "; ".join(lane.name for lane in every.values())
    raise NotFound(f"Which condition does {bowler.name} play?", next_step=f"Choose one of {names}.")
