"""Where no line of a bowler's zone reaches the pocket: what would open one, by speed, finish or line."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

import numpy as np

from arsenal.motion import landings
from arsenal.motion.beds import BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.records import LEAST_M, MOST_M, POCKET_M
from arsenal.trade.ball import Body
from arsenal.trade.priors import Priors
from arsenal.trade.release import Style, Zone
from arsenal.trade.units import BOARD_M, DEGREE_RAD, MPH_MPS

T = TypeVar("T")
SPEEDS_MPH = (0.5, 1.0, 1.5, 2.0, 3.0)
HALVINGS = (1, 2)
BOARDS = (1, 2, 3, 4, 5)
DEGREES = (0.5, 1.0, 1.5, 2.0)
SLOWEST_MPS = 3.0


def would_do(bed: BedStack, body: Body, style: Style, grip: Grip, priors: Priors) -> str:
    """One sentence: the smallest change of each kind, alone, that opens a line; or that none of them does."""

    def opens(style_: Style, grip_: Grip) -> bool:
        return landings.any_line(bed, body, style_, grip_, POCKET_M, LEAST_M, MOST_M)

    found = [
        _first(_speeds(style), lambda s: opens(s, grip)),
        _first(_finishes(grip, priors), lambda g: opens(style, g)),
        _first(_laydowns(style), lambda s: opens(s, grip)),
        _first(_launches(style), lambda s: opens(s, grip)),
    ]
    ways = [way for way in found if way]
    if not ways:
        return "Neither speed, finish, laydown nor launch alone opens one; it takes another ball."
    said = ways[0] if len(ways) == 1 else f"{', '.join(ways[:-1])} or {ways[-1]}"
    return f"{said[:1].upper()}{said[1:]} would open one."


def _first(ways: Iterable[tuple[str, T]], opens: Callable[[T], bool]) -> str:
    return next((said for said, changed in ways if opens(changed)), "")


def _speeds(style: Style) -> Iterable[tuple[str, Style]]:
    for by in SPEEDS_MPH:
        for way, word in ((-1.0, "slower"), (1.0, "faster")):
            speed = style.speed_mps + way * by * MPH_MPS
            if speed > SLOWEST_MPS:
                yield f"about {by:g} mph {word}", replace(style, speed_mps=speed)


def rougher(grip: Grip, halvings: float, priors: Priors) -> Grip:
    """The same ball with its grit halved so many times (doubled where negative); σ_ball goes with Ra to a power."""
    f = priors.friction
    ball = np.sqrt(np.maximum(grip.sigma_m**2 - f.sigma_lane_m**2, 0.0))
    ball = ball * 2.0 ** (-priors.surface.ra_exponent * f.sigma_exponent * halvings)
    return replace(grip, sigma_m=np.hypot(ball, f.sigma_lane_m))


def _finishes(grip: Grip, priors: Priors) -> Iterable[tuple[str, Grip]]:
    for count in HALVINGS:
        times = "half" if count == 1 else "a quarter of"
        more = "twice" if count == 1 else "four times"
        yield f"a finish of {times} the grit", rougher(grip, count, priors)
        yield f"a finish of {more} the grit", rougher(grip, -count, priors)


def _wider(style: Style, **edges: float) -> Style:
    zone: Zone = replace(style.zone, **edges)
    return replace(style, zone=zone)


def _laydowns(style: Style) -> Iterable[tuple[str, Style]]:
    zone = style.zone
    for by in BOARDS:
        boards = f"{by} board{'s' if by > 1 else ''}"
        low, high = zone.lateral_low_m - by * BOARD_M, zone.lateral_high_m + by * BOARD_M
        if high <= MOST_M:
            yield f"a laydown {boards} farther in than usual", _wider(style, lateral_high_m=high)
        if low >= LEAST_M:
            yield f"a laydown {boards} farther out than usual", _wider(style, lateral_low_m=low)


def _launches(style: Style) -> Iterable[tuple[str, Style]]:
    zone = style.zone
    for by in DEGREES:
        low, high = zone.launch_low_rad - by * DEGREE_RAD, zone.launch_high_rad + by * DEGREE_RAD
        yield f"a launch {by:g}° farther out than usual", _wider(style, launch_low_rad=low)
        yield f"a launch {by:g}° farther in than usual", _wider(style, launch_high_rad=high)
