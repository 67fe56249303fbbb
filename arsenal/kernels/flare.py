"""Flare of a ball with one high and one low RG: how far the track's rings lie apart, and how clean that keeps them.

Plain floats in SI and radians; the equations are exact for free rotation of a symmetric core.
"""

from __future__ import annotations

import math


def anisotropy(rg_low_m: float, differential_m: float) -> float:
    """(k_hi² − k_lo²)/k_hi², dimensionless, from the low RG and the differential in metres."""
    high = rg_low_m + differential_m
    return (high**2 - rg_low_m**2) / high**2


def axis_angle(pin_to_axis_m: float, radius_m: float) -> float:
    """Angle between the pin and the spin axis, radians, from their distance over the ball's surface."""
    return pin_to_axis_m / radius_m


def migration_rate(spin_radps: float, angle_rad: float, rg_low_m: float, differential_m: float) -> float:
    """Rate Ω at which the spin axis circles the pin, rad/s: ω cos θ (k_hi² − k_lo²)/k_hi²."""
    return spin_radps * math.cos(angle_rad) * anisotropy(rg_low_m, differential_m)


def ring_spacing(radius_m: float, angle_rad: float, rg_low_m: float, differential_m: float) -> float:
    """Widest distance between two neighbouring rings of the track, metres a revolution.

    d = πR sin 2θ (k_hi² − k_lo²)/k_hi²; largest at θ = 45°.
    """
    return math.pi * radius_m * abs(math.sin(2.0 * angle_rad)) * anisotropy(rg_low_m, differential_m)


def openness(spacing_m: float, band_m: float) -> float:
    """Share o of the contact band that meets the same cover a revolution later, 1 without flare, 0 for very wide rings.

    The mean over ψ of max(0, 1 − d|sin ψ|/band), in closed form; our own assumption.
    """
    a = spacing_m / band_m
    if a <= 1.0:
        return 1.0 - 2.0 * a / math.pi
    edge = math.asin(1.0 / a)
    return 2.0 / math.pi * (edge - a * (1.0 - math.cos(edge)))


def pick_up(open_share: float, keeps: float, takes: float) -> tuple[float, float]:
    """This shot's own film as a first-order filter of the lane's: (gain, revolutions to fall to 1/e).

    Each revolution h → o (keeps·h + takes·h_lane), so that h settles at gain × h_lane.
    """
    stays = open_share * keeps
    gain = open_share * takes / (1.0 - stays)
    return gain, -1.0 / math.log(max(stays, 1e-3))
