"""What shots taught, in the form paths take it and in sentences; what is odd is named; the next shot worth throwing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from a_season import HOUSE, LINE, PRIORS, START, STYLE, case, owned

from arsenal import motion
from arsenal.practice import finishes, model, posterior, straight, taught
from arsenal.practice.cases import Case, cases_of
from arsenal.trade import Ball, Cover, Person
from arsenal.trade.entries import Entry, Kind, New, Scale, Step, SurfaceWork, Tool
from arsenal.trade.factors import BallFactors
from arsenal.trade.trial import Sighting, Trial
from arsenal.trade.units import BOARD_M, FOOT_M


def saw(seq: int, ball: int, outing: str, feet: float = 0.0, boards: float = 0.0, grit: float = 2000.0) -> Case:
    plain = case(seq, ball, grit, outing)
    where = model.layout([plain], PRIORS)
    at = straight.straight([plain], where, np.zeros(where.size), PRIORS).at[0]
    seen = Sighting(landing_m=at[0] + boards * BOARD_M, first_read_m=at[1] + feet * FOOT_M, by_sensor=True)
    return case(seq, ball, grit, outing, seen)


def others(outings: int = 4) -> list[Case]:
    return [saw(20 * k + b, b, f"{k}") for k in range(outings) for b in (2, 3, 4)]


def test_a_ball_that_reads_far_earlier_than_its_log_explains_is_named() -> None:
    wrong = [saw(20 * k + 1, 1, f"{k}", feet=-9.0, boards=8.0) for k in range(4)]
    said = [
        f for f in taught.findings(posterior.learn([*wrong, *others()], PRIORS)) if f.code == "practice.wrong-model"
    ]
    assert len(said) == 1
    assert said[0].sentence.startswith("Ball 1 reads")
    assert said[0].sentence.endswith("ft earlier than anything its log explains: check the log.")


def test_balls_that_read_as_reckoned_are_not_named() -> None:
    assert taught.findings(posterior.learn(others(), PRIORS)) == ()


def test_an_odd_outing_is_named_rather_than_taught() -> None:
    odd = [saw(90 + b, b, "sunday", boards=-12.0, feet=6.0) for b in (2, 3, 4)]
    codes = {f.code: f.sentence for f in taught.findings(posterior.learn([*others(), *odd], PRIORS))}
    assert "sunday" in codes["practice.odd-outing"]
    assert "more oil" in codes["practice.odd-outing"]


def test_expected_after_lies_nearer_to_what_was_seen_than_before() -> None:
    found = posterior.learn([saw(k, 1, f"{k}", boards=3.0) for k in range(4)], PRIORS)
    for one in taught.seen_against(found):
        assert abs(one.low[0] - one.after[0]) < abs(one.low[0] - one.before[0])


def test_draws_of_a_ball_that_taught_nothing_spread_as_those_from_the_log() -> None:
    ball, state = owned(1)
    d = PRIORS.doubt
    cov = np.diag([d.ball_ln_mu_sd**2, d.response_sd**2, 0.0, state.ln_ra_m.sd**2])
    plain = BallFactors(1, (0.0, 0.0, 0.0, 0.0), tuple(cov.ravel()), 1)
    z = np.random.default_rng(1).standard_normal((motion.NORMALS, 50))
    usual = motion.grip_draws(ball, state, PRIORS, STYLE, 25e-6, normals=z)
    same = motion.grip_draws(ball, state, PRIORS, STYLE, 25e-6, normals=z, factors=plain)
    assert same.mu_dry == pytest.approx(usual.mu_dry)
    assert same.sigma_m == pytest.approx(usual.sigma_m)
    assert same.film_scale == pytest.approx(np.full(50, usual.film_scale[0]))


def test_draws_land_as_straight_lines_say_after_learning() -> None:
    found = posterior.learn([saw(k, 1, f"{k}", boards=2.0) for k in range(8)], PRIORS)
    known = taught.factors(found, 1)
    assert known is not None
    assert known.trials == 8
    t = found.cases[0].thrown[0]
    bed = motion.bed(HOUSE, True, PRIORS)
    z = np.random.default_rng(4).standard_normal((motion.NORMALS, 4000))
    grip = motion.grip_draws(t.ball, t.state, PRIORS, STYLE, 25e-6, normals=z, factors=known)
    runs = motion.batch(bed, motion.body_of(t.ball, t.state), STYLE.on(LINE), grip)
    theta = found.mean.copy()
    for key in found.where.outings:
        theta[found.where.outing(key)] = 0.0
    answer = straight.answers_of([t], found.where, theta, PRIORS)[0]
    slope = answer.slope[0].copy()
    for key in found.where.outings:
        slope[found.where.outing(key)] = 0.0
    sd = float(np.sqrt(slope @ found.cov @ slope))
    assert runs.landing_m.mean() == pytest.approx(answer.at[0], abs=0.15 * sd)
    assert runs.landing_m.std() == pytest.approx(sd, rel=0.15)


def test_the_grip_at_the_means_moves_by_what_was_taught() -> None:
    ball, state = owned(1)
    taught_of = BallFactors(1, (0.05, 0.0, 0.1, 0.0), tuple(np.zeros(16)), 3)
    usual = motion.grip(ball, state, PRIORS, STYLE, 25e-6)
    now = motion.grip(ball, state, PRIORS, STYLE, 25e-6, factors=taught_of)
    assert now.mu_dry / usual.mu_dry == pytest.approx(np.exp(0.05))
    assert now.film_scale / usual.film_scale == pytest.approx(np.exp(0.1))
    assert now.sigma_m == pytest.approx(usual.sigma_m)


def test_a_ball_without_a_shot_has_no_factors() -> None:
    assert taught.factors(posterior.learn([saw(1, 1, "a")], PRIORS), 9) is None


@pytest.mark.common_practice
def test_a_coarser_finish_reads_earlier_and_its_doubt_shrinks_as_shots_come() -> None:
    few = [saw(1, 1, "a", grit=3000.0), saw(2, 1, "a", grit=1000.0)]
    many = [saw(2 * k + i, 1, f"{k}", grit=(3000.0, 1000.0)[i]) for k in range(6) for i in range(2)]
    (one,), (two,) = (finishes.finishes_taught(posterior.learn(shots, PRIORS)) for shots in (few, many))
    assert one.first_read_m.mean < 0.0
    assert two.first_read_m.sd < one.first_read_m.sd
    assert two.sentence.startswith("A finish that plays about 1000 m")
    assert two.sentence.endswith(" on medium oil; 12 trials.")


def test_what_a_pad_did_last_time_comes_out_of_the_shots() -> None:
    # the ball answered with 2 ft and 2 boards more than its log says: the sentence moves that way
    plain = [saw(2 * k + i, 1, f"{k}", grit=(3000.0, 1000.0)[i]) for k in range(5) for i in range(2)]
    rough = {"feet": -2.0, "boards": 2.0, "grit": 1000.0}
    more = [saw(2 * k + i, 1, f"{k}", **({"grit": 3000.0}, rough)[i]) for k in range(5) for i in range(2)]
    (one,), (two,) = (finishes.finishes_taught(posterior.learn(shots, PRIORS)) for shots in (plain, more))
    assert two.first_read_m.mean < one.first_read_m.mean - 0.5 * FOOT_M


def test_a_pad_between_two_shots_stands_between_them() -> None:
    ball = Ball(1, "Rook", "rook", 1, Cover.SOLID)
    noon = datetime(2026, 3, 2, 12, tzinfo=UTC)
    step = Step(number=500.0, scale=Scale.P, tool=Tool.MACHINE, wet=True)
    log = [
        Entry(1, 1, Kind.NEW, START, New(), noon, 0), Entry(5, 1, Kind.SANDED, START, SurfaceWork((step,)), noon, 0),
    ]  # fmt: skip
    shots = [Trial(seq, 1, 1, 1, START, "monday", Sighting(landing_m=0.45)) for seq in (4, 6)]
    shots.append(Trial(7, 8, 1, 1, START + timedelta(days=1), "monday", Sighting(landing_m=0.45)))
    bowler = Person(1, "Mirel", style=STYLE, lines=((1, LINE),))
    made = cases_of(shots, {1: ball}, {1: log}, {1: HOUSE}, {1: bowler}, PRIORS)
    before, after = (c.thrown[0] for c in made.cases)
    assert after.state.ln_ra_m.mean > before.state.ln_ra_m.mean
    assert after.finish != before.finish
    assert [f.code for f in made.findings] == ["trial.no-log"]


def test_a_shot_of_a_bowler_nobody_has_described_waits() -> None:
    ball = Ball(1, "Rook", "rook", 1, Cover.SOLID)
    log = [Entry(1, 1, Kind.NEW, START, New(), datetime(2026, 3, 2, 12, tzinfo=UTC), 0)]
    shot = Trial(4, 1, 1, 1, START, "monday", Sighting(landing_m=0.45))
    made = cases_of([shot], {1: ball}, {1: log}, {1: HOUSE}, {1: Person(1, "Mirel")}, PRIORS)
    assert made.cases == ()
    assert "how it was thrown" in made.findings[0].sentence


def test_a_release_that_was_read_leaves_little_of_its_scatter_unknown() -> None:
    ball = Ball(1, "Rook", "rook", 1, Cover.SOLID)
    log = [Entry(1, 1, Kind.NEW, START, New(), datetime(2026, 3, 2, 12, tzinfo=UTC), 0)]
    faster = replace(STYLE, speed_mps=1.05 * STYLE.speed_mps)
    shots = [Trial(4, 1, 1, 1, START, "m", Sighting(landing_m=0.45)),
             Trial(5, 1, 1, 1, START, "m", Sighting(landing_m=0.45), style=faster)]  # fmt: skip
    bowler = Person(1, "Mirel", style=STYLE, lines=((1, LINE),))
    usual, read = (c.thrown[0].style.scatter for c in cases_of(
        shots, {1: ball}, {1: log}, {1: HOUSE}, {1: bowler}, PRIORS).cases)  # fmt: skip
    assert usual == STYLE.scatter
    assert read.speed_mps < 0.5 * usual.speed_mps
    assert (read.revs_fraction, read.launch_rad) == (usual.revs_fraction, usual.launch_rad)
