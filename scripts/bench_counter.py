#!/usr/bin/env python3
"""Speeds of the Counter in a large invented shop, measured in the real window: key press to painted list, find to card,
save to confirmed. Times on this machine, and each as a multiple of a fixed plain-Python loop. Never a test.

`bench_counter.py [file]`: the shop is made where the file is not there yet.
"""

from __future__ import annotations

import json
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import own_python

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.desk.frame import Window

# ruff: noqa: PLC0415 - the program is only there once the environment is

CUSTOMERS, BALLS, ENTRIES, TICKETS = 5_000, 20_000, 200_000, 10_000
FIRST = ("Umber", "Quarry", "Slow", "Bramble", "Paper", "Rook", "Plain", "Harrow", "Cinder", "Pale", "Ash", "Tide")
LAST = ("Kestrel", "Song", "Lantern", "Vow", "Moth", "Hollow", "Gate", "Tern", "Weir", "Ferry", "Moss", "Wrack")
GIVEN = ("Mirel", "Anneke", "Ilse", "Tomas", "Dana", "Bo", "Karo", "Lene", "Oren", "Tamsin", "Vesa", "Yrsa")
FAMILY = ("Ost", "Ro", "Var", "Kel", "Moth", "Quin", "Sel", "Tarn", "Ull", "Wen", "Yar", "Zim")
ENDING = ("er", "os", "ga", "l", "ersole", "by", "wick", "holm", "dal", "stad", "ren", "ova")
QUERIES = (
    "moth",
    "quarry so",
    "kell",
    "5550",
    "tern",
    "mothersole",
    "pale fer",
    "12",
    "umber kestrl",
    "zimova",
    "s",
    "a",
    "q",
)
PAUSE_S = 0.04
WAIT_S = 20.0


def yardstick() -> float:
    """Milliseconds of a million steps of plain Python."""
    begun, total = time.perf_counter(), 0.0
    for i in range(1, 1_000_001):
        total += (i % 7) / i
    return (time.perf_counter() - begun) * 1000.0


def make(path: Path) -> None:
    """The shop, the same for one seed: people, balls, logs, services, tickets."""
    from arsenal.acts import services
    from arsenal.acts.shop import Shop

    chance = random.Random(20)  # noqa: S311 - not a secret
    with Shop.open(path) as shop:
        services.begin_with_usual(shop)
        with shop.ledger.act("Made a large shop", "bench") as act:
            people = [act.put(person).id for person in _people(chance)]
            balls = [act.put(ball).id for ball in _balls(chance, people)]
            for draft in _log(chance, shop, balls):
                act.append(draft)
        tickets = list(_tickets(chance, shop, balls))
        with shop.ledger.act("Wrote its tickets", "bench") as act:
            for ticket in tickets:
                act.put(ticket)


def _people(chance: random.Random) -> Iterator[Any]:
    from arsenal.trade.person import Person

    for n in range(CUSTOMERS):
        name = f"{chance.choice(GIVEN)} {chance.choice(FAMILY)}{chance.choice(ENDING)} {chance.choice(FAMILY)}"
        yield Person(0, f"{name}{n % 97}", phone=f"555 {n:04d} {chance.randrange(100, 999)}")


def _balls(chance: random.Random, people: list[int]) -> Iterator[Any]:
    from arsenal.trade.ball import Ball, Cover

    covers = tuple(Cover)
    for n in range(BALLS):
        name = f"{chance.choice(FIRST)} {chance.choice(LAST)}"
        yield Ball(0, name, "", people[n % len(people)], covers[n % len(covers)], serial=f"{n % 10}K{n:05d}")


def _log(chance: random.Random, shop: Shop, balls: list[int]) -> Iterator[Any]:
    from arsenal.trade.entries import Cleaned, Draft, Kind, Played, Step, SurfaceWork, Tool

    today, each = shop.today(), ENTRIES // len(balls)
    steps = tuple(Step(number=n, tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0) for n in (500.0, 2000.0))
    for ball_id in balls:
        for n in range(each):
            day = today - timedelta(days=12 * (each - n))
            if n % 5 == 0:
                yield Draft(ball_id, Kind.SANDED, day, SurfaceWork(steps if n else steps[:1]))
            elif n % 5 == 4:
                yield Draft(ball_id, Kind.CLEANED, day, Cleaned())
            else:
                yield Draft(ball_id, Kind.PLAYED, day, Played(11.0 * chance.randrange(1, 5)))


def _tickets(chance: random.Random, shop: Shop, balls: list[int]) -> Iterator[Any]:
    from arsenal.trade.ticket import Job, Standing, TakenIn, Ticket, Work

    now, owners = shop.now(), {ball.id: ball.owner_id for ball in shop.balls()}
    for n in range(TICKETS):
        ball_id = balls[(n * 7) % len(balls)]
        at = now - timedelta(hours=3 * (TICKETS - n))
        standing = Standing.OUT if n < TICKETS - 60 else (Standing.IN, Standing.BENCH, Standing.READY)[n % 3]
        done = at + timedelta(minutes=chance.randrange(4, 20)) if standing is Standing.OUT else None
        job = Job("Clean", Work.CLEAN, 300, 4.0, begun_at=at if done else None, done_at=done)
        yield Ticket(
            0, standing, at, owners[ball_id], balls=(TakenIn(ball_id, jobs=(job,)),), taken_in_at=at,
            promised_at=now + timedelta(hours=n % 50), out_at=done,
        )  # fmt: skip


class Bench:
    """The window over the shop, and a clock that waits for paint."""

    def __init__(self, path: Path) -> None:
        from PySide6.QtWidgets import QApplication

        from arsenal.acts.settings import Settings
        from arsenal.acts.shop import Shop
        from arsenal.desk import theme
        from arsenal.desk.counter.room import CounterRoom, make
        from arsenal.desk.frame import Window
        from arsenal.desk.rooms import Shared
        from arsenal.desk.worker import Worker

        sys.setswitchinterval(0.001)
        found = QApplication.instance()
        self.app = found if isinstance(found, QApplication) else QApplication([])
        theme.dress(self.app, "light", 100)
        settings = Settings(path=Path(tempfile.mkdtemp()) / "settings.json")
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        shared = Shared(self.worker, settings)
        self.window: Window = Window(shared, [(6, "Counter", "")])
        self.window.furnish([make])
        room = self.window.rooms[0]
        assert isinstance(room, CounterRoom)  # noqa: S101 - the one room
        self.room = room
        self.room.print_wanted.disconnect()
        self.window.resize(1366, 768)
        self.window.show()
        self.window.file_open()
        self.window.activateWindow()
        self.until(lambda: room.right.isVisible() and room.strip.counts["in"].number() > 0, WAIT_S * 6)
        self.rest()

    def until(self, test: Callable[[], bool], most: float = WAIT_S) -> None:
        """Let the event loop go until `test` holds."""
        from PySide6.QtCore import QEventLoop

        end = time.perf_counter() + most
        while not test():
            if time.perf_counter() > end:
                raise TimeoutError("Nothing came.")
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 5)

    def rest(self, seconds: float = PAUSE_S) -> None:
        """Until nothing runs, and a moment more."""
        self.until(self.worker.idle)
        end = time.perf_counter() + seconds
        self.until(lambda: time.perf_counter() > end and self.worker.idle())

    def key_to_list(self) -> list[float]:
        """Milliseconds from each key of the queries to the painted list."""
        from PySide6.QtTest import QTest

        taken, left = [], self.room.left
        painted = Painted(left.hits.viewport())
        for query in QUERIES:
            left.clear()
            left.field.setFocus()
            self.rest()
            for n, sign in enumerate(query):
                painted.at = None
                begun = time.perf_counter()
                QTest.keyClick(left.field.edit, sign)  # type: ignore[call-overload]
                wanted = query[: n + 1]
                self.until(lambda w=wanted: left.shown() == w and (painted.at or 0.0) > left.shown_at)  # type: ignore[misc]
                taken.append(((painted.at or 0.0) - begun) * 1000.0)
                self.rest()
        painted.over()
        return taken

    def find_to_card(self, count: int = 40) -> list[float]:
        """Milliseconds from a known ball to its painted card, balls nobody has looked at yet."""
        taken, middle = [], self.room.middle
        painted = Painted(middle.ball.first)
        for n in range(count):
            ball_id = 101 + n * 37
            painted.at = None
            begun = time.perf_counter()
            middle.open("ball", ball_id)
            self.until(lambda i=ball_id: middle.ball.card is not None and middle.ball.card.ball.id == i)  # type: ignore[misc]
            self.until(lambda: painted.at is not None)
            taken.append(((painted.at or 0.0) - begun) * 1000.0)
            self.rest()
        painted.over()
        return taken

    def save_to_confirmed(self, count: int = 30) -> list[float]:
        """Milliseconds from Ctrl+Enter to the sentence of the last-act line."""
        from arsenal.trade.ticket import TakenIn

        taken, slip, foot = [], self.room.slip, self.window.foot.sentence
        for n in range(count):
            slip.begin_named(f"Bench {n}")
            slip.change(lambda _shop, old: replace(old, balls=(TakenIn(words="blue one"),)))
            self.rest()
            said = f"of Bench {n}"
            begun = time.perf_counter()
            slip.take_in()
            self.until(lambda s=said: foot.whole().endswith(s) and foot.whole().startswith("Took in"))  # type: ignore[misc]
            taken.append((time.perf_counter() - begun) * 1000.0)
            self.rest()
        return taken

    def close(self) -> None:
        """Everything let go."""
        self.window.close()
        self.worker.close()


def Painted(widget: Any) -> Any:  # noqa: N802 - a class that is made where Qt is there
    """A watcher of one widget: `at` is when it was painted last."""
    from PySide6.QtCore import QEvent, QObject

    class Watcher(QObject):
        at: float | None = None

        def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's own name
            if event.type() is QEvent.Type.UpdateRequest or event.type() is QEvent.Type.Paint:
                widget.removeEventFilter(self)
                self.app_send(watched, event)
                self.at = time.perf_counter()
                widget.installEventFilter(self)
                return True
            return False

        def app_send(self, watched: QObject, event: QEvent) -> None:
            watched.event(event)

        def over(self) -> None:
            widget.removeEventFilter(self)

    made = Watcher()
    widget.installEventFilter(made)
    return made


def p95(values: list[float]) -> float:
    """The 95th percentile."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, round(0.95 * (len(ordered) - 1)))]


def main() -> int:
    """Make the shop where it is not there, measure, print a table."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.gettempdir()) / "counter_bench.padbook"
    if not path.exists():
        begun = time.perf_counter()
        make(path)
        print(f"made {path} in {time.perf_counter() - begun:.0f} s")
    unit = min(yardstick() for _ in range(3))
    begun = time.perf_counter()
    bench = Bench(path)
    rows = {"start to counts shown": [(time.perf_counter() - begun) * 1000.0]}
    rows["key press to painted list"] = bench.key_to_list()
    rows["find to card painted"] = bench.find_to_card()
    rows["save to confirmed"] = bench.save_to_confirmed()
    rows["key press to painted list, after saves"] = bench.key_to_list()
    bench.close()
    print(f"load {os.getloadavg()[0]:.1f}, yardstick {unit:.0f} ms; n, median, p95, most in ms; p95 over the yardstick")
    for name, values in rows.items():
        middle = sorted(values)[len(values) // 2]
        print(
            f"{name:42} {len(values):4} {middle:8.1f} {p95(values):8.1f} {max(values):8.1f} {p95(values) / unit:8.2f}"
        )
    print(json.dumps({name: round(p95(values), 1) for name, values in rows.items()}))
    return 0


if __name__ == "__main__":
    own_python.ensure()
    raise SystemExit(main())
