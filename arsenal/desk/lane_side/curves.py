"""What the plots draw: paths as boards and skid left over feet, thin enough to repaint fast, with their marks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from arsenal.acts import own_side
from arsenal.acts.views import LaneSide
from arsenal.motion.records import Floats, Trace
from arsenal.order.records import OrderRow, PadResult
from arsenal.trade.person import Person
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M, MPH_MPS

POINTS = 250
"""A path of more points costs more to stroke than it shows."""
WHAT_IF = -1
"""The series of the path with a pad on the ball."""
POCKET_HALF = 0.9
"""Boards the pocket’s mark reaches to either side."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something happens on a path: `kind` is read, breakpoint or rolls; feet and board."""

    kind: str
    feet: float
    board: float


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """One path. `series` 0 to 3 or WHAT_IF; arrays over `feet` from the foul line to the pins."""

    name: str
    series: int
    feet: Floats
    boards: Floats
    skid: Floats
    """Percent."""
    speed_mph: Floats
    marks: tuple[Mark, ...]
    first_read_ft: float | None
    spent_ft: float | None
    """Where three quarters of the skid are spent: first read and shape together."""
    shape_word: str = ""

    @property
    def ends(self) -> float:
        """Board at the pins."""
        return float(self.boards[-1])

    def at(self, feet: float) -> tuple[float, float, float]:
        """(board, percent of skid left, mph) at a distance."""
        return tuple(float(np.interp(feet, self.feet, a)) for a in (self.boards, self.skid, self.speed_mph))  # type: ignore[return-value]


def own_boards(person: Person, lateral_m: Floats) -> Floats:
    """Boards from the bowler's own gutter for many places at once."""
    counted = lateral_m / BOARD_M + 0.5
    return 40.0 - counted if person.back_up else counted


def curve(name: str, series: int, trace: Trace, person: Person, shape_word: str = "") -> Curve:
    """A traced path for drawing."""
    keep = trace.distance_m <= LANE_LENGTH_M + 1e-6
    every = max(1, int(np.ceil(np.count_nonzero(keep) / POINTS)))
    at = np.flatnonzero(keep)[::every]
    at = np.append(at, np.flatnonzero(keep)[-1]) if at[-1] != np.flatnonzero(keep)[-1] else at
    read, shape = trace.first_read_m, trace.shape_m
    return Curve(
        name, series, trace.distance_m[at] / FOOT_M, own_boards(person, trace.lateral_m[at]),
        100.0 * trace.skid_left[at], trace.speed_mps[at] / MPH_MPS, _marks(trace, person),
        None if read is None else read / FOOT_M,
        None if read is None or shape is None else (read + shape) / FOOT_M, shape_word,
    )  # fmt: skip


def _marks(trace: Trace, person: Person) -> tuple[Mark, ...]:
    places: list[tuple[str, float | None]] = [
        ("read", trace.first_read_m), ("breakpoint", trace.breakpoint_m), ("rolls", trace.rolls_m),
    ]  # fmt: skip
    made = []
    for kind, at_m in places:
        if at_m is not None and at_m <= LANE_LENGTH_M:
            lateral_m = float(np.interp(at_m, trace.distance_m, trace.lateral_m))
            made.append(Mark(kind, at_m / FOOT_M, own_side.board(person, lateral_m)))
    return tuple(made)


def of_row(row: OrderRow, series: int, person: Person) -> Curve:
    """A ball of the order on the shared shot."""
    return curve(row.ball.name, series, row.trace, person, row.shape_word)


def of_pad(result: PadResult, person: Person) -> Curve:
    """The ball in hand with a pad on it."""
    return curve(f"with {result.recipe.name}", WHAT_IF, result.trace, person)


def drawn(side: LaneSide, series: Mapping[int, int]) -> list[Curve]:
    """The paths of the balls drawn, the ball in hand last so that it lies on top."""
    rows = {row.ball.id: row for row in (*side.order.rows, *side.order.spares)}
    made = [of_row(rows[ball], style, side.bowler) for ball, style in series.items()]
    return sorted(made, key=lambda c: -c.series)


def corridor(then: Curve, sd_boards: float) -> tuple[Floats, Floats]:
    """Low and high boards around the path with a pad: its doubt at the pins, one standard deviation of the change,
    narrower up the lane in the measure in which the path has left its launch line there.
    """
    start = slice(0, 8)
    slope, first = np.polyfit(then.feet[start], then.boards[start], 1)
    left = np.abs(then.boards - (first + slope * then.feet))
    share = left / left[-1] if left[-1] > 1e-9 else np.zeros_like(left)
    return then.boards - sd_boards * share, then.boards + sd_boards * share


def span(curves: Iterable[Curve], pocket: float) -> tuple[float, float]:
    """Boards the upper plot shows: the paths and the pocket with room around."""
    every = list(curves)
    low = min([float(c.boards.min()) for c in every] + [pocket - POCKET_HALF])
    high = max([float(c.boards.max()) for c in every] + [pocket + POCKET_HALF])
    margin = max(1.5, 0.08 * (high - low))
    low, high = max(0.0, low - margin), min(40.0, high + margin)
    if high - low < 12.0:
        middle = 0.5 * (low + high)
        low, high = middle - 6.0, middle + 6.0
    return low, high
