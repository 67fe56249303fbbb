"""Every pad in stock and every recipe on one ball, what is asked in words, and a ball tried before it is bought."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from made_shop import Clock, ball

from arsenal import printed_pads
from arsenal.acts import buying, lane_side, logging, pads, people, recipe_book, rules_now, tried, wants, whatif
from arsenal.acts.rules_now import Competition
from arsenal.acts.shop import Shop
from arsenal.order.asked import Between, Earlier, More
from arsenal.trade import Cover
from arsenal.trade.entries import Abrasive, Step, Tool
from arsenal.trade.errors import KnownError, NotFound, NotUnderstood, OutOfRange
from arsenal.trade.pads import OPENERS, Pad, Recipe
from arsenal.trade.units import FOOT_M

MONDAY = Recipe("early Monday", tuple(Step(number=n, tool=Tool.SPINNER, wet=True) for n in (500.0, 2000.0)))


def test_every_pad_by_hand_and_on_the_spinner_and_every_recipe_is_there(shop: Shop) -> None:
    number = recipe_book.add_recipe(shop, MONDAY).changed[0].id
    pads.add_pad(shop, Pad(0, None, abrasive=Abrasive.POLISH, kind="liquid"))
    pads.add_pad(shop, Pad(0, 800.0, owner_id=2))  # somebody else's
    sheet = whatif.what_if(shop, 1, 1)
    names = [r.recipe.name for r in sheet.results]
    assert names == ["500 h", "500 s", "1000 h", "1000 s", "1000 h", "1000 s", "2000 h", "2000 s", "polish",
                     "early Monday"]  # fmt: skip
    assert [len(sheet.of_pad(i)) for i in (1, 2, 3, 4, 5, 6)] == [2, 2, 2, 2, 1, 0]
    kept = sheet.of_recipe(number)
    assert kept is not None
    assert [step.pad_id for step in kept.recipe.steps] == [1, 3]
    assert all(r.room_before is not None for r in sheet.results)


def test_each_result_is_what_the_key_for_it_says(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    keys = {k.recipe.steps: k for k in lane_side.pad_keys(shop, 1, 1, 1, side)}
    sheet = whatif.what_if(shop, 1, 1, side=side)
    shared = [r for r in sheet.results if r.recipe.steps in keys]
    assert len(shared) >= 3
    for result in shared:
        key = keys[result.recipe.steps]
        assert result.boards_change == key.boards_change
        assert result.room == key.room


def test_in_competition_every_answer_begins_with_the_rule(shop: Shop, clock: Clock) -> None:
    when = Competition(clock.at - timedelta(hours=1))
    rules_now.set_competition(shop, 1, when)
    sheet = whatif.what_if(shop, 1, 1)
    assert all(r.warnings[0] == whatif.NOT_ALLOWED for r in sheet.results)


def test_without_a_pad_or_a_throw_it_is_said(empty: Shop, shop: Shop) -> None:
    for pad in shop.pads():
        pads.mark_used_up(shop, pad.id)
    with pytest.raises(KnownError, match="no pad in stock"):
        whatif.ask(shop, 1, 1, Earlier(1.0))
    people.edit_bowler(shop, replace(shop.person(1), style=None))
    with pytest.raises(KnownError, match="throws"):
        whatif.what_if(shop, 1, 1)
    with pytest.raises(NotFound):
        whatif.what_if(empty, 1, 1)


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("2 ft earlier", Earlier(2.0)), ("two feet earlier", Earlier(2.0)), ("1.5 ft later", Earlier(-1.5)),
        ("1½ ft later", Earlier(-1.5)), ("a foot sooner", Earlier(1.0)), ("two boards more", More(2.0)),
        ("1 board stronger", More(1.0)), ("3 boards weaker", More(-3.0)), ("½ board less", More(-0.5)),
        ("2,5 boards more", More(2.5)), ("between rook and moth", Between(1, 3)),
        ("Between Paper Moth and Jay Quarry", Between(3, 2)),
    ],
)  # fmt: skip
def test_what_is_wanted_is_read_as_people_say_it(shop: Shop, text: str, want: object) -> None:
    assert wants.want_of(shop, text, 1) == want


@pytest.mark.parametrize(
    "text", ["", "earlier", "2 ft", "2 ft more", "2 boards earlier", "many boards more", "between rook", "2 m earlier",
             "between rook and nobody", "between and", "\x00", "1e999 ft earlier"],
)  # fmt: skip
def test_what_cannot_be_read_is_told_how_to_say_it(shop: Shop, text: str) -> None:
    with pytest.raises((NotUnderstood, NotFound)):
        wants.want_of(shop, text, 1)


def test_the_gentlest_is_found_among_what_is_in_stock(shop: Shop) -> None:
    found = whatif.ask(shop, 1, 1, Earlier(1.0))
    assert found.does is not None
    assert -found.does.first_read_change_m.mean / FOOT_M == pytest.approx(1.0, abs=0.5)
    stock = {pad.id for pad in shop.pads(1)}
    assert {step.pad_id for step in found.does.recipe.steps} <= stock
    assert found.tried > 20
    text = printed_pads.answer_text(found)
    assert "the gentlest of those in stock" in " ".join(text.split())
    row = printed_pads.answer_row(found)
    assert row["does"]["recipe"] == found.does.recipe.name


def test_a_recipe_whose_pads_nobody_has_says_so_and_is_no_answer(shop: Shop) -> None:
    recipe_book.add_recipe(shop, Recipe("odd", (Step(number=700.0, tool=Tool.SPINNER), Step(number=500.0))))
    last = whatif.what_if(shop, 1, 1).results[-1]
    assert last.recipe.name == "odd"
    assert last.warnings[0] == "Not in stock for it: 700."
    assert "odd" not in [recipe.name for recipe in whatif.candidates(shop, 1)]
    pads.add_pad(shop, Pad(0, 700.0))
    assert whatif.what_if(shop, 1, 1).results[-1].warnings[:1] != ("Not in stock for it: 700.",)
    assert "odd" in [recipe.name for recipe in whatif.candidates(shop, 1)]


# ---- a ball not owned yet


def test_a_ball_tried_takes_its_place_and_nothing_is_written(shop: Shop) -> None:
    revision = shop.revision
    found = tried.try_ball(shop, 1, 1, ball("Copper Wharf", "wharf", 1, Cover.SOLID))
    assert shop.revision == revision
    assert len(shop.balls(1)) == 4
    assert {r.ball.name for r in found.order.rows} == {"Rook Hollow", "Jay Quarry", "Paper Moth", "Copper Wharf"}
    assert found.row.place == 1 + sum(r.boards > found.row.boards for r in found.order.rows)
    assert found.finish == "500/1000/2000 m"  # the usual opener of a solid
    assert "opened the usual way" in found.sentence
    assert f"place {found.row.place}" in found.sentence


def test_the_balls_owned_stand_where_they_stood_without_it(shop: Shop) -> None:
    before = {r.ball.id: r for r in lane_side.lane_side(shop, 1, 1).order.rows}
    found = tried.try_ball(shop, 1, 1, ball("Copper Wharf", "wharf", 1, Cover.SOLID))
    for row in found.order.rows:
        if row.ball.id in before:
            assert row.boards == before[row.ball.id].boards
            assert row.first_read_m == before[row.ball.id].first_read_m


def test_the_same_ball_bought_and_opened_stands_where_it_was_tried(shop: Shop) -> None:
    """A twin of a ball in the bag, in the same finish, overlaps it."""
    twin = shop.ball(2)
    steps = shop.state(2).finish
    found = tried.try_ball(shop, 1, 1, replace(twin, name="Twin"), box=steps)
    own = next(r for r in found.order.rows if r.ball.id == 2)
    assert found.row.boards >= own.boards - 0.5  # the one in the bag has shone since
    rough = tried.try_ball(shop, 1, 1, replace(twin, name="Twin"), Recipe("500", (Step(number=500.0),)), box=steps)
    assert rough.row.boards > found.row.boards


def test_a_tried_ball_that_is_like_one_in_the_bag_says_so(shop: Shop) -> None:
    logging.keep(shop, logging.read_line(shop, "jay 500/1000/2000 m").drafts)
    found = tried.try_ball(shop, 1, 1, replace(shop.ball(2), name="Twin"), box=OPENERS[Cover.SOLID].steps)
    assert "Jay Quarry" in found.alike
    assert "overlaps Jay Quarry" in found.sentence


@pytest.mark.parametrize(
    "bad",
    [{"mass_kg": 90.0}, {"rg_m": 0.2}, {"name": "  "}, {"spare": True}, {"differential_m": 1.0}],
)
def test_what_no_ball_can_be_is_refused(shop: Shop, bad: dict[str, object]) -> None:
    with pytest.raises(KnownError):
        tried.try_ball(shop, 1, 1, replace(ball("Copper Wharf", "wharf", 1, Cover.SOLID), **bad))  # type: ignore[arg-type]


def test_a_tried_step_that_cannot_be_is_refused(shop: Shop) -> None:
    odd = Recipe("odd", (Step(number=500.0, sides=500),))
    with pytest.raises(OutOfRange):
        tried.try_ball(shop, 1, 1, ball("Copper Wharf", "wharf", 1, Cover.SOLID), odd)


# ---- what to buy


def test_what_to_buy_is_by_the_next_competition_where_one_is_known(shop: Shop, clock: Clock) -> None:
    assert buying.shopping(shop, 1).until == clock.at.date() + timedelta(weeks=4)
    starts = clock.at + timedelta(days=10)
    rules_now.set_competition(shop, 1, Competition(starts))
    found = buying.shopping(shop, 1)
    assert (found.until, found.event) == (starts.date(), True)
    later = clock.at.date() + timedelta(days=40)
    assert buying.shopping(shop, 1, until=later).until == later


def test_a_worn_pad_that_the_plan_needs_is_to_buy_and_a_new_one_is_not(shop: Shop) -> None:
    assert "1000 foam" not in buying.shopping(shop, 1).names
    for pad in shop.pads(1):
        if pad.number == 1000:
            pads.edit_pad(shop, replace(pad, uses_hand=10.0))
    found = buying.shopping(shop, 1)
    assert "1000 foam" in found.names
    assert any(s.startswith("1000 foam") and "planned use" in s for s in found.sentences)


def test_days_and_shares_that_cannot_be_are_refused(shop: Shop, clock: Clock) -> None:
    for wrong in ({"until": clock.at.date() - timedelta(days=1)}, {"until": clock.at.date() + timedelta(days=900)},
                  {"share": 0.0}, {"share": 1.5}):  # fmt: skip
        with pytest.raises(OutOfRange):
            buying.shopping(shop, 1, **wrong)  # type: ignore[arg-type]
