"""Values that cannot be true are named before any number is computed."""

from __future__ import annotations

import math

from arsenal.trade.ball import Body
from arsenal.trade.errors import OutOfRange
from arsenal.trade.release import Release

FASTEST_MPS = 45.0
"""About 100 mph, four times what anybody bowls; a larger number is another unit."""


def finite(field: str, value: float) -> float:
    """`value` itself; OutOfRange for NaN and infinities."""
    if not math.isfinite(value):
        raise OutOfRange(field, value, "a finite number")
    return value


def positive(field: str, value: float) -> float:
    """`value` itself; OutOfRange unless it is finite and above 0."""
    if not (math.isfinite(value) and value > 0.0):
        raise OutOfRange(field, value, "a finite number above 0")
    return value


def not_negative(field: str, value: float) -> float:
    """`value` itself; OutOfRange unless it is finite and at least 0."""
    if not (math.isfinite(value) and value >= 0.0):
        raise OutOfRange(field, value, "a finite number, 0 or more")
    return value


def check_body(body: Body) -> Body:
    """`body` itself; OutOfRange for what no rigid ball can be."""
    positive("radius", body.radius_m)
    positive("mass", body.mass_kg)
    positive("RG", body.rg_m)
    if body.rg_m >= body.radius_m:
        raise OutOfRange("RG", f"{body.rg_m:g} m", f"smaller than the ball's radius, {body.radius_m:g} m")
    not_negative("differential", body.differential_m)
    not_negative("intermediate differential", body.intermediate_m)
    return body


def check_release(release: Release) -> Release:
    """`release` itself; OutOfRange for NaN, infinities, and a ball that is not thrown down the lane."""
    positive("speed", release.speed_mps)
    if release.speed_mps > FASTEST_MPS:
        raise OutOfRange("speed", f"{release.speed_mps:g} m/s", f"at most {FASTEST_MPS:g} m/s")
    finite("rev rate", release.rev_rate_radps)
    finite("axis rotation", release.axis_rotation_rad)
    finite("axis tilt", release.axis_tilt_rad)
    finite("launch", release.launch_rad)
    finite("laydown", release.lateral_m)
    if abs(release.launch_rad) >= math.pi / 2:
        raise OutOfRange("launch", f"{math.degrees(release.launch_rad):g}°", "between −90° and 90°")
    return release
