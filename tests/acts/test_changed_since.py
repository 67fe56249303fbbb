"""“Changed since, because …”: what moves a card or a plan is said, what does not is not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from made_shop import TODAY, Clock

from arsenal.acts import balls, cards, changed_since, lane_side, lanes, logging, people, practice, undo
from arsenal.acts.practice_views import AsSeen
from arsenal.acts.shop import Shop
from arsenal.trade import Ball, Cover, FilmSummary
from arsenal.trade.entries import Draft, Handed, Kind, New, Note, Payload, Quantity, Reading
from arsenal.trade.errors import NotFound
from arsenal.trade.units import FOOT_M

ROOK, JAY, MOTH = 1, 2, 3


def keep(shop: Shop, ball_id: int, kind: Kind, payload: Payload) -> None:
    logging.keep(shop, (Draft(ball_id, kind, TODAY, payload),))


def line(shop: Shop, text: str, ball_id: int) -> None:
    logging.keep(shop, logging.for_balls(shop, text, (ball_id,)).drafts)


def test_nothing_is_said_where_nothing_happened(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    assert changed_since.sentences(shop, made) == ()
    keep(shop, JAY, Kind.NOTE, Note("looks fine"))
    line(shop, "3g", 5)  # another bowler's ball
    assert changed_since.sentences(shop, made) == ()


def test_each_thing_that_moves_numbers_is_named_once(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    line(shop, "1000 h", ROOK)
    line(shop, "500 h", ROOK)
    practice.log_shot(shop, 1, 1, JAY, AsSeen("flush"))
    practice.log_pair(shop, 1, 1, JAY, MOTH, 2.0)
    keep(shop, MOTH, Kind.READING, Reading(Quantity.SCANNER_GRIT, 2400.0))
    told = changed_since.reasons(shop, made)
    assert told == ("Rook Hollow was sanded 500 h", "Paper Moth was read", "2 practice shots were logged")
    assert changed_since.sentences(shop, made) == (
        "Changed since, because Rook Hollow was sanded 500 h, Paper Moth was read and 2 practice shots were logged.",
    )


def test_many_reasons_are_cut_short(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    for ball_id in (ROOK, JAY, MOTH):
        line(shop, "1000 h", ball_id)
        line(shop, "2g clean", ball_id)
    assert changed_since.sentences(shop, made)[0].endswith(" and 5 more.")


def test_condition_throw_benchmark_and_bag_are_named(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    lane = shop.lane(1)
    lanes.edit_lane(shop, replace(lane, film=FilmSummary(43.0 * FOOT_M, 27e-6, 6.0)))
    people.set_benchmark(shop, 1, MOTH)
    keep(shop, ROOK, Kind.SOLD, Handed("somebody"))
    balls.add_ball(
        shop, Ball(0, "Bramble Vow", "bramble", 1, Cover.SOLID), (Draft(0, Kind.NEW, TODAY, New()),)
    )  # fmt: skip
    told = changed_since.reasons(shop, made)
    assert told[:4] == (
        "the condition was changed", "the throw, the line or the benchmark was changed",
        "Bramble Vow came into the bag", "Rook Hollow left the bag",
    )  # fmt: skip


def test_a_name_or_another_condition_moves_nothing(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    lanes.edit_lane(shop, replace(shop.lane(1), name="Elm house"))
    lanes.edit_lane(shop, replace(shop.lane(2), film=FilmSummary(43.0 * FOOT_M, 27e-6, 6.0)))
    people.edit_bowler(shop, replace(shop.person(1), nickname="mi"))
    assert changed_since.sentences(shop, made) == ()


def test_another_model_is_named(shop: Shop) -> None:
    made = replace(changed_since.made_of(shop, 1, 1), version="before")
    assert changed_since.reasons(shop, made) == ("the program reckons differently",)


def test_an_entry_from_before_that_was_taken_back_is_named(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    played = [e for e in shop.entries(JAY) if e.kind == Kind.PLAYED][-1]
    undo.undo_entry(shop, played.seq)
    assert changed_since.reasons(shop, made) == ("an entry of Jay Quarry was taken back",)


def test_what_came_and_was_taken_back_is_not_named(shop: Shop) -> None:
    made = changed_since.made_of(shop, 1, 1)
    line(shop, "3g", JAY)
    undo.undo(shop)
    assert changed_since.sentences(shop, made) == ()


def test_a_printed_card_says_what_has_changed_since(shop: Shop) -> None:
    card = cards.bag_card(shop, lane_side.lane_side(shop, 1, 1, rooms=False))
    assert changed_since.of_card(shop, card.id) == ()
    practice.log_shot(shop, 1, 1, JAY, AsSeen("flush"))
    assert changed_since.of_card(shop, card.id) == ("Changed since, because 1 practice shot was logged.",)
    with pytest.raises(NotFound):
        changed_since.of_card(shop, 999)


def test_a_card_of_another_day_knew_that_days_lane(shop: Shop, clock: Clock) -> None:
    practice.log_shot(shop, 1, 1, JAY, AsSeen("flush"))
    made = changed_since.made_of(shop, 1, 1)
    card = cards.bag_card(shop, lane_side.lane_side(shop, 1, 1, rooms=False))
    clock.at += timedelta(days=1)
    said = ("Changed since, because the shots of Tue 24 Nov told of that day’s lane.",)
    assert changed_since.sentences(shop, made) == said
    assert changed_since.of_card(shop, card.id) == said
