"""A bowler's revs and rotation from tracked shots: angle and speed at the hand and at the pins, whatever the oil.

Once a ball rolls, its velocity is v₀ − u₀ β/(1 + β) on any friction (Broholm, lecture notes, Johns Hopkins 1997), so
both ends of one shot that reached roll give the slip at the hand, and with it the spin.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from arsenal.kernels.path import surface_velocity_of
from arsenal.motion.checks import check_body, check_release
from arsenal.motion.records import Floats
from arsenal.surface.state import Estimate
from arsenal.trade.ball import Body
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.limits import LIMITS
from arsenal.trade.release import Release
from arsenal.trade.units import DEGREE_RAD, INCH_M, MPH_MPS, RPM_RADPS

USUAL_TILT = Estimate(15.0 * DEGREE_RAD, 5.0 * DEGREE_RAD)
"""Where nobody measured the tilt (common practice, no source)."""
RG_SD_M, RADIUS_SD_M = 0.01 * INCH_M, 0.004 * INCH_M
"""How well a ball's RG and radius are known from its sheet (our own assumption)."""
STEEPEST_RAD = 15.0 * DEGREE_RAD
MORE_THAN_READ = 2.0
"""Shots that spread this many times what their readings explain are a finding (our own assumption)."""


@dataclass(frozen=True, slots=True)
class ReadingDoubt:
    """One standard deviation of what a tracking system tells (our own assumption)."""

    speed_mps: float = 0.15 * MPH_MPS
    launch_rad: float = 0.2 * DEGREE_RAD
    entry_speed_mps: float = 0.15 * MPH_MPS
    entry_rad: float = 0.3 * DEGREE_RAD


@dataclass(frozen=True, slots=True)
class TrackedShot:
    """One shot at both ends: at the hand and at the pins. Angles toward the hook side; `rolled` by the pins."""

    speed_mps: float
    launch_rad: float
    entry_speed_mps: float
    entry_rad: float
    rolled: bool = True
    doubt: ReadingDoubt = ReadingDoubt()


@dataclass(frozen=True, slots=True)
class TrackedRelease:
    """What the shots say of the release. `at_least`: none had reached roll, so the rotation is a lower bound."""

    speed_mps: Estimate
    rev_rate_radps: Estimate
    axis_rotation_rad: Estimate
    tilt_rad: float
    shots: int
    at_least: bool = False
    findings: tuple[Finding, ...] = ()


def release_from(
    body: Body, shots: Sequence[TrackedShot], *, tilt: Estimate = USUAL_TILT, rg_sd_m: float = RG_SD_M,
    radius_sd_m: float = RADIUS_SD_M,
) -> TrackedRelease:  # fmt: skip
    """Revs and rotation of `shots`, averaged by their doubts (linear propagation of every reading's).

    Shots that had not reached roll are left out where others had. Raises KnownError without a shot and for numbers
    that no release gives, OutOfRange for a reading that cannot be.
    """
    if not shots:
        raise KnownError("There is no shot to reckon from.", next_step="Type speed and angle at both ends of one.")
    check_body(body)
    for shot in shots:
        _check(shot, tilt.mean)
    used = [s for s in shots if s.rolled] or list(shots)
    at_least = not used[0].rolled
    found = np.array([_spin(s, body.radius_m, body.rg_m, tilt.mean) for s in used])
    if not at_least:
        for shot, (rate, angle) in zip(used, found, strict=True):
            _possible(shot, float(rate), float(angle))
    own = np.array([_own_sd(s, body, tilt.mean) for s in used])
    common = _common_sd(used, body, tilt, rg_sd_m, radius_sd_m)
    (revs, more), (turned, _) = (_averaged(found[:, i], own[:, i], common[i]) for i in range(2))
    speed, _ = _averaged(np.array([s.speed_mps for s in used]), np.array([s.doubt.speed_mps for s in used]), 0.0)
    told = _findings(len(shots) - len(used), more, at_least=at_least)
    return TrackedRelease(speed, revs, turned, tilt.mean, len(used), at_least, told)


def _check(shot: TrackedShot, tilt_rad: float) -> None:
    check_release(Release(shot.speed_mps, 0.0, 0.0, tilt_rad, shot.launch_rad))
    check_release(Release(shot.entry_speed_mps, 0.0, 0.0, tilt_rad, 0.0))
    if abs(tilt_rad) > math.radians(80.0):
        raise OutOfRange("axis tilt", f"{tilt_rad / DEGREE_RAD:.0f}°", "80° at most: a top has no roll to reckon from")
    if not (math.isfinite(shot.entry_rad) and abs(shot.entry_rad) <= STEEPEST_RAD):
        raise OutOfRange("entry angle", f"{shot.entry_rad / DEGREE_RAD:g}°", "within 15° either way")
    for f in fields(ReadingDoubt):
        value = getattr(shot.doubt, f.name)
        if not (math.isfinite(value) and value > 0.0):
            raise OutOfRange("doubt of a reading", f"{value:g}", "a finite number above 0")


def _spin(shot: TrackedShot, radius_m: float, rg_m: float, tilt_rad: float) -> tuple[float, float]:
    """(rev rate, axis rotation) of one shot as if it rolled at the pins."""
    hand = shot.speed_mps * math.cos(shot.launch_rad), shot.speed_mps * math.sin(shot.launch_rad)
    pins = shot.entry_speed_mps * math.cos(shot.entry_rad), shot.entry_speed_mps * math.sin(shot.entry_rad)
    wx, wy = (float(w) for w in surface_velocity_of(*hand, *pins, (rg_m / radius_m) ** 2))
    return math.hypot(wx, wy) / (radius_m * math.cos(tilt_rad)), math.atan2(wy, wx) - shot.launch_rad


def _possible(shot: TrackedShot, revs_radps: float, turned_rad: float) -> None:
    """Raises KnownError where no bowler throws what the two ends would need."""
    rpm, degrees = revs_radps / RPM_RADPS, turned_rad / DEGREE_RAD
    revs, rotation = LIMITS["revs"], LIMITS["rotation"]
    if rpm <= revs.high and rotation.low <= degrees <= rotation.high:
        return
    lost = (shot.speed_mps - shot.entry_speed_mps) / MPH_MPS
    ends = f"from {shot.speed_mps / MPH_MPS:.1f} to {shot.entry_speed_mps / MPH_MPS:.1f} mph"
    why = f"losing {lost:.1f} mph on its way" if lost > 0.0 else "gaining speed on its way"
    raise KnownError(
        f"A ball {why} ({ends}) would have left the hand with {rpm:,.0f} rpm at {degrees:.0f}° of rotation, "
        "which nobody throws.".replace("-", "−"),
        next_step="Check both speeds, their unit and where they were read; most balls lose 2 to 4 mph.",
    )


def _moved(shot: TrackedShot, name: str, by: float) -> TrackedShot:
    return replace(shot, **{name: getattr(shot, name) + by})


def _own_sd(shot: TrackedShot, body: Body, tilt_rad: float) -> Floats:
    """Doubt (revs, rotation) from this shot's own four readings, to first order."""
    total = np.zeros(2)
    for f in fields(ReadingDoubt):
        step = getattr(shot.doubt, f.name)
        up, down = (
            np.array(_spin(_moved(shot, f.name, w * step), body.radius_m, body.rg_m, tilt_rad)) for w in (1, -1)
        )
        total += (0.5 * (up - down)) ** 2
    return np.sqrt(total)


def _common_sd(
    shots: Sequence[TrackedShot], body: Body, tilt: Estimate, rg_sd_m: float, radius_sd_m: float
) -> Floats:  # fmt: skip
    """Doubt (revs, rotation) that all shots share: tilt, RG and radius do not average out."""
    total = np.zeros(2)
    for radius, rg, turn in ((radius_sd_m, 0.0, 0.0), (0.0, rg_sd_m, 0.0), (0.0, 0.0, tilt.sd)):
        sides = []
        for way in (1.0, -1.0):
            ball = body.radius_m + way * radius, body.rg_m + way * rg
            sides.append(np.mean([_spin(s, *ball, tilt.mean + way * turn) for s in shots], axis=0))
        total += (0.5 * (sides[0] - sides[1])) ** 2
    return np.sqrt(total)


def _averaged(values: Floats, own_sd: Floats, common_sd: float) -> tuple[Estimate, float]:
    """Weighted mean with its doubt, and how many times the readings' own doubt the shots spread.

    Where they spread more than the readings explain, the bowler's own scatter is in it and the doubt grows with it.
    """
    weights = own_sd**-2.0
    mean = float((weights * values).sum() / weights.sum())
    ratio = 0.0
    if values.size > 1:
        ratio = math.sqrt(float((weights * (values - mean) ** 2).sum()) / (values.size - 1))
    own = max(1.0, ratio) / math.sqrt(float(weights.sum()))
    return Estimate(mean, math.hypot(own, common_sd)), ratio


def _findings(left_out: int, more: float, *, at_least: bool) -> tuple[Finding, ...]:
    found = []
    if at_least:
        said = "No shot had reached roll by the pins: the rotation is a lower bound, and the revs are not known."
        found.append(Finding("tracked.sliding", said, Weight.WARN))
    elif left_out:
        shots = "1 shot was" if left_out == 1 else f"{left_out} shots were"
        found.append(Finding("tracked.sliding", f"{shots} left out: not at roll by the pins."))
    if more > MORE_THAN_READ:
        said = "The shots differ more than their readings explain: one may be mistyped, or the release varies."
        found.append(Finding("tracked.spread", said))
    return tuple(found)
