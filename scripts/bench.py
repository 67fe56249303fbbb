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
    from arsenal.motion import Bed, Body, Grip, Release
    from arsenal.motion.records import Floats
    from arsenal.trade.lane import Lane

# ruff: noqa: PLC0415 - the program is only there once the environment is

BALLS, DRAWS, ENTRIES, PATHS, SOLVED = 12, 200, 100_000, 1200, 60
BATCH, LSODA = "one path, motion.batch", "one path, SciPy LSODA rtol 1e-6"


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


def throw_set() -> tuple[Bed, Body, list[Release], Grip]:
    """A lane, a body, releases and a grip without pick-up, so that both solvers have one problem."""
    from dataclasses import replace

    import numpy as np

    from arsenal.motion import Release, bed, body_of, grip, reference
    from arsenal.trade.priors import default_priors
    from arsenal.trade.release import Style

    priors = default_priors()
    ball, state = reference(priors)
    held = grip(ball, state, priors, Style(8.0, 43.0, 0.78, 0.2), 25e-6)
    rng = np.random.default_rng(1)
    thrown = [
        Release(
            speed_mps=rng.uniform(7.2, 8.6), rev_rate_radps=rng.uniform(30, 50),
            axis_rotation_rad=rng.uniform(0.5, 1.1),
            axis_tilt_rad=0.2, launch_rad=rng.uniform(-0.05, -0.03), lateral_m=0.5,
        )
        for _ in range(PATHS)
    ]  # fmt: skip
    return bed(house(), True, priors), body_of(ball), thrown, replace(held, pick_up=np.zeros_like(held.pick_up))


def solved(film: Bed, body: Body, r: Release, held: Grip) -> float:
    """Landing (m) of one release by SciPy LSODA, rtol 1e-6, in distance: lateral and spent impulse."""
    import numpy as np
    from scipy.integrate import solve_ivp

    from arsenal.kernels import path
    from arsenal.kernels.friction import friction
    from arsenal.trade.units import GRAVITY_MPS2, LANE_LENGTH_M

    start = path.slip_of(
        r.speed_mps, r.launch_rad, r.rev_rate_radps, r.axis_rotation_rad, r.axis_tilt_rad, body.radius_m, body.rg_m
    )
    vx, vy, ux, uy, budget = (float(value) for value in start[:5])
    columns = (held.mu_dry, held.mu_oil, held.sigma_m, held.film_scale, held.film_on_ball_m)
    dry, oil, sigma, scale, on_ball = (float(np.ravel(column)[0]) for column in columns)
    rows, along = film.film.rows[film.film.row_of[0]], film.film.along[0]
    step = LANE_LENGTH_M / (along.size - 1)

    def rates(x: float, z: Floats) -> list[float]:
        spent = min(float(z[1]), budget)
        speed = vx - ux * spent
        station = min(max(x / step, 0.0), along.size - 1.000001)
        node = min(max(float(z[0]) / film.film.spacing_m, 0.0), rows.shape[1] - 1.000001)
        i, j = int(station), int(node)
        low, high = ((1 - node + j) * rows[k, j] + (node - j) * rows[k, j + 1] for k in (i, i + 1))
        height = (1 - station + i) * low * along[i] + (station - i) * high * along[i + 1]
        mu = float(friction(scale * height + on_ball, sigma, dry, oil))
        return [(vy - uy * spent) / speed, mu * GRAVITY_MPS2 / speed]

    def rolls(_: float, z: Floats) -> float:
        return float(z[1]) - budget

    rolls.terminal = True  # type: ignore[attr-defined]
    begin, ways = [r.lateral_m, 0.0], {"method": "LSODA", "rtol": 1e-6, "atol": 1e-8}
    found = solve_ivp(rates, (0.0, LANE_LENGTH_M), begin, events=rolls, **ways)
    x, (y, spent) = found.t[-1], found.y[:, -1]
    return float(y + (LANE_LENGTH_M - x) * (vy - uy * spent) / (vx - ux * spent))


def paths() -> tuple[dict[str, float], float]:
    """Seconds a path by motion.batch and by SciPy on the same reduced problem; how far they land apart at most (m)."""
    from arsenal.motion import batch

    film, body, thrown, held = throw_set()
    ours = timed(lambda: batch(film, body, thrown, held), 3) / PATHS
    landed = batch(film, body, thrown, held).landing_m
    begun = time.perf_counter()
    theirs = [solved(film, body, release, held) for release in thrown[:SOLVED]]
    each = (time.perf_counter() - begun) / SOLVED
    apart = max(abs(float(a) - b) for a, b in zip(landed, theirs, strict=False))
    return {BATCH: ours, LSODA: each}, apart


def desk() -> dict[str, float]:
    """Seconds from process start to a search line and to the room shown, and from a key to its repaint."""
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
    }


def main() -> int:
    """Measure everything and print one table."""
    load = os.getloadavg()[0]
    step = timed(yardstick)
    print(f"{sys.version.split()[0]}, {os.cpu_count()} processors, load {load:.2f} before")
    print(f"{'yardstick: a million steps of plain Python':<52} {1e3 * step:10.2f} ms        1")
    each, apart = paths()
    found = {**orders(), **fold_of_many(), **each, **desk()}
    for name, seconds in found.items():
        print(f"{name:<52} {1e3 * seconds:10.3f} ms {seconds / step:8.4f}")
    print(f"SciPy LSODA over motion.batch, a path: {each[LSODA] / each[BATCH]:.0f} times; ", end="")
    print(f"landings at most {1e3 * apart:.2f} mm apart over {SOLVED} paths")
    return 0


if __name__ == "__main__":
    own_python.ensure()
    raise SystemExit(main())
