"""Room of every ball with every finish on its own line at every stage, with its doubt.

But for roughness the finishes of one ball are alike, so that a ball's room at a stage is one curve over ln Ra, on every
way the lane could be; a finish is read off it over what is not known of its roughness.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from arsenal.motion import Bed, Grip, bed, body_of, grip
from arsenal.motion.lines import most_room
from arsenal.motion.records import Floats
from arsenal.motion.seen import on_film
from arsenal.order.stamps import ball_told
from arsenal.plan.own_lines import OwnLine, own_line
from arsenal.plan.stages import STAR, Could, LaneStage
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball, Body
from arsenal.trade.factors import BallFactors
from arsenal.trade.priors import Priors
from arsenal.trade.release import Style

KNOTS = 5
"""Points of the curve of room over roughness."""
WEIGHTS = np.array([1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0])
"""Of the three-point rule over a normal spread."""
WORN_SD = 0.06
"""Root mean square by which a room on a worn film is off against 30,000 shots thrown on the line it was told for (five
balls, four worn stages; measured): worn films have steps that the tables of landings pass over.
"""
FACTOR_ROW, RESPONSE_ROW, ROUGHNESS_ROW = 0, 1, 3
"""What of a ball practice teaches, as `trade.factors` orders it."""


@dataclass(frozen=True, slots=True)
class Thrower:
    """How the bowler throws, and to which side."""

    style: Style
    hooks_to_left: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """One ball at one stage: rooms over ln Ra (ways, knots) with the ways' weights, and what its dry friction and a
    worn film add to the spread.
    """

    ln_ra: Floats
    rooms: Floats
    weights: Floats
    factor_sd: float


@dataclass(frozen=True, slots=True)
class Beds:
    """The lanes of one stage ready to be thrown on, the middle first."""

    stage: LaneStage
    beds: tuple[Bed, ...]
    weights: Floats

    @property
    def volume_m3(self) -> float:
        """Oil on the middle one."""
        return float(self.beds[0].volume_m3[0])


def ready(stages: Sequence[LaneStage], thrower: Thrower, priors: Priors) -> tuple[Beds, ...]:
    """The lanes of every stage, each film mapped once."""
    made: dict[object, Bed] = {}

    def of(could: Could) -> Bed:
        if could.lane not in made:
            made[could.lane] = bed(could.lane, thrower.hooks_to_left, priors)
        one = made[could.lane]
        if could.ln_film == 0.0:
            return one
        film = one.film._replace(along=one.film.along * math.exp(could.ln_film))
        return Bed(film, one.oil_end_m, one.dry_factor, one.volume_m3, one.findings)

    return tuple(Beds(s, tuple(of(c) for c in s.could), np.array([c.weight for c in s.could])) for s in stages)


def reach_of(states: Sequence[SurfaceState], priors: Priors, factors: BallFactors | None) -> tuple[float, float]:
    """From the smoothest to the roughest that any of a ball's finishes may be, ln Ra."""
    spreads = [_roughness(s, priors, factors) for s in states]
    return min(e.mean - STAR * e.sd for e in spreads), max(e.mean + STAR * e.sd for e in spreads)


def curve(
    on: Beds, ball: Ball, state: SurfaceState, thrower: Thrower, priors: Priors, reach: tuple[float, float], *,
    factors: BallFactors | None = None,
) -> Curve:  # fmt: skip
    """The curve of `ball` at one stage; `state` is the ball as it is, whose roughness alone is moved."""
    low, high = reach
    ln_ra = np.linspace(low, max(high, low + 1e-6), KNOTS)
    body = body_of(ball, state)
    grips = [_grip(ball, _rough(state, float(k)), thrower, priors, on.volume_m3, factors) for k in ln_ra]
    sd = priors.doubt.ball_ln_mu_sd if factors is None else _own_sd(factors, FACTOR_ROW)
    middle = grips[KNOTS // 2]
    moved = [replace(middle, mu_dry=middle.mu_dry * math.exp(by)) for by in (-sd, sd)]
    rooms, ends = _rooms(on, body, thrower, grips, moved)
    worn = 0.0 if on.stage.key == "fresh" else WORN_SD
    return Curve(ln_ra, rooms, on.weights, math.hypot(0.5 * abs(ends[1] - ends[0]), worn))


def _rooms(
    on: Beds, body: Body, thrower: Thrower, grips: Sequence[Grip], moved: Sequence[Grip]
) -> tuple[Floats, list[float]]:  # fmt: skip
    """The most room of each grip on every way of the lane (ways, grips), and of the `moved` ones on the first. Ways of
    one lane are one batch: as much more film is as much more for every grip.
    """
    could, rooms, ends = on.stage.could, np.empty((len(on.beds), len(grips))), []
    for lane in dict.fromkeys(c.lane for c in could):
        ways = [k for k, c in enumerate(could) if c.lane == lane]
        thicker = [math.exp(could[k].ln_film - could[ways[0]].ln_film) for k in ways]
        held = [on_film(g, by) for by in thicker for g in grips]
        found = most_room(on.beds[ways[0]], body, thrower.style, [*held, *(moved if ways[0] == 0 else ())])
        rooms[ways] = np.array(found[: len(held)]).reshape(len(ways), len(grips))
        ends += found[len(held) :]
    return rooms, ends


def _rough(state: SurfaceState, ln_ra: float) -> SurfaceState:
    return replace(state, ln_ra_m=Estimate(ln_ra, 0.0), film_m=ZERO)


def _grip(
    ball: Ball, state: SurfaceState, thrower: Thrower, priors: Priors, volume_m3: float, factors: BallFactors | None
) -> Grip:
    held = None if factors is None else replace(factors, mean=(*factors.mean[:3], 0.0))
    return grip(ball, state, priors, thrower.style, volume_m3, factors=held)


def _roughness(state: SurfaceState, priors: Priors, factors: BallFactors | None) -> Estimate:
    """Ln Ra as friction takes it: what the ball answers to roughness more or less than others is roughness too."""
    f = priors.friction
    away = abs(state.ln_ra_m.mean - math.log(f.reference_ra_m))
    if factors is None:
        return Estimate(state.ln_ra_m.mean, math.hypot(state.ln_ra_m.sd, priors.doubt.response_sd * away))
    shift = factors.mean[ROUGHNESS_ROW]
    own = _own_sd(factors, ROUGHNESS_ROW) or state.ln_ra_m.sd  # nothing taught of this finish: the log's own doubt
    return Estimate(state.ln_ra_m.mean + shift, math.hypot(own, _own_sd(factors, RESPONSE_ROW) * away))


def _own_sd(factors: BallFactors, row: int) -> float:
    return math.sqrt(max(factors.cov[5 * row], 0.0))


def room_of(made: Curve, state: SurfaceState, priors: Priors, factors: BallFactors | None = None) -> Estimate:
    """Room of one finish: mean and spread over its roughness, the lane, and the ball's own friction."""
    rough = _roughness(state, priors, factors)
    at = rough.mean + STAR * rough.sd * np.array([-1.0, 0.0, 1.0])
    rooms = np.array([np.interp(at, made.ln_ra, row) for row in made.rooms])
    weights = made.weights[:, None] * WEIGHTS[None, :]
    mean = float((weights * rooms).sum())
    spread = float((weights * (rooms - mean) ** 2).sum())
    return Estimate(mean, math.sqrt(max(spread, 0.0) + made.factor_sd**2))


def own(
    on: Beds, ball: Ball, state: SurfaceState, thrower: Thrower, priors: Priors, factors: BallFactors | None = None
) -> OwnLine:
    """The ball's own best line in the middle of what the stage could be, with the misses it stands."""
    wiped = replace(state, film_m=ZERO)
    held = grip(ball, wiped, priors, thrower.style, on.volume_m3, factors=factors)
    return own_line(on.beds[0], body_of(ball, wiped), thrower.style, held, priors)


Keep = Callable[[object, Callable[[], Curve]], Curve]


def curves(
    ready_: Sequence[Beds], balls: Sequence[tuple[Ball, Sequence[SurfaceState]]], thrower: Thrower, priors: Priors, *,
    factors: Mapping[int, BallFactors] | None = None, keep: Keep | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> dict[tuple[int, str], Curve]:  # fmt: skip
    """Curves of every ball (with all its states, the present one first) at every stage, by (ball id, stage key).

    `keep(key, make)` gives back what was made for `key` before; `progress(done, of)` is told as each ball is done at
    each stage.
    """
    taught, found, every = factors or {}, {}, len(balls) * len(ready_)
    told = tuple((on.stage.key, on.stage.could) for on in ready_)
    said = hash(told)

    def tell(done: int) -> None:
        if progress:
            progress(done, every)

    tell(0)
    for before, (ball, states) in enumerate(balls):
        own = taught.get(ball.id)
        reach = reach_of(states, priors, own)
        for k, on in enumerate(ready_):

            def make(
                on: Beds = on, ball: Ball = ball, state: SurfaceState = states[0], own: BallFactors | None = own,
                reach: tuple[float, float] = reach,
            ) -> Curve:  # fmt: skip
                return curve(on, ball, state, thrower, priors, reach, factors=own)

            key = ("event rooms", said, on.stage.key, ball_told(ball, states[0]), reach, thrower, own)
            found[ball.id, on.stage.key] = keep(key, make) if keep else make()
            tell(before * len(ready_) + k + 1)
    return found
