"""The marks of every shot as straight lines about what is believed now: one batch of paths a lane."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from arsenal import motion
from arsenal.motion import landings
from arsenal.motion.grips import Grip
from arsenal.motion.records import Floats
from arsenal.practice import model
from arsenal.practice.cases import Case, Thrown
from arsenal.practice.model import DRY, FILM, LENGTH, MU, OIL, PACE, RATIO, RESPONSE, Layout, Straight
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.priors import Priors
from arsenal.trade.trial import PairedTrial

POINTS = 1 + 2 * model.WAYS + 2 * model.RELEASES
HOUSE_MOVES = (("length", 1.0), ("length", -1.0), ("ratio", 1.0), ("ratio", -1.0))


@dataclass(frozen=True, slots=True)
class Answers:
    """How the six marks of one throw answer: at (6,), by the unknowns (6, D), by one sd of release (6, 5)."""

    at: Floats
    slope: Floats
    release: Floats


def straight(cases: Sequence[Case], where: Layout, theta: Floats, priors: Priors) -> Straight:
    """Every case about `theta` (D,)."""
    thrown = [t for case in cases for t in case.thrown]
    answers = iter(answers_of(thrown, where, theta, priors))
    n = len(cases)
    at, noise, scatter = np.zeros((n, 6)), np.zeros((n, 6, 6)), np.zeros((n, 6, 6))
    slope, readable = np.zeros((n, 6, where.size)), np.ones((n, 6))
    for i, case in enumerate(cases):
        a = next(answers)
        read_m = model.BY_EYE
        if isinstance(case.trial, PairedTrial):
            b = next(answers)
            a = Answers(a.at - b.at, a.slope - b.slope, a.release - b.release)
            read_m = np.full(6, case.trial.sd_m)
        elif case.trial.seen.by_sensor:
            read_m = model.BY_SENSOR
        known = np.isfinite(a.at) & np.isfinite(a.slope).all(axis=1) & np.isfinite(a.release).all(axis=1)
        readable[i] = known
        at[i] = np.where(known, a.at, 0.0)
        slope[i] = np.where(known[:, None], a.slope, 0.0)
        release = np.where(known[:, None], a.release, 0.0)
        scatter[i] = release @ release.T
        noise[i] = scatter[i] + np.diag(np.where(known, read_m, 1.0) ** 2)
    return Straight(at, slope, noise, readable, scatter)


def throwable(cases: Sequence[Case], priors: Priors) -> tuple[Case, ...]:
    """Those of `cases` that paths can be computed for: a lane, line or release that cannot be keeps a shot out."""
    found = []
    for case in cases:
        where = model.layout([case], priors)
        try:
            straight([case], where, np.zeros(where.size), priors)
        except KnownError:
            continue
        found.append(case)
    return tuple(found)


def answers_of(thrown: Sequence[Thrown], where: Layout, theta: Floats, priors: Priors) -> list[Answers]:
    """Each throw by central differences; those on one lane go in one batch."""
    groups: dict[tuple[int, bool, str], list[int]] = {}
    for i, t in enumerate(thrown):
        key = t.outing if t.outing in where.houses else ""
        groups.setdefault((t.lane.id, t.hooks_to_left, key), []).append(i)
    found: dict[int, Answers] = {}
    for (_, _, outing), members in groups.items():
        some = [thrown[i] for i in members]
        made = _house(some, where, theta, priors) if outing else _known(some, where, theta, priors, some[0].lane)
        found.update(zip(members, made, strict=True))
    return [found[i] for i in range(len(thrown))]


def points(t: Thrown, values: Floats, volume_m3: float, priors: Priors) -> tuple[motion.Throws, Grip, Floats]:
    """The throws and grips of one throw's differences: as believed, unknowns and release moved either way."""
    rows = np.tile(values, (POINTS, 1))
    for k, step in enumerate(model.STEPS):
        rows[1 + 2 * k, k] += step
        rows[2 + 2 * k, k] -= step
    releases, arrows = model.release_steps(t)
    index = np.concatenate([np.zeros(1 + 2 * model.WAYS, int), np.arange(1, 1 + 2 * model.RELEASES)])
    made = motion.Throws(*(getattr(releases, name)[index] for name in motion.Throws.__slots__))
    return made, model.grips_at(t, rows, volume_m3, priors), arrows[index]


def _known(thrown: Sequence[Thrown], where: Layout, theta: Floats, priors: Priors, lane: Lane) -> list[Answers]:
    bed = motion.bed(lane, thrown[0].hooks_to_left, priors)
    volume = float(bed.volume_m3[0])
    parts = [points(t, model.values_of(t, where, theta, priors), volume, priors) for t in thrown]
    runs = motion.batch(
        bed, None, landings.joined([p[0] for p in parts]), Grip.join([p[1] for p in parts]), maps=np.zeros(1, np.intp)
    )
    marks = model.marks_of(runs, np.concatenate([p[2] for p in parts])).reshape(len(thrown), POINTS, 6)
    return [_answers(t, m, where, priors) for t, m in zip(thrown, marks, strict=True)]


def _answers(t: Thrown, marks: Floats, where: Layout, priors: Priors) -> Answers:
    ways = (marks[1 : 1 + 2 * model.WAYS : 2] - marks[2 : 2 + 2 * model.WAYS : 2]).T / (2.0 * model.STEPS)
    first = 1 + 2 * model.WAYS
    release = (marks[first::2] - marks[first + 1 :: 2]).T / 2.0
    slope = np.zeros((6, where.size))
    ball, outing = where.ball(t.ball.id).start, where.outing(t.outing).start
    slope[:, ball + MU], slope[:, ball + RESPONSE], slope[:, ball + OIL] = ways[:, 0], ways[:, 1], ways[:, 2]
    slope[:, ball + PACE] = ways[:, 3] * model.shine_by_pace(t, priors)
    slope[:, where.finishes[t.finish]] = ways[:, 3]
    slope[:, outing + DRY], slope[:, outing + FILM] = ways[:, 0], ways[:, 4]
    return Answers(marks[0], slope, release)


def _house(thrown: Sequence[Thrown], where: Layout, theta: Floats, priors: Priors) -> list[Answers]:
    """In an unknown house the lane itself is moved either way too."""
    at = theta[where.outing(thrown[0].outing)]
    base = model.at_house(thrown[0].lane, at[LENGTH], at[RATIO])
    made = _known(thrown, where, theta, priors, base)
    meant, moved = _meant(thrown, where, theta, priors, base), {}
    for name, way in HOUSE_MOVES:
        length = at[LENGTH] + (way * model.LENGTH_STEP_M if name == "length" else 0.0)
        ratio = at[RATIO] + (way * model.RATIO_STEP if name == "ratio" else 0.0)
        lane = model.at_house(thrown[0].lane, length, ratio)
        moved[name, way] = meant.on(motion.bed(lane, thrown[0].hooks_to_left, priors))
    first = where.outing(thrown[0].outing).start
    for i, answer in enumerate(made):
        for name, k, step in (("length", LENGTH, model.LENGTH_STEP_M), ("ratio", RATIO, model.RATIO_STEP)):
            answer.slope[:, first + k] = (moved[name, 1.0][i] - moved[name, -1.0][i]) / (2.0 * step)
    return made


@dataclass(frozen=True, slots=True)
class _Meant:
    """Throws as meant, one path each, ready for any lane of that much oil."""

    throws: motion.Throws
    grips: Grip
    arrows_m: Floats

    def on(self, bed: motion.Bed) -> Floats:
        """Their marks (n, 6)."""
        runs = motion.batch(bed, None, self.throws, self.grips, maps=np.zeros(1, np.intp))
        return model.marks_of(runs, self.arrows_m)


def _meant(thrown: Sequence[Thrown], where: Layout, theta: Floats, priors: Priors, lane: Lane) -> _Meant:
    volume = float(motion.bed(lane, thrown[0].hooks_to_left, priors).volume_m3[0])
    rows = [model.values_of(t, where, theta, priors)[None, :] for t in thrown]
    grips = [model.grips_at(t, row, volume, priors) for t, row in zip(thrown, rows, strict=True)]
    one = [
        landings.thrown(
            t.style, motion.body_of(t.ball, t.state), np.array([t.line.lateral_m]), np.array([t.line.launch_rad])
        )
        for t in thrown
    ]  # fmt: skip
    arrows = np.array([motion.at_arrows(t.line)[1] for t in thrown])
    return _Meant(landings.joined(one), Grip.join(grips), arrows)
