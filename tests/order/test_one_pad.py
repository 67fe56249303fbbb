"""What one pad would do: paired with the ball as it is, told in words, warned where it goes too far."""

from __future__ import annotations

from dataclasses import replace

import pytest
from a_set import HOUSE, LINE, PRIORS, STYLE, bowler, owned

from arsenal.order import Order, PadResult, order, what_if
from arsenal.order.whatif_words import gentler_first
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import Ball, Cover, FilmSummary, Lane, NotFound
from arsenal.trade.entries import Abrasive, Scale, Step, Tool
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.units import FOOT_M

SET = [owned(1, Cover.SOLID, 500.0), owned(2, Cover.HYBRID, 2000.0), owned(3, Cover.PEARL, 3000.0)]


def recipe(*numbers: float, tool: Tool = Tool.SPINNER, **fields: object) -> Recipe:
    steps = tuple(Step(number=n, scale=Scale.P, tool=tool, wet=tool is not Tool.HAND, **fields) for n in numbers)  # type: ignore[arg-type]
    return Recipe(label(steps), steps)


POLISH = Recipe("polish", (Step(Abrasive.POLISH, tool=Tool.SPINNER),))
NOTHING = Recipe("as it is", ())


def context(balls: list[tuple[Ball, SurfaceState]] = SET, lane: Lane = HOUSE) -> Order:
    return order(bowler(2), lane, balls, PRIORS, line=LINE, rooms=False, draws=80)


def asked(ball: int, *recipes: Recipe, pads: tuple[Pad, ...] = (), rooms: bool = False) -> tuple[PadResult, ...]:
    return what_if(context(), bowler(2), HOUSE, SET, ball, recipes, pads, PRIORS, draws=80, rooms=rooms)


def test_a_recipe_of_no_steps_changes_nothing_and_is_sure_of_it() -> None:
    (same,) = asked(3, NOTHING)
    assert (same.boards_change.mean, same.boards_change.sd) == (0.0, 0.0)
    assert (same.first_read_change_m.mean, same.rolls_change_m.mean) == (0.0, 0.0)
    assert same.sentence.startswith("still place 3")


@pytest.mark.common_practice
def test_a_coarser_pad_makes_the_same_ball_read_earlier_and_end_stronger() -> None:
    coarse, middle, fine = asked(3, recipe(500.0), recipe(1000.0), recipe(4000.0))
    assert coarse.boards_change.mean > middle.boards_change.mean > fine.boards_change.mean
    assert coarse.first_read_change_m.mean < middle.first_read_change_m.mean < fine.first_read_change_m.mean
    assert coarse.first_read_change_m.mean < 0.0


@pytest.mark.common_practice
def test_polish_on_a_rough_ball_makes_it_later() -> None:
    (shiny,) = asked(1, POLISH)
    assert shiny.first_read_change_m.mean > FOOT_M
    assert shiny.boards_change.mean < 0.0


def test_what_is_unknown_of_the_ball_cancels_between_now_and_after() -> None:
    vague = [SET[0], SET[1], owned(3, Cover.PEARL, 3000.0, sd=0.6)]
    found = order(bowler(2), HOUSE, vague, PRIORS, line=LINE, rooms=False, draws=200)
    light = recipe(2000.0, tool=Tool.HAND)
    (one,) = what_if(found, bowler(2), HOUSE, vague, 3, (light,), (), PRIORS, draws=200, rooms=False)
    row = next(r for r in found.rows if r.ball.id == 3)
    assert one.boards_change.sd < 0.6 * row.boards_sd


def test_the_place_after_the_pad_is_the_place_the_order_would_give() -> None:
    (coarse,) = asked(3, recipe(500.0))
    again = order(bowler(2), HOUSE, [*SET[:2], (SET[2][0], coarse.state)], PRIORS, line=LINE, rooms=False, draws=80)
    row = next(r for r in again.rows if r.ball.id == 3)
    assert coarse.place == row.place
    assert row.boards == pytest.approx(
        next(r for r in context().rows if r.ball.id == 3).boards + coarse.boards_change.mean, abs=1e-9
    )
    assert f"place {coarse.place}" in coarse.sentence


def test_the_same_seed_gives_the_same_answer_whatever_else_is_asked() -> None:
    alone, among = asked(3, recipe(1000.0))[0], asked(3, recipe(500.0), recipe(1000.0), POLISH)[1]
    assert alone.boards_change == among.boards_change
    assert alone.sentence == among.sentence


def test_a_doubt_as_large_as_the_change_is_said_in_words() -> None:
    light = recipe(2500.0, tool=Tool.HAND)
    (small,) = asked(3, light)
    assert not small.as_large_as_its_doubt or abs(small.boards_change.mean) > small.boards_change.sd
    for one in asked(3, light, recipe(500.0), POLISH):
        assert ("the doubt is as large as the change" in one.sentence) == (not one.as_large_as_its_doubt)


def test_the_pad_says_how_often_it_was_used_and_when_it_hardly_cuts() -> None:
    fresh, tired = Pad(7, 1000.0, Scale.P, uses_hand=6.0), Pad(8, 1000.0, Scale.P, uses_hand=30.0)
    first = recipe(1000.0, tool=Tool.HAND, pad_id=7)
    second = recipe(1000.0, tool=Tool.HAND, pad_id=8)
    with_fresh, with_tired = asked(3, first, second, pads=(fresh, tired))
    assert "pad’s 7th use" in with_fresh.sentence
    assert with_fresh.cuts is not None
    assert with_tired.cuts is not None
    assert with_tired.cuts < with_fresh.cuts
    assert abs(with_tired.boards_change.mean) < abs(with_fresh.boards_change.mean)
    assert any("hardly cuts" in w for w in with_tired.warnings)
    assert not any("hardly cuts" in w for w in with_fresh.warnings)


@pytest.mark.common_practice
def test_a_jump_over_more_than_one_common_grit_proposes_the_gentler_step() -> None:
    assert gentler_first(recipe(500.0).steps, 3000.0) == 2000.0
    assert gentler_first(recipe(1000.0).steps, 3000.0) is None
    assert gentler_first(recipe(500.0).steps, 2000.0) is None
    assert gentler_first(recipe(4000.0).steps, 500.0) is None
    assert gentler_first(POLISH.steps, 500.0) is None
    (jump,) = asked(3, recipe(500.0))
    assert any("try 2000 first" in w for w in jump.warnings)


@pytest.mark.common_practice
def test_going_back_to_the_pad_that_set_the_finish_is_no_jump() -> None:
    ball, state = owned(3, Cover.PEARL, 4000.0)
    worn = replace(state, finish=recipe(1000.0).steps, finish_set_grit=1300.0)
    balls = [*SET[:2], (ball, worn)]
    same, rough = what_if(
        context(balls), bowler(2), HOUSE, balls, 3, (recipe(1000.0), recipe(360.0)), (), PRIORS, draws=5, rooms=False
    )
    assert not any("long jump" in w for w in same.warnings)
    assert not any("long jump" in w for w in rough.warnings)  # 360 from 1000 leaves out one common grit only
    strange = [*SET[:2], (ball, replace(worn, finish=(), finish_set_grit=4000.0))]
    (jump,) = what_if(
        context(strange), bowler(2), HOUSE, strange, 3, (recipe(1000.0),), (), PRIORS, draws=5, rooms=False
    )
    assert any("long jump from about 4000: try 3000 first" in w for w in jump.warnings)


def test_what_a_towel_alone_would_do_is_not_put_down_to_the_pad() -> None:
    balls = [*SET[:2], owned(3, Cover.PEARL, 3000.0, film_m=0.3e-6)]
    (oily,) = what_if(context(balls), bowler(2), HOUSE, balls, 3, (recipe(3000.0),), (), PRIORS, draws=5, rooms=False)
    (clean,) = asked(3, recipe(3000.0))
    assert oily.boards_change.mean > clean.boards_change.mean + 0.25
    assert any(w.startswith("Wiping alone would do +") for w in oily.warnings)
    assert not any("Wiping" in w for w in clean.warnings)


@pytest.mark.common_practice
def test_a_finer_pad_does_not_put_cover_back_and_it_is_said() -> None:
    finer, coarser = asked(1, recipe(2000.0), recipe(360.0))
    assert "A finer pad does not put cover back." in finer.warnings
    assert "A finer pad does not put cover back." not in coarser.warnings


def test_an_over_surfaced_ball_is_marked_on_its_own_line() -> None:
    slow = bowler(2, style=replace(STYLE, speed_mps=6.2))
    burnt = Lane(3, "burnt", FilmSummary(30.0 * FOOT_M, 8e-6, 4.0))
    balls = [owned(2, Cover.HYBRID, 3000.0), owned(3, Cover.SOLID, 4000.0)]
    found = order(slow, burnt, balls, PRIORS, line=LINE, rooms=False, draws=10)
    gentle, rough = what_if(found, slow, burnt, balls, 3, (recipe(3000.0), recipe(360.0)), (), PRIORS, draws=10)
    assert rough.rolls_out
    assert not gentle.rolls_out
    assert any("rolls out too early" in w for w in rough.warnings)


def test_room_before_the_pad_and_after_is_told_on_the_balls_own_line() -> None:
    (one,) = asked(2, recipe(1000.0), rooms=True)
    assert one.room is not None
    assert 0.0 < one.room < 1.0
    assert " in, " in one.sentence


def test_a_cracked_ball_is_shown_before_any_work() -> None:
    ball, state = SET[2]
    cracked = [*SET[:2], (ball, replace(state, cracked=True))]
    (one,) = what_if(context(cracked), bowler(2), HOUSE, cracked, 3, (POLISH,), (), PRIORS, draws=5, rooms=False)
    assert one.warnings[0].startswith("A crack is open")


def test_a_spare_ball_gets_an_answer_and_no_place() -> None:
    balls = [*SET, owned(5, Cover.POLYESTER, 4000.0, spare=True)]
    (one,) = what_if(context(balls), bowler(2), HOUSE, balls, 5, (recipe(1000.0),), (), PRIORS, draws=5)
    assert one.place == 0
    assert one.sentence.startswith("a spare ball")


def test_a_ball_not_yet_owned_takes_its_place_the_same_way() -> None:
    tried = [*SET, owned(-5, Cover.SOLID, 1000.0)]
    found = order(bowler(2), HOUSE, tried, PRIORS, line=LINE, rooms=False, draws=20)
    assert {r.ball.id for r in found.rows} == {1, 2, 3, -5}
    (one,) = what_if(found, bowler(2), HOUSE, tried, -5, (POLISH,), (), PRIORS, draws=20, rooms=False)
    assert one.boards_change.mean < 0.0


def test_a_ball_that_is_not_in_the_set_is_not_found() -> None:
    with pytest.raises(NotFound, match="not in this set"):
        asked(44, POLISH)


def test_the_place_has_its_doubt_from_draws_shared_with_the_rest_of_the_set() -> None:
    for one in asked(3, recipe(360.0), recipe(1000.0), POLISH, NOTHING):
        assert 1 <= one.place_low <= one.place_high <= 3
        assert one.place_before == 3
    vague = [SET[0], SET[1], owned(3, Cover.PEARL, 3000.0, sd=0.8)]
    found = order(bowler(2), HOUSE, vague, PRIORS, line=LINE, rooms=False, draws=80)
    (wide,) = what_if(found, bowler(2), HOUSE, vague, 3, (recipe(1000.0),), (), PRIORS, draws=80, rooms=False)
    (narrow,) = asked(3, recipe(1000.0))
    assert wide.place_high - wide.place_low >= narrow.place_high - narrow.place_low


def test_room_now_is_told_beside_room_then_and_a_recipe_of_no_steps_leaves_it() -> None:
    same, coarse = asked(2, NOTHING, recipe(500.0), rooms=True)
    assert same.room == same.room_before == coarse.room_before
    assert (same.room_in_boards, same.room_out_boards) == (same.room_in_boards_before, same.room_out_boards_before)
    assert coarse.room is not None
    assert coarse.room_sd is not None
    assert 0.0 <= coarse.room_sd < 1.0
    (unasked,) = asked(2, recipe(500.0), rooms=False)
    assert (unasked.room, unasked.room_before, unasked.room_sd) == (None, None, None)


def test_a_finish_known_exactly_has_a_room_without_doubt_and_a_vague_one_has_not() -> None:
    def room_sd(sd: float) -> float:
        balls = [*SET[:2], owned(3, Cover.PEARL, 3000.0, sd=sd)]
        (one,) = what_if(context(balls), bowler(2), HOUSE, balls, 3, (NOTHING,), (), PRIORS, draws=5)
        assert one.room_sd is not None
        return one.room_sd

    assert room_sd(0.0) == 0.0
    assert room_sd(0.5) > 0.01


@pytest.mark.common_practice
def test_a_smoother_ball_has_a_longer_shape_and_the_change_of_it_is_told() -> None:
    coarse, shiny = asked(2, recipe(360.0), POLISH)
    before = next(r.trace.shape_m for r in context().rows if r.ball.id == 2)
    for one in (coarse, shiny):
        assert before is not None
        assert one.trace.shape_m is not None
        assert one.shape_change_m.mean == pytest.approx(one.trace.shape_m - before)
        assert one.shape_word in ("sharp", "medium", "smooth")


def test_each_mark_whose_doubt_is_as_large_as_its_change_is_named() -> None:
    for one in asked(3, recipe(2500.0, tool=Tool.HAND), recipe(360.0), POLISH, NOTHING):
        marks = {
            "boards": one.boards_change, "first read": one.first_read_change_m, "rolls": one.rolls_change_m,
            "shape": one.shape_change_m,
        }  # fmt: skip
        assert one.unsure == tuple(name for name, by in marks.items() if abs(by.mean) <= by.sd)
        assert ("boards" in one.unsure) == (not one.as_large_as_its_doubt)


def test_cover_comes_off_with_every_grain_and_never_goes_back() -> None:
    rough, fine, shiny, none = asked(1, recipe(360.0), recipe(4000.0), POLISH, NOTHING)
    assert rough.cover_off_m.mean > fine.cover_off_m.mean > 0.0
    assert (shiny.cover_off_m.mean, none.cover_off_m.mean) == (0.0, 0.0)
    assert [one.reversible for one in (rough, fine, shiny, none)] == [False, False, True, True]
    assert "stays off" in rough.way_back
    assert "stays off" in fine.way_back
    assert shiny.way_back.startswith("A pad takes it off again")
    assert none.way_back == "Nothing to undo."


def test_uses_left_are_those_of_the_pad_that_goes_first() -> None:
    pads = (Pad(7, 500.0, Scale.P, uses_spinner=4.0), Pad(8, 2000.0, Scale.P, uses_spinner=20.0))
    both = Recipe("500/2000 s", (recipe(500.0, pad_id=7).steps[0], recipe(2000.0, pad_id=8).steps[0]))
    one, two, unknown = asked(3, recipe(500.0, pad_id=7), both, recipe(500.0), pads=pads)
    assert one.uses_left is not None
    assert two.uses_left is not None
    assert two.uses_left.mean < one.uses_left.mean
    assert one.uses_left.sd > 0.0
    assert unknown.uses_left is None


def test_a_pad_marked_used_up_says_so_before_it_is_chosen() -> None:
    done = Pad(7, 500.0, Scale.P, used_up=True)
    (one,) = asked(3, recipe(500.0, pad_id=7), pads=(done,))
    assert one.pad_done
    assert "This pad is marked used up." in one.warnings
    assert one.uses_left == Estimate(0.0)


@pytest.mark.common_practice
def test_the_gentler_step_is_a_recipe_done_the_same_way_with_the_pad_in_stock() -> None:
    pads = (Pad(7, 500.0, Scale.P), Pad(8, 2000.0, Scale.P), Pad(9, 2000.0, Scale.P, used_up=True))
    jump, step = asked(3, recipe(500.0, pad_id=7), recipe(2000.0, pad_id=8), pads=pads)
    assert jump.gentler is not None
    assert [(s.number, s.tool, s.pad_id) for s in jump.gentler.steps] == [(2000.0, Tool.SPINNER, 8)]
    assert step.gentler is None


def test_a_chance_of_rolling_out_is_told_before_it_is_likely() -> None:
    slow = bowler(2, style=replace(STYLE, speed_mps=6.2))
    burnt = Lane(3, "burnt", FilmSummary(30.0 * FOOT_M, 8e-6, 4.0))
    balls = [owned(2, Cover.HYBRID, 3000.0), owned(3, Cover.SOLID, 4000.0)]
    found = order(slow, burnt, balls, PRIORS, line=LINE, rooms=False, draws=60)
    steps = [recipe(n) for n in (4000.0, 3000.0, 2000.0, 1000.0, 500.0, 360.0)]
    results = what_if(found, slow, burnt, balls, 3, steps, (), PRIORS, draws=60)
    shares = [one.rolls_out_share for one in results]
    assert shares[-1] > shares[0]
    told = [any("may roll out too early" in w for w in one.warnings) for one in results]
    rougher = [one.state.ln_ra_m.mean > balls[1][1].ln_ra_m.mean for one in results]
    assert told == [
        up and not one.rolls_out and one.rolls_out_share >= 0.25 for up, one in zip(rougher, results, strict=True)
    ]
    assert any(told)


def test_the_doubt_of_where_it_rolls_is_not_the_doubt_of_the_change() -> None:
    (one,) = asked(3, recipe(1000.0))
    assert one.rolls_sd_m > one.rolls_change_m.sd
