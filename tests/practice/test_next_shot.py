"""The next shot worth throwing: what it is said to bring is what it brings, and sanding comes last."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from a_season import GRITS, HOUSE, LINE, PRIORS, STYLE, case, owned, season

from arsenal.practice import model, next_shot, posterior, straight, worth_words
from arsenal.practice.asked_of import Asks, Question
from arsenal.practice.candidates import Candidate, before_and_after, candidates_of
from arsenal.practice.carried import carried
from arsenal.practice.cases import Case, Thrown
from arsenal.surface.state import Estimate
from arsenal.trade import KnownError
from arsenal.trade.entries import Step
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.trial import Sighting, Trial
from arsenal.trade.units import BOARD_M

PADS = {i: Pad(i, grit) for i, grit in enumerate((500.0, 1000.0, 2000.0, 3000.0), 1)}
BY_HAND = [Recipe(f"{pad.number:g} h", (Step(number=pad.number, pad_id=pad.id),)) for pad in PADS.values()]


def thrown(ball: int, grit: float = 3000.0, film_m: float = 0.0) -> Thrown:
    thing, state = owned(ball, grit)
    film = Estimate(film_m)
    return Thrown(thing, replace(state, film_m=film), HOUSE, "tonight", STYLE, LINE, hooks_to_left=True)


SET = tuple(thrown(ball) for ball in (1, 2, 3))
TESTS = candidates_of(SET, BY_HAND, PADS, PRIORS)


def asked(
    found: posterior.Posterior | None = None, tests: tuple[Candidate, ...] = TESTS, **more: object
) -> tuple[next_shot.WorthThrowing, ...]:
    return next_shot.next_shots(found, SET, 1, tests, PRIORS, **more)  # type: ignore[arg-type]


def saw(seq: int, ball: int, outing: str, boards: float = 0.0, grit: float = 3000.0) -> Case:
    plain = case(seq, ball, grit, outing)
    where = model.layout([plain], PRIORS)
    at = straight.straight([plain], where, np.zeros(where.size), PRIORS).at[0]
    return case(seq, ball, grit, outing, Sighting(landing_m=at[0] + boards * BOARD_M, first_read_m=at[1]))


def past() -> list[Case]:
    """Two nights of two balls, seen by somebody who scatters as was said."""
    rng = np.random.default_rng(12)
    return [saw(10 * k + ball, ball, f"{k}", boards=1.1 * rng.standard_normal()) for k in range(2) for ball in (1, 2)]


def with_it(before: list[Case], test: Candidate, seed: int) -> posterior.Posterior:
    """Everything learned anew with the shots of a test really added, seen where they may well be."""
    found, rng = posterior.learn(before, PRIORS), np.random.default_rng(seed)
    lines = next_shot.Lines.of(found, test.throws, PRIORS)
    more = []
    for i, t in enumerate(test.throws):
        row = lines.row(t)
        noise = lines.lines.slope[row] @ lines.cov @ lines.lines.slope[row].T + lines.lines.noise[row]
        marks = lines.lines.at[row] + np.linalg.cholesky(noise + 1e-9 * np.eye(6)) @ rng.standard_normal(6)
        seen = Sighting(landing_m=float(marks[0]), first_read_m=float(marks[1]))
        more.append(Case(Trial(900 + i, t.ball.id, 1, HOUSE.id, before[-1].trial.on, t.outing, seen), (t,)))
    return posterior.learn([*before, *more], PRIORS)


def really(test: Candidate, seeds: int = 10) -> float:
    """Doubt of the order after a test, over what may be seen, boards."""
    told = []
    for seed in range(seeds):
        then = next_shot.Setting.of(with_it(past(), test, seed), SET, 1, TESTS, PRIORS, Question())
        told.append(next_shot.doubt(then.asked(test if test.sands else None), then.lines.cov) / BOARD_M)
    return float(np.mean(told))


@pytest.mark.parametrize("index", [0, 1, 3, 4, 7, 8])
def test_a_test_brings_what_it_is_said_to_bring(index: int) -> None:
    # brute force: the shot is added and everything learned again, over ten things that may be seen
    test, found = TESTS[index], posterior.learn(past(), PRIORS)
    told = next_shot.Setting.of(found, SET, 1, TESTS, PRIORS, Question()).worth(test)
    assert told is not None
    after = really(test)
    assert told.after == pytest.approx(after, rel=0.08)
    assert told.fall == pytest.approx(told.before - after, rel=0.3, abs=0.06)


def test_the_best_by_brute_force_is_the_best_named() -> None:
    plain = [test for test in TESTS if not test.sands and len(test.throws) == 1]
    after = {test.ball_id: really(test) for test in plain}
    named = asked(posterior.learn(past(), PRIORS), tuple(plain))[0].candidate.ball_id
    assert after[named] <= min(after.values()) + 0.02


def test_unsanded_tests_come_first_and_sanding_is_told_as_for_good() -> None:
    worth = asked()
    sands = [w.candidate.sands for w in worth]
    assert sands == sorted(sands)
    names = {t.ball.id: t.ball.name for t in SET}
    said = [worth_words.sentence(w, Question(), "Ball 1", names) for w in worth]
    assert said[0].endswith("Nothing is sanded.")
    assert any(sands)
    assert all(text.endswith("cannot be undone.") for text, sand in zip(said, sands, strict=True) if sand)
    assert all(0.0 < w.fall < w.before for w in worth)


@pytest.mark.common_practice
def test_the_benchmark_is_left_as_it_is_and_others_step_down_gently() -> None:
    worked = [w.candidate for w in asked(worth=0.0) if w.candidate.sands]
    assert sorted(c.ball_id for c in worked) == [2, 3]
    for one in worked:
        own = [t.left.state.ln_ra_m.mean for t in TESTS if t.sands and t.ball_id == one.ball_id]
        assert one.left.state.ln_ra_m.mean == min(own)


@pytest.mark.common_practice
def test_no_common_grit_is_left_out_unless_somebody_asks_for_it() -> None:
    from_3000 = [test.recipe.name for test in TESTS if test.recipe and test.ball_id == 2]
    assert from_3000 == ["2000 h"]
    asked_for = candidates_of(SET, BY_HAND, PADS, PRIORS, jumps=True)
    assert [t.recipe.name for t in asked_for if t.recipe and t.ball_id == 2] == ["500 h", "1000 h", "2000 h"]


@pytest.mark.common_practice
def test_the_pad_a_ball_was_set_with_may_be_used_again_but_no_finer_one() -> None:
    t = thrown(2, 2500.0)
    worn_in = replace(t, state=replace(t.state, finish=(Step(number=1000.0),), finish_set_grit=1000.0))
    tests = candidates_of((worn_in, SET[0]), BY_HAND, PADS, PRIORS)
    assert [test.recipe.name for test in tests if test.recipe and test.ball_id == 2] == ["500 h", "1000 h"]


def test_without_pads_in_stock_nothing_is_sanded() -> None:
    worn = {i: replace(pad, uses_hand=40.0) for i, pad in PADS.items()}
    gone = {i: replace(pad, used_up=True) for i, pad in PADS.items()}
    unnamed = [Recipe("1000 h", (Step(number=1000.0),))]
    for recipes, stock in ((BY_HAND, {}), (BY_HAND, worn), (BY_HAND, gone), (unnamed, PADS), ([], PADS)):
        assert not any(test.sands for test in candidates_of(SET, recipes, stock, PRIORS))
    assert any(test.sands for test in TESTS)


def test_only_coarser_finishes_are_tried() -> None:
    for test in TESTS:
        if test.sands:
            now = next(t for t in SET if t.ball.id == test.ball_id)
            assert test.left.state.ln_ra_m.mean > now.state.ln_ra_m.mean
    rough = tuple(thrown(ball, 400.0) for ball in (1, 2))
    assert not any(test.sands for test in candidates_of(rough, BY_HAND[1:], PADS, PRIORS))


def test_a_ball_with_film_is_tried_wiped_and_not() -> None:
    oily = (thrown(1, film_m=2e-6), thrown(2))
    told = {(test.ball_id, test.wiped) for test in candidates_of(oily, [], {}, PRIORS, pairs=False)}
    assert told == {(1, True), (1, False), (2, True)}


def test_what_can_be_wiped_is_rather_thrown_wiped_where_the_order_is_of_wiped_balls() -> None:
    oily = [replace(t, state=replace(t.state, film_m=Estimate(2e-6))) for t in SET]
    tests = candidates_of(SET, [], {}, PRIORS, left=oily, pairs=False)
    found = next_shot.next_shots(None, SET, 1, tests, PRIORS, worth=0.0)
    assert {test.wiped for test in tests} == {True, False}
    assert sorted(w.candidate.ball_id for w in found if w.candidate.wiped) == [1, 2, 3]
    clear = {w.candidate.ball_id: w.fall for w in found if w.candidate.wiped}
    least = next_shot.WORTH_IN_ALL / 2
    assert all(w.fall >= clear[w.candidate.ball_id] + least for w in found if not w.candidate.wiped)


def test_a_ball_thrown_often_is_less_worth_throwing_than_one_never_seen() -> None:
    found = posterior.learn([saw(k, 2, f"{k}") for k in range(10)], PRIORS)
    by_ball = {
        w.candidate.ball_id: w.fall for w in asked(found, worth=0.0) if not w.candidate.sands and
        len(w.candidate.throws) == 1
    }  # fmt: skip
    assert by_ball[3] > by_ball[2]


def test_two_balls_in_doubt_want_each_other_back_to_back() -> None:
    question = Question(Asks.TWO_BALLS, 2, 3)
    best = asked(question=question)[0]
    assert set(best.candidate.ball_ids) == {2, 3}
    assert worth_words.title(best.candidate) == "Ball 2, then Ball 3, same line"
    names = {t.ball.id: t.ball.name for t in SET}
    said = worth_words.sentence(best, question, "Ball 1", names)
    assert "One pair of shots brings that to ±" in said


def test_two_throws_back_to_back_tell_more_of_their_difference_than_of_either() -> None:
    # what lane does is in both and falls out of the difference
    question = Question(Asks.TWO_BALLS, 2, 3)
    pair = next(t for t in TESTS if t.ball_ids == (2, 3))
    apart = Candidate((pair.throws[0], replace(pair.throws[1], outing="another night")))
    both = next_shot.next_shots(None, SET, 1, (pair, apart), PRIORS, question=question, worth=0.0)
    after = {w.candidate.throws[1].outing: w.after for w in both}
    assert after["tonight"] < after["another night"]


def test_what_a_pad_does_is_asked_by_a_shot_before_and_one_after() -> None:
    question = Question(Asks.PAD, 2, recipe=BY_HAND[1])
    every = candidates_of(SET, BY_HAND, PADS, PRIORS, jumps=True)
    tests = (*every, *before_and_after(SET, every))
    best = asked(tests=tests, question=question, worth=0.02)
    both = [w for w in best if w.candidate.sands]
    assert both
    assert all(w.candidate.recipe == BY_HAND[1] and w.candidate.ball_ids == (2,) for w in both)
    assert len(max(both, key=lambda w: w.fall).candidate.throws) == 2
    assert both[0].at < 0.0  # coarser reads earlier
    assert abs(both[0].at) < 10.0


def test_the_lane_is_asked_without_sanding() -> None:
    found = asked(question=Question(Asks.LANE))
    assert found
    assert not any(w.candidate.sands for w in found)


def test_the_fall_is_what_a_shot_then_takes() -> None:
    # outside: Schur complement of the joint covariance, numpy.linalg on the whole matrix
    rng = np.random.default_rng(3)
    half = rng.normal(size=(5, 5))
    cov, slope, noise = half @ half.T, rng.normal(size=(2, 5)), np.diag([0.4, 0.7])
    other = np.linalg.inv(np.linalg.inv(cov) + slope.T @ np.linalg.inv(noise) @ slope)
    assert next_shot.after_seeing(cov, slope, noise) == pytest.approx(other)
    asked = rng.standard_normal((3, 5))
    both = next_shot.doubt(asked, cov), next_shot.doubt(asked, np.asarray(other, float))
    assert next_shot.falls(asked, cov, slope, noise) == pytest.approx(both)


def test_what_was_learned_is_carried_whole_into_more_unknowns() -> None:
    found = posterior.learn(season_as_reckoned(), PRIORS)
    where = model.layout([*found.cases, case(99, 7, 500.0, "new")], PRIORS)
    mean, cov = carried(found, where)
    for ball in found.where.balls:
        assert mean[where.ball(ball)] == pytest.approx(found.mean[found.where.ball(ball)], abs=1e-9)
        own = cov[where.ball(ball), where.ball(ball)]
        assert own == pytest.approx(found.cov[found.where.ball(ball), found.where.ball(ball)], abs=1e-9)
    assert np.sqrt(np.diag(cov)[where.ball(7)]) == pytest.approx(np.sqrt(np.diag(where.prior)[where.ball(7)]))


def season_as_reckoned() -> list[Case]:
    return [
        saw(c.trial.seq, c.thrown[0].ball.id, c.trial.outing, grit=GRITS[i % 3])
        for i, c in enumerate(season(2, 6, 2))
    ]  # fmt: skip


def test_the_same_set_gives_the_same_list() -> None:
    assert asked() == asked()


def test_a_question_that_cannot_be_asked_is_refused_in_a_sentence() -> None:
    with pytest.raises(KnownError, match="no order"):
        next_shot.next_shots(None, SET[:1], 1, (), PRIORS)
    with pytest.raises(KnownError, match="not in the bag"):
        asked(question=Question(Asks.TWO_BALLS, 2, 77))
    with pytest.raises(KnownError, match="no coarser"):
        asked(question=Question(Asks.PAD, 2, recipe=Recipe("4000 h", (Step(number=4000.0, pad_id=9),))))
