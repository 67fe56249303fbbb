"""A ball's own line at a stage of an event, and the misses that it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from arsenal.motion import Grip, at_arrows, batch, best_line, trace
from arsenal.motion import landings as lands
from arsenal.motion.beds import BedStack
from arsenal.motion.lines import candidates, on_pocket
from arsenal.motion.records import WINDOW_HIGH_M, WINDOW_LOW_M, NoLine, Trace
from arsenal.trade.ball import Body
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import BOARD_M

MISSES = np.linspace(-3.0, 3.0, 61)


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


def own_line(bed: BedStack, body: Body, style: Style, grip: Grip, priors: Priors) -> OwnLine:
    """The line with the most room; within 5 % of it the one with the steepest entry, landing on the pocket."""
    (found,) = candidates(bed, body, style, [grip.take(slice(0, 1))])
    if not found.rooms.size:
        none = best_line(bed, body, style, grip, priors)
        return OwnLine(None, why=none.sentence if isinstance(none, NoLine) else "No line reaches the pocket.")
    line = on_pocket(bed, body, style, grip, found.line(found.chosen()))
    inside, outside = _misses(bed, body, style, grip, line)
    return OwnLine(line, trace(bed, body, style.on(line), grip), inside, outside)


def _misses(bed: BedStack, body: Body, style: Style, grip: Grip, line: Line) -> tuple[float, float]:
    launch = np.arctan(math.tan(line.launch_rad) + MISSES * BOARD_M / at_arrows(line)[0])
    throws = lands.thrown(style, body, np.full(launch.size, line.lateral_m), launch)
    landing = batch(bed, None, throws, grip, maps=np.zeros(1, np.intp)).landing_m
    good, step = (landing >= WINDOW_LOW_M) & (landing <= WINDOW_HIGH_M), float(MISSES[1] - MISSES[0])
    return step * float(good[MISSES > 0.0].sum()), step * float(good[MISSES < 0.0].sum())
