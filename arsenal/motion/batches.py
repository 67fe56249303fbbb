"""Many paths in one call, and one path to draw: releases and grips on a bed, read as the marks of a reaction."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from arsenal.kernels import path as paths
from arsenal.kernels import sweep
from arsenal.kernels.marks import Reader
from arsenal.motion.beds import INTERVALS, BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.records import Floats, Trace
from arsenal.trade.ball import Body
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.release import Release
from arsenal.trade.units import BOARD_M, FOOT_M, GRAVITY_MPS2, LANE_LENGTH_M, LANE_WIDTH_M

ROLLS_OUT_AFTER_OIL_M = 5.0 * FOOT_M
ROLLS_OUT_SKID_LEFT = 0.30
FLAT_BOARDS = 0.25
FLAT_M = 10.0 * FOOT_M
DRAWN_POINTS = 241
LONGEST_TURN_M = 3.0
AT_ONCE = 768


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
    for name, values in (
        ("speed", t.speed_mps), ("rev rate", t.rev_rate_radps), ("axis rotation", t.axis_rotation_rad),
        ("axis tilt", t.axis_tilt_rad), ("launch", t.launch_rad), ("laydown", t.lateral_m),
        ("radius", t.radius_m), ("RG", t.rg_m),
    ):  # fmt: skip
        bad = ~np.isfinite(values)
        if bad.any():
            raise OutOfRange(name, values[bad][0], "a finite number")
    if np.any(t.rg_m >= t.radius_m) or np.any(t.rg_m <= 0.0):
        raise OutOfRange("RG", "over the ball's radius or nothing", "above 0 and smaller than the radius")


def _start(t: Throws) -> sweep.Start:
    slip = paths.slip_of(
        t.speed_mps, t.launch_rad, t.rev_rate_radps, t.axis_rotation_rad, t.axis_tilt_rad, t.radius_m, t.rg_m
    )
    end_vx, _ = paths.rolling_velocity(slip)
    if np.any(np.minimum(slip.vx, end_vx) < 0.05 * np.abs(t.speed_mps)) or np.any(t.speed_mps <= 0.0):
        raise KnownError(
            "A ball with so much backspin or so little speed stops or comes back before it rolls.",
            next_step="Check speed, revs and rotation; a single such path can be followed with roll().",
        )
    return sweep.Start(np.array(t.lateral_m), slip.vx, slip.vy, slip.ux, slip.uy, slip.budget)


def _contact(t: Throws, grips: Grip, dry_factor: Floats) -> sweep.Contact:
    n = t.speed_mps.size
    turn = 2.0 * math.pi * t.speed_mps / np.maximum(np.abs(t.rev_rate_radps), 1.0)
    turn = np.clip(turn, 2.0 * math.pi * t.radius_m, LONGEST_TURN_M)
    dry = np.broadcast_to(grips.mu_dry * dry_factor, n)
    oil = np.minimum(np.broadcast_to(grips.mu_oil, n), dry)
    wide = (grips.sigma_m, grips.film_scale, grips.film_on_ball_m, grips.pick_up)
    sigma, scale, on_ball, gain = (np.broadcast_to(c, n) for c in wide)
    return sweep.Contact(dry, oil, sigma, scale, on_ball, gain, grips.pick_up_revs * turn)


@dataclass(frozen=True, slots=True)
class _Ready:
    """Paths checked and turned into what the kernels read."""

    throws: Throws
    start: sweep.Start
    contact: sweep.Contact
    maps: sweep.Ints
    bed: BedStack

    def cut(self, here: slice) -> _Ready:
        """Some of the paths."""
        return _Ready(
            Throws(*(getattr(self.throws, name)[here] for name in Throws.__slots__)),
            sweep.Start(*(a[here] for a in self.start)),
            sweep.Contact(*(a[here] for a in self.contact)),
            self.maps[here],
            self.bed,
        )

    def march(self) -> Reader:
        """Run them."""
        windows = (self.bed.film.along.shape[1] - 1) // INTERVALS
        stations = sweep.march(
            self.bed.film, self.maps, self.start, self.contact, GRAVITY_MPS2, LANE_LENGTH_M, INTERVALS, windows
        )
        return Reader(stations, self.start, LANE_LENGTH_M / (INTERVALS * windows))


def _ready(bed: BedStack, t: Throws, grips: Grip, maps: sweep.Ints | None) -> _Ready:
    _check(t)
    grips.check()
    n = max(t.speed_mps.size, grips.size, 1 if maps is None else maps.size)
    if bed.size > 1 and maps is None:
        n = max(n, bed.size)
    try:
        t = Throws(*(np.broadcast_to(getattr(t, name), n) for name in Throws.__slots__))
        index = np.arange(n) % bed.size if maps is None else np.broadcast_to(maps, n)
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
    maps: sweep.Ints | None = None,
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
    n = ready.maps.size
    if n <= AT_ONCE:
        return _runs(ready, ready.march())
    parts = []
    for first in range(0, n, AT_ONCE):  # marks are read while the stations are at hand: memory stays flat
        some = ready.cut(slice(first, first + AT_ONCE))
        parts.append(_runs(some, some.march()))
    return Runs(*(np.concatenate([getattr(p, name) for p in parts]) for name in Runs.__slots__))


def _runs(m: _Ready, read: Reader) -> Runs:
    start, t = m.start, m.throws
    budget = start.budget
    quarter, half, three, rolls = (read.where(share * budget) for share in (0.25, 0.5, 0.75, 1.0))
    rolls_here = np.where(np.isnan(rolls), LANE_LENGTH_M, np.minimum(rolls, LANE_LENGTH_M))
    y = read.cut(rolls_here)
    entry_s = np.minimum(read.at.s[-1], budget)
    vx, vy = read.vx_at(entry_s), start.vy - start.uy * entry_s
    landing = y[-1]
    turn, turn_y, flat = _breakpoint(read, y, budget)
    oil_end = m.bed.oil_end_m[m.maps]
    some = np.where(budget > 0.0, budget, 1.0)
    left_at_end = np.where(budget > 0.0, 1.0 - read.spent_at(oil_end) / some, 0.0)
    spent_early = (rolls < oil_end + ROLLS_OUT_AFTER_OIL_M) | (left_at_end < ROLLS_OUT_SKID_LEFT)
    return Runs(
        landing_m=landing,
        first_read_m=np.where(quarter <= LANE_LENGTH_M, quarter, np.nan),
        half_m=half, three_quarter_m=three, rolls_m=rolls, shape_m=three - quarter,
        breakpoint_m=turn, breakpoint_lateral_m=turn_y, breakpoint_flat=flat,
        entry_rad=np.arctan2(vy, vx),
        hook_m=landing - (t.lateral_m + LANE_LENGTH_M * np.tan(t.launch_rad)),
        skid_left_at_oil_end=left_at_end,
        skid_left_at_pins=np.where(budget > 0.0, 1.0 - entry_s / some, 0.0),
        speed_at_pins_mps=np.hypot(vx, vy),
        rolls_out=spent_early & (oil_end > 0.0),
        left_lane_m=read.leaves(y, LANE_WIDTH_M),
        lowest_m=np.fmin(y.min(axis=0), turn_y), highest_m=y.max(axis=0),
    )  # fmt: skip


def _breakpoint(read: Reader, y: Floats, budget: Floats) -> tuple[Floats, Floats, npt.NDArray[np.bool_]]:
    """Where the lateral velocity passes through zero: v_y = v₀y − û_y s, so it is a level of s like the others."""
    start = read.start
    turns = (start.vy < 0.0) & (start.uy < 0.0)
    level = np.where(turns, start.vy / np.where(turns, start.uy, 1.0), np.inf)
    x = read.where(np.where(level < budget, level, np.inf))
    x = np.where(x < LANE_LENGTH_M, x, np.nan)
    lateral = read.lateral(np.nan_to_num(x))
    near = (y < lateral + FLAT_BOARDS * BOARD_M).sum(axis=0) * read.h
    return x, np.where(np.isnan(x), np.nan, lateral), near > FLAT_M


def laterals(bed: BedStack, releases: Throws, grips: Grip) -> Floats:
    """Lateral place of many paths at the bed's stations, (stations, n), metres; straight on once a ball rolls."""
    ready = _ready(bed, releases, grips, None)
    read = ready.march()
    return read.cut(read.where(ready.start.budget))


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def trace(bed: BedStack, body: Body, release: Release, grip: Grip) -> Trace:
    """One path, about 240 points to draw, with its marks. Raises KnownError."""
    ready = _ready(bed, throws(body, release), grip.take(slice(0, 1)), np.zeros(1, np.intp))
    read = ready.march()
    runs = _runs(ready, read)
    x = np.linspace(0.0, LANE_LENGTH_M, DRAWN_POINTS)
    lateral, speed, skid_left = _drawn(read, x, float(runs.rolls_m[0]))
    r = {name: float(getattr(runs, name)[0]) for name in ("landing_m", "entry_rad", "hook_m", "skid_left_at_oil_end")}
    return Trace(
        distance_m=x, lateral_m=lateral, speed_mps=speed, skid_left=skid_left,
        first_read_m=_or_none(runs.first_read_m[0]), breakpoint_m=_or_none(runs.breakpoint_m[0]),
        breakpoint_lateral_m=_or_none(runs.breakpoint_lateral_m[0]), rolls_m=_or_none(runs.rolls_m[0]),
        shape_m=_or_none(runs.shape_m[0]), rolls_out=bool(runs.rolls_out[0]),
        left_lane_m=_or_none(runs.left_lane_m[0]), breakpoint_flat=bool(runs.breakpoint_flat[0]), **r,
    )  # fmt: skip


def _drawn(one: Reader, x: Floats, rolls: float) -> tuple[Floats, Floats, Floats]:
    """y, speed and skid left at the drawn points of the first path."""
    cut = slice(0, 1)
    copies = sweep.Start(*(np.repeat(a[cut], x.size) for a in one.start))
    stations = sweep.Stations(*(np.repeat(a[:, cut], x.size, axis=1) for a in one.at))
    read = Reader(stations, copies, one.h)
    roll_at = LANE_LENGTH_M if math.isnan(rolls) else min(rolls, LANE_LENGTH_M)
    sliding = np.minimum(x, roll_at)
    lateral = read.lateral(sliding) + (read.end_vy / read.end_vx) * (x - sliding)
    spent = read.spent_at(x)
    speed = np.hypot(read.vx_at(spent), copies.vy - copies.uy * spent)
    budget = copies.budget
    left = np.where(budget > 0.0, 1.0 - spent / np.where(budget > 0.0, budget, 1.0), 0.0)
    return lateral, speed, np.where(x >= roll_at, 0.0, left) if rolls <= LANE_LENGTH_M else left


def friction_along(
    bed: BedStack, bodies: Body | Sequence[Body], releases: Release | Sequence[Release], grips: Grip
) -> Floats:
    """μ at each station under each path as if it slid all the way, (stations, n); stations as the bed's."""
    return _ready(bed, throws(bodies, releases), grips, None).march().at.pull / GRAVITY_MPS2
