"""Values that cannot be true are named before any number is computed; those that may be another unit are found.

Limits in SI for what comes in without a screen before it. They are our own, far outside what anybody bowls and inside
what the same number is in another unit: a child's slow ball and a textbook's passes, 17.9 mph typed as m/s does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from arsenal.trade.ball import Body
from arsenal.trade.errors import OutOfRange
from arsenal.trade.findings import Finding
from arsenal.trade.release import Release
from arsenal.trade.units import MPH_MPS, RPM_RADPS

Values = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Bound:
    """What a field of the public face may be, and the other unit a number outside is likely to be in."""

    field: str
    low: float
    high: float
    unit: str = ""
    likely: str = ""
    above_low: bool = False
    """`low` itself is not allowed."""

    @property
    def allowed(self) -> str:
        """“above 0 and at most 15 m/s (is it in mph?)”."""
        low, high = (f"{value:.4g}".replace("-", "−") for value in (self.low, self.high))
        span = f"above {low} and at most {high}" if self.above_low else f"{low} to {high}"
        return f"{span} {self.unit}".rstrip() + (f" ({self.likely})" if self.likely else "")

    def check(self, value: float) -> float:
        """`value` itself. Raises OutOfRange, also for NaN and infinities."""
        if not math.isfinite(value):
            raise OutOfRange(self.field, value, "a finite number")
        if not self.low <= value <= self.high or (self.above_low and value == self.low):
            shown = f"{value:g} {self.unit}".replace("-", "−").rstrip()
            raise OutOfRange(self.field, shown, self.allowed)
        return value

    def check_all(self, values: Values) -> None:
        """`check` for every one of `values`; the first that cannot be is named."""
        fine = np.isfinite(values) & (values >= self.low) & (values <= self.high)
        if self.above_low:
            fine &= values != self.low
        if not fine.all():
            self.check(float(values[~fine].flat[0]))


SPEED = Bound("speed", 0.0, 15.0, "m/s", "is it in mph?", above_low=True)
"""15 m/s is 34 mph, nearly twice a professional's; people bowl at 13 to 20 mph."""
REV_RATE = Bound("rev rate", -250.0, 250.0, "rad/s", "is it in rpm?")
"""250 rad/s is 2,390 rpm, three times a ball's that rolls as it leaves the hand; people bowl at 120 to 600 rpm."""
ROTATION = Bound("axis rotation", -2.0 * math.pi, 2.0 * math.pi, "rad", "is it in degrees?")
TILT = Bound("axis tilt", -math.pi / 2.0, math.pi / 2.0, "rad", "is it in degrees?")
LAUNCH = Bound("launch", -math.pi / 4.0, math.pi / 4.0, "rad", "is it in degrees?")
"""45° leaves the lane within a metre; people launch within 6°."""
LAYDOWN = Bound("laydown", -1.5, 2.5, "m", "the lane is 1.05 m wide; is it in boards or inches?")
"""A lane's width and a half to both sides of the lane, so that mirrored and shifted paths can be followed."""
RADIUS = Bound("radius", 0.05, 0.2, "m", "is it in inches or the diameter?")
"""A tenpin ball has 0.1080 to 0.1092 m (USBC); smaller balls of other games pass."""
MASS = Bound("mass", 0.0, 10.0, "kg", "is it in pounds?", above_low=True)
"""The heaviest legal ball has 7.26 kg (16 lb, USBC)."""
RG = Bound("RG", 0.0, 0.2, "m", "is it in inches?", above_low=True)
DIFFERENTIAL = Bound("differential", 0.0, 0.005, "m", "is it in inches?")
"""0.005 m is 0.2 in, three times the most the rule book allows."""
INTERMEDIATE = Bound("intermediate differential", 0.0, 0.005, "m", "is it in inches?")
PIN_TO_AXIS = Bound("pin-to-axis", 0.0, 0.35, "m", "is it in inches?")
"""Half way round the ball is 0.34 m."""
GRAVITY = Bound("gravity", 0.0, 25.0, "m/s²", "is it in ft/s²?", above_low=True)

FRICTION = Bound("friction", 0.0, 2.0, "", "is it in percent?")
"""Far above any ball on any lane, 0.01 to 0.3."""
ROUGHNESS = Bound("roughness", 0.0, 100e-6, "m", "is it in μm or μin?", above_low=True)
FILM = Bound("film on the ball", 0.0, 100e-6, "m", "is it in μm or oil units?")
"""A fresh house film is 2 to 10 μm where it is thickest."""
FACTOR = Bound("film factor", 0.0, 1000.0)
TURNS = Bound("turns of pick-up", 0.0, 1000.0)

FAST_MPS = 12.0
"""27 mph; above it a number is more likely in mph (a senior bowls at 13 to 16)."""
MANY_RADPS = 80.0
"""764 rpm; above it a number is more likely in rpm."""
HEAVY_KG = 7.27
"""16.01 lb, the most the rule book allows."""


def finite(field: str, value: float) -> float:
    """`value` itself; OutOfRange for NaN, infinities and what is no number."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise OutOfRange(field, f"“{value}”", "a finite number") from None
    if not math.isfinite(number):
        raise OutOfRange(field, value, "a finite number")
    return number


def positive(field: str, value: float) -> float:
    """`value` itself; OutOfRange unless it is finite and above 0."""
    if not (math.isfinite(value) and value > 0.0):
        raise OutOfRange(field, value, "a finite number above 0")
    return value


def check_body(body: Body) -> Body:
    """`body` itself; OutOfRange for what no rigid ball can be and for what is likely in another unit."""
    RADIUS.check(body.radius_m)
    MASS.check(body.mass_kg)
    RG.check(body.rg_m)
    if body.rg_m >= body.radius_m:
        raise OutOfRange("RG", f"{body.rg_m:g} m", f"smaller than the ball's radius, {body.radius_m:g} m")
    DIFFERENTIAL.check(body.differential_m)
    INTERMEDIATE.check(body.intermediate_m)
    if body.pin_to_axis_m is not None:
        PIN_TO_AXIS.check(body.pin_to_axis_m)
    return body


def check_release(release: Release) -> Release:
    """`release` itself; OutOfRange for what nobody throws down a lane and for what is likely in another unit."""
    SPEED.check(release.speed_mps)
    REV_RATE.check(release.rev_rate_radps)
    ROTATION.check(release.axis_rotation_rad)
    TILT.check(release.axis_tilt_rad)
    LAUNCH.check(release.launch_rad)
    LAYDOWN.check(release.lateral_m)
    return release


def check_columns(columns: Iterable[tuple[Bound, Values]], radius_m: Values, rg_m: Values) -> None:
    """Many releases and bodies at once: OutOfRange names the first value that cannot be."""
    for bound, values in (*columns, (RADIUS, radius_m), (RG, rg_m)):
        bound.check_all(np.asarray(values, float))
    wide = np.asarray(rg_m >= radius_m)
    if wide.any():
        rg, radius = (float(np.broadcast_to(a, wide.shape)[wide].flat[0]) for a in (rg_m, radius_m))
        raise OutOfRange("RG", f"{rg:g} m", f"smaller than the ball's radius, {radius:g} m")


def doubts(body: Body, release: Release) -> tuple[Finding, ...]:
    """What can be, and yet is more likely another unit."""
    found = []
    speed, revs = release.speed_mps, abs(release.rev_rate_radps)
    if speed > FAST_MPS:
        found.append(Finding("speed.unit", f"{speed:g} m/s is {speed / MPH_MPS:.0f} mph; check its unit."))
    if revs > MANY_RADPS:
        found.append(Finding("revs.unit", f"{revs:g} rad/s is {revs / RPM_RADPS:,.0f} rpm; check its unit."))
    if body.mass_kg > HEAVY_KG:
        found.append(Finding("mass.unit", f"{body.mass_kg:g} kg is over any legal ball; check its unit."))
    return tuple(found)
