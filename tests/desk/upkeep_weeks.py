"""Invented weeks for the tests of the Upkeep room: a planned week, its season, what moved and what has no place."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time, timedelta

from arsenal.acts.calendar_views import (
    DayView,
    Moved,
    PlanStamp,
    PlayItem,
    Relaxation,
    SeasonMark,
    SeasonRow,
    SeasonView,
    SeasonWeek,
    SlotItem,
    WeekView,
    WorkItem,
)
from arsenal.plan.records import Job

MONDAY = date(2026, 11, 23)
TODAY = date(2026, 11, 24)
HOSTILE = '<b>House</b> & <img src="file:///etc/hostname"> league'
STAMP = PlanStamp("2026-11-24T18:40:00+01:00", 7, 1, "1", "")
SHORT = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def item(
    ball_id: int, ball: str, work: str, how: str, on: date | None, *, minutes: float = 3.0, mark: str = "due",
    job: Job | None = None, slot: str = "", pads: str = "", remark: str = "", owner: str = "", number: int = 0,
) -> WorkItem:  # fmt: skip
    """A job on a day."""
    likely = on or TODAY
    return WorkItem(
        f"{ball_id} {work} {number}", on, ball_id, ball, 1, owner, work, how, minutes, f"{minutes:.0f} min", mark,
        likely - timedelta(days=3), likely, likely + timedelta(days=5), f"due about {SHORT[likely.weekday()]}",
        "3 ± 1 boards lost", "14 games", slot, False, number, remark, job, pads,
    )  # fmt: skip


def day(
    on: date, before: Sequence[WorkItem] = (), play: Sequence[PlayItem] = (), after: Sequence[str] = (),
    after_work: Sequence[WorkItem] = (), slots: Sequence[SlotItem] = (), remarks: Sequence[str] = (),
) -> DayView:  # fmt: skip
    """A day of the week."""
    short = SHORT[on.weekday()]
    said = "; ".join([*(f"{one.ball}, {one.work}" for one in before), *(one.name for one in play), *after])
    return DayView(
        on, f"{short} {on.day} Nov", short, on == TODAY, tuple(before), tuple(play), tuple(after), tuple(after_work),
        tuple(slots), tuple(remarks), f"{short} {on.day}: {said or 'nothing to do'}",
    )  # fmt: skip


def league(on: date, name: str = "House league", words: str = "3 games, 19:00") -> PlayItem:
    """An evening of play."""
    return PlayItem(on, name, words, "league", 1, "", 3.0, time(19, 0))


def week(
    monday: date = MONDAY, *, jobs: dict[str, Job] | None = None, plan_id: int = 3, name: str = "House league",
    unplaced: bool = False,
) -> WeekView:  # fmt: skip
    """Jobs on four days, play on three, an event on Saturday."""
    on = [monday + timedelta(days=n) for n in range(7)]
    held = jobs or {}
    slot = SlotItem("s1", 1, on[3], time(17, 30), "at home", 60.0, 6.0, "17:30 at home, 6 of 60 min")
    event = PlayItem(on[5], "Autumn singles", "pads until 8:55", "event", 1, "", 8.0, time(9, 0))
    days = (
        day(on[0]),
        day(
            on[1], [item(2, "Rook Hollow", "refresh", "1000 h", on[1], job=held.get("rook"))], [league(on[1], name)],
            ["Clean all played"],
        ),
        day(
            on[2],
            [item(3, "Slow Lantern", "deep oil", "heat cabinet, ½ day", on[2], minutes=40, remark="cools until Thu")],
            remarks=["clocks go back: 2:30 comes twice"],
        ),
        day(
            on[3],
            [
                item(1, "Quarry Song", "refresh", "1000 h", on[3], slot="s1", pads="1000", mark="soon",
                     job=held.get("quarry")),
                item(4, "Umber Kestrel", "refresh", "1000 h", on[3], slot="s1", pads="1000", mark="fine", minutes=2),
            ],
            [PlayItem(on[3], "Practice", "10 shots, 17:30", "usual", 1, "", 1.0, time(17, 30))],
            ["Clean all played"], [item(5, "Tidewrack", "inspect", "cracks, holes", on[3], mark="fine", minutes=2)],
            [slot],
        ),
        day(on[4]),
        day(on[5], [], [event], ["Clean all played"]),
        day(on[6]),
    )  # fmt: skip
    moved = (
        Moved("3 deep oil 0", "Slow Lantern", "deep oil", on[3], on[2],
              "Slow Lantern, deep oil: Thu 26 to Wed 25 Nov, because it cools for a day"),
    )  # fmt: skip
    left = (item(6, "Bramble Vow", "resurface", "500, 2000 s", None, minutes=16, mark="over"),) if unplaced else ()
    ways = (Relaxation("minutes", "12 more minutes on Thu 26 Nov", 1, 12.0),) if unplaced else ()
    return WeekView(
        1, "Mirel Oster", monday, f"Week {monday.isocalendar().week}", "23 to 29 Nov 2026", days, left, moved, ways,
        ("Pads in stock suffice until Sat 12 Dec.",), "5 jobs, 50 min", ("4000 foam",), plan_id, STAMP,
    )  # fmt: skip


def season(first: date = MONDAY, weeks: int = 13, *, name: str = "Autumn singles") -> SeasonView:
    """Three balls through thirteen weeks."""

    def marks(ball_id: int, start: int, step: int, doubt: int, heavy: int) -> tuple[SeasonMark, ...]:
        found = []
        for number, at in enumerate(range(start, weeks * 7, step)):
            on = first + timedelta(days=at)
            wide = timedelta(days=doubt * (number + 1))
            late = on + wide if at + doubt * (number + 1) < weeks * 7 else None
            found.append(
                SeasonMark(f"{ball_id} refresh {number}", "refresh", on if number < 2 else None, on - wide, on, late,
                           number, f"refresh 1000 h, {SHORT[on.weekday()]} {on.day}; due about then")
            )  # fmt: skip
        on = first + timedelta(days=heavy)
        found.append(
            SeasonMark(f"{ball_id} resurface 0", "resurface", on, on - timedelta(days=12), on, on + timedelta(days=16),
                       0, "resurface, 4 pads")
        )  # fmt: skip
        return tuple(found)

    rows = tuple(
        SeasonRow(ball_id, ball, "", cover, marks(ball_id, *numbers), f"{ball}: refresh often, resurface once")
        for ball_id, ball, cover, numbers in (
            (2, "Rook Hollow", "urethane", (1, 9, 2, 40)), (1, "Quarry Song", "solid", (3, 14, 3, 62)),
            (7, "A ball with a name that nobody would ever want to read out", "hybrid", (10, 20, 5, 20)),
        )
    )  # fmt: skip
    lines = tuple(
        SeasonWeek(first + timedelta(weeks=n), (first + timedelta(weeks=n)).isocalendar().week, n % 4,
                   10.0 * (n % 4), f"{n % 4} jobs, {10 * (n % 4)} min", ("Autumn singles",) if n == 0 else (), 7.0)
        for n in range(weeks)
    )  # fmt: skip
    events = tuple(
        PlayItem(first + timedelta(days=at), said, "pads until 8:55", "event", 1, "", 8.0)
        for at, said in ((5, name), (47, "Winter doubles"))
    )
    return SeasonView(
        1, "Mirel Oster", first, first + timedelta(days=7 * weeks - 1), lines, rows, events, (), (), (), (),
        "31 jobs, 3 h 20 min", (), 3, STAMP,
    )  # fmt: skip
