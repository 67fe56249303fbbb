"""A ball's best line: where this release has the most room to miss and still land in the pocket window."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from arsenal.motion import landings
from arsenal.motion.batches import batch, trace
from arsenal.motion.beds import BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.opening import would_do
from arsenal.motion.records import (
    LEAST_M,
    MOST_M,
    POCKET_M,
    WINDOW_HIGH_M,
    WINDOW_LOW_M,
    BestLine,
    Floats,
    Miss,
    NoLine,
)
from arsenal.trade.ball import Body
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, MPH_MPS, lateral_m_to_board

NEAR_BEST = 0.95
COARSE_M, FINE_M = 0.25 * BOARD_M, 0.125 * BOARD_M
ABOUT = 4
"""So many of the best lines on quarter boards are looked about."""
MIDDLE_ARROW_M, ARROW_BOARD_M = 15.75 * FOOT_M, 3.25 * FOOT_M / 15.0
"""The arrow on board 20 lies about 15¾ ft out and those on 5 and 35 about 12½ ft (from memory)."""
WORDS = ((19.0, "through the nose"), (18.0, "high"), (17.0, "flush"), (15.0, "light"))
"""Landing boards from which a hit is called so (common practice, no source); under the last: washes out."""


def word_of(landing_m: float) -> str:
    """What a bowler calls a hit with the ball's centre at `landing_m`: one of five words, from the nose outward."""
    board = lateral_m_to_board(landing_m)
    for least, word in WORDS:
        if board > least + 1e-9 or (word == "flush" and board >= least - 1e-9):
            return word
    return "washes out"


def arrow_distance_m(lateral_m: float) -> float:
    """How far out the row of arrows lies at this lateral place: a V with its tip in the middle."""
    return MIDDLE_ARROW_M - ARROW_BOARD_M * abs(lateral_m_to_board(lateral_m) - 20.0)


def at_arrows(line: Line) -> tuple[float, float]:
    """(distance, lateral), metres, where the straight launch line crosses the row of arrows."""
    x = MIDDLE_ARROW_M
    for _ in range(6):
        x = arrow_distance_m(line.lateral_m + x * math.tan(line.launch_rad))
    return x, line.lateral_m + x * math.tan(line.launch_rad)


def best_line(bed: BedStack, body: Body, style: Style, grip: Grip, priors: Priors) -> BestLine | NoLine:
    """The line of the bowler's zone with the most room; within 5 % of it, the one with the steepest entry.

    Candidates land on board 17½ and stay on boards 2–38. `bed` is one map (the first of a stack), `grip` one
    grip. Where there is none, what would open one is looked for; a change of finish goes by `priors`.
    """
    return best_lines(bed, body, style, [grip.take(slice(0, 1))], priors)[0]


def line_of(bed: BedStack, body: Body, style: Style, grip: Grip) -> Line | None:
    """The line that `best_line` finds, without what is told of it; None where none reaches."""
    (found,) = candidates(bed, body, style, [grip.take(slice(0, 1))])
    return on_pocket(bed, body, style, grip, found.line(found.chosen())) if found.rooms.size else None


def best_lines(
    bed: BedStack, body: Body, style: Style, grips: Sequence[Grip], priors: Priors
) -> list[BestLine | NoLine]:
    """`best_line` of one body with each of several grips, their tables in one batch: a ball with many pads."""
    found = candidates(bed, body, style, grips)
    return [_best_of(bed, body, style, g, priors, c) for g, c in zip(grips, found, strict=True)]


def most_room(bed: BedStack, body: Body, style: Style, grips: Sequence[Grip]) -> list[float]:
    """The room on the best line of each grip, 0 where none reaches the pocket; nothing else is looked for."""
    return [float(lines.rooms.max(initial=0.0)) for lines in candidates(bed, body, style, grips)]


@dataclass(frozen=True, slots=True)
class Candidates:
    """Lines (n,) that land on the pocket and stay on the lane, with room and entry angle; whether any landed there at
    all.
    """

    laydown_m: Floats
    launch_rad: Floats
    rooms: Floats
    entry_rad: Floats
    reached: bool

    def chosen(self) -> int:
        """Which one is taken: of those with nearly the most room the one with the steepest entry."""
        near = np.flatnonzero(self.rooms >= NEAR_BEST * self.rooms.max())
        return int(near[np.argmax(self.entry_rad[near])])

    def line(self, index: int) -> Line:
        """One of them."""
        return Line(float(self.laydown_m[index]), float(self.launch_rad[index]))


def candidates(bed: BedStack, body: Body, style: Style, grips: Sequence[Grip]) -> list[Candidates]:
    """The lines of each grip, on quarter boards of laydown and on eighths about the best of them.

    On whole boards the most room jumps by some six shots in a hundred as a finish changes a little: the line where the
    landing stands still over the launch, and with it the room, lies between two boards. Rooms on worn films are as near
    to those of four times as many nodes on all stations as rooms of these nodes on all stations are.
    """
    found = landings.bands(bed.coarser(), body, style, grips, POCKET_M)
    return [_searched(table, style) for table in found]


def _searched(table: landings.Table, style: Style) -> Candidates:
    zone = style.zone
    coarse = _on(table, style, np.arange(zone.lateral_low_m, zone.lateral_high_m + 1e-9, COARSE_M))
    if not coarse.rooms.size:
        return coarse
    best = np.unique(coarse.laydown_m[np.argsort(-coarse.rooms)[:ABOUT]])
    fine = np.unique(np.round((best[:, None] + np.array([-FINE_M, FINE_M])[None, :]).ravel(), 9))
    more = _on(table, style, fine[(fine >= zone.lateral_low_m) & (fine <= zone.lateral_high_m)])
    laydown, launch, rooms, entry = (
        np.concatenate([getattr(coarse, name), getattr(more, name)])
        for name in ("laydown_m", "launch_rad", "rooms", "entry_rad")
    )
    return Candidates(laydown, launch, rooms, entry, reached=True)


def _on(table: landings.Table, style: Style, laydown_m: Floats) -> Candidates:
    """Lines on these laydowns, evenly apart or not."""
    nodes = table.nodes
    laydown, launch = landings.on_laydowns(nodes, table.landing_m, style.zone, POCKET_M, laydown_m)
    reached = bool(laydown.size)
    low, high, entry = (
        landings.smooth(nodes, c, laydown, launch) for c in (table.lowest_m, table.highest_m, table.entry_rad)
    )
    rooms = landings.room(table, style.scatter, laydown, launch, WINDOW_LOW_M, WINDOW_HIGH_M)
    stays = (low >= LEAST_M) & (high <= MOST_M) & ~np.isnan(rooms)
    return Candidates(laydown[stays], launch[stays], rooms[stays], entry[stays], reached)


def _best_of(
    bed: BedStack, body: Body, style: Style, grip: Grip, priors: Priors, found: Candidates
) -> BestLine | NoLine:
    if not found.rooms.size:
        whole = landings.table(bed, body, style, grip)
        return _no_line(bed, body, style, grip, priors, whole, reached=found.reached)
    chosen = found.chosen()
    line = on_pocket(bed, body, style, grip, found.line(chosen))
    best = _described(bed, body, style, grip, line, float(found.rooms[chosen]))
    return replace(best, entry_most_rad=max(float(found.entry_rad.max()), best.trace.entry_rad))


POLISH_RAD = 0.25 * DEGREE_RAD
"""How far a line from the table may be turned to land on the pocket: a film worn track by track is no smooth table."""


def on_pocket(bed: BedStack, body: Body, style: Style, grip: Grip, line: Line) -> Line:
    """The same laydown with the launch nearest to the table's that truly lands on 17½; as it was where none does."""
    launch, reach = line.launch_rad, POLISH_RAD
    for _ in range(3):
        tried = launch + np.linspace(-reach, reach, 33)
        throws = landings.thrown(style, body, np.full(tried.size, line.lateral_m), tried)
        gap = batch(bed, None, throws, grip, maps=np.zeros(1, np.intp)).landing_m - POCKET_M
        (crosses,) = np.nonzero((gap[:-1] <= 0.0) != (gap[1:] <= 0.0))
        if not crosses.size:
            break
        at = tried[crosses] - gap[crosses] * np.diff(tried)[crosses] / (gap[crosses + 1] - gap[crosses])
        launch = float(at[np.argmin(np.abs(at - launch))])
        reach /= 16.0
    return Line(line.lateral_m, launch)


def _described(bed: BedStack, body: Body, style: Style, grip: Grip, line: Line, room: float) -> BestLine:
    x, lateral = at_arrows(line)
    angle, parallel, speed = _all_misses(bed, body, style, grip, line, x)
    return BestLine(
        line=line, room=room, trace=trace(bed, body, style.on(line), grip), arrow_board=lateral_m_to_board(lateral),
        room_in_boards=angle.more, room_out_boards=angle.less, misses=angle.seven, speed_misses=speed.seven,
        parallel_in_boards=parallel.more, parallel_out_boards=parallel.less, parallel_misses=parallel.seven,
        speed_slower_mps=speed.less * MPH_MPS, speed_faster_mps=speed.more * MPH_MPS,
    )  # fmt: skip


MISSES = np.linspace(-3.0, 3.0, 61)
SPEED_MISSES_MPH = 0.5 * MISSES
SHOWN = slice(None, None, 10)


@dataclass(frozen=True, slots=True)
class _Missed:
    """How far a miss may go either way and still land in the window, and the seven shown."""

    less: float
    more: float
    seven: tuple[Miss, ...]


def _all_misses(
    bed: BedStack, body: Body, style: Style, grip: Grip, line: Line, arrows_m: float
) -> tuple[_Missed, _Missed, _Missed]:
    """Misses by angle (boards at the arrows, pivot at the laydown), by parallel shift, and by speed; one batch."""
    same, n = np.zeros(MISSES.size), MISSES.size
    launch = np.arctan(math.tan(line.launch_rad) + np.concatenate([MISSES, same, same]) * BOARD_M / arrows_m)
    laydown = line.lateral_m + np.concatenate([same, MISSES, same]) * BOARD_M
    throws = landings.thrown(style, body, laydown, launch)
    faster = np.concatenate([same, same, SPEED_MISSES_MPH]) * MPH_MPS
    throws = landings.changed(throws, speed_mps=np.maximum(throws.speed_mps + faster, SLOWEST_MPS))
    runs = batch(bed, None, throws, grip, maps=np.zeros(1, np.intp))
    by_angle, by_shift, by_speed = (
        _missed(by, runs.landing_m[k : k + n], runs.left_lane_m[k : k + n])
        for by, k in ((MISSES, 0), (MISSES, n), (SPEED_MISSES_MPH, 2 * n))
    )
    return by_angle, by_shift, by_speed


def _missed(by: Floats, landing_m: Floats, left_m: Floats) -> _Missed:
    middle = by.size // 2
    return _Missed(
        _reach(-by[middle::-1], landing_m[middle::-1]), _reach(by[middle:], landing_m[middle:]),
        tuple(_miss(float(b), m, g) for b, m, g in zip(by[SHOWN], landing_m[SHOWN], left_m[SHOWN], strict=True)),
    )  # fmt: skip


def _miss(by: float, landing_m: float, left_m: float) -> Miss:
    return Miss(round(by, 6), float(landing_m), word_of(float(landing_m)), not math.isnan(left_m))


def _reach(by: Floats, landing_m: Floats) -> float:
    """How far a miss may go before it first leaves the window, linear between the points looked at."""
    over = np.maximum(landing_m - WINDOW_HIGH_M, WINDOW_LOW_M - landing_m)
    out = np.flatnonzero(over > 0.0)
    if not out.size:
        return float(by[-1])
    k = int(out[0])
    if k == 0:
        return 0.0
    return float(by[k - 1] + (by[k] - by[k - 1]) * over[k - 1] / (over[k - 1] - over[k]))


SLOWEST_MPS = 1.0


def _no_line(
    bed: BedStack, body: Body, style: Style, grip: Grip, priors: Priors, t: landings.Table, *, reached: bool
) -> NoLine:  # fmt: skip
    stays = (t.lowest_m >= LEAST_M) & (t.highest_m <= MOST_M)
    gap = np.where(stays, np.abs(t.landing_m - POCKET_M), np.inf)
    i, j = np.unravel_index(int(np.argmin(gap)), gap.shape)
    closest = Line(float(t.nodes.laydown_m[i]), float(t.nodes.launch_rad[j])) if np.isfinite(gap[i, j]) else None
    by = gap[i, j] / BOARD_M
    boards = "less than a board" if by < 0.75 else f"{by:.0f} board{'' if by < 1.5 else 's'}"
    if reached or closest is None:
        why = "Every line within reach that ends in the pocket leaves boards 2 to 38 on its way."
    elif t.landing_m[i, j] < POCKET_M:
        why = f"No line within reach ends in the pocket: the nearest ends {boards} light."
    else:
        why = f"No line within reach ends in the pocket: the nearest ends {boards} high."
    return NoLine(f"{why} {would_do(bed, body, style, grip, priors)}", closest)
