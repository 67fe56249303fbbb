"""What motion hands up: one traced path with its marks, and a ball's best line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from arsenal.trade.release import Line
from arsenal.trade.units import POCKET_BOARD, board_to_lateral_m

POCKET_M = board_to_lateral_m(POCKET_BOARD)
WINDOW_LOW_M, WINDOW_HIGH_M = board_to_lateral_m(17.0), board_to_lateral_m(18.0)
"""High-strike window (USBC pin-carry study 2009, as restated in the press)."""
LEAST_M, MOST_M = board_to_lateral_m(2.0), board_to_lateral_m(38.0)
"""A line stays between these boards on its way."""

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Trace:
    """One ball's path on one lane, thin enough to draw (about 240 points), with the marks of its reaction.

    Metres from the foul line and from the bowler's own gutter. A mark that does not exist is None.
    """

    distance_m: Floats
    lateral_m: Floats
    speed_mps: Floats
    skid_left: Floats
    first_read_m: float | None
    breakpoint_m: float | None
    breakpoint_lateral_m: float | None
    rolls_m: float | None
    """May lie beyond the pins (the lane goes on with its last friction)."""
    shape_m: float | None
    """Distance between 25 % and 75 % of the skid spent."""
    landing_m: float
    """Lateral at the head pin, as if the lane went on by its edge."""
    entry_rad: float
    hook_m: float
    skid_left_at_oil_end: float
    rolls_out: bool
    left_lane_m: float | None
    """Distance where the centre passed a lane edge, if it did."""
    breakpoint_flat: bool = False
    """Within a quarter board over more than ten feet: the breakpoint is not worth comparing."""

    @property
    def speed_at_pins_mps(self) -> float:
        """Speed of the centre at the head pin."""
        return float(self.speed_mps[-1])

    @property
    def skid_left_at_pins(self) -> float:
        """Share of the skid not spent at the head pin; 0 where it rolls by then."""
        return float(self.skid_left[-1])


@dataclass(frozen=True, slots=True)
class Miss:
    """Where a miss ends: `boards` toward the hook side at the arrows (negative is toward the gutter)."""

    boards: float
    landing_m: float
    word: str
    """through the nose, high, flush, light, washes out."""
    left_lane: bool = False


@dataclass(frozen=True, slots=True)
class BestLine:
    """The line on which this release with this ball has the most room (science of the line)."""

    line: Line
    room: float
    """Probability of landing on boards 17 to 18 under the release's scatter."""
    trace: Trace
    arrow_board: float
    room_in_boards: float
    room_out_boards: float
    """Boards at the arrows inside and outside the line that still land in the pocket window."""
    misses: tuple[Miss, ...]
    """Seven by angle, 3 in to 3 out."""
    speed_misses: tuple[Miss, ...]
    """Seven by speed, −1½ to +1½ mph by ½; `boards` holds mph."""
    entry_most_rad: float = 0.0
    """Steepest entry of any line of the zone that this ball can take to the pocket here: what 4–6° is held against."""
    parallel_in_boards: float = 0.0
    parallel_out_boards: float = 0.0
    """Boards of laydown and target alike, inside and outside the line, that still land in the pocket window."""
    parallel_misses: tuple[Miss, ...] = ()
    """Seven by shift, 3 in to 3 out."""
    speed_slower_mps: float = 0.0
    speed_faster_mps: float = 0.0
    """How much slower and faster than usual still lands in the pocket window, on the same line."""


@dataclass(frozen=True, slots=True)
class NoLine:
    """No line reaches the pocket; says what would."""

    sentence: str
    closest: Line | None = None
