"""The bench's hours at the counter: when it opens, until when it is full, and that assumed hours are called so."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta, timezone
from typing import Any

import pytest

from arsenal.acts import bench_queue, calendar_records, tickets
from arsenal.acts.bench_queue import Load
from arsenal.acts.shop import Shop
from arsenal.desk.counter import words
from arsenal.trade.calendar import Place, Slot
from arsenal.trade.ticket import Job, TakenIn, Work

NOON = datetime(2026, 11, 26, 12, 0, tzinfo=timezone(timedelta(hours=1)))


def waiting(shop: Shop, minutes: float) -> None:
    taken = TakenIn(words="blue one", jobs=(Job("Full resurface", Work.SURFACE, minutes=minutes),))
    tickets.take_in(shop, replace(tickets.blank(shop), name="Kell", balls=(taken,)))


def test_out_of_its_hours_the_bench_says_when_it_opens_and_until_when_it_is_full_then(shop: Shop, clock: Any) -> None:
    tomorrow = shop.today() + timedelta(days=1)
    calendar_records.keep_slot(shop, Slot(0, None, tomorrow, 120.0, time(13, 0), place=Place.BENCH))
    waiting(shop, 45.0)
    load = bench_queue.load(shop)
    assert not load.assumed
    assert load.opens is not None
    assert (load.opens.date(), load.opens.hour, load.opens.minute) == (tomorrow, 13, 0)
    assert load.full_until - load.opens == timedelta(minutes=45)
    clock.at = load.opens + timedelta(minutes=10)
    begun = bench_queue.load(shop)
    assert begun.opens is None
    assert begun.full_until == clock.at + timedelta(minutes=45)


def test_hours_nobody_wrote_down_are_called_assumed(shop: Shop) -> None:
    waiting(shop, 45.0)
    load = bench_queue.load(shop)
    assert load.assumed == "10:00 to 16:00 on every day but Sunday"
    assert "no bench hours are written down" in words.bench_reckoned(load)


@pytest.mark.parametrize(
    ("waits", "opens", "until", "said"),
    [
        (0.0, None, NOON, "The bench is free"),
        (60.0, None, NOON + timedelta(hours=1), "Bench is full until Thu 26 Nov, 13:00"),
        (0.0, NOON + timedelta(days=1), NOON, "Bench opens Fri 27 Nov, 12:00"),
        (60.0, NOON + timedelta(days=1), NOON + timedelta(hours=25), "Bench opens Fri 27 Nov, 12:00, full until 13:00"),
        (900.0, NOON + timedelta(hours=1), NOON + timedelta(days=2),
         "Bench opens Thu 26 Nov, 13:00, full until Sat 28 Nov, 12:00"),
    ],
)  # fmt: skip
def test_the_bench_in_words(waits: float, opens: datetime | None, until: datetime, said: str) -> None:
    assert words.bench(Load(waits, until, until, opens), NOON) == said
