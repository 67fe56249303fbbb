"""Which days of the week a bowler usually plays, read off his own log."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta

from arsenal.acts.shop import Shop
from arsenal.trade.entries import effective, shots_in
from arsenal.trade.units import SHOTS_A_GAME

WEEKS_BACK = 8
"""How far back the habit is read, and a day counts once it was played in half of them (our own assumption)."""


def usual_days(shop: Shop, bowler_id: int) -> tuple[tuple[int, float], ...]:
    """(weekday from Monday 0, games a visit) of every day played in at least half of the last eight weeks.

    Balls thrown the same day are one visit; its games are those of all strike balls together.
    """
    today = shop.today()
    first = today - timedelta(weeks=WEEKS_BACK)
    balls = [ball for ball in shop.balls(bowler_id) if not ball.spare]
    shop.read_ahead(balls)
    games: dict[int, dict[object, float]] = defaultdict(lambda: defaultdict(float))
    for ball in balls:
        for entry in effective(shop.entries(ball.id)):
            if (shots := shots_in(entry.payload)) and first <= entry.on < today:
                games[entry.on.weekday()][entry.on] += shots / SHOTS_A_GAME
    return tuple(
        (weekday, sum(days.values()) / len(days))
        for weekday, days in sorted(games.items())
        if len(days) >= WEEKS_BACK / 2
    )
