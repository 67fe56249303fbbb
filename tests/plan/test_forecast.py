"""When jobs fall due, against seasons that are thrown game by game, and by hand where nothing is left to chance."""

from __future__ import annotations

from datetime import date, time, timedelta
from itertools import pairwise

import numpy as np
import pytest
from a_bag import MIREL, PRIORS, START, ball, folded, log, new, nights, sanded

from arsenal.plan import DEFAULT_INTERVALS, Due, Job, Work, upkeep
from arsenal.plan import forecast as fc
from arsenal.plan.forecast import Again, chances, of_ball
from arsenal.plan.plays import RUN_GAMES, BallPlay, Play, of_habit, of_leagues, schedule
from arsenal.plan.records import Way
from arsenal.surface.state import Estimate
from arsenal.trade import Cover
from arsenal.trade.calendar import League, Repeats

TODAY = date(2026, 11, 24)  # a Tuesday
UNTIL = TODAY + timedelta(weeks=17)


def job(work: Work, *ways: Way, due: Due = Due.FINE) -> Job:
    return Job(1, work, due, "1000 h", "", "", False, 0.5, 0.4, 0.6, None, None, 3.0, ways=ways)


def weekly(games: float, variance: float = 0.0, weeks: int = 40) -> list[BallPlay]:
    return [BallPlay(TODAY + timedelta(weeks=n), games, variance, time(19)) for n in range(weeks)]


def test_with_no_doubt_a_job_is_due_on_the_evening_its_last_game_is_played() -> None:
    """9 games left at 3 a Tuesday: after the third Tuesday, this one counted."""
    (one,) = of_ball([job(Work.REFRESH, Way(Estimate(9.0)))], weekly(3.0), {}, TODAY, UNTIL)
    assert one.early == one.likely == one.late == TODAY + timedelta(weeks=2)


def test_it_comes_again_after_it_was_done() -> None:
    rounds = {Work.REFRESH: [Again(Estimate(6.0))]}
    found = of_ball([job(Work.REFRESH, Way(Estimate(9.0)))], weekly(3.0), rounds, TODAY, TODAY + timedelta(weeks=9))
    assert [one.likely for one in found] == [TODAY + timedelta(weeks=n) for n in (2, 4, 6, 8)]
    assert [one.key for one in found] == ["1 refresh 0", "1 refresh 1", "1 refresh 2", "1 refresh 3"]


def test_a_round_keeps_its_key_once_the_one_before_it_is_done() -> None:
    found = of_ball([job(Work.REFRESH, Way(Estimate(3.0)))], weekly(3.0), {}, TODAY, UNTIL,
                    done_before={Work.REFRESH: 3})  # fmt: skip
    assert found[0].key == "1 refresh 3"


def test_months_end_on_a_day_that_is_there() -> None:
    """Six months from 31 August is the last of February, leap year or not."""
    for year, last in ((2026, date(2027, 2, 28)), (2027, date(2028, 2, 29))):
        done = date(year, 8, 31)
        found = of_ball([job(Work.RESURFACE, Way(on=done))], [], {Work.RESURFACE: [Again(months=6)]}, done,
                        done + timedelta(days=200))  # fmt: skip
        assert [one.likely for one in found] == [done, last]


def test_whichever_comes_first_counts_and_where_both_are_asked_neither_alone_does() -> None:
    games, day = Way(Estimate(9.0)), Way(on=TODAY + timedelta(days=5))
    both = Way(Estimate(9.0), TODAY + timedelta(days=40))
    first = chances((games, day), weekly(3.0), TODAY, 60)
    assert first.index(1.0) == 5
    assert chances((both,), weekly(3.0), TODAY, 60).index(1.0) == 40


def thrown(left: Estimate, plays: list[BallPlay], share: float, games: float, days: int) -> np.ndarray:
    """Share of 40,000 seasons in which the job was due by the end of each day. Each evening's games come in runs, and
    each run falls to this ball by its share: a binomial, not the normal that is reckoned with.
    """
    rng = np.random.default_rng(7)
    needs = rng.normal(left.mean, left.sd, 40_000)
    runs = round(games / RUN_GAMES)
    had = np.zeros_like(needs)
    due = np.zeros(days)
    ons = {play.on for play in plays}
    for n in range(days):
        if TODAY + timedelta(days=n) in ons:
            had += RUN_GAMES * rng.binomial(runs, share, needs.size)
        due[n] = (had >= needs).mean()
    return due


@pytest.mark.parametrize(("left", "share"), [(Estimate(8.0, 2.0), 0.3), (Estimate(20.0, 5.0), 0.5),
                                             (Estimate(3.0, 3.0), 0.2)])  # fmt: skip
def test_the_doubt_is_that_of_seasons_thrown_at_random(left: Estimate, share: float) -> None:
    games = 6.0
    bag = schedule([Play(TODAY + timedelta(days=d), games) for d in range(0, 160, 4)],
                   [ball(1), ball(2)], {1: share, 2: 1.0 - share})  # fmt: skip
    plays = list(bag.of_ball(1))
    assert plays[0].games == pytest.approx(games * share)
    reckoned = np.array(chances((Way(left),), plays, TODAY, 160))
    seasons = thrown(left, plays, share, games, 160)
    assert np.abs(reckoned - seasons).max() < 0.07
    for chance in (fc.EARLY, fc.LIKELY, fc.LATE):
        at = [int(np.argmax(curve >= chance)) for curve in (reckoned, seasons)]
        assert abs(at[0] - at[1]) <= 4  # one evening


def test_what_is_due_stays_due_and_chances_only_rise() -> None:
    """Doubt grows with what is played; the chance to be past due must not fall with it."""
    curve = chances((Way(Estimate(0.5, 0.1)),), weekly(0.2, 30.0), TODAY, 120)
    assert all(later >= earlier for earlier, later in pairwise(curve))


def test_a_refresh_shortly_before_a_resurfacing_is_left_to_it_unless_nobody_can_resurface() -> None:
    jobs = [job(Work.REFRESH, Way(Estimate(6.0))), job(Work.RESURFACE, Way(on=TODAY + timedelta(days=10)))]
    rounds = {Work.REFRESH: [Again(Estimate(9.0))]}
    found = of_ball(jobs, weekly(3.0), rounds, TODAY, TODAY + timedelta(weeks=6))
    assert [(one.work, one.likely) for one in found] == [
        (Work.RESURFACE, TODAY + timedelta(days=10)), (Work.REFRESH, TODAY + timedelta(weeks=4)),
    ]  # fmt: skip
    alone = of_ball(jobs, weekly(3.0), rounds, TODAY, TODAY + timedelta(weeks=3), take_along=False)
    assert (Work.REFRESH, TODAY + timedelta(weeks=1)) in [(one.work, one.likely) for one in alone]


def league(**fields: object) -> League:
    return League(1, 1, "House league", date(2026, 9, 1), **fields)  # type: ignore[arg-type]


def test_leagues_give_the_evenings_and_shots_count_rather_than_games() -> None:
    found = of_leagues([league(games=3.0), league(games=1.0, shots=22.0, repeats=Repeats.FORTNIGHTLY)], TODAY,
                       TODAY + timedelta(days=14))  # fmt: skip
    assert sorted((play.on, play.games) for play in found) == [
        (TODAY, 2.0), (TODAY, 3.0), (TODAY + timedelta(weeks=1), 3.0), (TODAY + timedelta(weeks=2), 2.0),
        (TODAY + timedelta(weeks=2), 3.0),
    ]  # fmt: skip


def test_without_a_league_the_week_s_games_lie_on_the_usual_days_or_on_all() -> None:
    usual = of_habit(7.0, ((1, 3.0), (5, 4.0)), TODAY, TODAY + timedelta(days=27))
    assert sum(play.games for play in usual) == pytest.approx(28.0)
    assert {play.on.weekday() for play in usual} == {1, 5}
    even = of_habit(7.0, (), TODAY, TODAY + timedelta(days=13))
    assert [play.games for play in even] == [1.0] * 14
    assert of_habit(0.0, (), TODAY, UNTIL) == ()


def test_the_games_of_an_evening_divide_among_the_balls_thrown_there_and_spares_share_them_again() -> None:
    bag = [ball(1), ball(2), ball(3), ball(4, Cover.POLYESTER, spare=True)]
    made = schedule([Play(TODAY, 4.0, ball_ids=(1, 2))], bag, {1: 1.0, 2: 3.0, 3: 5.0, 4: 2.0})
    games = {i: [play.games for play in made.of_ball(i)] for i in (1, 2, 3, 4)}
    assert games == {1: [1.0], 2: [3.0], 3: [], 4: [4.0]}


def test_jobs_of_a_bag_that_are_due_are_due_today_and_others_as_their_interval_says() -> None:
    one = ball(1)
    entries = log(1, new(), sanded(START, 500.0, 1000.0), *nights(START + timedelta(days=1), 4, 3.0))
    today = START + timedelta(days=30)
    jobs = upkeep(MIREL, [folded(one, entries, today)], None, PRIORS, today=today, games_a_week=6.0,
                  entries_by_ball={1: entries})  # fmt: skip
    found = {f.work: f for f in of_ball(jobs, [BallPlay(today + timedelta(days=n), 1.0, 0.0) for n in range(300)],
                                        {}, today, today + timedelta(days=120))}  # fmt: skip
    interval = DEFAULT_INTERVALS.by_cover[Cover.SOLID].resurface
    assert found[Work.REFRESH].likely == today  # 12 games on 1000 where 3 to 6 are usual
    assert interval is not None
    assert found[Work.RESURFACE].likely == today + timedelta(days=round(interval.due) - 12 - 1)
    assert found[Work.RESURFACE].early < found[Work.RESURFACE].likely < found[Work.RESURFACE].late  # type: ignore[operator]
