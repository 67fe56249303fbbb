"""When each job falls due, with its doubt: the chance that it is due by each day ahead, and again after it was done.

A job is due once the games it has left have been played. Both sides are unsure: how many games are left, and how many
of an evening's games this ball sees. Their difference is taken as normal, so the chance to be due by the end of a day
is Φ((played − left) / √(var played + var left)); the first of several ways counts, taken as independent.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import MappingProxyType

from arsenal.plan.intervals import Intervals, finish_class
from arsenal.plan.pace import GAMES_A_SESSION, add_months
from arsenal.plan.plays import BallPlay
from arsenal.plan.records import Job, Way, Work
from arsenal.surface.state import Estimate, SurfaceState

EARLY, LIKELY, LATE = 0.1, 0.5, 0.9
SWALLOW_DAYS = 10
"""A refresh that falls due so shortly before a resurfacing is left to it (our own assumption)."""
MOST_ROUNDS = 60
PLANNED = (Work.REFRESH, Work.RESURFACE, Work.DEEP_OIL, Work.INSPECT, Work.CLEAN)


@dataclass(frozen=True, slots=True)
class Again:
    """How long one round of a job lasts once it is done: games, months, or where `both` not before both."""

    games: Estimate | None = None
    months: int | None = None
    both: bool = False


@dataclass(frozen=True, slots=True)
class Falling:
    """One round of one job: the chance that it is due by the end of each day from `first_on` on."""

    ball_id: int
    work: Work
    round: int
    first_on: date
    chance: tuple[float, ...]
    job: Job
    number: int = 0
    """How many times this work was done before, counted over the ball's life: a round keeps its key once the one
    before it is done."""

    @property
    def key(self) -> str:
        """Stable from one plan to the next."""
        return f"{self.ball_id} {self.work} {self.number}"

    @property
    def before(self) -> str:
        """Key of the round before."""
        return f"{self.ball_id} {self.work} {self.number - 1}"

    @property
    def heated(self) -> bool:
        """Goes into the heat cabinet; a drop test is oil work without."""
        return self.work is Work.DEEP_OIL and self.job.one_entry

    def by(self, chance: float) -> date | None:
        """The first day by which it is due with at least that chance; None where that lies past the days reckoned."""
        at = next((n for n, p in enumerate(self.chance) if p >= chance), None)
        return None if at is None else self.first_on + timedelta(days=at)

    @property
    def early(self) -> date | None:
        """One chance in ten to be due by then."""
        return self.by(EARLY)

    @property
    def likely(self) -> date | None:
        """Even chances."""
        return self.by(LIKELY)

    @property
    def late(self) -> date | None:
        """Nine chances in ten."""
        return self.by(LATE)

    def by_the_end_of(self, on: date) -> float:
        """The chance to be due by the end of a day."""
        at = (on - self.first_on).days
        return 0.0 if at < 0 else self.chance[min(at, len(self.chance) - 1)]


def chances(ways: Sequence[Way], plays: Sequence[BallPlay], first_on: date, days: int) -> tuple[float, ...]:
    """The chance that the first of the ways is due by the end of each of so many days from `first_on`; play before
    that day does not count.
    """
    ahead = [play for play in plays if play.on >= first_on]
    ons = [play.on for play in ahead]
    games, variance = [0.0], [0.0]
    for play in ahead:
        games.append(games[-1] + play.games)
        variance.append(variance[-1] + play.variance)
    found, highest = [], 0.0
    for n in range(days):
        on = first_on + timedelta(days=n)
        had = bisect_right(ons, on)
        none = math.prod(1.0 - _due(way, on, games[had], variance[had]) for way in ways)
        highest = max(highest, 1.0 - none)  # what is due stays due
        found.append(highest)
    return tuple(found)


def _due(way: Way, on: date, played: float, variance: float) -> float:
    if way.on is not None and on < way.on:
        return 0.0
    if way.games is None:
        return 1.0 if way.on is not None else 0.0
    spread = math.sqrt(variance + way.games.sd**2)
    beyond = played - way.games.mean
    if spread < 1e-9:
        return 1.0 if beyond >= 0.0 else 0.0
    return 0.5 * math.erfc(-beyond / (spread * math.sqrt(2.0)))


def again(job: Job, state: SurfaceState, table: Intervals, fresh: Estimate | None = None) -> tuple[Again, ...]:
    """How this job comes again on a ball in that state. `fresh` are the games after which a refreshed surface has lost
    what counts as due, where that was reckoned.
    """
    rows = table.by_cover[state.cover]
    interval = {
        Work.REFRESH: rows.refresh[finish_class(state)], Work.RESURFACE: rows.resurface, Work.DEEP_OIL: rows.deep_oil,
    }.get(job.work)  # fmt: skip
    found = [Again(Estimate(interval.due, interval.doubt))] if interval is not None else []
    if job.work is Work.REFRESH and fresh is not None:
        found.append(Again(fresh))
    if job.work is Work.RESURFACE and rows.resurface_by_date:
        found.append(Again(months=table.resurface_months))
    if job.work is Work.DEEP_OIL and rows.deep_oil is not None:
        found.append(Again(Estimate(table.season_games), table.season_months, both=True))
    if job.work is Work.INSPECT:
        found.append(Again(Estimate(table.inspect_sessions * GAMES_A_SESSION, GAMES_A_SESSION)))
    if job.work is Work.CLEAN and rows.clean == "monthly":
        found.append(Again(months=1))
    return tuple(found)


def _ways(rounds: Sequence[Again], done_on: date, carried: float) -> tuple[Way, ...]:
    """From the day it was done; `carried` is the variance in games that the round before leaves."""
    ways = []
    for one in rounds:
        on = add_months(done_on, one.months) if one.months is not None else None
        games = replace(one.games, sd=math.sqrt(one.games.sd**2 + carried)) if one.games is not None else None
        ways += [Way(games, on)] if one.both or games is None or on is None else [Way(games), Way(on=on)]
    return tuple(ways)


def of_ball(
    jobs: Sequence[Job], plays: Sequence[BallPlay], rounds: Mapping[Work, Sequence[Again]], today: date, until: date, *,
    beyond_days: int = 56, done_before: Mapping[Work, int] = MappingProxyType({}), take_along: bool = True,
    done_on: Mapping[str, date] = MappingProxyType({}),
) -> tuple[Falling, ...]:  # fmt: skip
    """Every round of every job of one ball whose early day lies by `until`, each taken as done on its likely day, or
    on the day that `done_on` has for its key. The chances go on for `beyond_days` after that, so that what is early can
    be weighed. A refresh that falls due about when the ball is resurfaced is left to that, and its next round counts
    from there, unless `take_along` is False because nobody can resurface it.
    """
    by_work = {job.work: job for job in jobs if job.work in PLANNED}
    end = until + timedelta(days=beyond_days)
    done: tuple[date, ...] = ()
    found: list[Falling] = []
    for work in (Work.RESURFACE, *(w for w in PLANNED if w is not Work.RESURFACE)):
        job = by_work.get(work)
        if job is None or not job.ways:
            continue
        along = done if work is Work.REFRESH and take_along else ()
        chain = _Chain(job, plays, rounds.get(work, ()), done_before.get(work, 0), done_on)
        made = chain.rounds((today, until, end), along)
        if work is Work.RESURFACE:
            done = tuple(on for falling in made if (on := done_on.get(falling.key, falling.likely)) is not None)
        found += made
    return tuple(sorted(found, key=lambda f: (f.likely or end, f.round, PLANNED.index(f.work))))


@dataclass(frozen=True, slots=True)
class _Chain:
    """One job and its rounds."""

    job: Job
    plays: Sequence[BallPlay]
    again: Sequence[Again]
    number: int
    done_on: Mapping[str, date]

    def rounds(self, when: tuple[date, date, date], resurfaced: Sequence[date]) -> list[Falling]:
        """Every round from a day on whose early day lies by another; chances up to a third."""
        start, until, end = when
        ways, carried, turn = self.job.ways, 0.0, 0
        found: list[Falling] = []
        while start <= until and ways and turn < MOST_ROUNDS:
            falling = self._falling(ways, start, end, turn)
            likely, early = falling.likely, falling.early
            taken = _taken_along(resurfaced, start, likely)
            if taken is not None:
                ways, start, turn = _ways(self.again, taken, 0.0), taken + timedelta(days=1), turn + 1
                continue
            if early is None or early > until:
                break
            found.append(falling)
            turn += 1
            done = self.done_on.get(falling.key, likely)
            if done is None:
                break
            carried = max((way.games.sd**2 for way in ways if way.games is not None), default=0.0)
            ways, start = _ways(self.again, done, carried), max(done, start) + timedelta(days=1)
        return found

    def _falling(self, ways: Sequence[Way], start: date, end: date, number: int) -> Falling:
        chance = chances(ways, self.plays, start, (end - start).days + 1)
        return Falling(self.job.ball_id, self.job.work, number, start, chance, self.job, self.number + number)


def _taken_along(resurfaced: Sequence[date], since: date, likely: date | None) -> date | None:
    """The resurfacing that a refresh is left to, if there is one."""
    last = date.max if likely is None else likely + timedelta(days=SWALLOW_DAYS)
    return next((on for on in resurfaced if since <= on <= last), None)
