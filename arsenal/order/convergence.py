"""What play has done to a set since it was set: balls grown alike, one fallen below its neighbour, boards lost.

Each ball is thrown on the shared shot as its finish was set (oil and wear as they are), as it had settled in, and as it
is now; what is unknown of the ball is the same in all three. Doubts come from paired draws, of those told only.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

import numpy as np

from arsenal import motion
from arsenal.motion import Grip
from arsenal.motion.records import Floats
from arsenal.order import shot as shots
from arsenal.order import words
from arsenal.order.compare import Reaction, overlap, strongest_first
from arsenal.order.records import Remark
from arsenal.order.shot import Shot
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M

APART_BOARDS = 3.0
FALLEN_BOARDS = 0.5
"""Our own assumption: by so much it was stronger than its neighbour, and by so much it is weaker now."""
Z10 = 1.2815515655446004  # P: standard normal 90th percentile
DUE_BOARDS, DUE_READ_M = 2.0, 2.0 * FOOT_M
KINDS = ("grown alike", "fallen", "lost")
Owned = tuple[Ball, SurfaceState]


@dataclass(frozen=True, slots=True)
class _Aged:
    """One ball as it was set, as it had settled in, and now: boards at the pins from one zero, and first read."""

    ball: Ball
    state: SurfaceState
    when_set: float
    lost: float
    """Boards since it settled in; negative where it has grown stronger."""
    read_lost_m: float
    now: Reaction


def of_set(
    bowler: Person, lane: Lane, owned: Sequence[Owned], priors: Priors, *, seed: int = 1, draws: int = 100,
    taught: Mapping[int, BallFactors] = {},
) -> tuple[Remark, ...]:  # fmt: skip
    """The alarms of a bowler's set on a condition; `taught` is what practice has taught of balls, by id. Raises
    KnownError without a release.
    """
    shot = shots.shared_shot(bowler, lane, priors, line=None, seed=seed, draws=draws, taught=taught)
    return alarms(shot, owned)


def alarms(shot: Shot, owned: Sequence[Owned]) -> tuple[Remark, ...]:
    """What is to be said of the strike balls in `owned`: grown alike first, then fallen, then those due in one."""
    aged = _aged(shot, [(b, s) for b, s in owned if not b.spare and s.finish_on is not None])
    return (*_grown_alike(shot, aged), *_fallen(shot, aged), *_lost(shot, aged))


def _when_set(state: SurfaceState) -> SurfaceState:
    return _at(state, state.since_set_ln)


def _settled(state: SurfaceState) -> SurfaceState:
    return _at(state, state.settled_in.lost_ln if state.settled_in else ZERO)


def _at(state: SurfaceState, since: Estimate) -> SurfaceState:
    return replace(state, ln_ra_m=Estimate(state.ln_ra_m.mean - since.mean, state.ln_ra_m.sd), film_m=ZERO)


def _aged(shot: Shot, owned: Sequence[Owned]) -> list[_Aged]:
    """All three of every ball in one batch, wiped, strongest now first."""
    if not owned:
        return []
    thrown = [(b, s) for b, of in owned for s in (_when_set(of), _settled(of), replace(of, film_m=ZERO))]
    grips = [shot.grip(b, s) for b, s in thrown]
    bodies = [motion.body_of(b, s) for b, s in thrown]
    runs = motion.batch(shot.bed, bodies, shot.style.on(shot.line), Grip.join(grips))
    land, read, shape = (a.reshape(len(owned), 3) for a in (runs.landing_m / BOARD_M, runs.first_read_m, runs.shape_m))
    found = {}
    for i, (ball, state) in enumerate(owned):
        now = Reaction(ball.id, float(land[i, 2]), _mark(read[i, 2]), _mark(shape[i, 2]))
        late = _reads(read[i])
        found[ball.id] = _Aged(
            ball, state, float(land[i, 0]), float(land[i, 1] - land[i, 2]), float(late[2] - late[1]), now
        )
    return [found[r.ball_id] for r in strongest_first([a.now for a in found.values()])]


def _mark(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _reads(first_read_m: Floats) -> Floats:
    """A ball that never reads on the lane counts as reading at the pins."""
    return np.where(np.isnan(first_read_m), LANE_LENGTH_M, first_read_m)


def _grown_alike(shot: Shot, aged: Sequence[_Aged]) -> list[Remark]:
    """Over three boards apart when set, an overlap now."""
    told = []
    for a, b in combinations(aged, 2):
        apart = a.when_set - b.when_set
        if abs(apart) <= APART_BOARDS or not overlap(a.now, b.now):
            continue
        now = a.now.boards - b.now.boards
        detail = f"{words.halves(apart)} boards apart when set, {words.halves(now)} now: "
        detail += f"{_moved(shot, a, b, apart - now)} closer. {_last(a, b)}"
        told.append(Remark("grown alike", f"{a.ball.name} and {b.ball.name} have grown alike", detail, _ids(a, b)))
    return told


def _last(a: _Aged, b: _Aged) -> str:
    """“Set 12 and 3 games ago.”"""
    games = [f"{of.state.games_on_finish.mean:.0f}" for of in (a, b)]
    return f"Set {games[0]} games ago, both." if games[0] == games[1] else f"Set {games[0]} and {games[1]} games ago."


def _fallen(shot: Shot, aged: Sequence[_Aged]) -> list[Remark]:
    """Stronger than the ball next above it when both were set, weaker now."""
    told = []
    for above, below in pairwise(aged):
        was, now = below.when_set - above.when_set, above.now.boards - below.now.boards
        if was < FALLEN_BOARDS or now < FALLEN_BOARDS:
            continue
        detail = f"{words.counted(was)} stronger when set, {words.halves(now)} weaker now: "
        detail += f"{_moved(shot, below, above, was + now)} down. {_last(below, above)}"
        title = f"{below.ball.name} has fallen below {above.ball.name}"
        told.append(Remark("fallen", title, detail, _ids(below, above)))
    return told


def _lost(shot: Shot, aged: Sequence[_Aged]) -> list[Remark]:
    """Two boards or two feet of first read gone since it settled in, whichever way: one sentence for all."""
    due = [a for a in aged if abs(a.lost) >= DUE_BOARDS or abs(a.read_lost_m) >= DUE_READ_M]
    if not due:
        return []
    said = []
    for a in due:
        sd = _lost_sd(shot, a)
        way = "lost" if a.lost >= 0.0 else "stronger"
        read = f"{words.feet(abs(a.read_lost_m))} ft {'later' if a.read_lost_m >= 0.0 else 'earlier'}"
        said.append(f"{a.ball.name} {words.amount(a.lost, sd)} ± {words.doubt(sd)} boards {way}, first read {read}")
    one = "is" if len(due) == 1 else "are"
    title = f"{words.names([a.ball.name for a in due])} {one} due by boards lost"
    return [Remark("lost", title, f"{'; '.join(said)}, since it settled in.", _ids(*due))]


def _ids(*of: _Aged) -> tuple[int, ...]:
    return tuple(a.ball.id for a in of)


def _moved(shot: Shot, a: _Aged, b: _Aged, boards: float) -> str:
    """“2½ ± 1 boards”: how far two balls have moved against each other, surer than where either stands."""
    draws = [_drawn(shot, of, of.state.since_set_ln, of.state.set_ln_ra_sd) - _now(shot, of) for of in (a, b)]
    sd = _spread(draws[0] - draws[1])
    return f"{words.amount(boards, sd)} ± {words.doubt(sd)} boards"


def _lost_sd(shot: Shot, a: _Aged) -> float:
    """Doubt of the boards lost since a ball settled in."""
    mark = a.state.settled_in
    return _spread(_drawn(shot, a, mark.lost_ln, mark.ln_ra_sd) - _now(shot, a)) if mark else 0.0


def _spread(boards: Floats) -> float:
    """One spread from the 10th and 90th percentile: a rough ball on a drawn dry lane has a long tail."""
    low, high = np.percentile(boards, (10.0, 90.0))
    return float(high - low) / (2.0 * Z10)


def _now(shot: Shot, a: _Aged) -> Floats:
    return _drawn(shot, a, ZERO, a.state.ln_ra_m.sd)


def _drawn(shot: Shot, a: _Aged, since: Estimate, then_sd: float | None) -> Floats:
    """Boards at the pins in every draw, with the roughness from before `since`."""
    z, now = shots.rows_of(shot, a.ball, a.state), replace(a.state, film_m=ZERO)
    rough = shots.ln_ra_before(now.ln_ra_m, since, then_sd, z)
    return np.asarray(shots.throw(shot, [shots.piece_at(shot, a.ball, now, rough, z)]).landing_m[0] / BOARD_M)
