"""What every job of one ball is judged by: state, losses, pace, intervals, today; and how near a job is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from arsenal.order import words
from arsenal.plan.intervals import CoverIntervals, Interval, Intervals
from arsenal.plan.losses import Loss
from arsenal.plan.pace import after_games
from arsenal.plan.records import Due, Job, Way, Work
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Step
from arsenal.trade.priors import Priors

Z10 = 1.2815515655446004
"""Standard normal 90th percentile."""


@dataclass(frozen=True, slots=True)
class Context:
    """One ball on one day."""

    ball: Ball
    state: SurfaceState
    loss: Loss | None
    """None where the usual condition or the release is not known: intervals alone then."""
    entries: Sequence[Entry] | None
    games_a_week: float
    today: date
    until: date
    intervals: Intervals
    priors: Priors

    @property
    def rows(self) -> CoverIntervals:
        """The intervals of this cover."""
        return self.intervals.by_cover[self.ball.cover]

    @property
    def came_on(self) -> date | None:
        """The earliest day anything is known of this ball."""
        days = [e.on for e in self.entries or ()] + [d for d in (self.ball.bought_on, self.state.finish_on) if d]
        return min(days, default=None)

    def near(self, share: float, by: date | None, over: float = float("inf")) -> Due:
        """over, due, soon (by the end of this sheet) or fine."""
        if share >= over:
            return Due.OVER
        if share >= 1.0:
            return Due.DUE
        return Due.SOON if by is not None and by <= self.until else Due.FINE

    def by_games(self, left: Estimate | None) -> date | None:
        """The day the games left will have been played, at this ball's pace."""
        return None if left is None else after_games(self.today, left.mean, self.games_a_week)


@dataclass(frozen=True, slots=True)
class Reason:
    """One way for a job to fall due."""

    share: float
    share_low: float
    share_high: float
    left: Estimate | None
    by: date | None
    why: str
    detail: str
    over: float
    by_state: bool = False
    ways: tuple[Way, ...] = ()
    """How it and whatever else was weighed fall due, for a forecast."""


PAST = 1.25
"""Share of the interval from which “14 of 3 games” would read oddly."""


def by_interval(c: Context, interval: Interval, games: Estimate, extra: str = "") -> Reason:
    """Due by games played since."""
    share = games.mean / interval.due
    doubt = (games.sd**2 + interval.doubt**2) ** 0.5
    left = Estimate(max(interval.due - games.mean, 0.0), doubt)
    reach = Z10 * doubt / interval.due
    past = share >= PAST
    why = "past its interval" if past else "at its interval" if share >= 1.0 else in_games(left)
    played = whole(games.mean)
    said = f"{played} games, usual is {interval.said}" if past else f"{played} of {interval.said} games"
    by = c.by_games(left)
    low, high = max(share - reach, 0.0), share + reach
    return Reason(share, low, high, left, by, why, f"{said}{extra}", interval.over_share, ways=(Way(left),))


def in_games(left: Estimate) -> str:
    """“in 9 ± 4 games”."""
    return f"in {whole(left.mean)} ± {whole(max(left.sd, 1.0))} games"


def whole(value: float) -> str:
    """A count without a sign or fraction."""
    return f"{value:.0f}"


def games(value: float) -> str:
    """“1 game”, “14 games”."""
    text = whole(value)
    return f"{text} game" if text == "1" else f"{text} games"


def lost_boards(boards: Estimate) -> str:
    """“3 ± 1 boards lost”; a ball that grew stronger says so."""
    way = "lost" if boards.mean >= 0.0 else "stronger"
    text = words.amount(boards.mean, boards.sd)
    unit = "board" if text in ("½", "1") and boards.sd < 1.0 else "boards"
    return f"{text} ± {words.doubt(boards.sd)} {unit} {way}"


def first_of(reasons: Sequence[Reason]) -> Reason:
    """Whichever comes first: the farthest past due, else the earliest day."""
    due = [r for r in reasons if r.share >= 1.0]
    first = max(due, key=lambda r: r.share) if due else None
    first = first or min(reasons, key=lambda r: (r.by is None, r.by or date.max, -r.share))
    return replace(first, ways=tuple(way for r in reasons for way in r.ways))


def job(
    c: Context, work: Work, how: str, reason: Reason, minutes: float, *,
    steps: tuple[Step, ...] = (), boards: Estimate | None = None, read_m: float | None = None, one_entry: bool = True,
) -> Job:  # fmt: skip
    """A job from the reason that comes first."""
    by = c.today if reason.share >= 1.0 else reason.by
    return Job(
        ball_id=c.ball.id, work=work, due=c.near(reason.share, by, reason.over), how=how, why=reason.why,
        detail=reason.detail, by_state=reason.by_state, share=reason.share, share_low=reason.share_low,
        share_high=reason.share_high, games_left=reason.left, by=by, minutes=minutes, boards_lost=boards,
        first_read_lost_m=read_m, steps=steps, one_entry=one_entry, ways=_ways(c, reason),
    )  # fmt: skip


def _ways(c: Context, reason: Reason) -> tuple[Way, ...]:
    """What is due already is due today, whatever its doubt was."""
    return (Way(on=c.today),) if reason.share >= 1.0 else reason.ways
