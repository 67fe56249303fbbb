"""What a posterior says of each ball, in the form the paths take it, and whatever is odd, named rather than taught."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice import model
from arsenal.practice.carried import carried
from arsenal.practice.cases import Case, Thrown
from arsenal.practice.posterior import Posterior
from arsenal.surface.state import SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.factors import BallFactors, LaneFactors, WorkBefore, work_key
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.trial import MARKS, Mark, Sighting, Trial
from arsenal.trade.units import BOARD_M, FOOT_M

ODD_SHOT = 0.8
ODD_OUTING, WRONG_BALL = 2.5, 2.5
"""Spreads from what a lane was said to be, or from what a ball's log explains, that want naming (our own choice)."""
LEAST_SHOTS = 2
FIRST_READ, LANDING = MARKS.index(Mark.FIRST_READ), MARKS.index(Mark.LANDING)


def factors(found: Posterior, ball_id: int, t: Thrown | None = None) -> BallFactors | None:
    """The four factors of one ball; its finish is that of `t`, by default of its last shot. None without a shot."""
    own = _last_throws(found).get(ball_id)
    if own is None:
        return None
    last = t or own
    made = _of(found, {ball_id: last})[ball_id]
    return replace(made, shared=())


def every(found: Posterior, owned: Sequence[tuple[Ball, SurfaceState]] = ()) -> Mapping[int, BallFactors]:
    """What is known of each ball that was thrown, on the finish it has in `owned`, else on that of its last shot.

    What is unknown of two balls hangs together where they were thrown on one lane; `shared` says how.
    """
    now = {ball.id: (ball, state) for ball, state in owned}
    last = _last_throws(found)
    return _of(found, {i: replace(t, ball=now[i][0], state=now[i][1]) if i in now else t for i, t in last.items()})


def _last_throws(found: Posterior) -> dict[int, Thrown]:
    return {t.ball.id: t for case in found.cases for t in case.thrown}


def _of(found: Posterior, thrown: Mapping[int, Thrown]) -> dict[int, BallFactors]:
    """Of each ball its four factors on the finish it is thrown with here; a finish nobody threw is as in the log."""
    ids = sorted(thrown)
    cases = [Case(Trial(0, i, 0, thrown[i].lane.id, date.min, "", Sighting()), (thrown[i],)) for i in ids]
    where = model.layout([*found.cases, *cases], found.priors)
    mean, cov = carried(found, where)
    pick = np.zeros((4 * len(ids), where.size))
    for row, i in enumerate(ids):
        ball = where.ball(i).start
        pick[4 * row + np.arange(3), ball + np.array([model.MU, model.RESPONSE, model.OIL])] = 1.0
        pick[4 * row + 3, where.finishes[thrown[i].finish]] = 1.0
        pick[4 * row + 3, ball + model.PACE] = model.shine_by_pace(thrown[i], found.priors)
    mean, cov = pick @ mean, pick @ cov @ pick.T
    values, vectors = np.linalg.eigh(cov)
    root = (vectors * np.sqrt(np.maximum(values, 0.0))) @ vectors.T
    counts = Counter(t.ball.id for case in found.cases for t in case.thrown)
    made = {i: _one(i, row, mean, cov, root, ids, thrown[i], counts[i]) for row, i in enumerate(ids)}
    return {i: replace(of, works=_works(found, i), pace=_pace(found, i)) for i, of in made.items()}


def _pace(found: Posterior, ball_id: int) -> tuple[float, float] | None:
    """What the shots say of a ball's wear pace; None for a ball nobody has thrown."""
    if ball_id not in found.where.balls:
        return None
    at = found.where.ball(ball_id).start + model.PACE
    return float(found.mean[at]), math.sqrt(max(float(found.cov[at, at]), 0.0))


def _works(found: Posterior, ball_id: int) -> tuple[WorkBefore, ...]:
    """What the latest finish by each kind of work was against its log."""
    own = [t for case in found.cases for t in case.thrown if t.ball.id == ball_id and t.state.finish]
    by_key = {work_key(t.state.finish): found.where.finishes[t.finish] for t in own}
    share = model.SAME_WORK_SHARE
    return tuple(
        WorkBefore(key, share * float(found.mean[at]), share**2 * float(found.cov[at, at]), share**2)
        for key, at in by_key.items()
    )


def _one(
    ball_id: int, row: int, mean: Floats, cov: Floats, root: Floats, ids: Sequence[int], t: Thrown, trials: int
) -> BallFactors:
    own = slice(4 * row, 4 * row + 4)
    a, b, c, d = (float(v) for v in mean[own])
    shared = tuple((i, _flat(root[own, 4 * k : 4 * k + 4])) for k, i in enumerate(ids))
    return BallFactors(ball_id, (a, b, c, d), _flat(cov[own, own]), trials, t.state.ln_ra_m.sd, shared)


def _flat(block: Floats) -> tuple[float, ...]:
    return tuple(float(v) for v in block.ravel())


def lane_of(found: Posterior, key: str) -> LaneFactors | None:
    """What one outing's lane was like; None where none of its shots were learned from."""
    if key not in found.where.outings:
        return None
    at = found.where.outing(key)
    shots = sum(case.thrown[0].outing == key for case in found.cases)
    return LaneFactors(tuple(float(v) for v in found.mean[at]), _flat(found.cov[at, at]), shots)


@dataclass(frozen=True, slots=True)
class SeenAgainst:
    """One shot: what was expected of it before, what is expected after, what was seen; SI, NaN where there is none."""

    case: Case
    before: Floats
    after: Floats
    low: Floats
    high: Floats
    """Bounds on what was seen; equal where it was a number."""
    odd: float


def seen_against(found: Posterior) -> tuple[SeenAgainst, ...]:
    """Every shot, in the order they were thrown."""
    lines = found.straight
    before = lines.at - np.einsum("nkd,d->nk", lines.slope, found.mean)
    there = lines.readable > 0.0
    before, after = np.where(there, before, np.nan), found.expected
    seen = found.seen
    return tuple(
        SeenAgainst(case, before[i], after[i], seen.low[i], seen.high[i], float(found.odd[i]))
        for i, case in enumerate(found.cases)
    )


def findings(found: Posterior) -> tuple[Finding, ...]:
    """Odd outings, balls that no log explains, and single odd shots, most pressing first."""
    return (*wrong_balls(found).values(), *odd_outings(found), *_odd_shots(found))


def odd_outings(found: Posterior, lane_id: int | None = None, on: date | None = None) -> list[Finding]:
    """Outings whose lane was far from what it was said to be; of one lane or day where asked for."""
    said = []
    for key, first in found.where.outings.items():
        trial = next(case.trial for case in found.cases if case.thrown[0].outing == key)
        if lane_id not in (None, trial.lane_id) or on not in (None, trial.on):
            continue
        off = found.mean[first + model.FILM] / np.sqrt(found.where.prior[first + model.FILM, first + model.FILM])
        if abs(off) > ODD_OUTING:
            way = "more oil" if off > 0.0 else "less oil"
            shots = sum(case.thrown[0].outing == key for case in found.cases)
            text = f"The lane of {key} played like far {way} than it was said to have; its {shots} shots teach little."
            said.append(Finding("practice.odd-outing", text, Weight.WARN))
    return said


def _odd_shots(found: Posterior) -> list[Finding]:
    return [
        Finding(
            "practice.odd-shot",
            f"{case.thrown[0].ball.name}, {days.day_and_year(case.trial.on)}: this shot fits nothing else; "
            "it teaches little.",
            Weight.NOTE, case.trial.seq,
        )
        for case, odd in zip(found.cases, found.odd, strict=True)
        if odd > ODD_SHOT
    ]  # fmt: skip


def wrong_balls(found: Posterior) -> dict[int, Finding]:
    """Balls whose shots no log explains, by id."""
    said = {}
    for ball_id in found.where.balls:
        mine = [i for i, c in enumerate(found.cases) if len(c.thrown) == 1 and c.thrown[0].ball.id == ball_id]
        for mark in (FIRST_READ, LANDING):
            off = unexplained(found, mine, mark)
            if off is not None and abs(off[0]) > WRONG_BALL * off[1]:
                said[ball_id] = _wrong(found.cases[mine[0]].thrown[0].ball.name, mark, off[0])
                break
    return said


def unexplained(found: Posterior, shots: list[int], mark: int) -> tuple[float, float] | None:
    """How far a ball's shots lie, in one mark on average, from what its log explains on the lanes as they are believed
    now, and one sd of that; None with fewer than two such shots.
    """
    seen, lines, where = found.seen, found.straight, found.where
    read = [i for i in shots if seen.low[i, mark] == seen.high[i, mark]]
    if len(read) < LEAST_SHOTS:
        return None
    ball = found.cases[read[0]].thrown[0].ball.id
    first = where.ball(ball).start
    own = [*range(first, first + model.BALL_SIZE), *(at for key, at in where.finishes.items() if key[0] == ball)]
    slope = lines.slope[read, mark][:, own]
    plain = lines.at[read, mark] - slope @ found.mean[own]
    off = float(np.mean(seen.low[read, mark] - plain))
    mean_slope = slope.mean(axis=0)
    var = mean_slope @ where.prior[np.ix_(own, own)] @ mean_slope
    var += float(found.noise[read, mark, mark].sum()) / len(read) ** 2
    outings = [i for key in where.outings for i in range(where.size)[where.outing(key)]]
    lanes = lines.slope[read, mark][:, outings].mean(axis=0)
    var += lanes @ found.cov[np.ix_(outings, outings)] @ lanes
    return off, float(np.sqrt(var))


def _wrong(name: str, mark: int, off: float) -> Finding:
    if mark == FIRST_READ:
        how = f"reads {abs(off) / FOOT_M:.0f} ft {'earlier' if off < 0.0 else 'later'}"
    else:
        how = f"ends {abs(off) / BOARD_M:.0f} boards {'stronger' if off > 0.0 else 'weaker'}"
    text = f"{name} {how} than anything its log explains: check the log."
    return Finding("practice.wrong-model", text, Weight.WARN)
