"""The worker: everything on one thread, stale results dropped, errors told where they belong."""

from __future__ import annotations

import sys
import threading
import time

import pytest

from arsenal.desk.worker import Progress, Stopped, Worker
from arsenal.trade.errors import KnownError


class OneShop:
    def __init__(self) -> None:
        self.opened_on = threading.get_ident()
        self.closed_on = 0

    def close(self) -> None:
        self.closed_on = threading.get_ident()


@pytest.fixture
def opened() -> list[OneShop]:
    return []


@pytest.fixture
def worker(qapp, opened):
    def opener() -> OneShop:
        opened.append(OneShop())
        return opened[-1]

    made = Worker(opener)
    yield made
    made.close()


def test_the_shop_is_opened_read_and_closed_on_one_thread_that_is_not_the_windows(qtbot, worker, opened) -> None:
    seen: list[int] = []
    worker.ask("who", lambda _shop: threading.get_ident(), seen.append)
    qtbot.waitUntil(lambda: bool(seen))
    worker.close()
    assert seen[0] == opened[0].opened_on == opened[0].closed_on != threading.get_ident()


def test_only_the_newest_answer_of_a_slot_arrives(qtbot, worker) -> None:
    seen: list[int] = []
    ran: list[int] = []

    def job(number: int):
        def run(_shop) -> int:
            ran.append(number)
            time.sleep(0.01)
            return number

        return run

    for number in range(20):
        worker.ask("pads", job(number), seen.append)
    qtbot.waitUntil(worker.idle)
    assert seen == [19]
    assert len(ran) < 20, "what is stale before it begins is not even run"


def test_writing_is_never_dropped(qtbot, worker) -> None:
    kept: list[int] = []
    for number in range(5):
        worker.act(lambda _shop, n=number: kept.append(n))
    qtbot.waitUntil(worker.idle)
    assert kept == [0, 1, 2, 3, 4]


def test_a_known_error_is_told_and_the_next_job_runs(qtbot, worker) -> None:
    def fails(_shop) -> None:
        raise KnownError("The board is 45; it must be 1 to 39.")

    told: list[KnownError] = []
    done: list[int] = []
    worker.failed.connect(told.append)
    worker.act(fails)
    worker.act(lambda _shop: 1, done.append)
    qtbot.waitUntil(worker.idle)
    assert str(told[0]).startswith("The board is 45")
    assert done == [1]


def test_a_mistake_in_a_job_reaches_the_hook_on_the_windows_thread(qtbot, worker, monkeypatch) -> None:
    caught: list[tuple[type, int]] = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, _error, _trace: caught.append((kind, threading.get_ident())))
    worker.ask("x", lambda _shop: 1 / 0, lambda _r: None)
    qtbot.waitUntil(lambda: bool(caught))
    assert caught == [(ZeroDivisionError, threading.get_ident())]


def test_a_long_job_says_it_is_busy_and_can_be_stopped(qtbot, worker, monkeypatch) -> None:
    monkeypatch.setattr(worker, "_busy_timer", worker._busy_timer)
    worker._busy_timer.setInterval(20)
    worker._slow_timer.setInterval(20)
    told: list[KnownError] = []
    worker.failed.connect(told.append)

    def long(_shop, progress: Progress) -> None:
        for step in range(1000):
            progress(step / 1000)
            time.sleep(0.005)

    with qtbot.waitSignal(worker.slow, timeout=3000) as slow:
        worker.act(long, title="Loading files", progress=True)
    assert slow.args[0] == "Loading files"
    assert 0.0 <= slow.args[1] < 1.0
    worker.cancel()
    qtbot.waitUntil(worker.idle)
    assert "stopped" in str(told[0])


def test_a_long_read_stops_where_a_newer_one_makes_it_stale_or_somebody_cancels(qtbot, worker) -> None:
    steps, seen, told = [], [], []

    def long(_shop, progress: Progress) -> str:
        for step in range(400):
            progress(step / 400)
            steps.append(step)
            time.sleep(0.005)
        return "whole"

    worker.ask("bag", long, seen.append, progress=True)
    qtbot.waitUntil(lambda: bool(steps))
    worker.ask("bag", lambda _shop: "newer", seen.append)
    qtbot.waitUntil(worker.idle)
    assert seen == ["newer"]
    assert len(steps) < 400
    worker.ask("bag", long, seen.append, failed=told.append, progress=True, title="Choosing the bag")
    qtbot.wait(30)
    worker.cancel()
    qtbot.waitUntil(worker.idle)
    assert str(told[0]).startswith("Choosing the bag: stopped")
    assert seen == ["newer"]


def test_a_long_read_lets_what_is_asked_later_through_and_is_still_finished(qtbot, worker) -> None:
    done: set[int] = set()
    order: list[str] = []

    def long(_shop, progress: Progress) -> str:
        for step in range(60):
            progress(step / 60)
            if step not in done:
                time.sleep(0.01)
                done.add(step)
        return "bag"

    worker.ask("bag", long, order.append, progress=True, gives_way=True)
    qtbot.waitUntil(lambda: len(done) > 2)
    worker.ask("search", lambda _shop: "search", order.append)
    worker.act(lambda _shop: "kept", order.append)
    qtbot.waitUntil(worker.idle)
    assert order == ["search", "kept", "bag"]


def test_a_long_read_that_gave_way_can_still_be_cancelled(qtbot, worker) -> None:
    told: list[KnownError] = []
    started: list[int] = []

    def long(_shop, progress: Progress) -> None:
        started.append(1)
        for step in range(1000):
            progress(step / 1000)
            time.sleep(0.005)

    worker.ask("bag", long, lambda _r: None, failed=told.append, progress=True, gives_way=True)
    worker.ask("search", lambda _shop: 1, lambda _r: None)
    qtbot.waitUntil(lambda: len(started) == 2)
    worker.cancel()
    qtbot.waitUntil(worker.idle)
    assert len(told) == 1


def test_progress_raises_once_cancelled() -> None:
    progress = Progress(lambda _share: None)
    progress(0.1)
    progress.cancel()
    with pytest.raises(Stopped):
        progress(0.2)


def test_closing_finishes_what_was_to_be_kept(qapp, opened) -> None:
    worker = Worker(lambda: opened.append(OneShop()) or opened[-1])
    kept: list[int] = []
    for number in range(3):
        worker.act(lambda _shop, n=number: kept.append(n))
    worker.close()
    assert kept == [0, 1, 2]
    assert opened[0].closed_on


def test_what_is_asked_for_after_the_end_is_never_done_and_leaves_no_timer(qtbot, worker) -> None:
    done: list[int] = []
    worker.act(lambda _shop: 1, lambda _r: worker.ask("again", lambda _shop: 2, done.append))
    worker.close()
    qtbot.wait(50)
    worker.act(lambda _shop: 3, done.append)
    assert worker.idle()
    assert not worker._busy_timer.isActive()
    assert done == []


def test_who_types_or_scans_goes_before_other_reads_but_never_before_a_write(qtbot, worker) -> None:
    begun, let, done = threading.Event(), threading.Event(), []

    def hold(_shop: OneShop) -> None:
        begun.set()
        let.wait(5)

    worker.ask("order", hold, lambda _: done.append("order"))
    qtbot.waitUntil(begun.is_set)
    worker.ask("old", lambda _shop: "read before the write", done.append)
    worker.act(lambda _shop: "write", done.append)
    worker.ask("later", lambda _shop: "read", done.append)
    worker.ask("find", lambda _shop: "find", done.append, first=True)
    worker.ask("scan", lambda _shop: "scan", done.append, first=True)
    let.set()
    qtbot.waitUntil(worker.idle)
    assert done == ["order", "read before the write", "write", "find", "scan", "read"]


def test_a_long_read_lets_through_who_types_and_begins_again(qtbot, worker) -> None:
    done: list[str] = []
    begun: list[int] = []

    def learn(_shop: OneShop, progress: Progress) -> str:
        begun.append(1)
        for step in range(100):
            progress(step / 100)
            time.sleep(0.01 if len(begun) == 1 else 0.0)
        return "learned"

    worker.ask("practice", learn, done.append, progress=True)
    qtbot.waitUntil(lambda: bool(begun))
    worker.ask("other", lambda _shop: "other", done.append)
    worker.ask("find", lambda _shop: "found", done.append, first=True)
    qtbot.waitUntil(lambda: len(done) == 3)
    assert done == ["found", "other", "learned"]
    assert len(begun) == 2


def test_a_long_write_lets_nobody_through(qtbot, worker) -> None:
    done: list[str] = []
    begun: list[int] = []

    def load(_shop: OneShop, progress: Progress) -> str:
        begun.append(1)
        for step in range(20):
            progress(step / 20)
            time.sleep(0.01)
        return "loaded"

    worker.act(load, done.append, progress=True)
    qtbot.waitUntil(lambda: bool(begun))
    worker.ask("find", lambda _shop: "found", done.append, first=True)
    qtbot.waitUntil(lambda: len(done) == 2)
    assert done == ["loaded", "found"]
    assert begun == [1]
