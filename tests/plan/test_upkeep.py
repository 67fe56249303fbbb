"""What is due, why and by when: state or interval, dates at the pace, calm weeks, leap days."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from a_bag import (
    HOUSE,
    MIREL,
    PRIORS,
    START,
    ball,
    cleaned,
    cracked,
    drawn,
    folded,
    inspected,
    log,
    new,
    nights,
    played,
    sanded,
    sold,
)  # fmt: skip

from arsenal.order.shot import shared_shot
from arsenal.plan import DEFAULT_INTERVALS, Due, Job, Work, intervals_of, upkeep
from arsenal.plan.losses import losses
from arsenal.plan.pace import add_months, sessions_since, weekly
from arsenal.surface.state import Estimate
from arsenal.trade import Ball, Cover
from arsenal.trade.entries import Entry, Wiped
from arsenal.trade.lane import Lane


def due(
    *bag: tuple[Ball, list[Entry]], today: date, games_a_week: float = 6.0, lane: Lane | None = HOUSE, **more: object,
) -> list[Job]:  # fmt: skip
    owned = [folded(b, entries, today) for b, entries in bag]
    known = {b.id: entries for b, entries in bag}
    made = upkeep(
        MIREL, owned, lane, PRIORS, today=today, games_a_week=games_a_week, entries_by_ball=known, draws=40, **more
    )  # type: ignore[arg-type]
    return list(made)


def one(jobs: list[Job], work: Work, ball_id: int = 1) -> Job:
    return next(j for j in jobs if j.work is work and j.ball_id == ball_id)


def after(days: int) -> date:
    return START + timedelta(days=days)


# ---- by games


@pytest.mark.parametrize(
    ("cover", "number", "games"),
    [(Cover.SOLID, 500, 6), (Cover.SOLID, 2000, 10), (Cover.SOLID, 4000, 20), (Cover.HYBRID, 1000, 6),
     (Cover.HYBRID, 1500, 12), (Cover.PEARL, 1000, 6), (Cover.PEARL, 3000, 12), (Cover.URETHANE, 500, 3),
     (Cover.URETHANE, 1500, 6), (Cover.POLYESTER, 4000, 60)],
)  # fmt: skip
def test_without_a_lane_the_refresh_falls_due_at_its_interval(cover: Cover, number: float, games: int) -> None:
    def at(count: float) -> Job:
        entries = log(1, new(), sanded(START, number), played(after(1), count))
        return one(due((ball(1, cover), entries), today=after(2), lane=None), Work.REFRESH)

    assert at(games).due is Due.DUE
    assert at(games).why == "at its interval"
    assert not at(games).by_state
    assert at(games - 1).due in (Due.FINE, Due.SOON)
    assert at(games * 3).due is Due.OVER
    assert at(games * 3).why == "past its interval"
    assert f"{games * 3} games, usual is" in at(games * 3).detail


def test_a_shiny_urethane_and_a_rough_spare_ball_have_no_refresh_interval() -> None:
    for cover, number in ((Cover.URETHANE, 4000.0), (Cover.POLYESTER, 1000.0)):
        entries = log(1, new(), sanded(START, number), played(after(1), 50))
        assert not [j for j in due((ball(1, cover), entries), today=after(2), lane=None) if j.work is Work.REFRESH]


def test_games_left_and_the_day_follow_the_bowlers_pace() -> None:
    entries = log(1, new(), sanded(START, 4000.0), played(after(0), 6), cleaned(after(0)))
    today = after(1)
    at_six = one(due((ball(), entries), today=today, lane=None), Work.REFRESH)
    assert at_six.games_left is not None
    assert at_six.games_left.mean == pytest.approx(14.0)
    assert at_six.by == today + timedelta(days=16)  # 14 games at 6 a week
    at_twelve = one(due((ball(), entries), today=today, lane=None, games_a_week=12.0), Work.REFRESH)
    assert at_twelve.by == today + timedelta(days=8)
    resting = one(due((ball(), entries), today=today, lane=None, games_a_week=0.0), Work.REFRESH)
    assert resting.by is None
    assert resting.due is Due.FINE


def test_balls_share_the_week_as_they_lately_did() -> None:
    balls = [ball(1), ball(2), ball(3, Cover.POLYESTER, spare=True)]
    even = weekly(balls, 6.0, after(60))
    assert even == {1: 3.0, 2: 3.0, 3: 6.0}
    logs = {1: log(1, new(), *nights(after(1), 8, 3.0)), 2: log(2, new())}
    lately = weekly(balls, 6.0, after(56), logs)
    assert lately[1] > 5.0
    assert lately[1] + lately[2] == pytest.approx(6.0)
    long_ago = weekly(balls, 6.0, after(400), logs)
    assert long_ago[1] == long_ago[2]


def test_doubtful_games_make_a_doubtful_day_and_never_none() -> None:
    entries = log(1, new(), sanded(START, 4000.0), played(after(0), 6))
    state = folded(ball(), entries)[1]
    vague = replace(state, games_on_finish=Estimate(6.0, 4.0))
    found = upkeep(MIREL, [(ball(), vague)], None, PRIORS, today=after(1), games_a_week=6.0)
    job = one(list(found), Work.REFRESH)
    assert job.games_left is not None
    assert job.games_left.sd > 5.0
    assert job.by is not None


# ---- by state


def test_two_boards_or_two_feet_lost_make_a_refresh_due_before_its_interval() -> None:
    entries = log(1, new(), sanded(START, 360.0), *nights(after(1), 26, 1.0, 1))
    never = intervals_of({"solid": ("shot", "session", "400", "400", "400", "60 ± 15", "75 ± 25")})
    job = one(due((ball(), entries), today=after(30), intervals=never), Work.REFRESH)
    assert job.by_state
    assert job.boards_lost is not None
    assert job.first_read_lost_m is not None
    assert job.boards_lost.mean > 0.0
    assert job.share == pytest.approx(max(job.boards_lost.mean / 2.0, job.first_read_lost_m / (2.0 * 0.3048)))
    assert job.share >= 1.0
    assert job.due in (Due.DUE, Due.OVER)
    assert "lost" in job.why
    assert "first read" in job.detail
    stricter = one(
        due((ball(), entries), today=after(30), intervals=replace(never, boards=20.0, first_read_ft=20.0)), Work.REFRESH
    )
    assert stricter.due is Due.FINE


def test_nothing_is_lost_before_the_finish_has_settled_in() -> None:
    entries = log(1, new(), sanded(START, 1000.0), played(after(1), 1.0))
    job = one(due((ball(), entries), today=after(2)), Work.REFRESH)
    assert job.boards_lost is not None
    assert job.boards_lost.mean == pytest.approx(0.0, abs=1e-9)
    assert job.due is not Due.DUE


@pytest.mark.common_practice
def test_more_games_lose_more_boards_and_a_refresh_brings_them_back() -> None:
    shot = shared_shot(MIREL, HOUSE, PRIORS, line=None, seed=1, draws=30)

    def lost(*numbers: float, games: int) -> float:
        entries = log(
            1, new(), sanded(START, 1000.0), *nights(after(1), games, 1.0, 1), *(sanded(after(60), n) for n in numbers)
        )
        return losses(shot, [folded(ball(), entries)])[1].boards.mean

    few, some, many = (lost(games=n) for n in (3, 8, 20))
    assert 0.0 < few < some < many
    assert lost(1000.0, games=20) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.common_practice
def test_a_polish_that_dulls_is_told_as_stronger_and_not_as_lost() -> None:
    shot = shared_shot(MIREL, HOUSE, PRIORS, line=None, seed=1, draws=30)
    entries = log(1, new(), sanded(START, 9000.0), *nights(after(1), 15, 1.0, 1))
    assert losses(shot, [folded(ball(1, Cover.PEARL), entries)])[1].boards.mean < 0.0


def test_the_balls_own_unknowns_cancel_in_what_it_has_lost() -> None:
    shot = shared_shot(MIREL, HOUSE, PRIORS, line=None, seed=1, draws=200)
    entries = log(1, new(), sanded(START, 1000.0), *nights(after(1), 6, 1.0, 1))
    loss = losses(shot, [folded(ball(), entries)])[1]
    assert loss.boards.sd < 1.0
    assert loss.oil_boards.mean > 0.0
    assert loss.wear_boards.mean > 0.0


def test_what_is_lost_later_grows_with_games() -> None:
    shot = shared_shot(MIREL, HOUSE, PRIORS, line=None, seed=1, draws=10)
    entries = log(1, new(), sanded(START, 500.0), played(after(1), 2.0))
    ahead = losses(shot, [folded(ball(), entries)])[1].ahead
    assert [n for n, *_ in ahead] == sorted(n for n, *_ in ahead)
    boards = [b for _, b, _, _ in ahead]
    assert boards == sorted(boards)


def test_what_is_foreseen_is_what_the_same_games_make_once_they_are_logged() -> None:
    shot = shared_shot(MIREL, HOUSE, PRIORS, line=None, seed=1, draws=10)
    begun = [new(), sanded(START, 1000.0), played(after(1), 2.0)]
    now = losses(shot, [folded(ball(), log(1, *begun))])[1]
    later = losses(shot, [folded(ball(), log(1, *begun, played(after(2), 5.0)))])[1]
    foreseen = next(boards for games, boards, _, _ in now.ahead if games == 5.0)
    assert foreseen == pytest.approx(later.boards.mean, abs=0.02)


# ---- resurface and deep oil


def test_resurfacing_is_due_at_its_games_or_after_half_a_year_whichever_is_first() -> None:
    busy = log(1, new(), sanded(after(0), 500.0, 1000.0, 2000.0), *nights(after(1), 20, 3.0, 3))
    job = one(due((ball(), busy), today=after(61)), Work.RESURFACE)
    assert job.due is Due.DUE
    assert job.detail.startswith("60 of 60 ± 15 games")
    idle = log(1, new(), sanded(after(0), 500.0, 1000.0, 2000.0), *nights(after(1), 3, 3.0))
    assert one(due((ball(), idle), today=date(2026, 9, 1)), Work.RESURFACE).due is not Due.DUE
    job = one(due((ball(), idle), today=date(2026, 9, 2)), Work.RESURFACE)
    assert job.due is Due.DUE
    assert job.why == "every 6 months"
    assert [s.number for s in job.steps] == [500.0, 1000.0, 2000.0]


def test_a_resurfaced_ball_that_was_never_thrown_since_is_not_due_by_date() -> None:
    kept = log(1, new(), sanded(after(0), 500.0, 1000.0, 2000.0))
    assert one(due((ball(), kept), today=after(400)), Work.RESURFACE).due is Due.FINE


@pytest.mark.common_practice
def test_a_spare_ball_is_resurfaced_by_games_or_nicks_and_never_by_date() -> None:
    entries = log(1, new(), played(after(1), 100))
    spare = ball(1, Cover.POLYESTER, spare=True)
    assert one(due((spare, entries), today=after(700)), Work.RESURFACE).due is Due.FINE


@pytest.mark.common_practice
def test_deep_oil_is_for_reactive_covers_only() -> None:
    for cover in Cover:
        entries = log(1, new(), *nights(after(1), 40, 3.0, 2))
        jobs = [j for j in due((ball(1, cover), entries), today=after(90)) if j.work is Work.DEEP_OIL]
        assert bool(jobs) == (cover is not Cover.POLYESTER)
        if cover.reactive:
            assert jobs[0].due in (Due.DUE, Due.OVER)
            assert jobs[0].boards_lost is not None
        elif jobs:
            assert jobs[0].due is Due.FINE
            assert not jobs[0].one_entry


@pytest.mark.common_practice
def test_once_a_season_a_ball_with_fifty_games_sheds_its_oil() -> None:
    few = log(1, new(), *nights(after(1), 16, 3.0, 21))
    many = log(1, new(), *nights(after(1), 18, 3.0, 19))
    today = after(366)
    assert one(due((ball(1, Cover.PEARL), few), today=today), Work.DEEP_OIL).due is not Due.DUE
    job = one(due((ball(1, Cover.PEARL), many), today=today), Work.DEEP_OIL)
    assert job.due is Due.DUE
    assert job.why == "once a season"
    again = log(1, new(), *nights(after(1), 18, 3.0, 19), drawn(today))
    assert one(due((ball(1, Cover.PEARL), again), today=today), Work.DEEP_OIL).due is Due.FINE


@pytest.mark.common_practice
def test_boards_lost_to_oil_come_before_the_interval_where_the_cover_is_full() -> None:
    of, state = folded(ball(), log(1, new(), *nights(after(1), 10, 3.0)))
    full = replace(state, oil_kg=Estimate(0.0115, 0.001), oil_share=0.96)

    def asked(boards: float) -> Job:
        mine = replace(DEFAULT_INTERVALS, boards=boards)
        found = upkeep(MIREL, [(of, full)], HOUSE, PRIORS, today=after(80), games_a_week=6.0, intervals=mine)
        return one(list(found), Work.DEEP_OIL)

    assert asked(4.0).due is Due.FINE
    assert "boards" in asked(4.0).detail
    job = asked(1.0)
    assert job.boards_lost is not None
    assert job.boards_lost.mean > 1.0
    assert job.by_state
    assert job.due is Due.DUE
    assert "to oil in the cover" in job.detail
    assert "%" not in job.why + job.detail


def test_a_cracked_ball_gets_no_heat_and_is_shown_first() -> None:
    entries = log(1, new(), *nights(after(1), 30, 3.0, 3), cracked(after(95)))
    jobs = due((ball(), entries), today=after(96))
    assert jobs[0].work is Work.INSPECT
    assert jobs[0].damage
    assert one(jobs, Work.DEEP_OIL).how.startswith("no heat")
    for work in (Work.REFRESH, Work.RESURFACE):
        assert one(jobs, work).how.startswith("no work")
        assert not one(jobs, work).one_entry


# ---- wipe, clean, inspect


def test_film_left_on_the_ball_asks_for_a_towel() -> None:
    dirty = log(1, new(), played(after(1), 3.0, Wiped.NEVER))
    clean = log(1, new(), played(after(1), 3.0, Wiped.EACH))
    assert one(due((ball(), dirty), today=after(1)), Work.WIPE).due is Due.DUE
    assert one(due((ball(), clean), today=after(1)), Work.WIPE).due is Due.FINE


def test_film_of_an_earlier_day_waits_for_the_next_throw() -> None:
    """Urethane keeps its film: the day after it is still there, and only soon to be wiped."""
    entries = log(1, new(), played(after(1), 3.0, Wiped.NEVER))
    for day in (2, 9):
        job = one(due((ball(1, Cover.URETHANE), entries), today=after(day)), Work.WIPE)
        assert (job.due, job.by) == (Due.SOON, None)
        assert job.share > 1.0


@pytest.mark.parametrize("wiped", [None, Wiped.SOMETIMES])
def test_play_nobody_said_was_never_wiped_is_not_due_a_wipe(wiped: Wiped | None) -> None:
    for cover in (Cover.SOLID, Cover.URETHANE):
        entries = log(1, new(), played(after(1), 3.0, wiped))
        assert one(due((ball(1, cover), entries), today=after(1)), Work.WIPE).due in (Due.SOON, Due.FINE)


def test_one_session_waits_for_tonights_cleaning_and_a_second_over_it_is_due() -> None:
    def job(*events: object) -> Job:
        return one(due((ball(), log(1, new(), *events)), today=after(9)), Work.CLEAN)  # type: ignore[arg-type]

    assert job(played(after(2), 3), cleaned(after(2))).due is Due.FINE
    assert job(played(after(9), 3)).due is Due.SOON
    assert job(played(after(2), 3), played(after(9), 3)).due is Due.DUE
    assert job(*nights(after(1), 5, 3.0, 1, clean=False)).due is Due.OVER


def test_a_spare_ball_is_cleaned_monthly() -> None:
    spare = ball(1, Cover.POLYESTER, spare=True)
    entries = log(1, new(), played(after(1), 3), cleaned(after(1)), played(after(8), 3))
    assert one(due((spare, entries), today=after(8)), Work.CLEAN).due is Due.FINE
    job = one(due((spare, entries), today=add_months(after(1), 1)), Work.CLEAN)
    assert (job.due, job.why) == (Due.DUE, "monthly")


def test_inspection_is_due_after_ten_sessions() -> None:
    nine, ten = (log(1, new(), *nights(after(1), n, 3.0)) for n in (9, 10))
    assert one(due((ball(), nine), today=after(90)), Work.INSPECT).due is not Due.DUE
    assert one(due((ball(), ten), today=after(90)), Work.INSPECT).due is Due.DUE
    seen = log(1, new(), *nights(after(1), 10, 3.0), inspected(after(80)))
    assert one(due((ball(), seen), today=after(90)), Work.INSPECT).due is Due.FINE


def test_sessions_are_days_with_play() -> None:
    entries = log(1, new(), played(after(1), 3), played(after(1), 1), played(after(3), 2), played(after(9), 2))
    assert sessions_since(entries, None, after(5)) == 2
    assert sessions_since(entries, after(1), after(5)) == 1


# ---- the whole bag


def test_a_sold_ball_has_no_upkeep() -> None:
    entries = log(1, new(), *nights(after(1), 30, 3.0), sold(after(300)))
    assert due((ball(), entries), today=after(301)) == []


def test_an_empty_bag_and_a_bowler_nobody_knows_give_no_boards_and_no_error() -> None:
    assert upkeep(MIREL, [], HOUSE, PRIORS, today=START, games_a_week=6.0) == ()
    entries = log(1, new(), played(after(1), 12))
    unknown = replace(MIREL, style=None)
    found = upkeep(unknown, [folded(ball(), entries)], HOUSE, PRIORS, today=after(2), games_a_week=6.0)
    assert one(list(found), Work.REFRESH).boards_lost is None


def test_every_ball_is_told_every_kind_of_work_that_its_cover_asks_for() -> None:
    bag = [(ball(i, cover), log(i, new(), played(after(1), 3))) for i, cover in enumerate(Cover, 1)]
    jobs = due(*bag, today=after(2))
    for i, cover in enumerate(Cover, 1):
        works = {j.work for j in jobs if j.ball_id == i}
        assert works >= {Work.WIPE, Work.CLEAN, Work.RESURFACE, Work.INSPECT, Work.REFRESH}
        assert (Work.DEEP_OIL in works) == (cover is not Cover.POLYESTER)
    urgency = [list(Due)[::-1].index(j.due) for j in jobs]
    assert urgency == sorted(urgency)


def normal_bag() -> list[tuple[Ball, list[Entry]]]:
    """Six balls looked after as people do: one league night of three games a week on two of them in turn, cleaned the
    same night, freshly set within the last weeks, resurfaced in the season.
    """
    numbers = (500.0, 1000.0, 2000.0, 2000.0, 1000.0, 4000.0)
    bag = []
    for i, (cover, number) in enumerate(zip((*Cover, Cover.PEARL), numbers, strict=True), 1):
        first = [new(), sanded(START, 500.0, 1000.0, number), *nights(after(3 * i), 5, 2.0, 14), inspected(after(72))]
        fresh = [sanded(after(74), number), played(after(78), 1.0), cleaned(after(78))]
        bag.append((ball(i, cover, spare=cover is Cover.POLYESTER), log(i, *first, *fresh)))
    return bag


def test_a_normal_week_does_not_turn_everything_red() -> None:
    """Common practice: bowlers stop using a program that is all red after each league night."""
    bag, counts = normal_bag(), []
    for day in range(79, 86):
        if day == 82:
            for of, entries in bag[:3]:
                events = [played(after(82), 1.0), cleaned(after(82))]
                entries += [replace(e, seq=of.id * 100 + 90 + k) for k, e in enumerate(log(of.id, *events))]
        jobs = due(*bag, today=after(day))
        counts.append(sum(j.due in (Due.DUE, Due.OVER) for j in jobs))
        assert not any(j.due is Due.OVER for j in jobs)
    assert max(counts) <= 3


def test_the_same_seed_gives_the_same_jobs_and_the_order_of_balls_does_not_matter() -> None:
    bag = normal_bag()
    first, again = due(*bag, today=after(80)), due(*bag[::-1], today=after(80))
    assert first == due(*bag, today=after(80))
    assert sorted(map(repr, first)) == sorted(map(repr, again))
