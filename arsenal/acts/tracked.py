"""A bowler's release from tracked shots, and keeping it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from arsenal.acts import people, speeds
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.motion import body_of, reference
from arsenal.motion.tracked import TrackedRelease, TrackedShot, release_from
from arsenal.surface.state import Estimate
from arsenal.trade.errors import KnownError
from arsenal.trade.person import ReadAt, SpeedReading
from arsenal.trade.release import Style
from arsenal.trade.units import DEGREE_RAD

TILT_SD_RAD = 5.0 * DEGREE_RAD
"""How well a bowler's tilt is known (our own assumption)."""


@dataclass(frozen=True, slots=True)
class SeenShot:
    """One shot as a tracking system tells it: speed and angle at both ends, and where the first speed was read."""

    speed: SpeedReading
    launch_rad: float
    entry_speed_mps: float
    entry_rad: float
    rolled: bool = True


def release_from_shots(
    shop: Shop, bowler_id: int, shots: Sequence[SeenShot], *, ball_id: int | None = None, tilt_rad: float | None = None
) -> TrackedRelease:  # fmt: skip
    """Revs and rotation of the bowler, with doubt. `ball_id` is the ball thrown (the benchmark when None, else the
    reference ball); `tilt_rad` else the bowler's own, else the usual one. Angles are toward the hook side.

    Raises KnownError for numbers that no release gives and for a speed read at the pins, OutOfRange, NotFound.
    """
    bowler = shop.person(bowler_id)
    chosen = ball_id if ball_id is not None else bowler.benchmark_ball_id
    body = body_of(*reference(shop.priors)) if chosen is None else body_of(shop.ball(chosen), shop.state(chosen))
    tilt = tilt_rad if tilt_rad is not None else bowler.style.axis_tilt_rad if bowler.style else None
    read = [_tracked(shop, shot) for shot in shots]
    return release_from(body, read) if tilt is None else release_from(body, read, tilt=Estimate(tilt, TILT_SD_RAD))


def _tracked(shop: Shop, shot: SeenShot) -> TrackedShot:
    if shot.speed.at is ReadAt.PINS:
        raise KnownError(
            "A speed read at the pins says nothing of the hand.", next_step="Type the speed at the hand as well."
        )
    hand = shot.speed.at_hand_mps(speeds.below_hand(shop, shot.speed.house))
    if shot.speed.at is ReadAt.AVERAGE:  # the mean of both ends: it slows about evenly (our own assumption)
        hand = 2.0 * shot.speed.speed_mps - shot.entry_speed_mps
    return TrackedShot(hand, shot.launch_rad, shot.entry_speed_mps, shot.entry_rad, shot.rolled)


def keep_release(shop: Shop, bowler_id: int, found: TrackedRelease, initiator: str = "desk") -> Changes:
    """The bowler throws so from now on; scatter and zone stay. Raises KnownError for a lower bound, OutOfRange."""
    if found.at_least:
        raise KnownError(
            "These shots had not reached roll, so they only say how much rotation there is at least.",
            next_step="Type a shot that rolls before the pins.",
        )
    old = shop.person(bowler_id).style
    told = found.speed_mps.mean, found.rev_rate_radps.mean, found.axis_rotation_rad.mean, found.tilt_rad
    style = Style(*told) if old is None else Style(*told, old.scatter, old.zone)
    return people.set_release(shop, bowler_id, style, initiator)
