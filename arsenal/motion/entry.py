"""Entry at the pins against published figures only: the window, the offset from the head pin, what can be reached.

USBC pin-carry study 2009, as restated in the press; Hooper, Physics Today, October 2025: best is the ball's centre on
board 17½ at about 6°, 6–6.8 cm beside the head pin; many strikes come from boards 17–18 at 4–6°. No share of strikes is
said here: none is published for a bowler's own release.
"""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.motion.records import POCKET_M, WINDOW_HIGH_M, WINDOW_LOW_M, BestLine, Trace
from arsenal.trade.units import DEGREE_RAD, LANE_WIDTH_M

ANGLE_LOW_RAD, ANGLE_HIGH_RAD = 4.0 * DEGREE_RAD, 6.0 * DEGREE_RAD
OFFSET_LOW_M, OFFSET_HIGH_M = 0.060, 0.068
HEAD_PIN_M = 0.5 * LANE_WIDTH_M
"""The head pin stands on board 20, the middle of the lane."""
NEAR_MOST_RAD = 0.3 * DEGREE_RAD
"""Within this of the steepest it can reach, a release is near its most (our own assumption)."""
SLACK_M = 1e-9


@dataclass(frozen=True, slots=True)
class Entry:
    """Where the ball's centre comes in at the head pin, and how."""

    landing_m: float
    offset_m: float
    """From the head pin toward the side the ball hooks from; negative where it has crossed over."""
    angle_rad: float
    most_rad: float | None
    """The steepest this release reaches with this ball here; None where that was not looked for."""

    @property
    def on_boards(self) -> bool:
        """On boards 17 to 18."""
        return WINDOW_LOW_M - SLACK_M <= self.landing_m <= WINDOW_HIGH_M + SLACK_M

    @property
    def at_angle(self) -> bool:
        """At 4 to 6°."""
        return ANGLE_LOW_RAD <= self.angle_rad <= ANGLE_HIGH_RAD

    @property
    def inside(self) -> bool:
        """In the window: boards and angle."""
        return self.on_boards and self.at_angle

    @property
    def best_offset(self) -> bool:
        """6 to 6.8 cm beside the head pin."""
        return OFFSET_LOW_M <= self.offset_m <= OFFSET_HIGH_M

    @property
    def within_reach(self) -> bool:
        """Whether this release can reach 4° with this ball here; true where that is not known."""
        return self.most_rad is None or self.most_rad >= ANGLE_LOW_RAD


def entry(trace: Trace, most_rad: float | None = None) -> Entry:
    """The entry of one path. `most_rad` is a best line's `entry_most_rad`."""
    return Entry(trace.landing_m, HEAD_PIN_M - trace.landing_m, trace.entry_rad, most_rad)


def entry_of(best: BestLine) -> Entry:
    """The entry of a ball on its best line."""
    return entry(best.trace, best.entry_most_rad)


def sentence(one: Entry) -> str:
    """“In the window: 6.7 cm beside the head pin at 4.6°.” Never a reproach where a release cannot get there."""
    angle = f"{one.angle_rad / DEGREE_RAD:.1f}°"
    beside = f"{abs(one.offset_m) * 100.0:.1f} cm {'beside' if one.offset_m >= 0.0 else 'past'} the head pin"
    if one.inside:
        return f"In the window: {beside} at {angle}."
    if not one.on_boards:
        way = "high" if one.landing_m > POCKET_M else "light"
        return f"{way.capitalize()} of the window: {beside} at {angle}."
    return f"On the boards of the window, {beside}, at {angle}{_angle_words(one)}."


def _angle_words(one: Entry) -> str:
    if one.angle_rad > ANGLE_HIGH_RAD:
        return ", steeper than the window’s 4 to 6°"
    if one.most_rad is None:
        return ""
    if one.angle_rad >= one.most_rad - NEAR_MOST_RAD:
        return ", near the most this release reaches"
    return f"; this release reaches {one.most_rad / DEGREE_RAD:.1f}° here"
