"""What a pad did to a ball once is what it is expected to do again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from a_season import HOUSE, LINE, PRIORS, START, STYLE, case, owned

from arsenal.order import order, what_if
from arsenal.practice import model, posterior, straight, taught
from arsenal.practice.cases import Case
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import Person
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Scale, Step, Tool
from arsenal.trade.factors import BallFactors
from arsenal.trade.pads import Recipe
from arsenal.trade.trial import Sighting
from arsenal.trade.units import BOARD_M, FOOT_M

ROUGH = Recipe("1000 on the spinner", (Step(number=1000.0, scale=Scale.P, tool=Tool.SPINNER, wet=True, sides=4,
                                            seconds=60.0),))  # fmt: skip
BOWLER = Person(1, "Mirel", style=STYLE, lines=((HOUSE.id, LINE),), benchmark_ball_id=2)


def saw(seq: int, ball: int, outing: str, grit: float, response: float) -> Case:
    """A shot of a ball that answers to roughness by so much more than its kind."""
    plain = set_by(case(seq, ball, grit, outing), grit)
    where = model.layout([plain], PRIORS)
    theta = np.zeros(where.size)
    theta[where.ball(ball).start + model.RESPONSE] = response
    at = straight.straight([plain], where, theta, PRIORS).at[0]
    off = (-1.0) ** seq  # one shot is a board and two feet off one way, the next the other
    seen = Sighting(
        landing_m=at[0] + off * BOARD_M, first_read_m=at[1] - 2.0 * off * FOOT_M, by_sensor=True
    )  # fmt: skip
    return set_by(case(seq, ball, grit, outing, seen), grit)


def set_by(one: Case, grit: float) -> Case:
    """The finishes at 1000 were set by the pad in question."""
    thrown = one.thrown[0]
    steps = ROUGH.steps if grit == 1000.0 else ()
    return replace(one, thrown=(replace(thrown, state=replace(thrown.state, finish=steps)),))


def practice(response: float) -> posterior.Posterior:
    """Ball 1 at 3000 and at 1000, with another ball beside it that is as reckoned."""
    shots = []
    for k in range(8):
        shots.append(saw(11 * k, 2, f"{k // 2}", 2000.0, 0.0))
        shots.append(saw(11 * k + 1, 1, f"{k // 2}", 3000.0, response))
        shots.append(saw(11 * k + 3, 1, f"{k // 2}", 1000.0, response))
    return posterior.learn(shots, PRIORS)


def did(response: float) -> tuple[float, float]:
    """What the pad did in practice: feet later and boards stronger, on average of the shots."""
    shots = practice(response).cases
    rough, before = (
        [c.trial.seen for c in shots if c.thrown[0].ball.id == 1 and bool(c.thrown[0].state.finish) is done]  # type: ignore[union-attr]
        for done in (True, False)
    )
    feet = np.mean([s.first_read_m for s in rough]) - np.mean([s.first_read_m for s in before])
    boards = np.mean([s.landing_m for s in rough]) - np.mean([s.landing_m for s in before])
    return float(feet) / FOOT_M, float(boards) / BOARD_M


def set_again() -> list[tuple[Ball, SurfaceState]]:
    """Both balls later: ball 1 at 3000 once more, on a finish nobody has thrown yet."""
    ball, state = owned(1, 3000.0)
    later = replace(state, finish_on=date.fromordinal(START.toordinal() + 60))
    return [(ball, later), owned(2, 2000.0)]


def expected(found: posterior.Posterior | None) -> tuple[Estimate, Estimate]:
    """How much earlier and stronger the pad is expected to make ball 1, metres and boards."""
    had = set_again()
    of: dict[int, BallFactors] = dict(taught.every(found, had)) if found else {}
    made = order(BOWLER, HOUSE, had, PRIORS, line=LINE, rooms=False, taught=of)
    (pad,) = what_if(made, BOWLER, HOUSE, had, 1, [ROUGH], {}, PRIORS, rooms=False, taught=of)
    return pad.first_read_change_m, pad.boards_change


@pytest.mark.common_practice
@pytest.mark.parametrize("response", [0.5, -0.5])
def test_the_same_pad_on_the_same_ball_makes_it_read_earlier_by_about_what_it_did_before(response: float) -> None:
    # common practice, no source: test a surface in practice, and in competition the answer is known
    (by_log, more_by_log), (again, more) = expected(None), expected(practice(response))
    feet, boards = did(response)
    assert feet < -0.5
    assert abs(feet - by_log.mean / FOOT_M) > 0.6  # the log alone would be wrong
    assert again.mean / FOOT_M == pytest.approx(feet, abs=0.6 * abs(feet - by_log.mean / FOOT_M))
    assert abs(again.mean / FOOT_M - feet) < abs(by_log.mean / FOOT_M - feet)
    assert abs(more.mean - boards) < abs(more_by_log.mean - boards)


@pytest.mark.common_practice
def test_a_pad_that_did_what_was_reckoned_is_expected_to_do_that_again() -> None:
    by_log, _ = expected(None)
    again, _ = expected(practice(0.0))
    assert again.mean == pytest.approx(by_log.mean, abs=0.25 * FOOT_M)


def test_what_a_pad_will_do_is_surer_after_practice_with_it() -> None:
    by_log, again = expected(None), expected(practice(0.0))
    assert again[0].sd < by_log[0].sd
    assert again[1].sd < by_log[1].sd


def test_a_finish_nobody_has_thrown_is_as_much_in_doubt_as_the_log_leaves_it() -> None:
    had = set_again()
    found = practice(0.0)
    of = taught.every(found, had)[1]
    assert of.ln_ra_sd == had[0][1].ln_ra_m.sd
    assert 0.7 * of.ln_ra_sd < of.cov[15] ** 0.5 < 1.3 * of.ln_ra_sd
    thrown = taught.factors(found, 1)
    assert thrown is not None
    assert thrown.cov[15] < of.cov[15]
