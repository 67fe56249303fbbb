"""A ball's own line looked for between the boards too, for what is compared by its room.

On whole boards of laydown the most room jumps by some six shots in a hundred as a finish changes a little: the line
where the landing stands still over the launch, and with it the room, lies between two boards. Quarters, and eighths
about the best of them, make the curve of room over roughness smooth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from arsenal.motion import Grip, at_arrows, batch, best_line, trace
from arsenal.motion import landings as lands
from arsenal.motion.beds import BedStack
from arsenal.motion.landings import Table
from arsenal.motion.records import (
    LEAST_M,
    MOST_M,
    POCKET_M,
    WINDOW_HIGH_M,
    WINDOW_LOW_M,
    Floats,
    NoLine,
    Trace,
)
from arsenal.trade.ball import Body
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import BOARD_M, DEGREE_RAD

COARSE_M, FINE_M = 0.25 * BOARD_M, 0.125 * BOARD_M
ABOUT = 4
"""So many of the best lines on quarter boards are looked about."""
NEAR_BEST = 0.95
"""Of lines with nearly the most room the one with the steepest entry is taken, as for any best line."""
MISSES = np.linspace(-3.0, 3.0, 61)
POLISH_RAD = 0.25 * DEGREE_RAD
HALVINGS = 12


@dataclass(frozen=True, slots=True)
class OwnLine:
    """The line, its path, and how many boards of misses at the arrows on either side of it still end in the pocket
    window, within three boards. On a worn film a miss may fall out of it and a larger one back in: both count for what
    they are. `line` None: no line reaches, and `why` says so.
    """

    line: Line | None
    trace: Trace | None = None
    in_boards: float = 0.0
    out_boards: float = 0.0
    why: str = ""


@dataclass(frozen=True, slots=True)
class _Lines:
    laydown_m: Floats
    launch_rad: Floats
    rooms: Floats


def most_room(bed: BedStack, body: Body, style: Style, grips: Sequence[Grip]) -> list[float]:
    """The most room of each grip on any line of the zone, 0 where none reaches the pocket."""
    found = (_candidates(t, style) for t in lands.tables(bed, body, style, grips))
    return [float(lines.rooms.max(initial=0.0)) for lines in found]


def own_line(bed: BedStack, body: Body, style: Style, grip: Grip, priors: Priors) -> OwnLine:
    """The line with the most room; within 5 % of it the one with the steepest entry, landing on the pocket."""
    table = lands.table(bed, body, style, grip)
    lines = _candidates(table, style)
    if not lines.rooms.size:
        none = best_line(bed, body, style, grip, priors)
        return OwnLine(None, why=none.sentence if isinstance(none, NoLine) else "No line reaches the pocket.")
    entry = lands.smooth(table.nodes, table.entry_rad, lines.laydown_m, lines.launch_rad)
    near = np.flatnonzero(lines.rooms >= NEAR_BEST * lines.rooms.max())
    k = int(near[np.argmax(entry[near])])
    line = _on_pocket(bed, body, style, grip, Line(float(lines.laydown_m[k]), float(lines.launch_rad[k])))
    inside, outside = _misses(bed, body, style, grip, line)
    return OwnLine(line, trace(bed, body, style.on(line), grip), inside, outside)


def _candidates(table: Table, style: Style) -> _Lines:
    zone = style.zone
    quarters = np.arange(zone.lateral_low_m, zone.lateral_high_m + 1e-9, COARSE_M)
    coarse = _on(table, style, quarters)
    if not coarse.rooms.size:
        return coarse
    best = np.unique(coarse.laydown_m[np.argsort(-coarse.rooms)[:ABOUT]])
    fine = np.unique(np.round((best[:, None] + np.array([-FINE_M, FINE_M])[None, :]).ravel(), 9))
    more = _on(table, style, fine[(fine >= zone.lateral_low_m) & (fine <= zone.lateral_high_m)])
    both = ((getattr(coarse, n), getattr(more, n)) for n in ("laydown_m", "launch_rad", "rooms"))
    return _Lines(*(np.concatenate(pair) for pair in both))


def _on(table: Table, style: Style, laydown_m: Floats) -> _Lines:
    """Lines on these laydowns, evenly apart or not, that land on the pocket and stay on the lane."""
    laydown, launch = _roots(table, style, laydown_m)
    low = lands.smooth(table.nodes, table.lowest_m, laydown, launch)
    high = lands.smooth(table.nodes, table.highest_m, laydown, launch)
    stays = (low >= LEAST_M) & (high <= MOST_M)
    laydown, launch = laydown[stays], launch[stays]
    return _Lines(
        laydown, launch, lands.room(table, style.scatter, laydown, launch, WINDOW_LOW_M, WINDOW_HIGH_M)
    )  # fmt: skip


def _roots(table: Table, style: Style, laydown_m: Floats) -> tuple[Floats, Floats]:
    """(laydown, launch) of every line on these laydowns that lands on the pocket; a laydown may have several."""
    nodes, zone = table.nodes, style.zone
    gap = lands.smooth(nodes, table.landing_m, laydown_m[:, None], nodes.launch_rad[None, :]) - POCKET_M
    i, j = np.nonzero((gap[:, :-1] <= 0.0) != (gap[:, 1:] <= 0.0))
    laydown, rising = laydown_m[i], gap[i, j + 1] > gap[i, j]
    low, high = nodes.launch_rad[j].copy(), nodes.launch_rad[j + 1].copy()
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        over = (lands.smooth(nodes, table.landing_m, laydown, middle) > POCKET_M) == rising
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    launch = 0.5 * (low + high)
    here = (launch >= zone.launch_low_rad) & (launch <= zone.launch_high_rad)
    return laydown[here], launch[here]


def _landing(bed: BedStack, body: Body, style: Style, grip: Grip, laydown_m: float, launch_rad: Floats) -> Floats:
    throws = lands.thrown(style, body, np.full(launch_rad.size, laydown_m), launch_rad)
    return batch(bed, None, throws, grip, maps=np.zeros(1, np.intp)).landing_m


def _on_pocket(bed: BedStack, body: Body, style: Style, grip: Grip, line: Line) -> Line:
    """The launch nearest to the table's that truly lands on the pocket; as it was where none does."""
    tried = line.launch_rad + np.linspace(-POLISH_RAD, POLISH_RAD, 129)
    gap = _landing(bed, body, style, grip, line.lateral_m, tried) - POCKET_M
    (crosses,) = np.nonzero((gap[:-1] <= 0.0) != (gap[1:] <= 0.0))
    if not crosses.size:
        return line
    at = tried[crosses] - gap[crosses] * np.diff(tried)[crosses] / (gap[crosses + 1] - gap[crosses])
    return Line(line.lateral_m, float(at[np.argmin(np.abs(at - line.launch_rad))]))


def _misses(bed: BedStack, body: Body, style: Style, grip: Grip, line: Line) -> tuple[float, float]:
    launch = np.arctan(math.tan(line.launch_rad) + MISSES * BOARD_M / at_arrows(line)[0])
    landing = _landing(bed, body, style, grip, line.lateral_m, launch)
    good, step = (landing >= WINDOW_LOW_M) & (landing <= WINDOW_HIGH_M), float(MISSES[1] - MISSES[0])
    return step * float(good[MISSES > 0.0].sum()), step * float(good[MISSES < 0.0].sum())
