"""The stamp on an order: which model, priors and draws, and a hash over every input that could move a number."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

from arsenal.motion import MODEL_VERSION
from arsenal.order.records import Stamp
from arsenal.surface.folding import FOLD_VERSION
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line

ORDER_VERSION = "2"
"""Changes whenever the same paths would give other places, ties or words."""
VERSION = f"{MODEL_VERSION}.{FOLD_VERSION}.{ORDER_VERSION}"


def stamp(
    bowler: Person, lane: Lane, line: Line, balls: Sequence[tuple[Ball, SurfaceState]], priors: Priors, *,
    seed: int, draws: int, taught: Mapping[int, BallFactors] = {},
) -> Stamp:  # fmt: skip
    """What made a result. The hash takes everything a number depends on: names and notes do not count. `taught` is what
    practice shots have taught of balls, by id; of balls that are not here it does not count.
    """
    told = [repr((bowler.hooks_to_left, bowler.style, bowler.benchmark_ball_id)), repr((lane.film, lane.surface))]
    told += [repr(line), repr(priors), VERSION, f"{seed} {draws}"]
    told += [ball_told(ball, state) for ball, state in sorted(balls, key=lambda pair: pair[0].id)]
    known = [taught[ball.id] for ball, _ in sorted(balls, key=lambda pair: pair[0].id) if ball.id in taught]
    if not known:
        return Stamp(VERSION, priors.version, seed, draws, digest(told))
    practice = digest([repr(factors) for factors in known])
    made = digest([*told, practice])
    return Stamp(VERSION, priors.version, seed, draws, made, practice, sum(factors.trials for factors in known))


def ball_told(ball: Ball, state: SurfaceState) -> str:
    """Everything of one ball that a number depends on."""
    body = (ball.id, ball.cover, ball.mass_kg, ball.radius_m, ball.rg_m, ball.differential_m, ball.intermediate_m)
    now = (
        state.ln_ra_m, state.oil_kg, state.oil_share, state.film_m, state.radius_m, state.mass_kg,
        state.pin_to_axis_m, state.games_since_resurface, state.cracked,
    )  # fmt: skip
    return repr((body, ball.spare, ball.spec_known, now))


def digest(told: Sequence[str]) -> str:
    """One hash over what was told."""
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:16]
