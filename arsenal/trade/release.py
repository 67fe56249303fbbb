"""How a bowler throws: release, its scatter, and the line it is thrown on."""

from __future__ import annotations

from dataclasses import dataclass, field

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
