"""The unknowns of a season, and how each mark of each shot answers to them: the one motion code, by differences.

Unknown are, per ball: ln of dry friction, response to roughness, ln of the response to oil on the lane, ln of the wear
pace; per finish of a ball: ln Ra against its log; per outing: ln of the lane's film, ln of its dry friction, and in an
unknown house its length and ln of its ratio; per bowler: ln of a factor on the scatter of the release. A shot's own
release is not looked for: its scatter goes into the noise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from arsenal import motion
from arsenal.motion import landings
from arsenal.motion.beds import BOARDS_PER_LN_FILM, middle_of
from arsenal.motion.grips import Grip
from arsenal.motion.records import Floats
from arsenal.practice.cases import Case, Thrown
from arsenal.practice.sites import Seen
from arsenal.surface.state import Estimate
from arsenal.trade.factors import work_key
from arsenal.trade.lane import FilmSummary, Lane, UnknownHouse
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Style
from arsenal.trade.trial import MARKS, Mark, PairedTrial, Sighting
from arsenal.trade.units import BOARD_M, FOOT_M

MU, RESPONSE, OIL, PACE = range(4)
BALL_SIZE = 4
FILM, DRY, LENGTH, RATIO = range(4)
OIL_LN_SD = 0.10
"""A: how far one cover's response to lane oil lies from its kind's."""
SCATTER_LN_SD = 0.35
"""A: how far ln of a bowler's scatter lies from what was said of it; nobody measures it."""
OFFSET_SHARE = 0.5
"""A: how much of what is unknown of a finish goes for all finishes of that ball."""
SAME_WORK_SHARE = 0.85
"""A: the same where both were set by the same work: the same pad leaves about what it left before (common practice)."""
LEAST_LN_RA_SD = 0.02
BY_EYE = np.array([0.5 * BOARD_M, 2.0 * FOOT_M, 2.0 * FOOT_M, 0.75 * BOARD_M, 0.5 * BOARD_M, 3.0 * FOOT_M])
BY_SENSOR = np.array([0.15 * BOARD_M, 0.75 * FOOT_M, 0.75 * FOOT_M, 0.2 * BOARD_M, 0.15 * BOARD_M, 1.0 * FOOT_M])
"""A: one sd of each of MARKS as it is read."""
STEPS = np.array([0.04, 0.15, 0.06, 0.12, 0.08])
"""Differences are taken over so much of ln friction, response, ln oil, ln Ra and ln film."""
WAYS, RELEASES = STEPS.size, 5
LENGTH_STEP_M, RATIO_STEP = 0.5 * FOOT_M, 0.1
STEPS_KEPT = 256


@dataclass(frozen=True, slots=True)
class Layout:
    """Where each unknown stands in the long vector; prior means are 0. `prior` is their covariance (D, D)."""

    balls: Mapping[int, int]
    finishes: Mapping[tuple[int, str], int]
    outings: Mapping[str, int]
    houses: frozenset[str]
    """Outings in an unknown house: two more unknowns each."""
    prior: Floats

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        return int(self.prior.shape[0])

    def outing(self, key: str) -> slice:
        """The unknowns of one outing."""
        return slice(self.outings[key], self.outings[key] + (4 if key in self.houses else 2))

    def ball(self, ball_id: int) -> slice:
        """The factors of one ball."""
        return slice(self.balls[ball_id], self.balls[ball_id] + BALL_SIZE)


@dataclass(frozen=True, slots=True)
class Straight:
    """The marks of n shots as straight lines in the unknowns: at (n, 6) + slope (n, 6, D) · (θ − θ₀), and the noise."""

    at: Floats
    slope: Floats
    noise: Floats
    readable: Floats
    """(n, 6), 1 where the mark exists and answers smoothly."""
    release: Floats
    """(n, 6, 6), how much of the noise is the release's scatter as it was said to be."""


def layout(cases: Sequence[Case], priors: Priors) -> Layout:
    """The unknowns that `cases` touch and what is believed of them before."""
    thrown = [t for case in cases for t in case.thrown]
    finishes = {t.finish: t for t in reversed(thrown)}
    outings = {t.outing: t.lane for t in thrown}
    order = sorted({t.ball.id for t in thrown})
    balls = {ball: BALL_SIZE * i for i, ball in enumerate(order)}
    at = BALL_SIZE * len(order)
    where = {key: at + i for i, key in enumerate(sorted(finishes))}
    at += len(where)
    outing_at, houses = {}, set()
    for key in sorted(outings):
        outing_at[key] = at
        if isinstance(outings[key].film, UnknownHouse):
            houses.add(key)
        at += 4 if key in houses else 2
    prior = np.zeros((at, at))
    doubt = priors.doubt
    for ball, first in balls.items():
        pace = next(t.state.wear_pace for t in thrown if t.ball.id == ball)
        pace_sd = pace.sd / pace.mean or priors.surface.pace_ln_sd
        own = np.array([doubt.ball_ln_mu_sd, doubt.response_sd, OIL_LN_SD, pace_sd])
        prior[first : first + BALL_SIZE, first : first + BALL_SIZE] = np.diag(own**2)
        own_finishes = {where[k]: t for k, t in finishes.items() if k[0] == ball}
        _finish_prior(prior, own_finishes, {i: _ln_ra_sd(t, pace_sd, priors) for i, t in own_finishes.items()})
    for key, first in outing_at.items():
        spread = np.array(lane_spread(outings[key], priors))
        prior[first : first + spread.size, first : first + spread.size] = np.diag(spread**2)
    return Layout(balls, where, outing_at, frozenset(houses), prior)


def _finish_prior(prior: Floats, thrown: Mapping[int, Thrown], sds: Mapping[int, float]) -> None:
    works = {i: work_key(t.state.finish) if t.state.finish else "" for i, t in thrown.items()}
    for i, a in sds.items():
        for j, b in sds.items():
            same = SAME_WORK_SHARE if works[i] and works[i] == works[j] else OFFSET_SHARE
            prior[i, j] = a * b * (1.0 if i == j else same)


def _ln_ra_sd(t: Thrown, pace_sd: float, priors: Priors) -> float:
    """Doubt of ln Ra of a finish apart from the wear pace, which stands for itself."""
    left = t.state.ln_ra_m.sd**2 - (shine_by_pace(t, priors) * pace_sd) ** 2
    return max(math.sqrt(max(left, 0.0)), LEAST_LN_RA_SD)


def shine_by_pace(t: Thrown, priors: Priors) -> float:
    """How much rougher (ln Ra) the ball would be if it shone that much slower, per ln of its pace."""
    s, state = priors.surface, t.state
    games, pace = state.games_on_finish.mean, state.wear_pace.mean
    fast = state.gap_fast * games / (s.tau_fast_games * pace)
    slow = state.gap_slow * games / (s.tau_slow_games[t.ball.cover] * pace)
    return -s.ra_exponent * (fast + slow)


def lane_spread(lane: Lane, priors: Priors) -> tuple[float, ...]:
    """One sd of what is unknown of an outing's lane; for an unknown house that of the flat spreads it is told by."""
    dry = priors.friction.lane_surface_ln_sd
    if not isinstance(lane.film, UnknownHouse):
        return priors.doubt.lane_ln_sd, dry
    house, flat = lane.film, 1.0 / math.sqrt(12.0)
    volume = flat * math.log(max(house.volume_high_m3, 1e-9) / max(house.volume_low_m3, 1e-9))
    film = math.hypot(house.lane_boards_sd / BOARDS_PER_LN_FILM, volume)
    length = flat * (house.length_high_m - house.length_low_m)
    return film, dry, max(length, 1e-3), max(flat * math.log(house.ratio_high / house.ratio_low), 1e-3)


def values_of(t: Thrown, where: Layout, theta: Floats, priors: Priors) -> Floats:
    """What `theta` says of one throw: ln friction, response, ln oil, ln Ra, ln film."""
    ball, outing = theta[where.ball(t.ball.id)], theta[where.outing(t.outing)]
    rough = theta[where.finishes[t.finish]] + shine_by_pace(t, priors) * ball[PACE]
    return np.array([ball[MU] + outing[DRY], ball[RESPONSE], ball[OIL], rough, outing[FILM]])


def grips_at(t: Thrown, values: Floats, volume_m3: float, priors: Priors) -> Grip:
    """The grip of one ball at each row of `values` (m, 5)."""
    doubt = priors.doubt
    normals = np.zeros((motion.NORMALS, values.shape[0]))
    normals[0], normals[2] = values[:, 3], values[:, MU] / doubt.ball_ln_mu_sd
    normals[3] = values[:, RESPONSE] / doubt.response_sd
    state = replace(t.state, ln_ra_m=Estimate(t.state.ln_ra_m.mean, 1.0))
    made = motion.grip_draws(t.ball, state, priors, t.style, volume_m3, normals=normals)
    lane = np.exp(values[:, 4])
    return replace(made, film_scale=made.film_scale * lane * np.exp(values[:, OIL]), pick_up=made.pick_up * lane)


def marks_of(runs: motion.Runs, arrows_m: Floats) -> Floats:
    """MARKS of m paths, (m, 6); NaN where a mark does not exist or cannot be placed."""
    turn = np.where(runs.breakpoint_flat, np.nan, runs.breakpoint_m)
    return np.stack(
        [runs.landing_m, runs.three_quarter_m - runs.shape_m, turn, runs.breakpoint_lateral_m, arrows_m, runs.rolls_m],
        axis=1,
    )


def seen_of(cases: Sequence[Case], noise: Floats, release: Floats | None = None) -> Seen:
    """What was seen as bounds (n, 6), with the shots' noise and the release's part of it."""
    low, high = np.full((len(cases), 6), -np.inf), np.full((len(cases), 6), np.inf)
    for i, case in enumerate(cases):
        if isinstance(case.trial, PairedTrial):
            low[i, 0] = high[i, 0] = case.trial.stronger_m
        else:
            _bounds(case.trial.seen, case.thrown[0].line, low[i], high[i])
    return Seen(low, high, noise, release)


def _bounds(seen: Sighting, line: Line, low: Floats, high: Floats) -> None:
    for mark, interval in (seen.intervals() or {}).items():
        j = MARKS.index(mark)
        low[j], high[j] = interval.low, interval.high
    numbers = dict(seen.numbers)
    if seen.off_target_m is not None:
        numbers.setdefault(Mark.ARROWS, motion.at_arrows(line)[1] + seen.off_target_m)
    for mark, value in numbers.items():
        j = MARKS.index(mark)
        low[j] = high[j] = value


def release_steps(t: Thrown) -> tuple[motion.Throws, Floats]:
    """The throw as meant, and one sd of scatter either way in each of five: 11 throws and their place at the arrows."""
    return _release_steps(motion.body_of(t.ball, t.state), t.style, t.line)


@lru_cache(STEPS_KEPT)
def _release_steps(body: motion.Body, style: Style, line: Line) -> tuple[motion.Throws, Floats]:
    one, s = np.ones(1 + 2 * RELEASES), style.scatter
    made = landings.thrown(style, body, line.lateral_m * one, line.launch_rad * one)
    columns = {
        "lateral_m": s.laydown_m, "launch_rad": s.launch_rad, "speed_mps": s.speed_mps,
        "rev_rate_radps": s.revs_fraction * style.rev_rate_radps, "axis_rotation_rad": s.rotation_rad,
    }  # fmt: skip
    moved = {}
    for i, (name, sd) in enumerate(columns.items()):
        column = np.array(getattr(made, name), float)
        column[1 + 2 * i] += sd
        column[2 + 2 * i] -= sd
        moved[name] = column
    made = replace(made, **moved)
    return made, made.lateral_m + motion.at_arrows(line)[0] * np.tan(made.launch_rad)


def at_house(lane: Lane, length_m: float, ln_ratio: float) -> Lane:
    """An unknown house at its middle, so much longer and of so much another ratio."""
    if not isinstance(lane.film, UnknownHouse):
        return lane
    mid = middle_of(lane.film)
    longest = 60.0 * FOOT_M
    length = min(max(mid.length_m + length_m, 5.0 * FOOT_M), longest)
    return replace(lane, film=FilmSummary(length, mid.volume_m3, min(max(mid.ratio * math.exp(ln_ratio), 1.0), 20.0)))
