"""The calendar file of a bowler, read by another library: it updates what it sent before."""

from __future__ import annotations

from datetime import date, time, timedelta
from pathlib import Path

import pytest
import vobject
from made_shop import NOW, TODAY, Clock, opened

from arsenal.acts import calendar, logging
from arsenal.acts.shop import Shop
from arsenal.trade.calendar import Slot
from arsenal.trade.errors import KnownError


@pytest.fixture
def planned(shop: Shop) -> Shop:
    for line in ("500/1000 s 2026-11-01", "1000 h 2026-11-02"):
        logging.keep(shop, logging.read_line(shop, f"rook {line}", bowler_id=1).drafts)
    calendar.keep_slot(shop, Slot(0, 1, date(2026, 9, 3), 60.0, time(18), spinner=True))
    return shop


def entries(path: Path) -> dict[str, vobject.base.Component]:
    return {event.uid.value: event for event in vobject.readOne(path.read_text("utf-8")).vevent_list}


def rook(found: dict[str, vobject.base.Component]) -> vobject.base.Component:
    own = [e for e in found.values() if e.summary.value.startswith("Rook Hollow: refresh")]
    return min(own, key=lambda event: event.dtstart.value)


def test_every_planned_job_is_an_entry_of_its_day_with_an_alarm_at_eight(planned: Shop, tmp_path: Path) -> None:
    made = calendar.save_calendar_file(planned, 1, tmp_path / "a.ics")
    plan = calendar.plan_upkeep(planned, 1, keep=False)
    found = entries(tmp_path / "a.ics")
    assert made.items == len(found) == len([i for i in plan.items if i.on is not None])
    assert sorted(e.dtstart.value for e in found.values()) == [i.on for i in plan.items if i.on is not None]
    one = rook(found)
    assert (one.dtstart.value, one.dtend.value) == (TODAY + timedelta(days=2), TODAY + timedelta(days=3))
    assert one.valarm.trigger.value == timedelta(hours=8)
    assert one.dtstamp.value == NOW
    assert made.name == "upkeep-mirel-oster.ics"


def test_a_second_file_updates_what_moved_and_takes_back_what_is_gone(
    planned: Shop, clock: Clock, tmp_path: Path
) -> None:
    calendar.save_calendar_file(planned, 1, tmp_path / "a.ics")
    first = entries(tmp_path / "a.ics")
    clock.at = NOW + timedelta(minutes=3)
    calendar.save_calendar_file(planned, 1, tmp_path / "same.ics")
    same = entries(tmp_path / "same.ics")
    assert {uid: e.sequence.value for uid, e in same.items()} == {uid: e.sequence.value for uid, e in first.items()}
    plan = calendar.plan_upkeep(planned, 1, keep=False)
    job = next(i for i in plan.items if i.ball == "Rook Hollow" and i.work == "refresh" and i.round == 0)
    calendar.move(planned, (job,), TODAY + timedelta(days=4))
    calendar.save_calendar_file(planned, 1, tmp_path / "b.ics")
    moved = entries(tmp_path / "b.ics")[rook(first).uid.value]
    assert (moved.sequence.value, moved.dtstart.value) == ("1", TODAY + timedelta(days=4))
    calendar.leave_out(planned, (job,))
    made = calendar.save_calendar_file(planned, 1, tmp_path / "c.ics")
    gone = entries(tmp_path / "c.ics")[rook(first).uid.value]
    assert (gone.status.value, gone.sequence.value) == ("CANCELLED", "2")
    assert made.cancelled >= 1
    assert "cancelled" in made.words


def test_two_shops_never_give_one_name_to_two_entries(planned: Shop, tmp_path: Path) -> None:
    calendar.save_calendar_file(planned, 1, tmp_path / "a.ics")
    with opened(tmp_path / "other.padbook", Clock()):
        pass
    marks = {uid.split("@")[1] for uid in entries(tmp_path / "a.ics")}
    assert len(marks) == 1
    calendar.save_calendar_file(planned, None, tmp_path / "bench.ics")
    assert all(uid.endswith(f"@{next(iter(marks))}") for uid in entries_or_none(tmp_path / "bench.ics"))


def entries_or_none(path: Path) -> list[str]:
    return [line[4:] for line in path.read_text("utf-8").splitlines() if line.startswith("UID:")]


def test_a_file_that_cannot_be_written_counts_as_never_sent(planned: Shop, tmp_path: Path) -> None:
    with pytest.raises(KnownError):
        calendar.save_calendar_file(planned, 1, tmp_path / "no such folder" / "a.ics")
    assert planned.ledger.results("calendar file") == ()
    assert calendar.calendar_file(planned, 1).items > 0
    assert planned.ledger.results("calendar file") == ()
