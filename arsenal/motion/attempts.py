"""Shots tried side by side: a ball, a release and a line each, all in one batch; where they end and their room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from arsenal.motion import landings
from arsenal.motion.batches import Runs, Throws, batch
from arsenal.motion.beds import BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.records import WINDOW_HIGH_M, WINDOW_LOW_M, Floats
from arsenal.trade.ball import Body
from arsenal.trade.release import Line, Style


@dataclass(frozen=True, slots=True)
class Drawn:
    """One ball in n draws of what is not known of it: grips, radius and RG (n,)."""

    grip: Grip
    radius_m: Floats
    rg_m: Floats


@dataclass(frozen=True, slots=True)
class Attempt:
    """One shot to try: `grip` at the means, one path; `drawn` for its doubt, where that is asked for."""

    body: Body
    style: Style
    grip: Grip
    line: Line
    drawn: Drawn | None = None

    def on(self, line: Line) -> Attempt:
        """The same ball and release on another line."""
        return replace(self, line=line)


@dataclass(frozen=True, slots=True)
class Ends:
    """Where k attempts end at the means, arrays (k,)."""

    landing_m: Floats
    room: Floats
    left_lane: npt.NDArray[np.bool_]


def lands(bed: BedStack, tries: Sequence[Attempt]) -> Runs:
    """Every attempt once, at the means, on the first map of `bed`."""
    parts = [_once(t) for t in tries]
    return batch(bed, None, landings.joined(parts), Grip.join([t.grip for t in tries]), maps=np.zeros(1, np.intp))


def _once(t: Attempt) -> Throws:
    return landings.thrown(t.style, t.body, np.array([t.line.lateral_m]), np.array([t.line.launch_rad]))


def ends(bed: BedStack, tries: Sequence[Attempt]) -> Ends:
    """Landing, room on 17–18 and whether it leaves the lane, all attempts in one batch.

    Each has a small landing table about its line, of the same steps as a best line's.
    """
    plans = [landings.about(t.style, t.body, t.line) for t in tries]
    parts = [landings.joined([_once(t), p.throws]) for t, p in zip(tries, plans, strict=True)]
    grips = [t.grip.repeat(p.speed_mps.size) for t, p in zip(tries, parts, strict=True)]
    runs = batch(bed, None, landings.joined(parts), Grip.join(grips), maps=np.zeros(1, np.intp))
    at = np.concatenate([[0], np.cumsum([p.speed_mps.size for p in parts])])[:-1].astype(np.intp)
    rooms = [_room(t, p.read(runs, int(k) + 1)) for t, p, k in zip(tries, plans, at, strict=True)]
    return Ends(runs.landing_m[at], np.array(rooms), ~np.isnan(runs.left_lane_m[at]))


def _room(t: Attempt, table: landings.Table) -> float:
    line = np.array([t.line.lateral_m]), np.array([t.line.launch_rad])
    return float(landings.room(table, t.style.scatter, *line, WINDOW_LOW_M, WINDOW_HIGH_M)[0])


def drawn_landings(stack: BedStack, tries: Sequence[Attempt]) -> Floats:
    """Landings (k, n): attempt by draw; draw i of every attempt meets map i of the stack at the mean release."""
    parts, grips, n = [], [], stack.size
    for t in tries:
        if t.drawn is None:
            raise ValueError("an attempt without draws has no doubt to compute")
        one = np.full(n, t.line.lateral_m), np.full(n, t.line.launch_rad)
        parts.append(replace(landings.thrown(t.style, t.body, *one), radius_m=t.drawn.radius_m, rg_m=t.drawn.rg_m))
        grips.append(t.drawn.grip)
    maps = np.tile(np.arange(n), len(tries))
    return batch(stack, None, landings.joined(parts), Grip.join(grips), maps=maps).landing_m.reshape(len(tries), n)


def spread(stack: BedStack, tries: Sequence[Attempt], started_m: Floats | float) -> Floats:
    """Doubt (k,) of where each attempt ends: where the first ended (`started_m`), and what changed from it in paired
    draws, so that what both have in common cancels.
    """
    landing = drawn_landings(stack, tries)
    return np.asarray((started_m + landing - landing[0]).std(axis=1))
