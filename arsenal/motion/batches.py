"""Many paths in one call, and one path to draw: releases and grips on a bed, read as the marks of a reaction."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from arsenal.kernels import path as paths
from arsenal.kernels.drawn import drawn
from arsenal.kernels.friction import load_share_series
from arsenal.kernels.shapes import MARKS, Contact, Ints, Start, Stations
from arsenal.motion import checks
from arsenal.motion.beds import BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.records import Floats, Trace
from arsenal.trade.ball import Body
from arsenal.trade.errors import KnownError
from arsenal.trade.release import Release
from arsenal.trade.units import BOARD_M, FOOT_M, GRAVITY_MPS2, LANE_LENGTH_M, LANE_WIDTH_M

ROLLS_OUT_AFTER_OIL_M = 5.0 * FOOT_M
ROLLS_OUT_SKID_LEFT = 0.30
FLAT_BOARDS = 0.25
FLAT_M = 10.0 * FOOT_M
DRAWN_POINTS = 241
LONGEST_TURN_M = 3.0
WORTH_A_THREAD = 1024
"""Fewer paths than this are done before another thread has begun."""


@dataclass(frozen=True, slots=True)
class Runs:
    """What n paths did, arrays (n,) in SI; NaN where a mark does not exist.

    `landing_m` at the head pin as if the lane went on by its edge; `first_read_m`, `breakpoint_m` on the lane only;
    `half_m`, `three_quarter_m`, `rolls_m`, `shape_m` may lie past the pins (the lane goes on with its last friction).
    """

    landing_m: Floats
    first_read_m: Floats
    half_m: Floats
    three_quarter_m: Floats
    rolls_m: Floats
    shape_m: Floats
    breakpoint_m: Floats
    breakpoint_lateral_m: Floats
    breakpoint_flat: npt.NDArray[np.bool_]
    """Within a quarter board over more than ten feet: not worth comparing."""
    entry_rad: Floats
    hook_m: Floats
    skid_left_at_oil_end: Floats
    skid_left_at_pins: Floats
    speed_at_pins_mps: Floats
    rolls_out: npt.NDArray[np.bool_]
    left_lane_m: Floats
    lowest_m: Floats
    highest_m: Floats
    """Nearest to the own gutter and to the other one, on the lane."""


@dataclass(frozen=True, slots=True)
class Throws:
    """n releases of n balls as arrays (n,), broadcast together: the quick way into a large batch."""

    speed_mps: Floats
    rev_rate_radps: Floats
    axis_rotation_rad: Floats
    axis_tilt_rad: Floats
    launch_rad: Floats
    lateral_m: Floats
    radius_m: Floats
    rg_m: Floats


def throws(bodies: Body | Sequence[Body], releases: Release | Sequence[Release]) -> Throws:
    """`bodies` and `releases` as arrays; one of either goes for all of the other."""
    balls = [bodies] if isinstance(bodies, Body) else list(bodies)
    thrown = [releases] if isinstance(releases, Release) else list(releases)
    columns = [
        np.array([r.speed_mps for r in thrown]), np.array([r.rev_rate_radps for r in thrown]),
        np.array([r.axis_rotation_rad for r in thrown]), np.array([r.axis_tilt_rad for r in thrown]),
        np.array([r.launch_rad for r in thrown]), np.array([r.lateral_m for r in thrown]),
        np.array([b.radius_m for b in balls]), np.array([b.rg_m for b in balls]),
    ]  # fmt: skip
    try:
        return Throws(*np.broadcast_arrays(*columns))
    except ValueError:
        raise KnownError(f"{len(balls)} balls and {len(thrown)} releases do not pair up.") from None


def _check(t: Throws) -> None:
    columns = (
        (checks.SPEED, t.speed_mps), (checks.REV_RATE, t.rev_rate_radps), (checks.ROTATION, t.axis_rotation_rad),
        (checks.TILT, t.axis_tilt_rad), (checks.LAUNCH, t.launch_rad), (checks.LAYDOWN, t.lateral_m),
    )  # fmt: skip
    checks.check_columns(columns, t.radius_m, t.rg_m)


def _start(t: Throws) -> Start:
    slip = paths.slip_of(
        t.speed_mps, t.launch_rad, t.rev_rate_radps, t.axis_rotation_rad, t.axis_tilt_rad, t.radius_m, t.rg_m
    )
    end_vx, _ = paths.rolling_velocity(slip)
    if np.any(np.minimum(slip.vx, end_vx) < 0.05 * np.abs(t.speed_mps)) or np.any(t.speed_mps <= 0.0):
        raise KnownError(
            "A ball with so much backspin or so little speed stops or comes back before it rolls.",
            next_step="Check speed, revs and rotation; a single such path can be followed with roll().",
        )
    return Start(*(_own(a) for a in (t.lateral_m, slip.vx, slip.vy, slip.ux, slip.uy, slip.budget)))


def _contact(t: Throws, grips: Grip, dry_factor: Floats) -> Contact:
    n = t.speed_mps.size
    turn = 2.0 * math.pi * t.speed_mps / np.maximum(np.abs(t.rev_rate_radps), 1.0)
    turn = np.clip(turn, 2.0 * math.pi * t.radius_m, LONGEST_TURN_M)
    dry = np.broadcast_to(grips.mu_dry * dry_factor, n)
    oil = np.minimum(np.broadcast_to(grips.mu_oil, n), dry)
    wide = (grips.sigma_m, grips.film_scale, grips.film_on_ball_m, grips.pick_up)
    sigma, scale, on_ball, gain = (np.broadcast_to(c, n) for c in wide)
    return Contact(*(_own(c) for c in (dry, oil, sigma, scale, on_ball, gain, grips.pick_up_revs * turn)))


def _own(values: Floats) -> Floats:
    """A plain array: a kernel is compiled anew for every other layout."""
    return np.array(values, np.float64, order="C")


@dataclass(frozen=True, slots=True)
class _Ready:
    """Paths checked and turned into what the kernels read."""

    throws: Throws
    start: Start
    contact: Contact
    maps: Ints
    bed: BedStack

    def ride(self, *, keep: bool = False) -> tuple[dict[str, Floats], Stations]:
        """Run them, in several threads where there are many: their marks (n,), and their stations where kept."""
        from arsenal.kernels import batch as kernel  # noqa: PLC0415 - the compiler; who asks for no path need not load it

        n = self.maps.size
        out = np.empty((n, len(MARKS)))
        shape = self.bed.steps + 1, n if keep else 0
        kept = Stations(np.empty(shape), np.empty(shape), np.empty(shape))
        rest = (
            self.bed.film, self.maps, self.start, self.contact, load_share_series(), GRAVITY_MPS2, LANE_LENGTH_M,
            LANE_WIDTH_M, FLAT_BOARDS * BOARD_M, self.bed.oil_end_m, out, kept,
        )  # fmt: skip
        parts = max(1, min(os.cpu_count() or 1, n // WORTH_A_THREAD))
        if parts == 1:
            kernel.ride(0, n, *rest)
        else:
            edges = [n * i // parts for i in range(parts + 1)]
            with ThreadPoolExecutor(parts) as threads:
                for part in [threads.submit(kernel.ride, a, b, *rest) for a, b in pairwise(edges)]:
                    part.result()
        return dict(zip(MARKS, out.T, strict=True)), kept


def _ready(bed: BedStack, t: Throws, grips: Grip, maps: Ints | None) -> _Ready:
    _check(t)
    grips.check()
    n = max(t.speed_mps.size, grips.size, 1 if maps is None else maps.size)
    if bed.size > 1 and maps is None:
        n = max(n, bed.size)
    try:
        t = Throws(*(np.broadcast_to(getattr(t, name), n) for name in Throws.__slots__))
        index = np.arange(n) % bed.size if maps is None else np.array(np.broadcast_to(maps, n), np.intp, order="C")
        contact = _contact(t, grips, bed.dry_factor[index])
    except ValueError:
        raise KnownError(f"{t.speed_mps.size} throws and {grips.size} grips do not pair up.") from None
    return _Ready(t, _start(t), contact, index, bed)


def batch(
    bed: BedStack,
    bodies: Body | Sequence[Body] | None,
    releases: Release | Sequence[Release] | Throws,
    grips: Grip,
    *,
    maps: Ints | None = None,
) -> Runs:
    """All paths in one call: single bodies, releases and grips go for all the others.

    Path i runs on map `maps[i]`, by default i modulo the number of maps, so that draws of several balls laid one ball
    after the other share their lanes. `releases` may be Throws (then `bodies` is None). Raises KnownError.
    """
    if isinstance(releases, Throws):
        thrown = releases
    else:
        if bodies is None:
            raise KnownError("Paths need a body for each release.")
        thrown = throws(bodies, releases)
    ready = _ready(bed, thrown, grips, maps)
    return _runs(ready, ready.ride()[0])


def _runs(m: _Ready, marks: dict[str, Floats]) -> Runs:
    start, t = m.start, m.throws
    rolls, landing, quarter = marks["rolls"], marks["landing"], marks["quarter"]
    oil_end = m.bed.oil_end_m[m.maps]
    spent_early = (rolls < oil_end + ROLLS_OUT_AFTER_OIL_M) | (marks["left_at_oil_end"] < ROLLS_OUT_SKID_LEFT)
    return Runs(
        landing_m=landing,
        first_read_m=np.where(quarter <= LANE_LENGTH_M, quarter, np.nan),
        half_m=marks["half"], three_quarter_m=marks["three_quarter"], rolls_m=rolls,
        shape_m=marks["three_quarter"] - quarter,
        breakpoint_m=marks["turn"], breakpoint_lateral_m=marks["turn_y"], breakpoint_flat=marks["flat"] > FLAT_M,
        entry_rad=marks["entry"],
        hook_m=landing - (start.y + LANE_LENGTH_M * np.tan(t.launch_rad)),
        skid_left_at_oil_end=marks["left_at_oil_end"], skid_left_at_pins=marks["left_at_pins"],
        speed_at_pins_mps=marks["speed_at_pins"],
        rolls_out=spent_early & (oil_end > 0.0),
        left_lane_m=marks["left_lane"], lowest_m=marks["lowest"], highest_m=marks["highest"],
    )  # fmt: skip


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def trace(bed: BedStack, body: Body, release: Release, grip: Grip) -> Trace:
    """One path, about 240 points to draw, with its marks. Raises KnownError."""
    ready = _ready(bed, throws(body, release), grip.take(slice(0, 1)), np.zeros(1, np.intp))
    marks, stations = ready.ride(keep=True)
    runs = _runs(ready, marks)
    x = np.linspace(0.0, LANE_LENGTH_M, DRAWN_POINTS)
    rolls = float(runs.rolls_m[0])
    roll_at = LANE_LENGTH_M if math.isnan(rolls) else min(rolls, LANE_LENGTH_M)
    lateral, spent = drawn(stations, ready.start, LANE_LENGTH_M / bed.steps, x, roll_at)
    vx, vy, ux, uy, budget = (float(a[0]) for a in ready.start[1:])
    left = 1.0 - spent / budget if budget > 0.0 else np.zeros(x.size)
    r = {name: float(getattr(runs, name)[0]) for name in ("landing_m", "entry_rad", "hook_m", "skid_left_at_oil_end")}
    return Trace(
        distance_m=x, lateral_m=lateral, speed_mps=np.hypot(vx - ux * spent, vy - uy * spent), skid_left=left,
        first_read_m=_or_none(runs.first_read_m[0]), breakpoint_m=_or_none(runs.breakpoint_m[0]),
        breakpoint_lateral_m=_or_none(runs.breakpoint_lateral_m[0]), rolls_m=_or_none(runs.rolls_m[0]),
        shape_m=_or_none(runs.shape_m[0]), rolls_out=bool(runs.rolls_out[0]),
        left_lane_m=_or_none(runs.left_lane_m[0]), breakpoint_flat=bool(runs.breakpoint_flat[0]), **r,
    )  # fmt: skip


def friction_along(
    bed: BedStack, bodies: Body | Sequence[Body], releases: Release | Sequence[Release], grips: Grip
) -> Floats:
    """μ at the end of each step under each path as if it slid all the way, (steps + 1, n)."""
    return _ready(bed, throws(bodies, releases), grips, None).ride(keep=True)[1].pull / GRAVITY_MPS2
