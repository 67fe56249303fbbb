"""The next shot and the plan over a whole shop: pads in stock, the first scored ball, lines ticked as thrown."""

from __future__ import annotations

from datetime import timedelta

import pytest
from made_shop import TODAY, Clock

from arsenal.acts import logging, pads, practice, rules_now, undo
from arsenal.acts.practice_views import AsSeen, PlanView
from arsenal.acts.shop import Shop
from arsenal.practice.asked_of import Asks, Question
from arsenal.trade.entries import Draft, Handed, Kind
from arsenal.trade.errors import KnownError, OutOfRange

ROOK, JAY, MOTH = 1, 2, 3


def at_first_ball(shop: Shop, minutes: float, clock: Clock) -> None:
    rules_now.set_competition(shop, 1, rules_now.Competition(clock() + timedelta(minutes=minutes)))


def throw(shop: Shop, plan: PlanView) -> None:
    """The next shot of the plan, its pad first."""
    line = next(line for line in plan.lines if line.current)
    if not line.worked:
        assert line.recipe is not None
        practice.log_pad(shop, line.ball_ids[0], line.recipe)
    practice.log_shot(shop, 1, 1, line.ball_ids[line.done_shots % len(line.ball_ids)], AsSeen("flush"))


def test_the_best_test_sands_nothing_and_says_why(shop: Shop) -> None:
    found = practice.next_shots(shop, 1, 1)
    assert found.best is not None
    assert not found.best.sands
    assert found.best.sentence.endswith("Nothing is sanded.")
    assert found.best.after < found.best.before
    assert found.question.words == "Which ball is stronger?"
    assert [one.sands for one in found.shots] == sorted(one.sands for one in found.shots)
    assert found.best.why


def test_questions_are_offered_in_words(shop: Shop) -> None:
    words = [choice.words for choice in practice.next_shots(shop, 1, 1).choices]
    assert words[:2] == ["Which ball is stronger?", "What does this lane do?"]
    assert sum(text.startswith("Are ") and text.endswith(" one ball?") for text in words) == 2
    assert "What does 500 h do to Paper Moth?" in words
    assert not any("Plain Gate" in text for text in words)
    assert len(words) == len(set(words))


def test_two_balls_in_question_are_thrown_one_after_the_other(shop: Shop) -> None:
    found = practice.next_shots(shop, 1, 1, question=Question(Asks.TWO_BALLS, JAY, MOTH))
    assert found.question.words == "Are Jay Quarry and Paper Moth one ball?"
    assert found.best is not None
    assert found.best.title in ("Jay Quarry, then Paper Moth, same line", "Paper Moth", "Jay Quarry")
    assert "boards apart" in found.best.sentence


def test_a_shot_makes_the_next_one_of_that_kind_worth_less(shop: Shop) -> None:
    first = practice.next_shots(shop, 1, 1).best
    assert first is not None
    for ball_id in first.ball_ids:
        practice.log_shot(shop, 1, 1, ball_id, AsSeen(landing_board=17.0, first_read_ft=38.0))
    found = practice.next_shots(shop, 1, 1)
    assert found.best is not None
    assert found.best.before < first.before
    again = next((one for one in found.shots if one.title == first.title), None)
    if again is None:  # no longer worth a shot at all
        return
    assert again.before - again.after < first.before - first.after


def test_without_pads_in_stock_nothing_is_sanded(shop: Shop) -> None:
    for pad in shop.pads(1):
        pads.mark_used_up(shop, pad.id)
    found = practice.next_shots(shop, 1, 1)
    assert found.best is not None
    assert not any(one.sands for one in found.shots)
    assert not any(choice.question.asks is Asks.PAD for choice in found.choices)
    assert "no pad in stock still cuts" in practice.plan(shop, 1, 1, shots=4).sentence


def test_in_competition_nothing_is_sanded(shop: Shop, clock: Clock) -> None:
    at_first_ball(shop, 5, clock)
    clock.at += timedelta(minutes=10)
    assert not any(one.sands for one in practice.next_shots(shop, 1, 1).shots)
    assert "a dry towel only" in practice.plan(shop, 1, 1, shots=4).sentence


def test_with_one_ball_there_is_no_order_to_ask_about(shop: Shop) -> None:
    for ball_id in (ROOK, MOTH):
        logging.keep(shop, (Draft(ball_id, Kind.SOLD, TODAY, Handed("somebody")),))
    found = practice.next_shots(shop, 1, 1)
    assert found.shots == ()
    assert found.sentence.startswith("With one ball there is no order")
    assert practice.next_shots(shop, 1, 1, question=Question(Asks.LANE)).best is not None


def test_a_plan_is_ten_shots_unsanded_first_with_one_line_to_throw_now(shop: Shop) -> None:
    plan = practice.plan(shop, 1, 1)
    many = sum(line.shots for line in plan.lines)
    assert many in (9, 10)  # tests of two shots and more: one shot may be left over
    assert plan.title == f"Plan: {'ten' if many == 10 else 'nine'} shots, unsanded first"
    worked = [line.recipe is not None for line in plan.lines]
    assert worked == sorted(worked)
    assert [line.current for line in plan.lines] == [True] + [False] * (len(plan.lines) - 1)
    assert plan.id == 0
    assert plan.minutes == pytest.approx(sum(line.minutes for line in plan.lines))
    assert plan.left.endswith("min left of the plan")


def test_lines_are_ticked_as_they_are_thrown_until_the_plan_is_done(shop: Shop) -> None:
    changes = practice.keep_plan(shop, 1, 1, shots=8)
    assert changes.sentence == "Began a practice of 8 shots with Mirel Oster"
    kept = practice.plan(shop, 1, 1, shots=8)
    assert kept.id
    for n in range(8):
        now = practice.plan(shop, 1, 1, shots=8)
        assert sum(line.done_shots for line in now.lines) == n
        assert [line.names for line in now.lines] == [line.names for line in kept.lines]
        assert now.changed == ()
        throw(shop, now)
    done = practice.plan(shop, 1, 1, shots=8)
    assert all(line.done for line in done.lines)
    assert not any(line.current for line in done.lines)
    assert done.minutes_left == 0.0
    assert done.left == ""


def test_a_shot_before_the_pad_does_not_tick_the_line_after_it(shop: Shop) -> None:
    practice.keep_plan(shop, 1, 1, shots=8)
    plan = practice.plan(shop, 1, 1, shots=8)
    line = next(line for line in plan.lines if line.recipe is not None)
    ball_id = line.ball_ids[0]
    as_it_is = sum(
        one.shots // len(one.ball_ids) for one in plan.lines if ball_id in one.ball_ids and one.recipe is None
    )
    for _ in range(as_it_is + 3):
        practice.log_shot(shop, 1, 1, ball_id, AsSeen("flush"))
    after = practice.plan(shop, 1, 1, shots=8)
    assert next(one for one in after.lines if one.recipe is not None).done_shots == 0


def test_what_happens_beside_the_plan_is_said(shop: Shop) -> None:
    practice.keep_plan(shop, 1, 1, shots=8)
    logging.keep(shop, logging.for_balls(shop, "2g", (MOTH,)).drafts)
    practice.log_shot(shop, 1, 2, JAY, AsSeen("flush"))
    said = practice.plan(shop, 1, 1, shots=8).changed
    assert said == ("Changed since, because Paper Moth was thrown 22 times and 1 practice shot was logged.",)


def test_another_length_is_another_plan_and_tomorrow_too(shop: Shop, clock: Clock) -> None:
    practice.keep_plan(shop, 1, 1, shots=8)
    assert practice.plan(shop, 1, 1, shots=6).id == 0
    assert practice.plan(shop, 1, 1, minutes=20).id == 0
    assert practice.plan(shop, 1, 1, shots=8, question=Question(Asks.LANE)).id == 0
    clock.at += timedelta(days=1)
    assert practice.plan(shop, 1, 1, shots=8).id == 0


def test_a_plan_may_be_taken_back(shop: Shop) -> None:
    practice.keep_plan(shop, 1, 1, shots=8)
    undo.undo(shop)
    assert practice.plan(shop, 1, 1, shots=8).id == 0


def test_a_plan_ends_before_the_first_scored_ball(shop: Shop, clock: Clock) -> None:
    at_first_ball(shop, 12, clock)
    plan = practice.plan(shop, 1, 1, shots=30)
    assert 0.0 < plan.minutes <= 12.0
    assert "before the first scored ball, in 12 min" in plan.sentence
    assert plan.left.endswith("first scored ball in 12 min")
    clock.at += timedelta(minutes=11, seconds=30)
    late = practice.plan(shop, 1, 1, shots=30)
    assert late.lines == ()
    assert late.title == "Plan: nothing to throw"
    assert late.sentence.startswith("The first scored ball falls before a shot could be thrown")
    with pytest.raises(KnownError, match="first scored ball"):
        practice.keep_plan(shop, 1, 1, shots=30)


def test_a_plan_of_minutes_fits_into_them(shop: Shop) -> None:
    for minutes in (1, 7, 20, 45):
        assert practice.plan(shop, 1, 1, minutes=minutes).minutes <= minutes
    with pytest.raises(OutOfRange):
        practice.plan(shop, 1, 1, shots=0)


def test_the_same_shop_gives_the_same_answers(shop: Shop) -> None:
    practice.log_shot(shop, 1, 1, JAY, AsSeen("light"))
    first = practice.next_shots(shop, 1, 1), practice.plan(shop, 1, 1, shots=9)
    shop._made.clear()
    assert (practice.next_shots(shop, 1, 1), practice.plan(shop, 1, 1, shots=9)) == first


def test_progress_is_heard_of_while_it_learns(shop: Shop) -> None:
    practice.log_shot(shop, 1, 1, JAY, AsSeen("light"))
    heard: list[float] = []
    practice.next_shots(shop, 1, 1, progress=heard.append)
    assert heard
    assert heard == sorted(heard)
    assert heard[-1] == 1.0
