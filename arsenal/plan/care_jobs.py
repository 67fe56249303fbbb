"""Wipe, clean, deep oil, inspect: the care that puts no pad on the ball."""

from __future__ import annotations

from dataclasses import replace

from arsenal.order import words
from arsenal.order.shot import WIPE_OVER
from arsenal.plan.context import Z10, Context, Reason, by_interval, first_of, games, job, lost_boards, whole
from arsenal.plan.pace import GAMES_A_SESSION, add_months, after_games, sessions_since
from arsenal.plan.records import Due, Job, Way, Work
from arsenal.plan.surface_jobs import share_of_time
from arsenal.surface.state import Estimate
from arsenal.trade import days
from arsenal.trade.entries import Played, Shot, Wiped, effective

WIPE_MINUTES, CLEAN_MINUTES, INSPECT_MINUTES, DROP_TEST_MINUTES = 0.5, 4.0, 2.0, 15.0
DEEP_OIL_MINUTES = 40.0
"""Two passes of 20 minutes (from memory); cooling takes the rest of half a day."""
CLEAN_DUE_SESSIONS, CLEAN_OVER_SESSIONS = 2, 4
"""A ball is to be cleaned after each session: one waits for tonight, due once a second one was played over it."""
PLAYED_GAMES = 0.05
NEVER = float("inf")


def wipe(c: Context) -> Job:
    """The film that the last shots left."""
    left = c.priors.oil.film_wiped_m
    film = c.state.film_m
    share = film.mean / (WIPE_OVER * left)
    reach = Z10 * film.sd / (WIPE_OVER * left)
    why = "film left on it" if share >= 1.0 else "wiped"
    detail = "the next shot goes a little longer" if share >= 1.0 else c.rows.wipe.replace("shot", "after every shot")
    reason = Reason(share, max(share - reach, 0.0), share + reach, None, None, why, detail, NEVER, by_state=True)
    found = job(c, Work.WIPE, "dry towel", reason, WIPE_MINUTES, one_entry=False)
    return replace(found, due=Due.SOON, by=None) if share >= 1.0 and not _never_wiped_today(c) else found


def _never_wiped_today(c: Context) -> bool:
    """Film on a ball at rest waits for its next throw; only what was thrown over today, unwiped, is due at once."""
    today = [e.payload for e in effective(list(c.entries or ())) if e.on == c.today]
    shots = [payload for payload in today if isinstance(payload, Shot)]
    left = bool(shots) and shots[-1].wiped is False
    return left or any(isinstance(p, Played) and p.wiped is Wiped.NEVER for p in today)


def clean(c: Context) -> Job:
    """After every session, or monthly on a spare ball that was played."""
    if c.state.games_since_clean.mean < PLAYED_GAMES:
        reason = Reason(0.0, 0.0, 0.0, None, None, "clean", f"{_how_often(c)}", NEVER)
        return job(c, Work.CLEAN, "cleaner", reason, CLEAN_MINUTES)
    return _clean_by_month(c) if c.rows.clean == "monthly" else _clean_by_session(c)


def _how_often(c: Context) -> str:
    return "monthly" if c.rows.clean == "monthly" else "after every session"


def _clean_by_session(c: Context) -> Job:
    if c.entries is not None:
        sessions = float(sessions_since(c.entries, c.state.cleaned_on, c.today))
    else:
        sessions = max(1.0, c.state.games_since_clean.mean / GAMES_A_SESSION)
    share = sessions / CLEAN_DUE_SESSIONS
    over = CLEAN_OVER_SESSIONS / CLEAN_DUE_SESSIONS
    since = f"{games(c.state.games_since_clean.mean)} since it was last cleaned"
    why = "after every session" if share < 1.0 else f"{whole(sessions)} sessions not cleaned"
    reason = Reason(share, share, share, None, c.today, why, since, over)
    return job(c, Work.CLEAN, "cleaner, same night", reason, CLEAN_MINUTES)


def _clean_by_month(c: Context) -> Job:
    since = c.state.cleaned_on or c.came_on or c.today
    by = add_months(since, 1)
    share = share_of_time(since, by, c.today)
    detail = f"{games(c.state.games_since_clean.mean)} since it was last cleaned"
    reason = Reason(share, share, share, None, by, "monthly", detail, 3.0, ways=(Way(on=by),))
    return job(c, Work.CLEAN, "cleaner", reason, CLEAN_MINUTES)


def deep_oil(c: Context) -> Job | None:
    """Reactive covers by games, season or boards lost to oil; urethane only a look at 200; polyester never."""
    rows = c.rows
    if rows.check is not None:
        reason = by_interval(c, rows.check, c.state.games_since_deep_oil)
        return job(c, Work.DEEP_OIL, "drop test: has oil gone in?", reason, DROP_TEST_MINUTES, one_entry=False)
    if rows.deep_oil is None or not c.ball.cover.reactive:
        return None
    oil = c.loss.oil_boards if c.loss else None
    extra = f", {words.counted(oil.mean, oil.sd)}" if oil else ""
    reasons = [by_interval(c, rows.deep_oil, c.state.games_since_deep_oil, extra)]
    season = _once_a_season(c)
    if season is not None:
        reasons.append(season)
    if oil is not None and oil.mean >= c.intervals.boards:
        reasons.append(_oiled(c, oil))
    how, ask = "heat cabinet, ½ day", c.state.cracked or c.state.plugged
    if ask:
        how = f"no heat: {'cracked' if c.state.cracked else 'plugged'}, ask first"
    return job(c, Work.DEEP_OIL, how, first_of(reasons), DEEP_OIL_MINUTES, boards=oil, one_entry=not ask)


def _oiled(c: Context, oil: Estimate) -> Reason:
    share, reach = oil.mean / c.intervals.boards, Z10 * oil.sd / c.intervals.boards
    detail = f"to oil in the cover, {games(c.state.games_since_deep_oil.mean)}"
    low, high = max(share - reach, 0.0), share + reach
    ways = (Way(on=c.today),)
    return Reason(share, low, high, Estimate(0.0), c.today, lost_boards(oil), detail, 2.0, by_state=True, ways=ways)


def _once_a_season(c: Context) -> Reason | None:
    since, played = c.state.deep_oil_on or c.came_on, c.state.games_since_deep_oil
    if since is None:
        return None
    by = add_months(since, c.intervals.season_months)
    more = c.intervals.season_games - played.mean
    past = after_games(c.today, more, c.games_a_week)
    if past is None:
        return None
    share = min(share_of_time(since, by, c.today), played.mean / c.intervals.season_games)
    way = Way(Estimate(max(more, 0.0), played.sd), by)
    by = max(by, past)
    detail = f"last {days.day_and_year(since)}, {games(played.mean)} since"
    return Reason(share, share, share, None, by, "once a season", detail, 2.0, ways=(way,))


def inspect(c: Context) -> Job:
    """Bridge, hole edges, track, inserts every ten sessions; at once where a crack is open."""
    every, had = c.intervals.inspect_sessions, c.state.sessions_since_inspection
    share = had / every
    by = None
    if c.games_a_week > 0.0:
        by = after_games(c.today, (every - had) * GAMES_A_SESSION, c.games_a_week)
    why, detail = f"every {every} sessions", f"{had} since the last"
    if c.state.inspected_on is None:
        detail = f"{had} in the log"
    if not c.state.cracked:
        left = max(every - had, 0) * GAMES_A_SESSION
        ways = (Way(Estimate(left, GAMES_A_SESSION)),)
        reason = Reason(share, share, share, None, by, why, detail, 2.0, ways=ways)
        return job(c, Work.INSPECT, "cracks, holes, inserts", reason, INSPECT_MINUTES)
    return Job(
        c.ball.id, Work.INSPECT, Due.OVER, "show it to a pro shop", "a crack is open", "no heat, no work before", True,
        2.0, 2.0, 2.0, None, c.today, INSPECT_MINUTES, damage=True, one_entry=False,
    )  # fmt: skip
