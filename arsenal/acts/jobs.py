"""Jobs of upkeep of one bowler, made once for each change of the file and each day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from arsenal.acts import convergence, intervals, taught
from arsenal.acts.shop import Shop
from arsenal.plan import upkeep
from arsenal.plan.records import Job
from arsenal.trade.person import Person


def read_ahead(shop: Shop, people: Sequence[Person], progress: Callable[[float], None] | None = None) -> None:
    """Have ready what `of_bowler` asks for many bowlers: all their logs in one read, and what their balls have lost in
    few batches.
    """
    if len(people) < 2:
        return
    shop.read_ahead(shop.balls())
    convergence.lost_of_many(shop, people, progress)


def of_bowler(
    shop: Shop, bowler: Person, *, until: date | None = None, games_a_week: float | None = None
) -> tuple[Job, ...]:
    """Every job on the bowler's balls in the bag, fine ones too."""
    pace = bowler.games_a_week if games_a_week is None else games_a_week
    had = shop.held(bowler.id)
    lane = shop.lanes().get(bowler.usual_lane_id) if bowler.usual_lane_id is not None else None
    today = shop.today()

    def make() -> tuple[Job, ...]:
        logs = {ball.id: shop.entries(ball.id) for ball, _ in had}
        return upkeep(
            bowler, had, lane, shop.priors, today=today, games_a_week=pace, until=until, entries_by_ball=logs,
            intervals=intervals.of_shop(shop), lost=convergence.lost(shop, bowler.id),
        )  # fmt: skip

    lengths = tuple(len(shop.entries(ball.id)) for ball, _ in had)
    known = tuple(taught.taught_of(shop, bowler.id).values())
    chosen = repr(intervals.chosen(shop))
    key = ("jobs", had, lengths, bowler, lane, today, until, pace, chosen, known)
    return shop.remembered(key, make, small=True)
