"""Paths a second: the batch beside SciPy, heyoka and a plain C kernel, on one two-dimensional film in one run.

All four solve the reduced equations of one set of releases on one lane and are held to the same landing. heyoka and a
C compiler are looked for; where they are not there, their row is left out.
"""

# ruff: noqa: E402 - the program is only there once the environment is

from __future__ import annotations

import ctypes
import importlib.util
import math
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import own_python

own_python.ensure(("test", "outside"))

import numpy as np
from scipy.integrate import solve_ivp

from arsenal.kernels import batch as kernel
from arsenal.kernels import film as films
from arsenal.kernels.friction import INNER, OUTER, load_share_series
from arsenal.kernels.shapes import MARKS, Contact, Film, Start, Stations
from arsenal.motion import Bed, Body, Grip, Throws, batch, bed, body_of, grip, reference, throws, trace
from arsenal.motion.batches import _ready
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.priors import default_priors
from arsenal.trade.release import Release, Style
from arsenal.trade.units import BOARD_M, FOOT_M, GRAVITY_MPS2, LANE_LENGTH_M, LANE_WIDTH_M

PATHS, SOLVED, MANY = 19_200, 200, 100_000
LENGTH_M, VOLUME_M3, RATIO = 41.0 * FOOT_M, 25e-6, 8.0
SOURCE = Path(__file__).with_name("paths.c")
C_FLAGS = ("-O3", "-march=native", "-fno-math-errno", "-fno-trapping-math", "-shared", "-fPIC")


@dataclass(frozen=True)
class Problem:
    """One lane, one ball without pick-up of its own, many releases; `start` and `contact` as the kernels read them."""

    bed: Bed
    body: Body
    thrown: Throws
    grip: Grip
    start: Start
    contact: Contact


def problem(n: int = PATHS) -> Problem:
    """`n` seeded releases from laydowns on boards 14 to 20."""
    priors = default_priors()
    ball, state = reference(priors)
    held = grip(ball, state, priors, Style(8.0, 43.0, 0.78, 0.2), VOLUME_M3)
    none = np.zeros_like(held.pick_up)
    held = Grip(held.mu_dry, held.mu_oil, held.sigma_m, held.film_scale, held.film_on_ball_m, none, held.pick_up_revs)
    rng = np.random.default_rng(1)
    body = body_of(ball)
    one = throws(body, Release(8.0, 43.0, 0.78, 0.2, -0.04, 0.5))
    columns = (
        rng.uniform(7.2, 8.6, n), rng.uniform(30.0, 50.0, n), rng.uniform(0.5, 1.1, n), np.full(n, 0.2),
        rng.uniform(-0.05, -0.03, n), rng.uniform(14.0, 20.0, n) * BOARD_M, np.full(n, one.radius_m[0]),
        np.full(n, one.rg_m[0]),
    )  # fmt: skip
    lane = bed(Lane(1, "house", FilmSummary(LENGTH_M, VOLUME_M3, RATIO)), True, priors)
    made = Throws(*columns)
    ready = _ready(lane, made, held, None)
    return Problem(lane, body, made, held, ready.start, ready.contact)


def timed(work: Callable[[], object], repeats: int = 7) -> float:
    """Fastest seconds of `work`, after one call to warm up: what else the machine does only ever adds."""
    work()
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return min(taken)


def landed(p: Problem) -> np.ndarray:
    """Landings by motion.batch, metres."""
    return batch(p.bed, None, p.thrown, p.grip).landing_m


def ours_one_thread(p: Problem) -> tuple[float, np.ndarray]:
    """Seconds a path of the compiled kernel on one thread, marks and all; its landings."""
    n = p.start.y.size
    out, maps = np.empty((n, len(MARKS))), np.zeros(n, np.intp)
    none = np.empty((p.bed.steps + 1, 0))
    rest = (
        p.bed.film, maps, p.start, p.contact, load_share_series(), GRAVITY_MPS2, LANE_LENGTH_M, LANE_WIDTH_M,
        0.25 * BOARD_M, p.bed.oil_end_m, out, Stations(none, none, none),
    )  # fmt: skip
    return timed(lambda: kernel.ride(0, n, *rest)) / n, out[:, 0].copy()


def in_c(p: Problem) -> tuple[float, np.ndarray] | None:
    """Seconds a path of the same method in plain C -O3 on one thread, and its landings; None without a compiler."""
    compiler = shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")
    if compiler is None:
        return None
    with tempfile.TemporaryDirectory() as home:
        made = Path(home) / "paths.so"
        subprocess.run([compiler, *C_FLAGS, "-o", str(made), str(SOURCE), "-lm"], check=True)
        return _call_c(ctypes.CDLL(str(made)), p)


class _CFilm(ctypes.Structure):
    _fields_ = [
        ("rows", ctypes.c_void_p), ("along", ctypes.c_void_p), ("row_of", ctypes.c_void_p),
        ("nodes", ctypes.c_long), ("stations", ctypes.c_long), ("lanes", ctypes.c_long), ("spacing", ctypes.c_double),
    ]  # fmt: skip


class _CPaths(ctypes.Structure):
    _fields_ = [(f"a{i}", ctypes.c_void_p) for i in range(13)]


def _call_c(library: ctypes.CDLL, p: Problem) -> tuple[float, np.ndarray]:
    f: Film = p.bed.film
    n = p.start.y.size
    columns = [*p.start, *p.contact]
    film = _CFilm(
        f.rows.ctypes.data, f.along.ctypes.data, f.row_of.ctypes.data, f.rows.shape[1], f.along.shape[1],
        f.along.shape[0], f.spacing_m,
    )  # fmt: skip
    paths = _CPaths(*(c.ctypes.data for c in columns))
    maps, terms, out = np.zeros(n, np.intp), np.array(load_share_series()), np.empty((n, len(MARKS)))
    ride = library.ride
    ride.restype = None

    def go() -> None:
        ride(
            ctypes.c_long(n), ctypes.byref(film), ctypes.byref(paths), ctypes.c_void_p(maps.ctypes.data),
            ctypes.c_void_p(terms.ctypes.data), ctypes.c_double(GRAVITY_MPS2), ctypes.c_double(LANE_LENGTH_M),
            ctypes.c_double(LANE_WIDTH_M), ctypes.c_double(0.25 * BOARD_M),
            ctypes.c_void_p(p.bed.oil_end_m.ctypes.data), ctypes.c_void_p(out.ctypes.data),
        )  # fmt: skip

    return timed(go) / n, out[:, 0].copy()


@cache
def _film_numbers() -> tuple[float, float]:
    peak = float(films.height_scale(VOLUME_M3, LENGTH_M, RATIO, None, LANE_LENGTH_M, BOARD_M))
    return peak, float(films.floor_for(RATIO))


def _rates(x: float, z: np.ndarray, *c: float) -> tuple[float, float]:
    """dy/dx and ds/dx in plain floats, the film by its own formula."""
    vx, vy, ux, uy, dry, oil, sigma, scale, left, peak, floor = c
    y, s = z
    board = y / BOARD_M + 0.5
    wall = 1.0 / (1.0 + math.exp((films.WALL_BOARD - min(board, 40.0 - board)) / films.WALL_WIDTH_BOARDS))
    along = 1.0 - (1.0 - films.END_SHARE) * min(x / LENGTH_M, 1.0)
    along /= 1.0 + math.exp((x - LENGTH_M) / films.END_WIDTH_M)
    ratio = (scale * peak * along * (floor + (1.0 - floor) * wall) + left) / sigma
    mu = oil + (dry - oil) * (1.0 + ratio**INNER) ** OUTER
    speed = vx - ux * s
    return (vy - uy * s) / speed, mu * GRAVITY_MPS2 / speed


def in_scipy(p: Problem, count: int = SOLVED, rtol: float = 1e-6) -> tuple[float, np.ndarray]:
    """Seconds a path of `solve_ivp` LSODA to where it rolls, and its landings."""
    columns = [np.broadcast_to(c, p.start.y.size) for c in (*p.start, *p.contact)]
    found = np.empty(count)
    begun = time.perf_counter()
    for k in range(count):
        y0, vx, vy, ux, uy, budget, *contact = (float(c[k]) for c in columns[:11])

        def rolls(_x: float, z: np.ndarray, *_c: float, budget: float = budget) -> float:
            return float(z[1]) - budget

        rolls.terminal = True  # type: ignore[attr-defined]
        done = solve_ivp(
            _rates, (0.0, LANE_LENGTH_M), (y0, 0.0), method="LSODA", rtol=rtol, atol=1e-8, events=rolls,
            args=(vx, vy, ux, uy, *contact, *_film_numbers()),
        )  # fmt: skip
        x, (y, s) = done.t[-1], done.y[:, -1]
        found[k] = y + (LANE_LENGTH_M - x) * (vy - uy * s) / (vx - ux * s)
    return (time.perf_counter() - begun) / count, found


def in_heyoka(p: Problem, truth: np.ndarray) -> tuple[float, np.ndarray, float] | None:
    """Seconds a path by heyoka's Taylor method, several paths side by side; its landings; the loosest tolerance that
    holds a millimetre. None where it is not installed.

    With the spent impulse as the variable the ball rolls at its end, so that no event is needed; only releases that
    roll before the pins are given to it.
    """
    if importlib.util.find_spec("heyoka") is None:
        return None
    for tolerance in (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-8):
        seconds, found = _heyoka(p, tolerance)
        if np.abs(found - truth[: found.size]).max() < 1e-3:
            return seconds, found, tolerance
    return seconds, found, tolerance


def _heyoka(p: Problem, tolerance: float) -> tuple[float, np.ndarray]:
    hy: Any = importlib.import_module("heyoka")
    peak, floor = _film_numbers()
    x, y = hy.make_vars("x", "y")
    vx, vy, ux, uy, dry, oil, sigma, scale, left = (hy.par[i] for i in range(9))
    wall = 1.0 / (1.0 + hy.exp((films.WALL_BOARD - (y / BOARD_M + 0.5)) / films.WALL_WIDTH_BOARDS))
    fall = films.END_SHARE + (1.0 - films.END_SHARE) * hy.relu(1.0 - x / LENGTH_M)
    along = fall / (1.0 + hy.exp((x - LENGTH_M) / films.END_WIDTH_M))
    ratio = (scale * peak * along * (floor + (1.0 - floor) * wall) + left) / sigma
    pull = GRAVITY_MPS2 * (oil + (dry - oil) * (1.0 + ratio**INNER) ** OUTER)
    system = [(x, (vx - ux * hy.time) / pull), (y, (vy - uy * hy.time) / pull)]
    columns = [np.ascontiguousarray(np.broadcast_to(c, p.start.y.size)) for c in (*p.start, *p.contact)]
    lanes = hy.recommended_simd_size()
    count = SOLVED * 8 // lanes * lanes
    solver = hy.taylor_adaptive_batch(
        system, np.zeros((2, lanes)), pars=np.zeros((9, lanes)), tol=tolerance, high_accuracy=False, compact_mode=False
    )
    found = np.empty(count)

    def go() -> None:
        for first in range(0, count, lanes):
            cut = slice(first, first + lanes)
            solver.set_time(np.zeros(lanes))
            solver.state[0], solver.state[1] = 0.0, columns[0][cut]
            for i, c in enumerate((1, 2, 3, 4, 6, 7, 8, 9, 10)):
                solver.pars[i] = columns[c][cut]
            solver.propagate_until(columns[5][cut])
            ends = [columns[i][cut] - columns[i + 2][cut] * columns[5][cut] for i in (1, 2)]
            found[cut] = solver.state[1] + (LANE_LENGTH_M - solver.state[0]) * ends[1] / ends[0]

    return timed(go, 3) / count, found


def only_rolled(p: Problem) -> Problem:
    """The releases that roll before the pins."""
    runs = batch(p.bed, None, p.thrown, p.grip)
    keep = runs.rolls_m < LANE_LENGTH_M - 0.1
    cut = Throws(*(getattr(p.thrown, name)[keep] for name in Throws.__slots__))
    ready = _ready(p.bed, cut, p.grip, None)
    return Problem(p.bed, p.body, cut, p.grip, ready.start, ready.contact)


def first_call() -> float:
    """Seconds of the first path in a new process, with the machine code kept from before."""
    code = (
        "import time; from arsenal.acts.warming import warm; b = time.perf_counter(); warm(); "
        "print(time.perf_counter() - b)"
    )
    done = subprocess.run([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, check=True)
    return float(done.stdout)


def many() -> tuple[float, float]:
    """Seconds of 100,000 paths in one call, and the process's most memory, MB."""
    code = (
        f"import sys; sys.path.insert(0, {str(SOURCE.parent)!r}); import time, bench_paths as b; "
        f"p = b.problem({MANY}); t = time.perf_counter(); b.landed(p); t = time.perf_counter() - t; "
        "import resource; print(t, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)"
    )
    done = subprocess.run([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, check=True)
    seconds, most = map(float, done.stdout.split())
    return seconds, most


def told(name: str, seconds: float, note: str = "") -> None:
    """One row."""
    print(f"{name:<52} {1e6 * seconds:12.3f} μs   {note}")


def against_others(p: Problem) -> None:
    """A path by every engine, with how far it lands from SciPy at 1e-10 or from ours."""
    _, truth = in_scipy(p, rtol=1e-10)
    all_threads = timed(lambda: landed(p)) / p.start.y.size
    one, ours = ours_one_thread(p)

    def off(found: np.ndarray) -> str:
        return f"{1e3 * np.abs(found[:SOLVED] - truth).max():.3f} mm from SciPy at 1e-10"

    told(f"motion.batch, a path of {p.start.y.size:,}", all_threads)
    told("its kernel on one thread", one, off(ours))
    seconds, found = in_scipy(p)
    told("SciPy solve_ivp LSODA rtol 1e-6", seconds, off(found))
    print(f"    SciPy over motion.batch: {seconds / all_threads:.0f} times")
    taylor = in_heyoka(p, landed(p))
    if taylor is None:
        print("    heyoka is not installed: left out")
    else:
        told(f"heyoka, Taylor, tolerance {taylor[2]:g}, one thread", taylor[0], off(taylor[1]))
        print(f"    heyoka over our kernel, thread for thread: {taylor[0] / one:.1f} times")
    c = in_c(p)
    if c is None:
        print("    no C compiler: left out")
    else:
        told("the same method in C -O3, one thread", c[0], f"{1e3 * np.abs(c[1] - ours).max():.6f} mm from ours")
        print(f"    our kernel over C, thread for thread: {one / c[0]:.2f} times")


def report() -> None:
    """Print every figure of this comparison."""
    p = only_rolled(problem())
    against_others(p)
    seconds, most = many()
    told("100,000 paths in one call", seconds, f"{most:.0f} MB at most")
    release = Release(8.0, 43.0, 0.78, 0.2, -0.04, 0.5)
    told("a batch of one", timed(lambda: batch(p.bed, p.body, release, p.grip), 200))
    told("one path to draw", timed(lambda: trace(p.bed, p.body, release, p.grip), 100))
    told("first call after start", first_call())


if __name__ == "__main__":
    report()
