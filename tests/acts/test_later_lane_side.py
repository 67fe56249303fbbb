"""Lane-side later in a set: who is on the pair, the lane they leave, and everything the room shows of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from made_shop import STYLE

from arsenal.acts import cards, lane_side, later, people
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.trade import Hand, Person
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.units import BOARD_M, MPH_MPS


def test_the_fresh_lane_is_as_it_was_whoever_is_on_the_pair(shop: Shop) -> None:
    fresh, named = lane_side.lane_side(shop, 1), lane_side.lane_side(shop, 1, with_ids=(2,))
    assert fresh == named
    assert (fresh.game, fresh.traffic_words, fresh.stage, fresh.played) == (0, "", None, None)
    assert fresh.lane_now is fresh.lane


def test_after_some_games_the_order_the_film_and_the_words_are_of_the_worn_lane(shop: Shop) -> None:
    fresh, side = lane_side.lane_side(shop, 1), lane_side.lane_side(shop, 1, game=3)
    assert side.game == 3
    assert side.traffic_words == "after 3 games by Mirel Oster and three more who throw alike"
    assert side.lane == fresh.lane  # the condition keeps its name and what was told of it
    assert side.stage is not None
    assert side.lane_now.film != fresh.lane.film
    assert side.stage.books.lane_m3 < 25e-6
    lost = fresh.contours.height_units - side.contours.height_units
    assert lost.max() > 1.0
    assert side.contours.oil_ends_ft == fresh.contours.oil_ends_ft
    assert side.order.stamp != fresh.order.stamp
    assert {row.ball.id for row in side.order.rows} == {row.ball.id for row in fresh.order.rows}


def test_it_is_reckoned_once(shop: Shop) -> None:
    first, again = (lane_side.lane_side(shop, 1, game=1) for _ in range(2))
    assert first.order is again.order
    assert first.stage is again.stage


def test_the_words_name_who_was_named(shop: Shop) -> None:
    mirel = shop.person(1)
    assert later.words(shop, mirel, 0, (2,)) == ""
    assert later.words(shop, mirel, 1, (2,)) == "after 1 game by Mirel Oster and Tave Lund"
    assert later.words(shop, mirel, 6, (1,)) == "after 6 games by Mirel Oster alone"
    more = people.add_bowler(shop, Person(0, "Orla Venn", style=STYLE)).changed[0].id
    assert later.words(shop, mirel, 3, (2, more, 2)) == "after 3 games by Mirel Oster, Tave Lund and Orla Venn"


def test_alone_a_bowler_wears_less_than_in_company(shop: Shop) -> None:
    mirel, lane = shop.person(1), shop.lane(1)
    left = {who: later.stage(shop, mirel, lane, 1, who).books.lane_m3 for who in ((1,), (2,), ())}
    assert left[(1,)] > left[(2,)] > left[()]


def test_a_left_hander_beside_him_wears_the_other_side(shop: Shop) -> None:
    mirel, lane = shop.person(1), shop.lane(1)
    alone, both = (later.stage(shop, mirel, lane, 1, who).books for who in ((1,), (2,)))
    assert alone.left_m3 - both.left_m3 > 4.0 * abs(alone.right_m3 - both.right_m3)


def test_each_throws_the_ball_he_would_have_in_hand(shop: Shop) -> None:
    mirel, tave = later.traffic(shop, shop.person(1), shop.lane(1), (2,)).players
    assert mirel.ball.id == 2  # his benchmark
    assert tave.ball.id == 5
    assert mirel.spare is not None
    assert mirel.spare[0].id == 4
    assert tave.hooks_to_left is False
    bare = people.add_bowler(shop, Person(0, "Orla Venn", hand=Hand.LEFT, style=STYLE)).changed[0].id
    orla = later.traffic(shop, shop.person(1), shop.lane(1), (bare,)).players[1]
    assert orla.ball.name == "reference"


def test_unnamed_company_throws_much_like_him_but_not_the_same(shop: Shop) -> None:
    players = later.traffic(shop, shop.person(1), shop.lane(1)).players
    assert len(players) == shop.priors.traffic.bowlers
    speeds = {round(p.style.speed_mps / MPH_MPS, 2) for p in players}
    assert len(speeds) == 3
    assert max(speeds) - min(speeds) < 1.5
    assert {p.hooks_to_left for p in players} == {True}


def test_pads_are_told_for_the_worn_lane(shop: Shop) -> None:
    fresh, side = lane_side.lane_side(shop, 1), lane_side.lane_side(shop, 1, game=3)
    row = next(r for r in side.order.rows if r.ball.id == 1)
    before, after = (lane_side.pad_keys(shop, 1, 1, 1, s) for s in (fresh, side))
    assert [k.recipe for k in before] == [k.recipe for k in after]
    assert [k.boards_change.mean for k in before] != [k.boards_change.mean for k in after]
    for key in after:
        ends_m = row.trace.landing_m + key.boards_change.mean * BOARD_M
        assert key.trace.landing_m == pytest.approx(ends_m, abs=0.01 * BOARD_M)


def test_games_no_set_has_and_people_nobody_knows_are_named(shop: Shop) -> None:
    for game in (-1, 13):
        with pytest.raises(OutOfRange, match="games"):
            lane_side.lane_side(shop, 1, game=game)
    with pytest.raises(NotFound):
        lane_side.lane_side(shop, 1, game=1, with_ids=(99,))
    new = people.add_bowler(shop, Person(0, "Orla Venn")).changed[0].id
    with pytest.raises(KnownError, match="How Orla Venn throws is not known"):
        lane_side.lane_side(shop, 1, game=1, with_ids=(new,))


def test_who_is_on_the_pair_is_kept_on_this_machine(shop: Shop) -> None:
    assert later.who(shop, 1) == ()
    later.say_who(shop, 1, (2,))
    assert later.who(shop, 1) == (2,)
    assert later.who(shop, 2) == ()
    with pytest.raises(NotFound):
        later.say_who(shop, 1, (99,))
    assert Settings.load(shop.settings.path).kept[later.KEPT] == {"1": [2]}
    shop.settings.kept[later.KEPT] = "nonsense"
    assert later.who(shop, 1) == ()
    shop.settings.kept[later.KEPT] = {"1": [2, 99, "x"]}
    assert later.who(shop, 1) == (2,)


def test_boards_of_a_left_hander_s_film_count_from_his_own_gutter(shop: Shop) -> None:
    right, left = lane_side.lane_side(shop, 1, game=3), lane_side.lane_side(shop, 2, game=3)
    fresh = lane_side.lane_side(shop, 2)
    for side in (right, left):
        lost = (fresh.contours.height_units - side.contours.height_units)[10:60]  # the heads and the middle
        own, other = lost[:, right.contours.boards < 20.0], lost[:, right.contours.boards > 20.0]
        assert np.clip(own, 0.0, None).sum() > np.clip(other, 0.0, None).sum()


def test_a_bowler_without_a_throw_is_told_so_before_any_lane_is_worn(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(2), style=None))
    with pytest.raises(KnownError, match="throws is not known"):
        lane_side.lane_side(shop, 2, game=3)


def test_a_card_says_after_how_many_games_it_holds_and_what_changed_since(shop: Shop) -> None:
    fresh = cards.bag_card(shop, lane_side.lane_side(shop, 1))
    card = cards.bag_card(shop, lane_side.lane_side(shop, 1, game=6))
    assert fresh.lane == "41 ft house, 25 mL"
    assert card.lane == "41 ft house, 25 mL, after 6 games"
    assert card.changes
    assert all(said.endswith("other games on the lane") for said in card.changes)
    back = cards.bag_card(shop, lane_side.lane_side(shop, 1))
    assert back.changes
    assert all(said.endswith("the lane is fresh") for said in back.changes)
