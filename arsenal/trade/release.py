"""How a bowler throws: release, its scatter, and the line it is thrown on."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from arsenal.trade.units import BOARD_M, DEGREE_RAD, MPH_MPS


@dataclass(frozen=True, slots=True)
class Release:
    """One release, at the foul line. Outside checks construct it by keyword.

    `axis_rotation_rad` turns the roll direction from the launch direction toward the hook side; `launch_rad` and
    `lateral_m` are positive toward the hook side (a launch toward the channel is negative).
    """

    speed_mps: float
    rev_rate_radps: float
    axis_rotation_rad: float
    axis_tilt_rad: float = 0.0
    launch_rad: float = 0.0
    lateral_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Scatter:
    """One standard deviation of a bowler's release, shot to shot (our own assumption, kept per bowler)."""

    laydown_m: float = 0.5 * BOARD_M
    launch_rad: float = 0.2 * DEGREE_RAD
    speed_mps: float = 0.25 * MPH_MPS
    revs_fraction: float = 0.03
    rotation_rad: float = 2.0 * DEGREE_RAD


@dataclass(frozen=True, slots=True)
class Line:
    """Where the ball is laid down and which way it leaves; metres from the own gutter, radians toward the hook side."""

    lateral_m: float
    launch_rad: float


@dataclass(frozen=True, slots=True)
class Zone:
    """Where this bowler can lay the ball down and how he can launch it."""

    lateral_low_m: float = 9.5 * BOARD_M
    lateral_high_m: float = 33.5 * BOARD_M
    launch_low_rad: float = -5.0 * DEGREE_RAD
    launch_high_rad: float = 1.0 * DEGREE_RAD


@dataclass(frozen=True, slots=True)
class Style:
    """Everything motion needs to know of a bowler."""

    speed_mps: float
    rev_rate_radps: float
    axis_rotation_rad: float
    axis_tilt_rad: float
    scatter: Scatter = field(default_factory=Scatter)
    zone: Zone = field(default_factory=Zone)

    def on(self, line: Line) -> Release:
        """This bowler's release laid on `line`."""
        return Release(
            self.speed_mps,
            self.rev_rate_radps,
            self.axis_rotation_rad,
            self.axis_tilt_rad,
            line.launch_rad,
            line.lateral_m,
        )


@dataclass(frozen=True, slots=True)
class Measured:
    """What an instrument read of one delivery: as much or as little as there is."""

    speed_mps: float | None = None
    """At the hand."""
    rev_rate_radps: float | None = None
    axis_rotation_rad: float | None = None
    axis_tilt_rad: float | None = None
    launch_rad: float | None = None
    """Toward the hook side. Kept; nothing is learned from it."""
    entry_rad: float | None = None
    """Angle into the pins. Kept; nothing is learned from it."""

    def over(self, usual: Style) -> Style:
        """The bowler's usual style with what was measured in its place."""
        return replace(
            usual,
            speed_mps=_or(self.speed_mps, usual.speed_mps),
            rev_rate_radps=_or(self.rev_rate_radps, usual.rev_rate_radps),
            axis_rotation_rad=_or(self.axis_rotation_rad, usual.axis_rotation_rad),
            axis_tilt_rad=_or(self.axis_tilt_rad, usual.axis_tilt_rad),
        )


def _or(read: float | None, usual: float) -> float:
    return usual if read is None else read
