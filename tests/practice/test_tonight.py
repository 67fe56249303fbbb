"""A lane as one outing has shown it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from a_season import HOUSE, PRIORS, case

from arsenal import motion
from arsenal.motion.beds import middle_of
from arsenal.practice import model, posterior, straight, taught
from arsenal.practice.cases import Case
from arsenal.practice.tonight import as_seen
from arsenal.trade import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.factors import LaneFactors
from arsenal.trade.trial import Sighting
from arsenal.trade.units import BOARD_M, FOOT_M

MORE = LaneFactors((math.log(1.2), math.log(1.1)), (0.04**2, 0.0, 0.0, 0.03**2), 3)
UNKNOWN = Lane(7, "a house that tells nothing", UnknownHouse())


def volume(lane: Lane) -> float:
    return float(motion.bed(lane, True, PRIORS).volume_m3[0])


def saw(seq: int, lane: Lane, boards: float) -> Case:
    plain = case(seq, 1, lane=lane)
    where = model.layout([plain], PRIORS)
    at = straight.straight([plain], where, np.zeros(where.size), PRIORS).at[0]
    return case(seq, 1, lane=lane, seen=Sighting(landing_m=at[0] + boards * BOARD_M, by_sensor=True))


def learned(lane: Lane, boards: float, shots: int = 3) -> LaneFactors:
    found = taught.lane_of(posterior.learn([saw(i, lane, boards) for i in range(shots)], PRIORS), "a")
    assert found is not None
    return found


def test_more_film_is_more_oil_on_a_summary_and_on_a_measured_film() -> None:
    grid = FilmGrid((0.0, 6.0, 12.0, 18.0), (1.0, 20.0, 39.0), ((6e-6,) * 3, (5e-6,) * 3, (1e-6,) * 3, (0.0,) * 3))
    for film in (FilmSummary(41.0 * FOOT_M, 25e-6, 8.0), grid):
        lane = Lane(3, "x", film)
        seen, _ = as_seen(lane, PRIORS, MORE)
        assert volume(seen) == pytest.approx(1.2 * volume(lane))


def test_the_doubt_left_is_the_outings_and_dry_boards_grip_as_they_showed() -> None:
    lane, priors = as_seen(HOUSE, PRIORS, MORE)
    assert priors.doubt.lane_ln_sd == pytest.approx(0.04)
    assert priors.friction.lane_surface_ln_sd == pytest.approx(0.03)
    dry = [float(motion.bed(HOUSE, True, p).dry_factor[0]) for p in (PRIORS, priors)]
    assert dry[1] / dry[0] == pytest.approx(1.1)
    assert lane.id == HOUSE.id
    assert priors.doubt.ball_ln_mu_sd == PRIORS.doubt.ball_ln_mu_sd


def test_three_shots_narrow_an_unknown_house() -> None:
    seen, priors = as_seen(UNKNOWN, PRIORS, learned(UNKNOWN, 0.0))
    before, after = UNKNOWN.film, seen.film
    assert isinstance(before, UnknownHouse)
    assert isinstance(after, UnknownHouse)
    n = 400
    ends = [
        motion.beds(lane, True, p, rng=np.random.default_rng(1), n=n) for lane, p in ((UNKNOWN, PRIORS), (seen, priors))
    ]
    ball, state = case(1).thrown[0].ball, case(1).thrown[0].state
    style, line = case(1).thrown[0].style, case(1).thrown[0].line
    grip = motion.grip(ball, state, PRIORS, style, 25e-6)
    landing = [
        motion.batch(stack, motion.body_of(ball, state), style.on(line), grip.repeat(n)).landing_m for stack in ends
    ]
    assert landing[1].std() < 0.75 * landing[0].std()


def test_a_house_that_plays_light_is_believed_to_hold_more() -> None:
    light, high = (as_seen(UNKNOWN, PRIORS, learned(UNKNOWN, by))[0] for by in (-4.0, 4.0))
    assert volume(light) > volume(UNKNOWN) > volume(high)
    for lane in (light, high):
        assert isinstance(lane.film, UnknownHouse)
        middle = middle_of(lane.film)
        assert lane.film.length_low_m < middle.length_m < lane.film.length_high_m


def test_what_cannot_be_on_a_lane_stays_within_what_can() -> None:
    far = LaneFactors((9.0, 0.0, 30.0, 9.0), tuple(np.diag([1.0, 0.1, 9.0, 4.0]).ravel()), 1)
    seen, priors = as_seen(UNKNOWN, PRIORS, far)
    motion.beds(seen, True, priors, rng=np.random.default_rng(1), n=5)
    assert volume(seen) <= 200e-6 + 1e-12
