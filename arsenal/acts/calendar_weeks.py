"""The week and the season cut from a plan, with words ready for screen and print."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta, tzinfo

from arsenal.acts import buying
from arsenal.acts import calendar_words as say
from arsenal.acts.calendar_records import clock_remark
from arsenal.acts.calendar_views import (
    DayView,
    PlayItem,
    SeasonMark,
    SeasonRow,
    SeasonView,
    SeasonWeek,
    UpkeepPlan,
    WeekView,
    WorkItem,
)
from arsenal.acts.shop import Shop
from arsenal.plan.fitting import GAME_MIN
from arsenal.trade import days
from arsenal.trade.calendar import Slot

CLEAN_ALL = "Clean all played"


def week_of(shop: Shop, plan: UpkeepPlan, monday: date, zone: tzinfo | None = None) -> WeekView:
    """Seven days from Monday (of any day's week) as the plan has them."""
    first = monday - timedelta(days=monday.weekday())
    slots = {slot.id: slot for slot in shop.every(Slot)}
    days = tuple(_day(shop, plan, first + timedelta(days=n), slots, zone) for n in range(7))
    items = [item for day in days for item in (*day.before, *day.after_work)]
    last = first + timedelta(days=6)
    dates = f"{say.span(first, last)} {last.year}"
    return WeekView(
        plan.bowler_id, plan.who, first, f"Week {first.isocalendar().week}", dates, days, plan.unplaced, plan.moved,
        plan.relaxations, plan.remarks, say.jobs_words(items), _buy(shop, plan), plan.id, plan.stamp,
    )  # fmt: skip


def _day(shop: Shop, plan: UpkeepPlan, on: date, slots: Mapping[int, Slot], zone: tzinfo | None) -> DayView:
    name = days.weekday_and_day(on)
    play = tuple(item for item in plan.play if item.on == on)
    today_slots = tuple(slot for slot in plan.slots if slot.on == on)
    begins = {slot.key: slot.starts for slot in today_slots}
    work = [item for item in plan.items if item.on == on]
    late = tuple(item for item in work if _after_play(begins.get(item.slot_key), play))
    before = tuple(item for item in work if item not in late)
    after = (CLEAN_ALL,) if any(item.games > 0.0 for item in play) else ()
    remarks = tuple(
        said for slot in today_slots
        if slot.slot_id in slots and (said := clock_remark(slots[slot.slot_id], on, zone))
    )  # fmt: skip
    spoken = say.day_spoken(name, before, play, after, late)
    return DayView(
        on, name, name[:3], on == shop.today(), before, play, after, late, today_slots, remarks, spoken
    )  # fmt: skip


def _after_play(starts: time | None, play: Sequence[PlayItem]) -> bool:
    """Whether a slot that begins then lies after all the day's play."""
    overs = [
        datetime.combine(item.on, item.starts) + timedelta(minutes=GAME_MIN * item.games)
        for item in play if item.starts is not None
    ]  # fmt: skip
    return starts is not None and bool(overs) and datetime.combine(play[0].on, starts) >= max(overs)


def _buy(shop: Shop, plan: UpkeepPlan) -> tuple[str, ...]:
    return buying.shopping(shop, plan.bowler_id).names if plan.bowler_id is not None else ()


def season_of(shop: Shop, plan: UpkeepPlan, weeks: int) -> SeasonView:
    """Every week from this one on, and each ball's line through them."""
    first = plan.first_on - timedelta(days=plan.first_on.weekday())
    last = first + timedelta(days=7 * weeks - 1)
    items = [item for item in plan.items if item.on is not None and item.on <= last]
    mondays = [first + timedelta(days=7 * n) for n in range(weeks)]
    events = tuple(item for item in plan.play if item.kind == "event" and first <= item.on <= last)
    return SeasonView(
        plan.bowler_id, plan.who, first, last, tuple(_week(monday, items, plan.play) for monday in mondays),
        _rows(shop, plan, last), events, plan.unplaced, plan.moved, plan.relaxations, plan.remarks,
        say.jobs_words(items), _buy(shop, plan), plan.id, plan.stamp,
    )  # fmt: skip


def _week(monday: date, items: Sequence[WorkItem], play: Sequence[PlayItem]) -> SeasonWeek:
    until = monday + timedelta(days=6)
    own = [item for item in items if item.on is not None and monday <= item.on <= until]
    played = [item for item in play if monday <= item.on <= until]
    events = tuple(dict.fromkeys(f"{i.name}, {days.weekday_and_day(i.on)}" for i in played if i.kind == "event"))
    return SeasonWeek(
        monday, monday.isocalendar().week, len(own), sum(item.minutes for item in own), say.jobs_words(own), events,
        sum(item.games for item in played),
    )  # fmt: skip


def _rows(shop: Shop, plan: UpkeepPlan, last: date) -> tuple[SeasonRow, ...]:
    by_ball: dict[int, list[WorkItem]] = defaultdict(list)
    for item in plan.items:
        if item.on is None or item.on <= last:
            by_ball[item.ball_id].append(item)
    found = []
    for ball_id, items in by_ball.items():
        ball = shop.ball(ball_id)
        marks = tuple(_mark(item) for item in sorted(items, key=lambda i: i.on or i.likely or date.max))
        spoken = f"{ball.name}: {'; '.join(mark.words for mark in marks)}"
        found.append(SeasonRow(ball_id, ball.name, items[0].owner, ball.cover.value, marks, spoken))
    return tuple(sorted(found, key=lambda row: row.ball.casefold()))


def _mark(item: WorkItem) -> SeasonMark:
    stands = days.weekday_and_day(item.on) if item.on is not None else "no day"
    said = f"{item.work} {item.how}, {stands}; {item.due_words}"
    return SeasonMark(item.key, item.work, item.on, item.early, item.likely, item.late, item.round, said)
