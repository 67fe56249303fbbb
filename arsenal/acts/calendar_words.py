"""Words of the upkeep calendar: when a job falls due, why it moved, what would have to give."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import cast

from arsenal.acts import words
from arsenal.acts.calendar_views import PlayItem, Relaxation, SlotItem, WorkItem
from arsenal.plan.fitting import Closed, Fitted, Meet, Parameters, Session
from arsenal.plan.forecast import Falling
from arsenal.plan.records import Due
from arsenal.plan.relax import Limit, Overstep
from arsenal.plan.schedule import Grain
from arsenal.trade import days
from arsenal.trade.entries import Abrasive, Scale

SETTLE_REMARK_DAYS = 14


def due_words(falling: Falling, today: date) -> str:
    """“due now”, “due Tue 24 Nov”, “due about Sat 5 Dec, 1 to 12 Dec”."""
    early, likely, late = falling.early, falling.likely, falling.late
    if falling.round == 0 and falling.job.due in (Due.DUE, Due.OVER) and not falling.job.moved:
        return "due now"
    if likely is None:
        return f"may be due from {days.weekday_near(early, today)}" if early else "not due yet"
    if early == late:
        return f"due {days.weekday_near(likely, today)}"
    return f"due about {days.weekday_near(likely, today)}, {span(early or likely, late)}"


def span(first: date, last: date | None) -> str:
    """“1 to 12 Dec”, “24 Nov to 12 Dec”, “1 Dec or later”."""
    month = days.month(first)
    if last is None:
        return f"{first.day} {month} or later"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {last.day} {month}"
    return f"{first.day} {month} to {days.day(last)}"


def mark(falling: Falling, today: date) -> str:
    """fine, soon, due or over."""
    if falling.round == 0 and falling.job.due in (Due.DUE, Due.OVER):
        return falling.job.due.value
    likely = falling.likely
    return "soon" if likely is not None and likely <= today + timedelta(days=7) else "fine"


def minutes_words(minutes: float) -> str:
    """“3 min”, “under a minute”."""
    return "under a minute" if minutes < 0.75 else f"{minutes:.0f} min"


def jobs_words(items: Sequence[WorkItem]) -> str:
    """“6 jobs, 58 min”."""
    if not items:
        return "nothing to do"
    return f"{words.count(len(items), 'job')}, {minutes_words(sum(item.minutes for item in items))}"


def slot_words(slot: SlotItem) -> str:
    """“18:00 at home, 14 of 60 min”."""
    at = f"{clock(slot.starts)} " if slot.starts is not None else ""
    return f"{at}{slot.place}, {slot.taken_min:.0f} of {slot.minutes:.0f} min"


def clock(at: time | datetime) -> str:
    """“18:00” of a time of day."""
    return f"{at.hour}:{at.minute:02d}"


def grain_words(grain: Grain) -> str:
    """“1000”, “P3000”, “16 µm”."""
    number, scale, abrasive = cast("tuple[float | None, Scale, Abrasive]", grain)
    if number is None:
        return str(abrasive.value)
    said = {Scale.P: f"P{number:g}", Scale.MICRON: f"{number:g} µm", Scale.PLAIN: f"{number:g}"}
    return said.get(scale, f"{scale.value} {number:g}")


def item_remark(
    falling: Falling, session: Session | None, chosen: Parameters, closed: Closed | None, meets: Sequence[Meet]
) -> str:  # fmt: skip
    """What to mind of one job where it stands."""
    said = []
    if session is not None and falling.heated and session.ends is not None:
        until = session.ends + timedelta(hours=chosen.cool_hours)
        said.append(f"cools until {days.weekday_and_day(until.date())}, {clock(until)}")
    elif session is not None and falling.heated:
        said.append("cools slowly, half a day to a day")
    if session is not None and falling.job.steps and chosen.settle_games > 0.0:
        ahead = (meet for meet in meets if 0 <= (meet.first_on - session.on).days <= SETTLE_REMARK_DAYS)
        said += [f"{words.count(chosen.settle_games, 'game')} on it before {meet.name}" for meet in ahead]
    if closed is not None:
        said.append(closed.value)
    return ", ".join(said)


def why_unplaced(falling: Falling, fitted: Fitted) -> str:
    """Why no slot takes it: the rule that closes most of them, else that they are full."""
    reasons = [why for (key, _), why in fitted.closed.items() if key == falling.key and why is not Closed.DAY]
    task = next(task for task in fitted.problem.tasks if task.key == falling.key)
    if task.cost:
        return "no room in the slots it could stand in"
    if not reasons:
        return "no time for work before the plan ends"
    most = max(dict.fromkeys(reasons), key=reasons.count)
    return {
        Closed.SPINNER: "needs a spinner; no slot has one", Closed.HEAT: "needs a heat cabinet; no slot has one",
    }.get(most, most.value)  # fmt: skip


def relaxations(
    found: Sequence[Overstep], fitted: Fitted, falling: Mapping[str, Falling], names: Mapping[int, str],
    meets: Mapping[int, Sequence[object]],
) -> tuple[Relaxation, ...]:  # fmt: skip
    """The least that would have to give, in words."""
    return tuple(_relaxation(one, fitted, falling, names, meets) for one in found)


def _relaxation(
    one: Overstep, fitted: Fitted, falling: Mapping[str, Falling], names: Mapping[int, str],
    meets: Mapping[int, Sequence[object]],
) -> Relaxation:  # fmt: skip
    session = fitted.sessions[one.room] if one.room is not None else None
    day = days.weekday_and_day(session.on) if session is not None else ""
    if one.limit is Limit.MINUTES:
        more = math.ceil(one.amount - 1e-6)
        slot_id = session.slot_id if session is not None else 0
        return Relaxation("minutes", f"{words.count(more, 'more minute')} on {day}", slot_id, float(more))
    if one.limit is Limit.CABINET:
        more = math.ceil(one.amount - 1e-6)
        return Relaxation("minutes", f"{words.count(more, 'more minute')} of the heat cabinet on {day}")
    if one.limit is Limit.PADS:
        many = "one more" if one.amount == 1.0 else f"{one.amount:.0f} more"
        return Relaxation("pads", f"{many} {grain_words(one.grain)} pad{'' if one.amount == 1.0 else 's'}")
    job = falling[one.task]
    what = f"{names[job.ball_id]}, {job.work}"
    if one.limit is Limit.SLOT:
        return Relaxation("slot", f"{what}: {_slot_wanted(job, fitted)}")
    why = fitted.closed[one.task, one.room or 0]
    event = _event_name(meets.get(job.ball_id, ()))
    said = {
        Closed.THROWN: ("ball", f"{what}: leave the ball at home on {day}"),
        Closed.COOLS: ("ball", f"{what}: do not throw it while it cools after {day}"),
        Closed.EVENT: ("event", f"{what}: heavy work on {day}, shortly before {event}"),
        Closed.SETTLING: ("settling", f"{what}: do it on {day} and give it two games of practice before {event}"),
    }
    kind, text = said.get(why, ("slot", f"{what}: {why.value}"))
    return Relaxation(kind, text)


def _event_name(meets: Sequence[object]) -> str:
    return str(getattr(meets[0], "name", "the event")) if meets else "the event"


def _slot_wanted(job: Falling, fitted: Fitted) -> str:
    reasons = {why for (key, _), why in fitted.closed.items() if key == job.key}
    thing = "a spinner" if Closed.SPINNER in reasons else "a heat cabinet" if Closed.HEAT in reasons else ""
    by = f" by {days.weekday_and_day(job.likely)}" if job.likely is not None else ""
    return f"time for work with {thing}{by}" if thing else f"time for work{by}"


def day_spoken(
    name: str, before: Sequence[WorkItem], play: Sequence[PlayItem], after: Sequence[str], late: Sequence[WorkItem]
) -> str:  # fmt: skip
    """The whole day in one sentence."""
    work = "; ".join(f"{item.ball}, {item.work} {item.how}, {item.minutes_words}" for item in before)
    then = "; ".join(f"{item.name}, {item.words}" for item in play)
    last = "; ".join([*after, *(f"{item.ball}, {item.work} {item.how}" for item in late)])
    parts = [part for part in (work, then, last) if part]
    return f"{name}: {', then '.join(parts) or 'nothing to do'}"
