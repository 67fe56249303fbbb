"""What practice shots teach: balls, lanes, odd shots, pairs, unknown houses."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from a_season import HOUSE, PRIORS, case, lived, owned, season

from arsenal.practice import model, posterior, straight
from arsenal.practice.cases import Case
from arsenal.trade import KnownError, Lane, UnknownHouse
from arsenal.trade.trial import PairedTrial, Sighting, Word
from arsenal.trade.units import BOARD_M, FOOT_M


def expected(one: Case) -> np.ndarray:
    where = model.layout([one], PRIORS)
    return straight.straight([one], where, np.zeros(where.size), PRIORS).at[0]


def saw(seq: int, ball: int, boards: float, outing: str = "a", grit: float = 2000.0) -> Case:
    """A ball that ended so many boards past where it was reckoned to."""
    plain = case(seq, ball, grit, outing)
    landing = float(expected(plain)[0]) + boards * BOARD_M
    return case(seq, ball, grit, outing, Sighting(landing_m=landing))


def test_no_shots_say_what_to_do_first() -> None:
    with pytest.raises(KnownError, match="no practice shot"):
        posterior.learn([], PRIORS)


def test_shots_as_reckoned_leave_the_means_and_narrow_the_doubt() -> None:
    found = posterior.learn([saw(i, 1, 0.0, f"{i}") for i in range(1, 6)], PRIORS)
    assert np.abs(found.mean).max() < 0.02
    assert (found.sd() <= np.sqrt(np.diag(found.where.prior)) + 1e-9).all()
    assert found.sd()[model.MU] < 0.8 * PRIORS.doubt.ball_ln_mu_sd


def test_a_ball_that_ends_high_beside_others_as_reckoned_has_more_friction() -> None:
    shots = [saw(3 * k + b, b, 3.0 if b == 1 else 0.0, f"{k}") for k, b in itertools.product(range(3), (1, 2, 3))]
    found = posterior.learn(shots, PRIORS)
    first, second = found.mean[found.where.ball(1)][model.MU], found.mean[found.where.ball(2)][model.MU]
    assert first > 0.03
    assert abs(second) < first / 2.0


def test_all_balls_high_on_one_day_is_the_lane_and_not_the_balls() -> None:
    shots = [saw(b, b, 3.0, "odd") for b in range(1, 7)]
    found = posterior.learn(shots, PRIORS)
    lane = found.where.outing("odd").start
    assert found.mean[lane + model.FILM] < -0.5 * PRIORS.doubt.lane_ln_sd
    assert max(abs(found.mean[found.where.ball(b)][model.MU]) for b in range(1, 7)) < 0.05


def test_an_odd_outing_loses_weight_and_teaches_little() -> None:
    usual = [saw(10 * k + b, b, 0.0, f"day {k}") for k, b in itertools.product(range(3), (1, 2, 3))]
    odd = [saw(90 + b, b, 9.0, "odd") for b in (1, 2, 3)]
    found = posterior.learn([*usual, *odd], PRIORS)
    assert found.lane_weight["odd"] < 0.7
    assert found.lane_weight["day 1"] > 0.9
    without = posterior.learn(usual, PRIORS)
    moved = found.mean[found.where.ball(1)][model.MU] - without.mean[without.where.ball(1)][model.MU]
    assert abs(moved) < 0.5 * PRIORS.doubt.ball_ln_mu_sd


def test_one_shot_far_off_among_many_is_odd_and_hardly_taught() -> None:
    shots = [saw(i, 1, 0.0, f"{i // 4}") for i in range(12)]
    found = posterior.learn([*shots, saw(50, 1, -14.0, "1")], PRIORS)
    assert found.odd[-1] > 0.9
    assert found.odd[:-1].max() < 0.2
    assert abs(found.mean[model.MU]) < 0.3 * PRIORS.doubt.ball_ln_mu_sd


def test_a_word_teaches_less_than_a_number() -> None:
    plain = case(1)
    at = float(expected(plain)[0])
    number = posterior.learn([case(1, seen=Sighting(landing_m=at, by_sensor=True))], PRIORS)
    word = posterior.learn([case(1, seen=Sighting(words=(Word.HIGH,)))], PRIORS)
    assert number.sd()[model.MU] < word.sd()[model.MU] < PRIORS.doubt.ball_ln_mu_sd


def pair(seq: int, boards: float, outing: str = "a") -> Case:
    one, two = case(seq, 1, outing=outing), case(seq, 2, outing=outing)
    apart = float(expected(one)[0] - expected(two)[0])
    trial = PairedTrial(seq, 1, 2, 1, 1, one.trial.on, outing, apart + boards * BOARD_M)
    return Case(trial, (*one.thrown, *two.thrown))


def test_shots_back_to_back_cancel_what_they_share() -> None:
    found = posterior.learn([pair(1, 3.0)], PRIORS)
    one, two = found.mean[found.where.ball(1)][model.MU], found.mean[found.where.ball(2)][model.MU]
    assert one > 0.01
    assert two < -0.01
    lane = found.mean[found.where.outing("a")]
    assert np.abs(lane[model.FILM]) < 0.25 * one / PRIORS.doubt.ball_ln_mu_sd * PRIORS.doubt.lane_ln_sd


def test_a_pair_says_more_of_a_difference_than_two_shots_by_eye_on_two_days() -> None:
    contrast = np.zeros(2 * model.BALL_SIZE)
    contrast[model.MU], contrast[model.BALL_SIZE + model.MU] = 1.0, -1.0

    def doubt(shots: list[Case]) -> float:
        found = posterior.learn(shots, PRIORS)
        both = found.cov[: contrast.size, : contrast.size]
        return float(contrast @ both @ contrast)

    assert doubt([pair(1, 0.0)]) < doubt([saw(1, 1, 0.0, "monday"), saw(2, 2, 0.0, "friday")])


def test_three_benchmark_shots_narrow_an_unknown_house() -> None:
    house = Lane(5, "somewhere", UnknownHouse())
    shots = []
    for i in range(1, 4):
        plain = case(i, 1, lane=house)
        at = expected(plain)
        shots.append(case(i, 1, lane=house, seen=Sighting(landing_m=at[0], first_read_m=at[1], breakpoint_m=at[2])))
    found = posterior.learn(shots, PRIORS)
    own = found.where.outing("a")
    before, after = np.sqrt(np.diag(found.where.prior)[own]), found.sd()[own]
    assert after[model.FILM] < 0.5 * before[model.FILM]
    assert after[model.LENGTH] < before[model.LENGTH]


def test_a_board_at_the_arrows_takes_the_release_out_of_the_doubt() -> None:
    one = case(1)
    at = expected(one)
    landing = Sighting(landing_m=at[0])
    both = Sighting(landing_m=at[0], arrows_m=at[4])
    less = posterior.learn([case(1, seen=both)], PRIORS).sd()[model.MU]
    assert less < posterior.learn([case(1, seen=landing)], PRIORS).sd()[model.MU]


def test_the_same_shots_give_the_same_numbers_and_progress_ends_at_one() -> None:
    shots, _, _ = lived(season(3, 12, 2), np.random.default_rng(2))
    heard: list[float] = []
    one, two = posterior.learn(shots, PRIORS, progress=heard.append), posterior.learn(shots, PRIORS)
    assert np.array_equal(one.mean, two.mean)
    assert np.array_equal(one.cov, two.cov)
    assert heard == sorted(heard)
    assert heard[-1] == 1.0


def test_a_first_read_two_feet_off_by_eye_is_no_surprise() -> None:
    at = expected(case(1))
    found = posterior.learn([case(1, seen=Sighting(first_read_m=at[1] + 2.0 * FOOT_M))], PRIORS)
    assert found.odd[0] < 0.1


def test_eighty_percent_bands_hold_the_truth() -> None:
    # 12 seasons of 4 balls: 48 balls × 3 factors; the bound is five binomial spreads wide, factors counted as a ball's
    inside = total = 0
    for seed in range(12):
        shots, where, truth = lived(season(4, 32, 4), np.random.default_rng(seed))
        found = posterior.learn(shots, PRIORS)
        off = np.abs(found.mean - truth) <= 1.2815515655446004 * found.sd()
        for ball in where.balls:
            own = off[where.ball(ball)][: model.PACE]
            inside, total = inside + int(own.sum()), total + own.size
    wide = 5.0 * (0.8 * 0.2 / (total / 3.0)) ** 0.5 / 3.0**0.5
    assert abs(inside / total - 0.8) < max(wide, 0.1)


def test_the_ball_in_the_log_is_the_one_that_is_learned_of() -> None:
    ball, state = owned(1)
    one = case(1)
    assert one.thrown[0].ball == ball
    assert one.thrown[0].finish == replace(one.thrown[0], state=state).finish
    assert HOUSE.id == one.trial.lane_id


@pytest.mark.parametrize("seed", range(6))
def test_shots_that_fit_nothing_at_all_leave_numbers_that_can_be_reckoned_with(seed: int) -> None:
    rng, words = np.random.default_rng(seed), list(Word)
    shots = []
    for k in range(int(rng.integers(2, 14))):
        wild = Sighting(float(rng.uniform(0.0, 1.05)), float(rng.uniform(5.0, 17.0)), by_sensor=True)
        seen = wild if rng.random() < 0.6 else Sighting(words=(words[int(rng.integers(7))],))
        lane = Lane(1, "x", UnknownHouse()) if seed % 2 else HOUSE
        shots.append(case(k, int(rng.integers(1, 4)), outing=f"{rng.integers(3)}", seen=seen, lane=lane))
    found = posterior.learn(shots, PRIORS)
    spread = np.sqrt(np.diag(found.where.prior))
    assert np.isfinite(found.mean).all()
    assert np.linalg.eigvalsh(found.cov).min() > -1e-9
    assert (found.sd() < 3.0 * spread).all()
    assert all(abs(of.mean) <= 1.5 for of in found.scatter.values())
