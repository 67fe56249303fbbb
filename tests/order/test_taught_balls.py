"""An order, a pad and a room reckoned with what practice has taught of the balls."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from a_set import HOUSE, LINE, PRIORS, bowler, owned

from arsenal import motion
from arsenal.order import order, what_if
from arsenal.order import shot as shots
from arsenal.surface import after_work
from arsenal.surface.state import Estimate
from arsenal.trade import Cover
from arsenal.trade.entries import Scale, Step, Tool
from arsenal.trade.factors import BallFactors
from arsenal.trade.pads import Recipe
from arsenal.trade.units import BOARD_M

SD = 0.15
SET = [owned(1), owned(2, Cover.PEARL, 3000.0), owned(3, Cover.HYBRID, 2000.0)]
LIGHT = Recipe("1000 by hand", (Step(number=1000.0, scale=Scale.P),))
FULL = Recipe("500 on the spinner", (Step(number=500.0, scale=Scale.P, tool=Tool.SPINNER, wet=True, sides=4,
                                          seconds=90.0),))  # fmt: skip
NO_TIME = Recipe("nothing", (Step(number=1000.0, scale=Scale.P, sides=4, seconds=0.0),))


def known(
    ball: int, *, mu: float = 0.0, response: float = 0.0, oil: float = 0.0, rough: float = 0.0, sds: float = 0.01
) -> BallFactors:
    cov = np.diag([sds, sds, sds, sds]) ** 2
    return BallFactors(ball, (mu, response, oil, rough), tuple(cov.ravel()), 5, SD)


def made(*taught: BallFactors):  # type: ignore[no-untyped-def]
    return order(bowler(1), HOUSE, SET, PRIORS, line=LINE, rooms=False, taught={t.ball_id: t for t in taught})


def pads(recipes: list[Recipe], *taught: BallFactors):  # type: ignore[no-untyped-def]
    by_id = {t.ball_id: t for t in taught}
    return what_if(made(*taught), bowler(1), HOUSE, SET, 2, recipes, {}, PRIORS, rooms=False, taught=by_id)


def row(found, ball: int):  # type: ignore[no-untyped-def]
    return next(r for r in found.rows if r.ball.id == ball)


def test_a_ball_of_more_friction_ends_stronger_and_surer() -> None:
    plain, taught = made(), made(known(2, mu=0.15))
    assert row(taught, 2).boards > row(plain, 2).boards + 1.5
    assert row(taught, 2).boards_sd < row(plain, 2).boards_sd
    assert row(taught, 3).boards == row(plain, 3).boards


def test_draws_of_the_other_balls_stay_to_the_last_digit() -> None:
    plain, taught = made(), made(known(2, mu=0.08))
    for ball in (1, 3):
        assert row(taught, ball).boards_sd == row(plain, ball).boards_sd
        assert row(taught, ball).first_read_sd_m == row(plain, ball).first_read_sd_m


def test_a_rougher_finish_than_the_log_says_reads_earlier() -> None:
    assert row(made(known(2, rough=0.3)), 2).first_read_m < row(made(), 2).first_read_m


def test_the_stamp_says_what_was_taught_and_of_how_many_shots() -> None:
    plain, taught, other = made().stamp, made(known(2, mu=0.08)).stamp, made(known(2, mu=0.07)).stamp
    assert (plain.taught, plain.trials) == ("", 0)
    assert taught.trials == 5
    assert len({plain.inputs_hash, taught.inputs_hash, other.inputs_hash}) == 3
    assert taught.taught != other.taught


def test_what_was_taught_of_a_ball_that_is_not_here_does_not_count() -> None:
    assert made(known(99, mu=0.2)).stamp == made().stamp


def test_a_pad_that_does_nothing_changes_nothing_of_a_ball_taught_to_be_rougher() -> None:
    (none,) = pads([NO_TIME], known(2, mu=0.05, rough=0.4))
    assert none.boards_change.mean == pytest.approx(0.0, abs=1e-9)
    assert none.boards_change.sd == pytest.approx(0.0, abs=1e-9)


def test_before_and_after_a_pad_stay_paired_draw_by_draw() -> None:
    # unpaired, the change would be in as much doubt as both states together
    taught = BallFactors(2, (0.0,) * 4, tuple((np.diag([0.08, 0.3, 0.1, 0.15]) ** 2).ravel()), 2, SD)
    (pad,) = pads([LIGHT], taught)
    assert pad.boards_change.sd < row(made(taught), 2).boards_sd / 2.0


def ln_ra_after(recipe: Recipe, rough: float) -> float:
    ball, state = SET[1]
    after = after_work(ball, state, recipe.steps, PRIORS)
    return motion.finish_of(after, known(2, rough=rough)).mean


def test_a_full_resurfacing_leaves_only_what_is_the_balls_own() -> None:
    # the fold holds a part of what is unknown of Ra for the ball's own on any finish; the rest goes with the finish
    moved = ln_ra_after(FULL, 0.3) - ln_ra_after(FULL, 0.0)
    assert moved < 0.55 * 0.3
    light = ln_ra_after(LIGHT, 0.3) - ln_ra_after(LIGHT, 0.0)
    assert moved < 0.75 * light


def test_of_a_finish_that_is_known_nothing_is_left_after_a_pad() -> None:
    sure = replace(known(2, rough=0.3), ln_ra_sd=0.0)
    after = after_work(*SET[1], FULL.steps, PRIORS)
    assert motion.finish_of(after, sure).mean == pytest.approx(after.ln_ra_m.mean)
    assert sure.without_finish.mean[3] == 0.0


def test_a_light_pass_leaves_most_of_what_was_learned_of_the_finish() -> None:
    moved = ln_ra_after(LIGHT, 0.3) - ln_ra_after(LIGHT, 0.0)
    assert 0.4 * 0.3 < moved < 0.9 * 0.3


def test_draws_after_a_pad_lie_about_the_path_at_the_means() -> None:
    ball, state = SET[1]
    of = known(2, mu=0.05, response=-0.2, oil=0.05, rough=0.25, sds=0.005)
    shot = shots.shared_shot(bowler(1), HOUSE, PRIORS, line=LINE, seed=1, draws=400, taught={2: of})
    still = replace(shot, thrown=replace(
        shot.thrown, speed_mps=np.full(400, shot.style.speed_mps), launch_rad=np.full(400, LINE.launch_rad),
        rev_rate_radps=np.full(400, shot.style.rev_rate_radps), lateral_m=np.full(400, LINE.lateral_m),
        axis_rotation_rad=np.full(400, shot.style.axis_rotation_rad)), stack=shot.bed)  # fmt: skip
    for recipe in (LIGHT, FULL):
        after = after_work(ball, state, recipe.steps, PRIORS)
        rows = shots.rows_of(still, ball, state)
        drawn = shots.throw(still, [shots.worked_on(still, ball, state, after, rows)]).landing_m[0]
        at = shots.mean_trace(still, ball, after).landing_m
        assert drawn.mean() == pytest.approx(at, abs=0.25 * BOARD_M)


def test_balls_learned_of_on_one_lane_are_surer_against_each_other() -> None:
    # both are off by the same unknown lane: their difference is known, neither of them is
    root = np.zeros((8, 8))
    root[0, 0] = root[4, 0] = 0.08
    cov = root @ root.T
    shared = [
        BallFactors(b, (0.0,) * 4, tuple(cov[i : i + 4, i : i + 4].ravel()), 5, SD, (
            (1, tuple(root[i : i + 4, :4].ravel())), (2, tuple(root[i : i + 4, 4:].ravel()))))
        for b, i in ((1, 0), (2, 4))
    ]  # fmt: skip
    apart = [replace(of, shared=()) for of in shared]
    assert row(made(*shared), 2).boards_sd < 0.75 * row(made(*apart), 2).boards_sd


def test_rooms_after_a_pad_go_by_what_was_taught() -> None:
    by_id = {2: known(2, mu=0.08, rough=0.2)}
    found = [
        what_if(made(*of.values()), bowler(1), HOUSE, SET, 2, [LIGHT], {}, PRIORS, taught=of)[0] for of in ({}, by_id)
    ]
    assert found[0].room != found[1].room
    assert found[1].room_sd is not None
    assert math.isfinite(found[1].room_sd)


def test_a_finish_as_sure_as_the_log_keeps_the_logs_spread() -> None:
    ball, state = SET[1]
    cov = np.diag([0.0, 0.0, 0.0, SD**2])
    plain = BallFactors(2, (0.0,) * 4, tuple(cov.ravel()), 1, SD)
    after = after_work(ball, state, LIGHT.steps, PRIORS)
    for one in (state, after):
        assert motion.finish_of(one, plain).mean == pytest.approx(one.ln_ra_m.mean)
        assert motion.finish_of(one, plain).sd == pytest.approx(one.ln_ra_m.sd)
    assert Estimate(0.0) == state.changed_ln


def test_another_ball_in_the_set_changes_nobodys_draws_however_they_hang_together() -> None:
    rng = np.random.default_rng(8)
    half = 0.05 * rng.standard_normal((12, 12))
    values, vectors = np.linalg.eigh(half @ half.T)
    root, cov = (vectors * np.sqrt(values)) @ vectors.T, half @ half.T
    taught = {}
    for k, b in enumerate((1, 2, 3)):
        own = slice(4 * k, 4 * k + 4)
        shared = tuple((c, tuple(root[own, 4 * m : 4 * m + 4].ravel())) for m, c in enumerate((1, 2, 3)))
        taught[b] = BallFactors(b, (0.0,) * 4, tuple(cov[own, own].ravel()), 5, SD, shared)
    three, two = (order(bowler(1), HOUSE, of, PRIORS, line=LINE, rooms=False, taught=taught) for of in (SET, SET[:2]))
    assert row(three, 2).boards_sd == row(two, 2).boards_sd
    assert row(three, 2).first_read_sd_m == row(two, 2).first_read_sd_m
