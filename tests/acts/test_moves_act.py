"""Moves for the ball in hand, from a shop."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_shop import Clock

from arsenal.acts import card_moves, lane_side, people, rules_now
from arsenal.acts.moves import moves
from arsenal.acts.shop import Shop
from arsenal.motion.moves import both_ways
from arsenal.motion.records import POCKET_M, BestLine
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.units import BOARD_M


def test_every_usual_move_is_told_both_ways(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    sheet = moves(shop, side, 2)
    assert [m.move for m in sheet.moved] == list(both_ways())
    row = next(r for r in side.order.rows if r.ball.id == 2)
    assert isinstance(row.best, BestLine)
    assert sheet.line == row.best.line
    assert sheet.corrections == ()
    assert sheet.sentence == ""
    assert all(0.0 <= m.room <= 1.0 and m.landing_m.sd > 0.0 for m in sheet.moved)


@pytest.mark.parametrize(("saw", "off"), [("high", 2.0), ("light", -2.0), ("long", -2.0)])
def test_what_was_seen_is_said_with_what_brings_it_back(shop: Shop, saw: str, off: float) -> None:
    sheet = moves(shop, lane_side.lane_side(shop, 1), 2, saw=saw)
    assert sheet.boards_off == pytest.approx(off)
    assert sheet.sentence.startswith(f"Ended 2 {'high' if off > 0 else 'light'}")
    assert ("read late" in sheet.sentence) == (saw == "long")
    kinds = [c.kind for c in sheet.corrections]
    assert kinds == [k for k in ("move", "speed", "wipe", "ball", "pad") if k in kinds]
    first = next((c for c in sheet.corrections if c.reaches), None)
    assert first is not None
    assert f"{first.words} holds" in sheet.sentence
    assert " ± " in sheet.sentence


def test_asked_again_nothing_is_reckoned_again_and_an_entry_makes_it_new(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    first = moves(shop, side, 2, saw="high")
    assert moves(shop, side, 2, saw="high") is first
    assert moves(shop, side, 2, saw="high", boards_off=1.0) is not first
    people.set_usual_lane(shop, 1, 2)
    again = moves(shop, lane_side.lane_side(shop, 1, 1), 2, saw="high")
    assert again == first, "the same question has the same answer"


def test_pads_are_barred_while_the_rule_says_so(shop: Shop, clock: Clock) -> None:
    free = moves(shop, lane_side.lane_side(shop, 1), 2, saw="light", boards_off=1.0)
    rules_now.set_competition(shop, 1, rules_now.Competition(clock.at.replace(hour=18, minute=0)))
    barred = moves(shop, lane_side.lane_side(shop, 1), 2, saw="light", boards_off=1.0)
    assert [c.kind for c in barred.corrections] == [c.kind for c in free.corrections]
    pads = [c for c in barred.corrections if c.kind == "pad"]
    assert pads
    assert not any(c.allowed for c in pads)
    assert all(c.allowed for c in free.corrections)


def test_the_stance_is_told_where_the_drift_was_measured(shop: Shop) -> None:
    assert moves(shop, lane_side.lane_side(shop, 1), 2).stance_board is None
    people.edit_bowler(shop, replace(shop.person(1), stance_to_laydown_boards=7.0))
    sheet = moves(shop, lane_side.lane_side(shop, 1), 2)
    assert sheet.stance_board == pytest.approx(sheet.line.lateral_m / BOARD_M + 0.5 + 7.0)


def test_a_left_hander_is_told_the_other_way(shop: Shop) -> None:
    sheet = moves(shop, lane_side.lane_side(shop, 2), 5, saw="high")
    move = next(c for c in sheet.corrections if c.kind == "move")
    assert move.words.endswith("right")
    assert move.move is not None
    assert move.move.feet_boards > 0.0


def test_the_card_and_the_panel_tell_the_same_move(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    row = next(r for r in side.order.rows if r.ball.id == 2)
    told = {m.saw: m.feet for m in card_moves.card_moves(shop, side, row)}
    for saw in ("light", "high"):
        sheet = moves(shop, side, 2, saw=saw, boards_off=card_moves.MISSED_BOARDS)
        found = next((c.words for c in sheet.corrections if c.kind == "move"), None)
        assert told.get(saw) == found


def test_what_is_not_known_is_refused_by_name(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    with pytest.raises(NotFound):
        moves(shop, side, 5)
    with pytest.raises(KnownError, match="not known here"):
        moves(shop, side, 2, saw="wobbly")
    with pytest.raises(OutOfRange):
        moves(shop, side, 2, saw="high", boards_off=-1.0)


def test_the_landing_of_a_holding_move_is_in_the_pocket(shop: Shop) -> None:
    for saw in ("high", "light"):
        for one in moves(shop, lane_side.lane_side(shop, 1), 2, saw=saw).corrections:
            if one.reaches and one.landing_m is not None:
                assert abs(one.landing_m.mean - POCKET_M) <= 0.5 * BOARD_M + 1e-9
