"""Bowlers, balls, lanes, pads: added, edited, refused where they cannot be, and each taken back in one step."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest
from made_shop import STYLE, ball, came

from arsenal.acts import balls, lanes, pads, people, reading, undo
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade import Cover, FilmGrid, FilmSummary, Lane, Line, Person, UnknownHouse
from arsenal.trade.entries import Kind, New
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.pads import Pad
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, INCH_M, MILLILITRE_M3, MPH_MPS, POUND_KG


def undone(shop: Shop, changes: Changes) -> None:
    assert undo.undo(shop).sentence.startswith("Took back: ")
    assert changes.act_id is not None


def test_a_bowler_is_added_and_taken_back(shop: Shop) -> None:
    added = people.add_bowler(shop, Person(0, "  Orla   Venn ", style=STYLE))
    assert added.sentence == "Added Orla Venn"
    assert shop.person(added.changed[0].id).name == "Orla Venn"
    undone(shop, added)
    assert len(shop.people()) == 2


def test_two_bowlers_of_one_name_are_refused(shop: Shop) -> None:
    with pytest.raises(KnownError, match="There is a Mirel Oster already"):
        people.add_bowler(shop, Person(0, "MIREL OSTER"))


@pytest.mark.parametrize("name", ["", "   ", "a\x00b", "x" * 81])
def test_a_name_nobody_could_read_is_refused(shop: Shop, name: str) -> None:
    before = shop.revision
    with pytest.raises(KnownError):
        people.add_bowler(shop, Person(0, name))
    assert shop.revision == before


def test_two_hundred_miles_an_hour_is_refused_with_the_range(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="speed is 200 mph; it must be 8 to 25 mph"):
        people.set_release(shop, 1, replace(STYLE, speed_mps=200 * MPH_MPS))


@pytest.mark.parametrize("speed", [math.nan, math.inf, -1.0])
def test_a_speed_that_is_no_number_is_refused(shop: Shop, speed: float) -> None:
    with pytest.raises(OutOfRange):
        people.set_release(shop, 1, replace(STYLE, speed_mps=speed))


def test_what_changes_nothing_keeps_nothing(shop: Shop) -> None:
    before = shop.revision
    bowler = shop.person(1)
    assert people.set_release(shop, 1, STYLE).act_id is None
    assert people.edit_bowler(shop, bowler).act_id is None
    assert people.set_benchmark(shop, 1, 2).act_id is None
    assert people.set_usual_lane(shop, 1, 1).act_id is None
    assert people.set_line(shop, 1, 1, None).act_id is None
    assert balls.edit_ball(shop, shop.ball(1)).act_id is None
    assert lanes.edit_lane(shop, shop.lane(1)).act_id is None
    assert pads.edit_pad(shop, shop.pad(1)).act_id is None
    assert pads.mark_used_up(shop, 1, False).act_id is None
    assert shop.revision == before


def test_the_throw_is_changed_and_taken_back(shop: Shop) -> None:
    changed = people.set_release(shop, 1, replace(STYLE, speed_mps=17.0 * MPH_MPS))
    assert changed.sentence == "Mirel Oster throws 17.0 mph, 275 rpm, 45°"
    assert changed.changed[0].fields == ("style",)
    undone(shop, changed)
    assert shop.person(1).style == STYLE


def test_the_benchmark_is_a_strike_ball_of_the_bowlers_own(shop: Shop) -> None:
    with pytest.raises(KnownError, match="spare ball"):
        people.set_benchmark(shop, 1, 4)
    with pytest.raises(NotFound, match="not a ball of Mirel Oster"):
        people.set_benchmark(shop, 1, 5)
    undone(shop, people.set_benchmark(shop, 1, 1))
    assert shop.person(1).benchmark_ball_id == 2


def test_an_own_line_is_kept_for_its_condition_and_taken_away_again(shop: Shop) -> None:
    line = Line(22.5 * BOARD_M, -1.5 * DEGREE_RAD)
    assert people.set_line(shop, 1, 1, line).sentence == "Mirel Oster lays it down on 23 on 41 ft house, 25 mL"
    assert dict(shop.person(1).lines) == {1: line}
    people.set_line(shop, 1, 1, None)
    assert shop.person(1).lines == ()


def test_board_45_is_refused(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="board is 45; it must be 1 to 39"):
        people.set_line(shop, 1, 1, Line(44.5 * BOARD_M, 0.0))


def test_a_condition_nobody_knows_is_refused(shop: Shop) -> None:
    with pytest.raises(NotFound):
        people.set_usual_lane(shop, 1, 77)


def test_a_ball_comes_with_its_first_entry_in_one_act_and_goes_in_one_step(shop: Shop) -> None:
    added = balls.add_ball(shop, ball("Bramble Vow", "vow", 1, Cover.PEARL), came(3000))
    new_id = added.changed[0].id
    assert [c.what for c in added.changed] == ["ball", "entry"]
    assert shop.entries(new_id)[0].kind == Kind.NEW
    undone(shop, added)
    assert new_id not in {b.id for b in shop.balls()}


def test_a_ball_without_a_word_on_how_it_came_has_an_unknown_history(shop: Shop) -> None:
    new_id = balls.add_ball(shop, ball("Bramble Vow", "vow", 1, Cover.PEARL)).changed[0].id
    first = shop.entries(new_id)[0].payload
    assert isinstance(first, New)
    assert not first.history_known


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"rg_m": 4.4 * INCH_M}, "RG is 4.4 in; it must be 2.3 to 3 in"),
        ({"mass_kg": 17 * POUND_KG}, "weight is 17 lb"),
        ({"radius_m": 5 * INCH_M}, "diameter is 10 in"),
        ({"differential_m": -0.01 * INCH_M}, "differential is -0.01 in"),
        ({"intermediate_m": 0.08 * INCH_M}, "intermediate differential is 0.08 in; it must be 0.048 in at most"),
        ({"mass_kg": math.nan}, "weight is nan lb"),
    ],
)
def test_a_ball_that_cannot_be_is_refused_by_field_value_and_range(
    shop: Shop, changed: dict[str, float], said: str
) -> None:
    before = shop.revision
    with pytest.raises(OutOfRange, match=said):
        balls.add_ball(shop, replace(ball("Bramble Vow", "vow", 1, Cover.PEARL), **changed))
    assert shop.revision == before


def test_one_bowler_has_no_two_balls_of_one_nickname(shop: Shop) -> None:
    with pytest.raises(KnownError, match="called Rook Hollow already"):
        balls.add_ball(shop, ball("Other", "ROOK", 1, Cover.SOLID))


def test_a_ball_of_nobody_is_refused(shop: Shop) -> None:
    with pytest.raises(NotFound):
        balls.add_ball(shop, ball("Bramble Vow", "vow", 42, Cover.PEARL))


def test_a_ball_cannot_have_been_bought_tomorrow(shop: Shop) -> None:
    with pytest.raises(KnownError, match="after today"):
        balls.edit_ball(shop, replace(shop.ball(1), bought_on=date(2027, 1, 1)))


def test_a_changed_cover_folds_the_ball_anew(shop: Shop) -> None:
    before = shop.state(1)
    balls.edit_ball(shop, replace(shop.ball(1), cover=Cover.SOLID))
    assert shop.state(1).grit != before.grit
    undo.undo(shop)
    assert shop.state(1) == before


@pytest.mark.parametrize(
    ("film", "said"),
    [
        (FilmSummary(70 * FOOT_M, 25 * MILLILITRE_M3, 8), "oil length is 70 ft"),
        (FilmSummary(41 * FOOT_M, 0.0, 8), "oil volume is 0 mL"),
        (FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 0.5), "oil ratio is 0.5"),
        (UnknownHouse(length_low_m=50 * FOOT_M), "oil length is 50 to 44"),
        (FilmGrid((0.0, 1.0), (1.0, 39.0), ((0.0, -1.0), (0.0, 0.0))), "oil height"),
        (FilmGrid((0.0, 1.0), (1.0, 45.0), ((0.0, 0.0), (0.0, 0.0))), "board is 45"),
    ],
)
def test_a_film_that_cannot_be_is_refused(shop: Shop, film: FilmSummary, said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        lanes.add_lane(shop, Lane(0, "odd", film))


@pytest.mark.parametrize(
    "film",
    [
        FilmGrid((1.0, 0.0), (1.0, 39.0), ((0.0, 0.0), (0.0, 0.0))),
        FilmGrid((0.0, 1.0), (1.0, 39.0), ((0.0,), (0.0, 0.0))),
        FilmGrid((0.0,), (1.0,), ((0.0,),)),
    ],
)
def test_a_grid_out_of_shape_is_refused(shop: Shop, film: FilmGrid) -> None:
    with pytest.raises(KnownError):
        lanes.add_lane(shop, Lane(0, "odd", film))


def test_a_condition_is_added_edited_and_taken_back(shop: Shop) -> None:
    added = lanes.add_lane(shop, Lane(0, "unknown house", UnknownHouse()))
    lane = shop.lane(added.changed[0].id)
    assert lanes.edit_lane(shop, replace(lane, house="Mill")).changed[0].fields == ("house",)
    undo.undo(shop)
    undone(shop, added)
    assert len(shop.lanes()) == 2


def test_a_pad_is_added_used_up_and_taken_back(shop: Shop) -> None:
    added = pads.add_pad(shop, Pad(0, 3000, kind="film"))
    pad_id = added.changed[0].id
    assert added.sentence == "Added a pad, 3000 film"
    assert pads.mark_used_up(shop, pad_id).sentence == "The pad 3000 film is used up"
    undo.undo(shop)
    assert not shop.pad(pad_id).used_up
    undone(shop, added)
    assert len(shop.pads()) == 4


def test_a_grain_nobody_sells_is_refused(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="grain number is 5; it must be 30 to 12000"):
        pads.add_pad(shop, Pad(0, 5))


def test_pads_in_stock_are_the_bowlers_own_and_the_shops(shop: Shop) -> None:
    assert {p.id for p in shop.pads(1)} == {1, 2, 3, 4}
    assert {p.id for p in shop.pads(2)} == {1, 2, 3}


def test_names_forgive_case_and_take_a_unique_beginning(shop: Shop) -> None:
    assert reading.bowler_named(shop, "MIREL").id == 1
    assert reading.bowler_named(shop, "lund").id == 2
    assert reading.lane_named(shop, "45").id == 2
    assert reading.lane_named(shop, "elm").id == 1  # by its house
    assert reading.ball_named(shop, "moth", 1).id == 3


def test_a_name_that_fits_nothing_lists_the_choices(shop: Shop) -> None:
    with pytest.raises(NotFound, match="There are Mirel Oster; Tave Lund"):
        reading.bowler_named(shop, "nobody")
    with pytest.raises(NotFound, match="Which bowler"):
        reading.bowler_named(shop, None)


def test_the_usual_condition_stands_for_none_named(shop: Shop) -> None:
    assert reading.lane_named(shop, None, shop.person(1)).id == 1


def test_an_empty_file_says_what_to_do(empty: Shop) -> None:
    with pytest.raises(NotFound, match="no bowler in this file yet"):
        reading.bowler_named(empty, None)
    assert reading.balls(empty) == ()


def test_spare_balls_are_listed_last(shop: Shop) -> None:
    assert [b.name for b in reading.balls(shop, 1)][-1] == "Plain Gate"


@pytest.mark.parametrize("text", ["", " ", "'", '"', "rook* OR 1", "14.5", "O'Neil 5\"", "\x00", "пин"])
def test_the_search_line_never_fails(shop: Shop, text: str) -> None:
    reading.find(shop, text)


def test_the_search_line_finds_balls_people_and_conditions(shop: Shop) -> None:
    assert reading.find(shop, "rook")[0].label == "Rook Hollow"
    assert reading.find(shop, "tave")[0].label == "Tave Lund"
    assert [hit.kind for hit in reading.find(shop, "45 ft")] == ["lane"]
