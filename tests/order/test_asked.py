"""Asked the other way round: the gentlest that does it, or plainly that none does and which comes nearest."""

from __future__ import annotations

import math

import pytest
from a_set import HOUSE, LINE, PRIORS, bowler, owned

from arsenal.order import Order, order, what_if
from arsenal.order.asked import Answer, Between, Earlier, More, Want, answer
from arsenal.order.compare import OVERLAP_BOARDS
from arsenal.trade import Cover, KnownError, NotFound
from arsenal.trade.entries import Abrasive, Scale, Step, Tool
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.units import FOOT_M

SET = [owned(1, Cover.SOLID, 500.0), owned(2, Cover.HYBRID, 2000.0), owned(3, Cover.PEARL, 4000.0)]
STOCK = {i: Pad(i, n, Scale.P) for i, n in enumerate((360.0, 500.0, 1000.0, 2000.0, 3000.0, 4000.0), 1)}


def spun(pad: Pad, sides: int, seconds: float) -> Step:
    return Step(number=pad.number, scale=pad.scale, tool=Tool.SPINNER, wet=True, sides=sides, seconds=seconds,
                pad_id=pad.id)  # fmt: skip


SINGLES = tuple(
    Recipe(f"{pad.number:g} s {seconds:g}", (spun(pad, 2, seconds),))
    for pad in STOCK.values() for seconds in (7.5, 15.0, 30.0, 60.0)
)  # fmt: skip
TWO_STEPS = Recipe("500/1000", (spun(STOCK[2], 4, 30.0), spun(STOCK[3], 4, 30.0)))
POLISH = Recipe("polish", (Step(Abrasive.POLISH, tool=Tool.SPINNER),))
EVERY = (*SINGLES, TWO_STEPS, POLISH)


def context() -> Order:
    return order(bowler(2), HOUSE, SET, PRIORS, line=LINE, rooms=False, draws=40)


def asked(want: Want, recipes: tuple[Recipe, ...] = EVERY, ball: int = 3) -> Answer:
    return answer(context(), bowler(2), HOUSE, SET, ball, want, recipes, STOCK, PRIORS, draws=40)


@pytest.mark.parametrize("feet", [1.0, 2.0, 3.0])
def test_two_feet_earlier_is_two_feet_earlier_within_half_a_foot(feet: float) -> None:
    found = asked(Earlier(feet))
    assert found.does is not None
    for result in (found.does, *found.others):
        assert -result.first_read_change_m.mean / FOOT_M == pytest.approx(feet, abs=0.5)
        assert not result.rolls_out


@pytest.mark.parametrize("boards", [1.0, 2.0, -1.0])
def test_boards_more_or_less_are_those_boards_within_half_a_board(boards: float) -> None:
    found = asked(More(boards), ball=3 if boards > 0 else 1)
    assert found.does is not None
    assert found.does.boards_change.mean == pytest.approx(boards, abs=0.5)


def test_no_other_recipe_that_does_it_takes_less_cover_off() -> None:
    found = asked(Earlier(2.0))
    assert found.does is not None
    results = what_if(context(), bowler(2), HOUSE, SET, 3, EVERY, STOCK, PRIORS, draws=2)
    doing = [
        r for r in results
        if abs(r.first_read_change_m.mean / FOOT_M + 2.0) <= 0.5 and not r.rolls_out
    ]  # fmt: skip
    assert found.does.recipe in [r.recipe for r in doing]
    assert found.does.cover_off_m.mean <= min(r.cover_off_m.mean for r in doing) + 1e-8


def test_of_two_that_take_the_same_cover_the_one_of_fewer_steps_then_less_time_comes_first() -> None:
    long = Recipe("slow", (Step(Abrasive.POLISH, tool=Tool.SPINNER, sides=5, seconds=30.0),))
    steps = Recipe("twice", (Step(Abrasive.POLISH, tool=Tool.SPINNER, sides=1, seconds=35.0),) * 2)
    told = what_if(context(), bowler(2), HOUSE, SET, 1, (steps, long, POLISH), {}, PRIORS, draws=2, rooms=False)
    later = [r.first_read_change_m.mean / FOOT_M for r in told]
    assert max(later) - min(later) < 1.0  # all three within half a foot of their middle
    found = asked(Earlier(-0.5 * (max(later) + min(later))), (steps, long, POLISH), ball=1)
    assert [r.recipe.name for r in (found.does, *found.others) if r] == ["polish", "slow", "twice"]


def test_between_two_balls_stands_clear_of_both() -> None:
    found = asked(Between(1, 2))
    assert found.does is not None
    rows = {r.ball.id: r.boards for r in context().rows}
    then = rows[3] + found.does.boards_change.mean
    low, high = sorted((rows[1], rows[2]))
    assert low < then < high
    keep = min(OVERLAP_BOARDS, 0.5 * (high - low) - 0.25)
    assert min(then - low, high - then) >= keep - 1e-6


def test_a_ball_that_stands_there_already_needs_no_pad() -> None:
    found = asked(Between(1, 3), ball=2)
    if found.tried == 0:
        assert "already" in found.sentence
    else:
        rows = {r.ball.id: r.boards for r in context().rows}
        assert min(rows[1] - rows[2], rows[2] - rows[3]) < OVERLAP_BOARDS


def test_where_none_does_it_that_is_said_with_the_nearest_and_its_doubt() -> None:
    found = asked(Earlier(25.0))
    assert found.does is None
    assert found.nearest is not None
    assert found.sentence.startswith("Nothing in stock makes Tide 25 ft earlier.")
    assert f"{found.nearest.recipe.name} comes nearest" in found.sentence
    assert "±" in found.sentence
    later = asked(Earlier(-20.0), SINGLES[-4:])
    assert later.does is None


def test_an_over_surfaced_ball_is_no_answer() -> None:
    for want in (Earlier(4.0), Earlier(6.0), More(5.0)):
        found = asked(want)
        assert found.does is None or not found.does.rolls_out
        assert not any(other.rolls_out for other in found.others)


def test_the_answer_is_told_with_its_doubt_and_says_where_that_is_as_large() -> None:
    for want in (Earlier(1.0), More(1.0), More(0.5)):
        found = asked(want)
        assert found.does is not None
        assert "±" in found.sentence
        by = found.does.first_read_change_m if isinstance(want, Earlier) else found.does.boards_change
        assert ("as large as the change" in found.sentence) == (abs(by.mean) <= by.sd)


@pytest.mark.parametrize("want", [Earlier(0.0), More(0.0), Earlier(math.nan), More(1e9), Earlier(math.inf)])
def test_what_cannot_be_wanted_is_refused(want: Want) -> None:
    with pytest.raises(KnownError):
        asked(want)


@pytest.mark.parametrize("want", [Between(1, 1), Between(1, 3), Between(1, 99)])
def test_between_needs_two_other_balls_of_the_set(want: Want) -> None:
    with pytest.raises((KnownError, NotFound)):
        asked(want)


def test_a_ball_that_is_not_in_the_set_is_not_found() -> None:
    with pytest.raises(NotFound):
        asked(Earlier(1.0), ball=77)


def test_a_small_change_asked_is_never_met_by_none_at_all() -> None:
    nothing = Recipe("0 s", (Step(number=1000.0, tool=Tool.SPINNER, sides=1, seconds=0.0),))
    assert asked(More(0.5), (nothing,)).does is None
    assert label(nothing.steps) == "1000 s"
