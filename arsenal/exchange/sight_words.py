"""What was seen of a practice shot, in words: “high, ended on 19, read at 41 ft, turned at 43 ft on 9, left 10”."""

from __future__ import annotations

from arsenal.trade.own_boards import board_of
from arsenal.trade.release import Measured
from arsenal.trade.trial import POCKET_M, Sighting
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS


def seen(sight: Sighting, *, back_up: bool = False, hooks_to_left: bool = True) -> str:
    """All that was seen, in the order a shot goes by; boards from the bowler's own gutter, as entered to a tenth."""

    def board(lateral_m: float) -> str:
        return f"{round(board_of(lateral_m, back_up=back_up), 1):g}"

    said = [word.value for word in sight.words]
    if sight.landing_m is not None:
        said.append(f"ended on {board(sight.landing_m)}")
    if sight.off_target_m is not None:
        said.append(_off_target(sight.off_target_m, hooks_to_left=hooks_to_left))
    if sight.arrows_m is not None:
        said.append(f"over {board(sight.arrows_m)} at the arrows")
    if sight.first_read_m is not None:
        said.append(f"read at {feet(sight.first_read_m)}")
    if sight.breakpoint_m is not None or sight.breakpoint_lateral_m is not None:
        at = f" at {feet(sight.breakpoint_m)}" if sight.breakpoint_m is not None else ""
        on = f" on {board(sight.breakpoint_lateral_m)}" if sight.breakpoint_lateral_m is not None else ""
        said.append(f"turned{at}{on}")
    if sight.pins_left:
        said.append(f"left {'-'.join(map(str, sight.pins_left))}")
    if sight.by_sensor:
        said.append("by a sensor")
    return ", ".join(said) or "nothing noted"


def in_short(sight: Sighting) -> str:
    """What it did at the pins, the same for every hand: “high”, “2 light”; empty where nobody said."""
    if sight.words:
        return ", ".join(word.value for word in sight.words)
    if sight.landing_m is None:
        return ""
    high = round((sight.landing_m - POCKET_M) / BOARD_M, 1)
    return "flush" if abs(high) <= 0.5 else f"{abs(high):g} {'high' if high > 0 else 'light'}"


def _off_target(off_m: float, *, hooks_to_left: bool) -> str:
    if off_m == 0.0:
        return "on target"
    side = "left" if (off_m > 0.0) == hooks_to_left else "right"
    return f"missed the target by {abs(round(off_m / BOARD_M, 1)):g} {side}"


def feet(distance_m: float) -> str:
    """“41 ft”, to a tenth where it was entered so."""
    return f"{round(distance_m / FOOT_M, 1):g} ft"


def measured(read: Measured) -> str:
    """“16.8 mph, 310 rpm, rotation 45°, tilt 12°, launch −1.8°, entry 5.2°”; only what was read."""
    said = []
    if read.speed_mps is not None:
        said.append(f"{read.speed_mps / MPH_MPS:.1f} mph")
    if read.rev_rate_radps is not None:
        said.append(f"{read.rev_rate_radps / RPM_RADPS:.0f} rpm")
    angles = (
        ("rotation", read.axis_rotation_rad), ("tilt", read.axis_tilt_rad), ("launch", read.launch_rad),
        ("entry", read.entry_rad),
    )  # fmt: skip
    said += [f"{name} {value / DEGREE_RAD:.1f}°".replace("-", "−") for name, value in angles if value is not None]
    return ", ".join(said)


def clock(minute: int) -> str:
    """“18:42” from minutes after midnight."""
    return f"{minute // 60}:{minute % 60:02d}"
