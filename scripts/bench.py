#!/usr/bin/env python3
"""Speeds in one run: times on this machine, and each as a multiple of a fixed plain-Python loop. Never a test."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import own_python

if TYPE_CHECKING:
    from arsenal.trade.lane import Lane

# ruff: noqa: PLC0415 - the program is only there once the environment is

BALLS, DRAWS, ENTRIES = 12, 200, 100_000


def timed(work: Callable[[], object], repeats: int = 5) -> float:
    """Median seconds of `work`, after one call to warm up."""
    work()
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


def yardstick() -> float:
    """A million steps of plain Python."""
    total = 0.0
    for i in range(1, 1_000_001):
        total += (i % 7) / i
    return total


def house() -> Lane:
    """A usual condition."""
    from arsenal.trade.lane import FilmSummary, Lane
    from arsenal.trade.units import FOOT_M

    return Lane(1, "house", FilmSummary(41.0 * FOOT_M, 25e-6, 8.0, None))


def orders() -> dict[str, float]:
    """Seconds for the order of 12 balls, 200 draws, without and with each ball's own best line."""
    from dataclasses import replace

    from arsenal.motion import reference
    from arsenal.order import order
    from arsenal.trade.person import Person
    from arsenal.trade.priors import default_priors
    from arsenal.trade.release import Style
    from arsenal.trade.units import DEGREE_RAD, MPH_MPS, RPM_RADPS

    priors = default_priors()
    ball, state = reference(priors)
    owned = []
    for i in range(BALLS):
        rougher = replace(state.ln_ra_m, mean=state.ln_ra_m.mean + 0.1 * (i - BALLS / 2))
        owned.append((replace(ball, id=i + 1, name=f"ball {i + 1}"), replace(state, ln_ra_m=rougher)))
    style = Style(17.9 * MPH_MPS, 416.0 * RPM_RADPS, 45.0 * DEGREE_RAD, 0.2)
    bowler = Person(1, "bowler", style=style)
    lane = house()
    return {
        f"order of {BALLS} balls × {DRAWS} draws, {words}": timed(
            partial(order, bowler, lane, owned, priors, draws=DRAWS, rooms=rooms), 3
        )
        for rooms, words in ((False, "no rooms"), (True, "with rooms"))
    }


def fold_of_many() -> dict[str, float]:
    """Seconds to fold one ball's log of 100,000 entries (once, no warm-up)."""
    from arsenal.motion import reference
    from arsenal.surface import fold
    from arsenal.trade.entries import Entry, Kind, Played
    from arsenal.trade.priors import default_priors

    priors = default_priors()
    ball, _ = reference(priors)
    first, at = date(2000, 1, 1), datetime(2026, 1, 1, tzinfo=UTC)
    entries = [
        Entry(i + 1, ball.id, Kind.PLAYED, first + timedelta(days=i // 12), Played(11.0), at, 0) for i in range(ENTRIES)
    ]
    begun = time.perf_counter()
    fold(ball, entries, priors)
    return {f"fold of {ENTRIES:,} entries": time.perf_counter() - begun}


def desk() -> tuple[dict[str, float], float]:
    """Seconds from process start to a search line and to the room shown, and from a key to its repaint; memory, MB."""
    from arsenal.acts import files

    with tempfile.TemporaryDirectory() as home:
        shop = Path(home) / "sample.padbook"
        files.write_sample(shop)
        folders = {f"XDG_{name}_HOME": f"{home}/{name.lower()}" for name in ("CONFIG", "DATA", "STATE", "CACHE")}
        inside = {**os.environ, **folders, "QT_QPA_PLATFORM": "offscreen"}
        begun = time.time()
        child = [sys.executable, str(Path(__file__).with_name("bench_desk.py")), str(shop)]
        done = subprocess.run(child, env=inside, stdout=subprocess.PIPE, text=True, check=True)
    told = json.loads(done.stdout)
    return {
        "process start to search line shown (offscreen)": told["search"] - begun,
        "process start to Lane-side filled (offscreen)": told["room"] - begun,
        "pad key to repaint, median (offscreen)": told["key"],
        "pad key to repaint, slowest of 40 (offscreen)": told["key_worst"],
    }, float(told["memory_mb"])


def main() -> int:
    """Measure everything and print one table."""
    load = os.getloadavg()[0]
    step = timed(yardstick)
    print(f"{sys.version.split()[0]}, {os.cpu_count()} processors, load {load:.2f} before")
    print(f"{'yardstick: a million steps of plain Python':<52} {1e3 * step:10.2f} ms        1")
    shown, memory = desk()
    import bench_plans

    found = {**orders(), **fold_of_many(), **shown, **bench_plans.report()}
    for name, seconds in found.items():
        print(f"{name:<52} {1e3 * seconds:10.3f} ms {seconds / step:8.4f}")
    print(f"{'memory of the desk with Lane-side shown':<52} {memory:10.0f} MB")
    import bench_paths

    bench_paths.report()
    return 0


if __name__ == "__main__":
    own_python.ensure(("test", "outside"))
    raise SystemExit(main())
