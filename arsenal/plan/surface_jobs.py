"""Refresh and resurface: one pad when boards are lost or its games are over, the full sequence in time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from arsenal.kernels.wear import p_equivalent
from arsenal.order import words
from arsenal.plan.context import Z10, Context, Reason, by_interval, first_of, games, in_games, job, lost_boards
from arsenal.plan.intervals import finish_class
from arsenal.plan.losses import games_until, share_lost
from arsenal.plan.pace import add_months
from arsenal.plan.records import Job, Way, Work
from arsenal.surface import minutes
from arsenal.trade import days
from arsenal.trade.entries import Step, Tool
from arsenal.trade.pads import label
from arsenal.trade.units import FOOT_M

WELL_PAST_SHARE = 2.0
"""Twice what makes it due: four boards or four feet."""
SEQUENCE = (500.0, 1000.0, 2000.0, 4000.0)
COARSEST = 360.0
"""The full sequence, one grit after the other up to the finish the ball had (common practice, no source)."""
FULL_MINUTES = 16.0
"""Bench minutes of a resurfacing, 12 to 20 (from memory)."""
USUAL_PADS = (500.0, 1000.0, 2000.0, 3000.0, 4000.0)
PLAYED_SINCE_GAMES = 1.0


def refresh(c: Context) -> Job | None:
    """One pad: 2 boards or 2 ft of first read lost since it settled in, or its games; None where neither is known."""
    interval = c.rows.refresh[finish_class(c.state)]
    reasons = []
    if c.loss is not None:
        reasons.append(_by_state(c))
    if interval is not None:
        reasons.append(by_interval(c, interval, c.state.games_on_finish))
    if not reasons:
        return None
    reason = first_of(reasons)
    if c.loss is not None and not reason.by_state:
        reason = _with_state(c, reason)
    steps = one_pad(c)
    boards = c.loss.boards if c.loss else None
    read = c.loss.first_read_m.mean if c.loss else None
    return _shown_first(
        c, job(c, Work.REFRESH, label(steps), reason, minutes(steps), steps=steps, boards=boards, read_m=read)
    )


def _shown_first(c: Context, planned: Job) -> Job:
    """A cracked ball gets no work before somebody who knows has seen it."""
    return replace(planned, how="no work: cracked, show it first", one_entry=False) if c.state.cracked else planned


def one_pad(c: Context) -> tuple[Step, ...]:
    """The last step of the finish as it was set; where nobody said, a hand pad near what it played."""
    if c.state.finish:
        last = c.state.finish[-1]
        return (Step(last.abrasive, last.number, last.scale, last.tool, last.wet, last.sides, last.seconds),)
    return (Step(number=min(USUAL_PADS, key=lambda n: abs(n - c.state.finish_set_grit))),)


def _by_state(c: Context) -> Reason:
    assert c.loss is not None  # noqa: S101 -- asked only where there is one
    boards, read = c.loss.boards, c.loss.first_read_m
    due_boards, due_read_m = c.intervals.boards, c.intervals.first_read_ft * FOOT_M
    share = share_lost(boards.mean, read.mean, due_boards, due_read_m)
    reach = max(Z10 * boards.sd / due_boards, Z10 * read.sd / due_read_m)
    left = games_until(c.loss, due_boards, due_read_m)
    if share >= 1.0:
        why, detail = lost_boards(boards), f"{_feet(read.mean)}, {games(c.state.games_on_finish.mean)}"
    else:
        nearer = abs(read.mean) * due_boards > abs(boards.mean) * due_read_m
        what = f"{words.feet(due_read_m)} ft" if nearer else words.counted(due_boards)
        why = f"{what} {in_games(left)}" if left else f"under {what}, however long it plays"
        detail = f"{words.counted(boards.mean, boards.sd)}, {words.feet(abs(read.mean))} ft so far"
    low, high = max(share - reach, 0.0), share + reach
    ways = (Way(left),) if left else ()
    return Reason(share, low, high, left, c.by_games(left), why, detail, WELL_PAST_SHARE, by_state=True, ways=ways)


def _feet(read_m: float) -> str:
    way = "" if read_m >= 0.0 else " earlier"
    return f"{words.feet(abs(read_m))} ft of first read{way}"


def _with_state(c: Context, reason: Reason) -> Reason:
    """By its interval, with what the state says beside it; while that is little, never more than due."""
    assert c.loss is not None  # noqa: S101 -- asked only where there is one
    lost = words.counted(c.loss.boards.mean, c.loss.boards.sd)
    return Reason(
        reason.share, reason.share_low, reason.share_high, reason.left, reason.by, reason.why,
        f"{reason.detail}, {lost} so far", float("inf"), ways=reason.ways,
    )  # fmt: skip


def resurface(c: Context) -> Job | None:
    """The full sequence: by games, and at least every half year where the cover asks for it."""
    if c.rows.resurface is None:
        return None
    boards = c.loss.wear_boards if c.loss else None
    reasons = [by_interval(c, c.rows.resurface, c.state.games_since_resurface)]
    dated = _by_date(c)
    if dated is not None:
        reasons.append(dated)
    steps = full_sequence(c)
    planned = job(c, Work.RESURFACE, label(steps), first_of(reasons), FULL_MINUTES, steps=steps, boards=boards)
    return _shown_first(c, planned)


def full_sequence(c: Context) -> tuple[Step, ...]:
    """Wet on a spinner, from coarse up to the finish the ball had."""
    last = replace(one_pad(c)[0], tool=Tool.SPINNER, wet=True, sides=None, seconds=None)
    end = float("inf") if last.number is None else float(p_equivalent(last.number, last.scale.value))
    most = SEQUENCE[-1] if end == float("inf") else 0.95 * end
    grits = [n for n in SEQUENCE if n < most] or [COARSEST]
    return (*(Step(number=n, tool=Tool.SPINNER, wet=True) for n in grits), last)


def _by_date(c: Context) -> Reason | None:
    since = c.state.resurfaced_on or c.came_on
    if not c.rows.resurface_by_date or since is None or c.state.games_since_resurface.mean < PLAYED_SINCE_GAMES:
        return None
    by = add_months(since, c.intervals.resurface_months)
    share = share_of_time(since, by, c.today)
    every = f"every {c.intervals.resurface_months} months"
    why = every if share >= 1.0 else f"by date, {every}"
    detail = f"last {days.day_and_year(since)}, {games(c.state.games_since_resurface.mean)} since"
    return Reason(share, share, share, None, by, why, detail, WELL_PAST_SHARE, ways=(Way(on=by),))


def share_of_time(since: date, by: date, today: date) -> float:
    """Share of the time from `since` to `by` that has passed today."""
    return max((today - since).days, 0) / max((by - since).days, 1)
