"""When so many games will have been played: each ball's share of a bowler's week, and months on the calendar."""

from __future__ import annotations

import calendar
import math
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, effective, shots_in
from arsenal.trade.units import SHOTS_A_GAME

LOOK_BACK_DAYS = 56
PRIOR_GAMES = 2.0
"""Every ball is taken to have had so many games more than the log says, so that a new one gets its turn."""
GAMES_A_SESSION = 3.0
FARTHEST_DAYS = 3650


def add_months(on: date, months: int) -> date:
    """The same day so many months on, or that month's last: 31 August + 6 is 28 or 29 February."""
    years, month = divmod(on.month - 1 + months, 12)
    year = on.year + years
    return date(year, month + 1, min(on.day, calendar.monthrange(year, month + 1)[1]))


def after_games(today: date, games: float, games_a_week: float) -> date | None:
    """The day by which `games` will have been played; today where none are left, None where it never comes."""
    if games <= 0.0:
        return today
    if not (games_a_week > 0.0 and math.isfinite(games)):
        return None
    days = 7.0 * games / games_a_week
    return today + timedelta(days=math.floor(days)) if days <= FARTHEST_DAYS else None


def recent_games(entries: Sequence[Entry], today: date) -> float:
    """Games in the last eight weeks of a ball's log."""
    since = today - timedelta(days=LOOK_BACK_DAYS)
    return sum(shots_in(e.payload) for e in effective(list(entries)) if since < e.on <= today) / SHOTS_A_GAME


def sessions_since(entries: Sequence[Entry], since: date | None, today: date) -> int:
    """Days with play after `since` (all of them where it is None)."""
    days = {e.on for e in effective(list(entries)) if shots_in(e.payload) and e.on <= today}
    return len([day for day in days if since is None or day > since])


def weekly(
    balls: Sequence[Ball], games_a_week: float, today: date, entries: Mapping[int, Sequence[Entry]] | None = None
) -> dict[int, float]:
    """Games a week of each ball: the strike balls share the bowler's week as they lately did, else evenly; every game
    has its spares, so the spare balls share it once more.
    """
    rates: dict[int, float] = {}
    for spare in (False, True):
        kind = [b for b in balls if b.spare is spare]
        had = {b.id: recent_games((entries or {}).get(b.id, ()), today) + PRIOR_GAMES for b in kind}
        total = sum(had.values())
        rates |= {i: games_a_week * games / total for i, games in had.items()}
    return rates
