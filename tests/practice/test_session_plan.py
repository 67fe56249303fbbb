"""A practice planned: unsanded first, then only coarser, within shots, minutes and the first scored ball."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from a_season import PRIORS
from hypothesis import given, settings
from hypothesis import strategies as st
from test_next_shot import BY_HAND, PADS, SET, thrown

from arsenal.practice.asked_of import Asks, Question
from arsenal.practice.candidates import SHOT_MIN, grit_of
from arsenal.practice.session_plan import Limits, SessionPlan, plan_practice
from arsenal.trade import OutOfRange
from arsenal.trade.entries import Step, Tool
from arsenal.trade.pads import Recipe

SPUN = [
    Recipe(f"{pad.number:g} s", (Step(number=pad.number, tool=Tool.SPINNER, wet=True, pad_id=pad.id),))
    for pad in PADS.values()
]


def planned(limits: Limits, **more: object) -> SessionPlan:
    return plan_practice(None, SET, 1, BY_HAND, PADS, PRIORS, limits, **more)  # type: ignore[arg-type]


@settings(max_examples=25, deadline=None)
@given(
    shots=st.one_of(st.none(), st.integers(1, 60)), minutes=st.one_of(st.none(), st.integers(1, 90)),
    ban=st.one_of(st.none(), st.floats(0.0, 60.0)), stock=st.sets(st.sampled_from(sorted(PADS))),
    grit=st.sampled_from((500.0, 1000.0, 2000.0, 4000.0)), spun=st.booleans(),
)  # fmt: skip
def test_surfaces_only_go_coarser_and_limits_hold(
    shots: int | None, minutes: int | None, ban: float | None, stock: set[int], grit: float, spun: bool
) -> None:
    own = (thrown(1, grit), thrown(2, grit), thrown(3, 3000.0))
    pads = {i: PADS[i] for i in stock}
    recipes = [*BY_HAND, *SPUN] if spun else BY_HAND
    plan = plan_practice(None, own, 1, recipes, pads, PRIORS, Limits(shots, minutes, ban))
    now = {t.ball.id: t.state.ln_ra_m.mean for t in own}
    last = dict.fromkeys(now, math.inf)
    sands = [line.candidate.sands for line in plan.lines]
    assert sands == sorted(sands)
    for line in plan.lines:
        test = line.candidate
        if not test.sands:
            continue
        assert test.left.state.ln_ra_m.mean > now[test.ball_id]
        assert test.recipe is not None
        assert grit_of(test.recipe.steps) < last[test.ball_id]
        assert all(step.pad_id in stock for step in test.recipe.steps)
        now[test.ball_id], last[test.ball_id] = test.left.state.ln_ra_m.mean, grit_of(test.recipe.steps)
    assert plan.shots <= (shots if shots is not None else 10 if minutes is None else 200)
    assert plan.minutes <= min(minutes or math.inf, math.inf if ban is None else ban) + 1e-6
    assert plan.after <= plan.before + 1e-9 or any(sands)
    assert plan.lines or plan.sentence


def test_ten_shots_begin_with_the_benchmark_and_end_with_a_pad() -> None:
    plan = planned(Limits(10))
    assert plan.shots == 10
    assert plan.lines[0].candidate.ball_ids == (1,)
    assert plan.lines[0].why == "fixes this lane"
    assert not plan.lines[0].candidate.sands
    assert plan.lines[-1].candidate.sands
    assert plan.lines[-1].why == "what one pad does"
    worked = {line.candidate.ball_id for line in plan.lines if line.candidate.sands}
    assert 1 not in worked


def test_no_ball_is_worked_on_more_than_twice() -> None:
    plan = plan_practice(None, SET[:2], 1, BY_HAND, PADS, PRIORS, Limits(80))
    worked = [line.candidate for line in plan.lines if line.candidate.sands]
    assert 1 <= len(worked) <= 2
    assert {test.ball_id for test in worked} == {2}


def test_the_plan_of_the_same_set_is_the_same() -> None:
    assert planned(Limits(12)) == planned(Limits(12))


def test_a_plan_ends_before_the_first_scored_ball() -> None:
    plan = planned(Limits(20, ban_min=6.0))
    assert plan.minutes <= 6.0
    assert "before the first scored ball, in 6 min" in plan.sentence


def test_with_no_time_before_the_first_scored_ball_there_is_no_practice() -> None:
    plan = planned(Limits(20, ban_min=0.5))
    assert plan.lines == ()
    assert plan.sentence.startswith("The first scored ball falls before a shot could be thrown")


def test_when_pads_are_barred_no_line_sands() -> None:
    plan = planned(Limits(6, pads_allowed=False))
    assert plan.lines
    assert not any(line.candidate.sands for line in plan.lines)
    assert plan.sentence == "No pads now: a dry towel only."


def test_without_pads_the_plan_says_so() -> None:
    plan = plan_practice(None, SET, 1, BY_HAND, {}, PRIORS, Limits(6))
    assert plan.sentence == "Nothing is sanded: no pad in stock still cuts."


def test_shots_that_would_teach_nothing_are_not_asked_for() -> None:
    plan = planned(Limits(200))
    assert plan.shots < 200
    assert plan.sentence.startswith(f"After {plan.shots} of 200 shots no other would teach much.")


def test_what_a_pad_does_takes_as_many_shots_before_as_after() -> None:
    plan = planned(Limits(12), question=Question(Asks.PAD, 2, recipe=BY_HAND[0]))
    before, after = plan.lines
    assert (before.candidate.recipe, after.candidate.recipe) == (None, BY_HAND[0])
    assert before.shots == after.shots >= 1
    assert after.minutes == pytest.approx(after.candidate.work_min + SHOT_MIN * after.shots)
    assert plan.after < plan.before


def test_a_pad_that_the_plan_itself_wears_out_is_not_used_again() -> None:
    worn = {2: replace(PADS[2], uses_hand=15.0)}  # one or two uses from cutting nothing
    plan = plan_practice(None, SET, 1, [BY_HAND[1]], worn, PRIORS, Limits(60))
    assert sum(line.candidate.sands for line in plan.lines) <= 1


@pytest.mark.parametrize("limits", [Limits(0), Limits(1000), Limits(minutes=0.0), Limits(minutes=math.inf)])
def test_a_practice_of_no_shots_or_too_many_is_refused(limits: Limits) -> None:
    with pytest.raises(OutOfRange):
        planned(limits)
