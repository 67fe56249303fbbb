"""Looking ahead from a state: after so many games, after a recipe."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import timedelta

from arsenal.surface import work
from arsenal.surface.life import Life
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Step, SurfaceWork, Wiped
from arsenal.trade.pads import Pad
from arsenal.trade.priors import Priors
from arsenal.trade.units import SHOTS_A_GAME


def foresee(
    ball: Ball,
    state: SurfaceState,
    games: float,
    priors: Priors,
    *,
    volume_m3: float = 25e-6,
    wiped: Wiped = Wiped.EACH,
    pace: tuple[float, float] | None = None,
) -> SurfaceState:
    """The state after `games` more, played in one session the day after: as an exact entry of so many would make it.

    `pace` is what practice has taught of the ball's wear pace against its log: mean and one sd of its logarithm. No
    games, or a number that is none, leave the state as it is.
    """
    if not (math.isfinite(games) and games > 0.0):
        return state
    life = Life.of(ball, state, priors)
    if pace is not None:
        life.finish.take_pace(*pace)
    on = state.on + timedelta(days=1) if state.on is not None else None
    life.play(on, games * SHOTS_A_GAME, 0.0, wiped, volume_m3)
    return life.ahead(on, state.findings)


def after_work(
    ball: Ball,
    state: SurfaceState,
    steps: Sequence[Step],
    priors: Priors,
    *,
    pads: Mapping[int, Pad] = {},
) -> SurfaceState:
    """What a recipe on the whole ball would leave, the pads cutting as they do now. Impossible steps are left out;
    a recipe of no steps, or of no time, leaves the state as it is.
    """
    s = priors.surface
    possible = [step for step in steps if work.problem(step) is None and not work.nothing_done(step, s)]
    if not possible:
        return state

    def uses(step: Step) -> tuple[float, float]:
        pad = pads.get(step.pad_id) if step.pad_id is not None else None
        return (pad.uses_hand, pad.uses_spinner) if pad is not None else (0.0, 0.0)

    life = Life.of(ball, state, priors)
    life.work(SurfaceWork(tuple(steps)), possible, state.on, uses)
    return life.ahead(state.on, state.findings)
