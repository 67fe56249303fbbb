"""Its part on plans: an event's bag, practice, the upkeep calendar. Seconds of the clock, and for an event of the
processor too; never a test.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop

# ruff: noqa: PLC0415 - the program is only there once the environment is

SHOP_BALLS = 200
NAMED = "Mirel Oster"


def _once(work: Callable[[], object]) -> tuple[float, float]:
    begun, used = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - begun, time.process_time() - used


@contextmanager
def _sample() -> Iterator[Shop]:
    """The sample shop, in a file of its own."""
    from arsenal.acts import files
    from arsenal.acts.shop import Shop

    with tempfile.TemporaryDirectory() as home:
        path = Path(home) / "sample.padbook"
        files.write_sample(path)
        with Shop.open(path) as shop:
            yield shop


def _bowler(shop: Shop) -> int:
    return next(p.id for p in shop.people() if p.name == NAMED)


def event_plans() -> dict[str, float]:
    """The sample bowler's first event: planned, and once more with everything remembered."""
    from arsenal.acts import event
    from arsenal.motion.warming import warm
    from arsenal.trade.event import Event

    with _sample() as shop:
        warm(shop.priors)
        bowler = _bowler(shop)
        found = next(e for e in shop.every(Event) if shop_has(shop, e.id, bowler))
        first, again = (_once(lambda: event.event_plan(shop, found.id, bowler)) for _ in range(2))
    said = "event plan of the sample bowler"
    return {f"{said}, first time": first[0], f"{said}, processor": first[1], f"{said}, again": again[0]}


def shop_has(shop: Shop, event_id: int, bowler_id: int) -> bool:
    """Whether the bowler is entered."""
    from arsenal.trade.event import Entered

    return any((e.event_id, e.bowler_id) == (event_id, bowler_id) for e in shop.every(Entered))


def bag_choice() -> dict[str, float]:
    """24 balls with 8 finishes at 5 stages, rooms known, eight to be taken; by chance, the same each time."""
    import numpy as np

    from arsenal.order.compare import Reaction
    from arsenal.plan.bag import Asked, Option, choose
    from arsenal.surface.state import Estimate

    rng = np.random.default_rng(3)
    options = [
        Option(
            ball, f"f{k}", tuple(Estimate(float(r), 0.03) for r in rng.uniform(0.1, 0.7, 5)), 5.0 * k,
            Reaction(ball, float(rng.normal(0.0, 4.0)), float(rng.uniform(9.0, 13.0)), float(rng.uniform(3.0, 6.0))),
        )
        for ball in range(1, 25) for k in range(8)
    ]  # fmt: skip
    return {"bag choice, 24 balls × 8 finishes × 5 stages": _once(lambda: choose(options, Asked(8, 60.0)))[0]}


def practice() -> dict[str, float]:
    """A season of shots learned anew; on the sample, one more shot until the order knows; a plan of ten shots."""
    from practice_study import season_seconds

    from arsenal.acts import lane_side
    from arsenal.acts import practice as acts
    from arsenal.acts.practice_views import AsSeen

    with _sample() as shop:
        bowler = _bowler(shop)
        lane = shop.person(bowler).usual_lane_id or next(iter(shop.lanes()))
        ball = next(b.id for b, _ in shop.held(bowler) if not b.spare)

        def shot() -> None:
            acts.log_shot(shop, bowler, lane, ball, AsSeen("flush"))
            lane_side.lane_side(shop, bowler, lane)

        shot()
        one_more = _once(shot)[0]
        ten = _once(lambda: acts.plan(shop, bowler, lane, shots=10))[0]
    return {
        "practice: 500 shots of 20 balls learned anew": season_seconds(),
        "practice: one more shot to the new order": one_more, "practice: a plan of ten shots": ten,
    }  # fmt: skip


def calendars() -> dict[str, float]:
    """A bowler's season on the sample; a week of its bench with 200 balls."""
    from arsenal.acts import calendar

    with _sample() as shop:
        own = _once(lambda: calendar.season(shop, _bowler(shop)))[0]
        _grown(shop)
        monday = shop.today() - timedelta(days=shop.today().weekday())
        bench = _once(lambda: calendar.week(shop, None, monday))[0]
    return {
        "upkeep calendar: season of one bowler": own, f"upkeep calendar: week of a shop of {SHOP_BALLS} balls": bench
    }  # fmt: skip


def _grown(shop: Shop) -> None:
    """The sample's balls with their logs over and over, until there are enough."""
    from arsenal.trade.entries import Draft

    balls = shop.balls()
    copies = [(balls[n % len(balls)], n) for n in range(SHOP_BALLS - len(balls))]
    logs = {ball.id: shop.entries(ball.id) for ball in balls}
    with shop.ledger.act("Made a large shop", "bench") as act:
        for ball, n in copies:
            new = act.put(replace(ball, id=0, name=f"{ball.name} {n}", serial=f"{n:06d}"))
            for e in logs[ball.id]:
                act.append(Draft(new.id, e.kind, e.on, e.payload, ""))


def report() -> dict[str, float]:
    """Everything, seconds by name."""
    sys.path.insert(0, str(Path(__file__).parent))
    return {**event_plans(), **bag_choice(), **practice(), **calendars()}
