"""Lane-side: a bowler's set in order on one condition, and what one pad would do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from arsenal.acts.shop import Shop
from arsenal.acts.views import LaneSide
from arsenal.order.records import PadResult
from arsenal.trade.ball import Ball
from arsenal.trade.pads import Recipe
from arsenal.trade.release import Line


def lane_side(
    shop: Shop, bowler_id: int, lane_id: int | None = None, *, line: Line | None = None, seed: int = 1,
    day: date | None = None,
) -> LaneSide:  # fmt: skip
    """Order, contours, jobs and rule for a bowler on a condition (None: the usual lane). `line` None: the bowler's own
    line there, else the reference ball's best. `day` shows a past day. Raises NotFound; KnownError without a throw.
    """
    raise NotImplementedError


def recipes_for(shop: Shop, bowler_id: int, ball: Ball) -> tuple[Recipe, ...]:
    """The six keys: from the pads in stock, roughest first, one of several steps and polish among them."""
    raise NotImplementedError


def pad_keys(
    shop: Shop, bowler_id: int, lane_id: int, ball_id: int, side: LaneSide, *,
    recipes: Sequence[Recipe] | None = None,
) -> tuple[PadResult, ...]:  # fmt: skip
    """What each pad would do to one ball on this condition, by paired draws with the order in `side`."""
    raise NotImplementedError
