"""What shots taught, in the form paths take it and in sentences; what is odd is named; the next shot worth throwing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from a_season import GRITS, HOUSE, LINE, PRIORS, START, STYLE, case, owned, season

from arsenal import motion
from arsenal.practice import finishes, model, next_shot, posterior, straight, taught
from arsenal.practice.cases import Case, Thrown, cases_of
from arsenal.surface.state import Estimate
from arsenal.trade import Ball, Cover, KnownError, Person
from arsenal.trade.entries import Entry, Kind, New, Scale, Step, SurfaceWork, Tool
from arsenal.trade.factors import BallFactors
from arsenal.trade.pads import Recipe
from arsenal.trade.trial import Sighting, Trial
from arsenal.trade.units import BOARD_M, FOOT_M

ROUGH = Recipe("1000 by hand", (Step(number=1000.0, tool=Tool.HAND, sides=4, seconds=30.0),))


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


def thrown(ball: int, grit: float = 3000.0, film_m: float = 0.0) -> Thrown:
    thing, state = owned(ball, grit)
    return Thrown(thing, replace(state, film_m=Estimate(film_m)), HOUSE, "x", STYLE, LINE, hooks_to_left=True)


def asked(found: posterior.Posterior | None = None, **more: object) -> tuple[next_shot.WorthThrowing, ...]:
    set_ = [thrown(b) for b in (1, 2, 3)]
    tests = next_shot.candidates_of(set_, [ROUGH], {}, PRIORS)
    return next_shot.next_shots(found, set_, 1, tests, PRIORS, **more)  # type: ignore[arg-type]


def test_unsanded_tests_come_first_and_sanding_is_told_as_for_good() -> None:
    worth = asked()
    sands = [w.candidate.sands for w in worth]
    assert sands == sorted(sands)
    assert worth[0].sentence.endswith("nothing is sanded.")
    assert all(w.sentence.endswith("it cannot be undone.") for w in worth if w.candidate.sands)
    assert all(0.0 < w.fall_boards < w.before_boards for w in worth)


def test_a_ball_thrown_often_is_less_worth_throwing_than_one_never_seen() -> None:
    found = posterior.learn([saw(k, 2, f"{k}", grit=3000.0) for k in range(10)], PRIORS)
    by_ball = {w.candidate.ball_id: w.fall_boards for w in asked(found) if not w.candidate.sands}
    assert by_ball[3] > by_ball.get(2, 0.0)


def test_a_question_about_two_balls_asks_for_one_of_them() -> None:
    worth = asked(question=(2, 3))
    assert worth[0].candidate.ball_id in (2, 3)


def test_the_fall_is_what_a_shot_then_takes() -> None:
    # outside: Schur complement of the joint covariance, numpy.linalg on the whole matrix
    rng = np.random.default_rng(3)
    half = rng.normal(size=(5, 5))
    cov, slope, noise = half @ half.T, rng.normal(size=(2, 5)), np.diag([0.4, 0.7])
    other = np.linalg.inv(np.linalg.inv(cov) + slope.T @ np.linalg.inv(noise) @ slope)
    assert next_shot.after_seeing(cov, slope, noise) == pytest.approx(other)


def test_what_was_learned_is_carried_whole_into_more_unknowns() -> None:
    found = posterior.learn(season_as_reckoned(), PRIORS)
    where = model.layout([*found.cases, case(99, 7, 500.0, "new")], PRIORS)
    mean, cov = next_shot.carried(found, where)
    for ball in found.where.balls:
        assert mean[where.ball(ball)] == pytest.approx(found.mean[found.where.ball(ball)], abs=1e-9)
        own = cov[where.ball(ball), where.ball(ball)]
        assert own == pytest.approx(found.cov[found.where.ball(ball), found.where.ball(ball)], abs=1e-9)
    assert np.sqrt(np.diag(cov)[where.ball(7)]) == pytest.approx(np.sqrt(np.diag(where.prior)[where.ball(7)]))


def season_as_reckoned() -> list[Case]:
    return [saw(c.trial.seq, c.trial.ball_id, c.trial.outing, grit=GRITS[i % 3]) for i, c in enumerate(season(2, 6, 2))]


def test_one_ball_has_no_order() -> None:
    with pytest.raises(KnownError, match="no order"):
        next_shot.next_shots(None, [thrown(1)], 1, (), PRIORS)


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
