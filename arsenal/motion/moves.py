"""What a move of feet and target does with the same ball: the line after it, where it ends, the room it has.

Boards are the bowler's own stance and target boards. Stance and laydown differ by the bowler's drift, which is taken
to stay as it is: it cancels in a move, so the laydown moves as the feet do.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from arsenal.motion import attempts
from arsenal.motion.attempts import Attempt
from arsenal.motion.beds import BedStack
from arsenal.motion.lines import at_arrows, word_of
from arsenal.motion.records import Floats
from arsenal.surface.state import Estimate
from arsenal.trade.release import Line, Zone
from arsenal.trade.units import BOARD_M

SETTLES = 8
"""Turns of the fixed point of `moved_line`; each leaves about a hundredth of the error before."""


@dataclass(frozen=True, slots=True)
class Move:
    """Boards of feet and target toward the hook side (left for a right-hander); negative is the other way."""

    feet_boards: float
    target_boards: float

    @property
    def parallel(self) -> bool:
        """Feet and target alike: the launch stays."""
        return self.feet_boards == self.target_boards

    @property
    def back(self) -> Move:
        """The move that undoes it."""
        return Move(-self.feet_boards, -self.target_boards)


@dataclass(frozen=True, slots=True)
class Moved:
    """One move with the same ball."""

    move: Move
    line: Line
    """The line after it."""
    landing_m: Estimate
    """Where it ends at the head pin; its sd is that of the change and of where the shot before it ended."""
    word: str
    """through the nose, high, flush, light, washes out."""
    room: float
    """Probability of boards 17 to 18 under the release's scatter on that line."""
    room_change: float
    left_lane: bool
    in_zone: bool = True
    """False where the bowler's zone does not reach that line."""


USUAL = (Move(1, 1), Move(2, 2), Move(2, 1), Move(3, 2), Move(3, 1))
"""Moves bowlers speak of (common practice, no source); each goes both ways."""


def both_ways(moves: Sequence[Move] = USUAL) -> tuple[Move, ...]:
    """Each move toward the hook side and back, in the order given."""
    return tuple(m for move in moves for m in (move, move.back))


def moved_line(line: Line, move: Move) -> Line:
    """The line after a move: the laydown goes with the feet; the launch opens by target less feet at the arrows.

    The distance of the arrows is the mean of those of the target before and after, so that a move and its reverse
    are nothing; a parallel move keeps the launch.
    """
    lateral = line.lateral_m + move.feet_boards * BOARD_M
    opened = (move.target_boards - move.feet_boards) * BOARD_M
    if opened == 0.0:
        return Line(lateral, line.launch_rad)
    before, slope = at_arrows(line)[0], math.tan(line.launch_rad)
    after = before
    for _ in range(SETTLES):
        launch = math.atan(slope + opened / (0.5 * (before + after)))
        after = at_arrows(Line(lateral, launch))[0]
    return Line(lateral, launch)


def reaches(zone: Zone, line: Line) -> bool:
    """Whether the bowler can lay it down there and launch it so."""
    return (
        zone.lateral_low_m <= line.lateral_m <= zone.lateral_high_m
        and zone.launch_low_rad <= line.launch_rad <= zone.launch_high_rad
    )


def try_moves(
    bed: BedStack, thrown: Attempt, moves: Sequence[Move], *, stack: BedStack | None = None,
    started_m: Floats | float = 0.0,
) -> tuple[Moved, ...]:  # fmt: skip
    """Every move with the same ball, in the order given. `thrown` is the shot before it.

    `stack` holds one lane a draw of `thrown.drawn`; without it nothing is said of doubt (sd 0). `started_m` (n,) is
    where the shot before ended in the draws; a number where that is taken as known. Raises KnownError.
    """
    lines = [thrown.line, *(moved_line(thrown.line, move) for move in moves)]
    tries = [thrown.on(line) for line in lines]
    ends = attempts.ends(bed, tries)
    sd = attempts.spread(stack, tries, started_m) if stack is not None else np.zeros(len(tries))
    return tuple(
        Moved(
            move, lines[i], Estimate(float(ends.landing_m[i]), float(sd[i])), word_of(float(ends.landing_m[i])),
            float(ends.room[i]), float(ends.room[i] - ends.room[0]), bool(ends.left_lane[i]),
            reaches(thrown.style.zone, lines[i]),
        )
        for i, move in enumerate(moves, start=1)
    )  # fmt: skip
