"""What one ball's readings teach the others of a file: the house they share, the pads they share."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from made_shop import Clock, opened

from arsenal.acts import lanes, logging, teachings, undo
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Draft, Kind, Played, Quantity, Reading, Step, SurfaceWork

DAY = date(2026, 11, 20)


def read(ball_id: int, grit: float, on: date = DAY) -> Draft:
    return Draft(ball_id, Kind.READING, on, Reading(Quantity.SCANNER_GRIT, grit, "counter scanner"))


def shone_slowly(ball_id: int, lane_id: int = 1) -> tuple[Draft, ...]:
    """Set rough and read, played nine games in the house, read nearly as rough."""
    work = Draft(ball_id, Kind.SANDED, DAY, SurfaceWork((Step(number=500, sides=6, seconds=120.0),)))
    played = Draft(ball_id, Kind.PLAYED, DAY, Played(99.0, lane_id=lane_id))
    return work, read(ball_id, 520), played, read(ball_id, 700)


def slow_house(shop: Shop, *ball_ids: int) -> None:
    logging.keep(shop, [draft for ball_id in ball_ids for draft in shone_slowly(ball_id)])


def play(shop: Shop, ball_id: int, lane_id: int = 1) -> float:
    logging.keep(shop, [Draft(ball_id, Kind.PLAYED, DAY, Played(33.0, lane_id=lane_id))])
    return shop.state(ball_id).house_pace.mean


def test_balls_read_in_a_house_teach_it_to_a_ball_nobody_has_read(shop: Shop) -> None:
    assert play(shop, 3) == 1.0
    slow_house(shop, 1, 2)
    assert shop.state(3).house_pace.mean > 1.03
    assert shop.learned(3).houses["elm"].mean > 0
    undo.undo(shop)
    assert shop.state(3).house_pace.mean == 1.0


def test_another_bowlers_balls_teach_a_named_house_and_no_unnamed_one(shop: Shop) -> None:
    slow_house(shop, 5)
    logging.keep(shop, [d for d in shone_slowly(5, lane_id=2) if d.kind != Kind.READING] + [read(5, 700)])
    assert set(shop.learned(1).houses) == {"elm"}


def test_a_ball_is_never_told_what_it_said_itself(shop: Shop) -> None:
    slow_house(shop, 1)
    assert not shop.learned(1).houses
    assert "elm" in shop.learned(2).houses


def test_a_house_renamed_is_another_house(shop: Shop) -> None:
    play(shop, 3)
    slow_house(shop, 1, 2)
    lanes.edit_lane(shop, replace(shop.lane(1), house="Ash"))
    assert set(shop.learned(3).houses) == {"ash"}


def test_a_pad_read_before_and_after_is_known_on_every_ball(shop: Shop) -> None:
    pad_id = 1
    work = Draft(1, Kind.SANDED, DAY, SurfaceWork((Step(number=500, pad_id=pad_id),)))
    logging.keep(shop, (read(1, 3000), work, read(1, 900)))
    cuts = {cut.pad_id: cut.ln_cut for cut in shop.state(2).pad_cuts}
    assert cuts[pad_id].mean > 0.05
    assert cuts[pad_id].sd < shop.priors.surface.pad_cut_ln_sd


def test_in_a_shop_of_thousands_a_ball_learns_from_its_owners_alone(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(teachings, "MANY_READ", 1)
    slow_house(shop, 2)
    alone = shop.learned(1)
    assert alone.houses
    slow_house(shop, 5)
    assert shop.learned(1) == alone


def test_what_was_taught_is_kept_from_one_start_to_the_next(
    shop: Shop, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    slow_house(shop, 1, 2)
    before, path = shop.learned(3), shop.path
    shop.close()
    with opened(path, clock) as again, monkeypatch.context() as patch:
        patch.setattr(teachings, "taught", lambda *_args, **_more: pytest.fail("folded again"))
        assert again.learned(3) == before
    with opened(path, clock) as again:
        logging.keep(again, (read(2, 900),))
        assert again.learned(3) != before
        again.ledger.drop_states()
    with opened(path, clock) as last:
        undo.undo(last)
        assert last.learned(3) == before
