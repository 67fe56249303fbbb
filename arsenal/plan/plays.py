"""Which balls will be thrown when: leagues and events where they are known, else the usual days, else evenly."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from arsenal.plan.occurrences import days_of
from arsenal.trade.ball import Ball
from arsenal.trade.calendar import League
from arsenal.trade.units import SHOTS_A_GAME

RUN_GAMES = 1.5
"""A bowler throws one ball for about so many games on end before another comes to hand (our own assumption). It sets
how unsure one evening's share of a ball is: runs fall to this ball or to another, by its share."""


@dataclass(frozen=True, slots=True)
class Play:
    """Play on one day. `ball_ids` are the strike balls that may be thrown; empty for all in the bag."""

    on: date
    games: float
    starts: time | None = None
    ball_ids: tuple[int, ...] = ()
    event: bool = False


@dataclass(frozen=True, slots=True)
class BallPlay:
    """What one ball is expected to see on one day: games, and their variance."""

    on: date
    games: float
    variance: float
    starts: time | None = None
    event: bool = False
    most: float = 0.0
    """All games of that day: what it could see, if the bowler wants to."""


@dataclass(frozen=True, slots=True)
class Schedule:
    """A bowler's days of play within a stretch of time, and how his games divide among the balls."""

    plays: tuple[Play, ...]
    shares: Mapping[int, float] = field(default_factory=dict)
    """Games a week of each ball, by id; only their proportions count."""
    spare_ids: frozenset[int] = frozenset()

    def of_ball(self, ball_id: int) -> tuple[BallPlay, ...]:
        """The days on which this ball may be thrown, in order. Every game has spares: spare balls share it again."""
        spare = ball_id in self.spare_ids
        kind = {i: share for i, share in self.shares.items() if (i in self.spare_ids) is spare}
        found = []
        for play in self.plays:
            usual = [i for i in play.ball_ids if i in kind]
            among = list(kind) if spare or not usual else usual
            if ball_id not in among:
                continue
            total = sum(kind[i] for i in among)
            share = kind[ball_id] / total if total > 0.0 else 1.0 / len(among)
            games, run = play.games * share, min(RUN_GAMES, play.games)
            spread = run * games * (1.0 - share)
            found.append(BallPlay(play.on, games, spread, play.starts, play.event, play.games))
        return tuple(found)


def of_leagues(leagues: Sequence[League], since: date, until: date) -> tuple[Play, ...]:
    """Every evening of leagues and the like from `since` to `until`."""
    return tuple(
        Play(on, evening_games(league), league.starts, league.ball_ids)
        for league in leagues
        for on in days_of(league.first_on, league.repeats, since, until, last_on=league.last_on,
                          skipped=league.skipped)
    )  # fmt: skip


def evening_games(league: League) -> float:
    """Games of one evening as a ball counts them: by shots where those are said."""
    return league.games if league.shots is None else league.shots / SHOTS_A_GAME


def of_habit(
    games_a_week: float, usual: Sequence[tuple[int, float]], since: date, until: date
) -> tuple[Play, ...]:  # fmt: skip
    """Where no league is known: the games of a week on the usual days (weekday from Monday 0, games), by their
    proportions; spread over all seven where there are none.
    """
    if not (games_a_week > 0.0 and math.isfinite(games_a_week)):
        return ()
    days = dict(usual) or dict.fromkeys(range(7), 1.0)
    whole = sum(days.values())
    count = (until - since).days + 1
    dates = (since + timedelta(days=n) for n in range(count))
    return tuple(Play(on, games_a_week * days[on.weekday()] / whole) for on in dates if on.weekday() in days)


def schedule(plays: Sequence[Play], balls: Sequence[Ball], shares: Mapping[int, float]) -> Schedule:
    """The days in order, divided among these balls."""
    ordered = tuple(sorted(plays, key=lambda play: (play.on, play.starts or time.max)))
    own = {ball.id: shares.get(ball.id, 0.0) for ball in balls}
    return Schedule(ordered, own, frozenset(ball.id for ball in balls if ball.spare))
