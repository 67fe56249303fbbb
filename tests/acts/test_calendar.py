"""The upkeep plan as the room asks for it: kept, reopened, planned again, honoured, done."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from made_shop import NOW, TODAY, Clock

from arsenal.acts import calendar, logging, moved
from arsenal.acts.calendar_views import UpkeepPlan, WorkItem
from arsenal.acts.shop import Shop
from arsenal.trade.calendar import League, Slot
from arsenal.trade.errors import KnownError
from arsenal.trade.event import Block, Entered, Event, Squad

THU, SAT = TODAY + timedelta(days=2), TODAY + timedelta(days=4)
MONDAY = TODAY - timedelta(days=1)


@pytest.fixture
def fresh(shop: Shop) -> Shop:
    """Rook and Jay were resurfaced at the beginning of November, and set to 1000 by hand; seven games since."""
    for ball in ("rook", "jay"):
        for line in ("500/1000 s 2026-11-01", "1000 h 2026-11-02"):
            logging.keep(shop, logging.read_line(shop, f"{ball} {line}", bowler_id=1).drafts)
    return shop


@pytest.fixture
def planned(fresh: Shop) -> Shop:
    """Mirel plays on Tuesdays, has an hour on Thursdays and Saturdays; Rook on 1000 is past its three games."""
    return with_slots(fresh)


def with_slots(shop: Shop) -> Shop:
    calendar.keep_league(shop, League(0, 1, "House league", date(2026, 9, 1), 3.0, time(19)))
    calendar.keep_slot(shop, Slot(0, 1, date(2026, 9, 3), 60.0, time(18)))
    calendar.keep_slot(shop, Slot(0, 1, date(2026, 9, 5), 60.0, time(10), spinner=True))
    return shop


def item(plan: UpkeepPlan, ball: str, work: str = "refresh") -> WorkItem:
    return next(i for i in plan.items if (i.ball, i.work, i.round) == (ball, work, 0))


def log_size(shop: Shop) -> int:
    return shop.ledger.head_seq


def test_what_is_due_stands_in_the_first_slot_and_nothing_is_written_to_the_log(planned: Shop) -> None:
    before = log_size(planned)
    plan = calendar.plan_upkeep(planned, 1)
    rook = item(plan, "Rook Hollow")
    assert (rook.on, rook.mark, rook.due_words) == (THU, "due", "due now")
    assert plan.exact
    assert log_size(planned) == before


def test_a_kept_plan_is_reopened_with_the_numbers_it_had(planned: Shop, clock: Clock) -> None:
    plan = calendar.plan_upkeep(planned, 1)
    logging.keep(planned, logging.read_line(planned, "rook 3g wiped", bowler_id=1).drafts)
    clock.at = NOW + timedelta(days=9)
    assert calendar.stored(planned, plan.id) == plan
    assert plan.stamp.made_at == NOW.isoformat()
    assert calendar.changed_since(planned, plan)
    with pytest.raises(KnownError, match="no such plan"):
        calendar.stored(planned, 999)


def test_a_week_before_anything_is_kept_has_no_number_and_keeps_nothing(planned: Shop) -> None:
    week = calendar.week(planned, 1, MONDAY)
    assert week.plan_id == 0
    assert calendar.last_kept(planned, 1) is None
    calendar.plan_upkeep(planned, 1)
    assert calendar.week(planned, 1, MONDAY).plan_id > 0


def test_the_week_has_work_play_and_what_follows_on_its_days(planned: Shop) -> None:
    week = calendar.week(planned, 1, MONDAY)
    assert (week.title, week.dates, [day.short for day in week.days]) == (
        "Week 48", "23 to 29 Nov 2026", ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"],
    )  # fmt: skip
    tuesday, thursday = week.days[1], week.days[3]
    assert tuesday.today
    assert [(play.name, play.words) for play in tuesday.play] == [("House league", "3 games, 19:00")]
    assert tuesday.after == ("Clean all played",)
    assert "Rook Hollow" in [work.ball for work in thursday.before]
    assert thursday.slots[0].words.startswith("18:00 at home, ")
    assert "Rook Hollow, refresh 1000 h" in thursday.spoken


def test_work_in_a_slot_after_play_stands_after_play(planned: Shop) -> None:
    calendar.keep_league(planned, League(0, 1, "Early league", date(2026, 9, 3), 2.0, time(14)))
    thursday = calendar.week(planned, 1, MONDAY).days[3]
    assert "Rook Hollow" in [work.ball for work in thursday.after_work]
    assert thursday.before == ()


def test_planned_again_with_nothing_changed_nothing_moves(planned: Shop, clock: Clock) -> None:
    first = calendar.plan_upkeep(planned, 1)
    clock.at = NOW + timedelta(minutes=5)
    again = calendar.plan_upkeep(planned, 1)
    assert again.moved == ()
    assert [(i.key, i.on) for i in again.items] == [(i.key, i.on) for i in first.items]


def test_an_evening_that_falls_out_moves_only_its_own_jobs_and_says_why(planned: Shop) -> None:
    first = calendar.plan_upkeep(planned, 1)
    calendar.skip_slot(planned, calendar.slots(planned, 1)[0].id, THU)
    again = calendar.plan_upkeep(planned, 1)
    was = {i.key: i.on for i in first.items}
    now = {i.key: i.on for i in again.items}
    gone = {key for key, on in was.items() if on == THU}
    assert gone
    assert {one.key for one in again.moved} >= gone
    assert any("there is no time for work any more on that day" in one.words for one in again.moved)
    assert sum(was[key] == now.get(key) for key in was.keys() - gone) >= len(was.keys() - gone) - len(again.moved)
    rook = next(one for one in again.moved if one.ball == "Rook Hollow")
    assert rook.words == (
        "Rook Hollow, refresh: Thu 26 Nov to Sat 28 Nov, because there is no time for work any more on that day"
    )


def test_a_job_moved_by_hand_stands_where_it_was_put_slot_or_not_and_returns_when_put_back(planned: Shop) -> None:
    plan = calendar.plan_upkeep(planned, 1)
    rook = item(plan, "Rook Hollow")
    sunday = TODAY + timedelta(days=5)
    calendar.move(planned, (rook,), sunday)
    again = calendar.plan_upkeep(planned, 1)
    there = item(again, "Rook Hollow")
    assert (there.on, there.by_hand, there.slot_key) == (sunday, True, "")
    assert [one.words for one in again.moved if one.ball == "Rook Hollow"] == [
        "Rook Hollow, refresh: Thu 26 Nov to Sun 29 Nov, because you moved it"
    ]
    calendar.put_back(planned, (there,))
    assert item(calendar.plan_upkeep(planned, 1), "Rook Hollow").on == THU


def test_a_job_left_out_is_not_planned(planned: Shop) -> None:
    calendar.leave_out(planned, (item(calendar.plan_upkeep(planned, 1), "Rook Hollow"),))
    plan = calendar.plan_upkeep(planned, 1)
    assert not any(i.ball == "Rook Hollow" and i.work == "refresh" for i in plan.items)


def test_done_on_an_earlier_day_is_logged_on_that_day_and_the_next_round_keeps_its_name(planned: Shop) -> None:
    plan = calendar.plan_upkeep(planned, 1)
    rook = item(plan, "Rook Hollow")
    following = next(i for i in plan.items if i.ball == "Rook Hollow" and i.work == "refresh" and i.round == 1)
    calendar.done(planned, (rook,), TODAY - timedelta(days=1))
    sanded = [e for e in planned.entries(1) if e.kind == "sanded"]
    assert sanded[-1].on == TODAY - timedelta(days=1)
    again = calendar.plan_upkeep(planned, 1)
    assert rook.key not in [i.key for i in again.items]
    assert following.key == item(again, "Rook Hollow").key


def test_what_cannot_be_done_as_planned_is_said(planned: Shop) -> None:
    plan = calendar.plan_upkeep(planned, 1)
    rook = item(plan, "Rook Hollow")
    before = log_size(planned)
    with pytest.raises(KnownError, match="still to come"):
        calendar.done(planned, (rook,), TODAY + timedelta(days=1))
    later = next(i for i in plan.items if i.round > 0)
    assert not later.can_act
    with pytest.raises(KnownError, match="comes again only after"):
        calendar.done(planned, (later,))
    assert log_size(planned) == before


def entered(shop: Shop, first: datetime) -> None:
    with shop.ledger.act("made", "test") as act:
        event = act.put(Event(0, "Autumn singles", first.date(), squads=(Squad("A", (Block(first, 6),)),)))
        act.put(Entered(0, event.id, 1))


def test_an_event_closes_the_days_before_it_to_heavy_work_and_is_said_to_be_why(shop: Shop) -> None:
    """A resurfacing that stands on a Saturday moves when an event comes to the Tuesday after it."""
    planned = with_slots(shop)
    jay = next(i for i in calendar.plan_upkeep(planned, 1).items if i.work == "resurface")
    assert jay.on is not None
    first = datetime.combine(jay.on + timedelta(days=3), time(9), NOW.tzinfo)
    entered(planned, first)
    again = calendar.plan_upkeep(planned, 1)
    assert any(i.kind == "event" and i.on == first.date() for i in again.play)
    moved_words = [one.words for one in again.moved if one.key == jay.key]
    assert len(moved_words) == 1
    assert "Autumn singles" in moved_words[0]
    heavy = [i.on for i in again.items if i.work in ("resurface", "deep oil") and i.on is not None]
    assert all(not timedelta(0) <= first.date() - on <= timedelta(days=3) for on in heavy)


def test_without_time_for_work_jobs_stand_on_the_day_they_fall_due_and_it_says_so(shop: Shop) -> None:
    plan = calendar.plan_upkeep(shop, 1)
    assert plan.remarks == ("No time for work is set: jobs stand on the day they fall due.",)
    assert all(i.on == max(i.likely or TODAY, TODAY) for i in plan.items)
    assert plan.unplaced == ()


def test_what_no_slot_can_take_is_named_with_the_least_that_would_help(shop: Shop) -> None:
    calendar.keep_slot(shop, Slot(0, 1, date(2026, 9, 3), 60.0, time(18)))  # no spinner
    plan = calendar.plan_upkeep(shop, 1)
    lost = [i for i in plan.unplaced if i.work == "resurface"]
    assert lost
    assert {i.remark for i in lost} == {"needs a spinner; no slot has one"}
    assert any(one.kind == "slot" and "with a spinner by" in one.words for one in plan.relaxations)


def test_too_little_time_asks_for_the_minutes_that_are_missing(shop: Shop) -> None:
    calendar.keep_slot(shop, Slot(0, 1, TODAY, 5.0, time(20), spinner=True, last_on=TODAY))
    plan = calendar.plan_upkeep(shop, 1, weeks=1)
    assert plan.unplaced
    more = [one for one in plan.relaxations if one.kind == "minutes"]
    assert len(more) == 1
    assert more[0].slot_id == calendar.slots(shop, 1)[0].id
    wider = replace(calendar.slots(shop, 1)[0], minutes=5.0 + more[0].minutes)
    calendar.keep_slot(shop, wider)
    kinds = {one.kind for one in calendar.plan_upkeep(shop, 1, weeks=1).relaxations}
    assert "minutes" not in kinds


def test_a_bowler_s_heavy_work_goes_to_the_bench_and_the_bench_leaves_him_the_rest(fresh: Shop) -> None:
    shop = fresh
    calendar.keep_slot(shop, Slot(0, 1, date(2026, 9, 3), 60.0, time(18)))
    calendar.keep_slot(shop, Slot(0, None, date(2026, 9, 4), 120.0, time(13), spinner=True, heat=True))
    plan = calendar.plan_upkeep(shop, 1)
    by_place = {s.key: s.place for s in plan.slots}
    places = {i.work: "bench" if "13:00" in next(s.words for s in plan.slots if s.key == i.slot_key) else "home"
              for i in plan.items if i.slot_key}  # fmt: skip
    assert by_place
    assert places["resurface"] == "bench"
    assert item(plan, "Rook Hollow").on == THU
    bench = calendar.plan_upkeep(shop, None, weeks=4)
    assert not any(i.ball == "Rook Hollow" and i.work == "refresh" for i in bench.items)


def test_a_season_has_a_week_a_line_and_a_ball_a_row(planned: Shop) -> None:
    season = calendar.season(planned, 1, 12)
    assert len(season.weeks) == 12
    assert sum(week.jobs for week in season.weeks) == len(
        [i for i in calendar.plan_upkeep(planned, 1, weeks=12, keep=False).items if i.on is not None]
    )
    rook = next(row for row in season.rows if row.ball == "Rook Hollow")
    assert [mark.round for mark in rook.marks if mark.work == "refresh"][:2] == [0, 1]
    assert "Thu 26 Nov" in rook.spoken


def test_progress_is_told_and_only_rises(planned: Shop) -> None:
    heard: list[float] = []
    calendar.plan_upkeep(planned, 1, keep=False, progress=heard.append)
    assert heard == sorted(heard)
    assert heard[-1] == 1.0


def test_a_ball_with_an_open_crack_gets_no_work(planned: Shop) -> None:
    logging.keep(planned, logging.read_line(planned, "rook crack hairline bridge", bowler_id=1).drafts)
    plan = calendar.plan_upkeep(planned, 1)
    assert not any(i.ball == "Rook Hollow" and i.work in ("refresh", "resurface") for i in plan.items)
    shown = [i for i in plan.unplaced if i.ball == "Rook Hollow"]
    assert any("practitioner" in i.remark for i in shown)


def test_moved_words_ask_for_nothing_but_the_kept_plan(planned: Shop) -> None:
    calendar.plan_upkeep(planned, 1)
    assert calendar.moved(planned, 1) == ()
    moved.move(planned, (item(calendar.plan_upkeep(planned, 1, keep=False), "Rook Hollow").job,), SAT)  # type: ignore[arg-type]
    assert [one.now for one in calendar.moved(planned, 1)] == [SAT]
