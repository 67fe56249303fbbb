"""What the Bench and Upkeep are given of readings, losses, cover and alarms."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from arsenal.acts import bench, convergence, logging, readings, undo, upkeep
from arsenal.acts.shop import Shop
from arsenal.plan.losses import Loss
from arsenal.trade.entries import Draft, Kind, Played, Quantity, Reading, Step, SurfaceWork, Tool, Wiped
from arsenal.trade.errors import NotFound
from arsenal.trade.units import GRAM_KG, INCH_M

DAY = date(2026, 11, 20)
FULL = tuple(Step(number=n, tool=Tool.SPINNER, wet=True) for n in (360.0, 500.0, 1000.0, 2000.0))


def read(ball_id: int, value: float, quantity: Quantity = Quantity.SCANNER_GRIT, on: date = DAY) -> Draft:
    return Draft(ball_id, Kind.READING, on, Reading(quantity, value, "counter"))


def sanded(ball_id: int, *steps: Step, on: date = DAY) -> Draft:
    return Draft(ball_id, Kind.SANDED, on, SurfaceWork(steps))


def played(ball_id: int, games: float, on: date = DAY) -> Draft:
    return Draft(ball_id, Kind.PLAYED, on, Played(11.0 * games, wiped=Wiped.EACH))


def test_a_ball_nobody_has_read_is_to_be_read_now_with_the_figure(shop: Shop) -> None:
    sheet = bench.ball_sheet(shop, 2)
    assert sheet.next_reading.startswith("Read Jay Quarry now: ")
    assert "instead of ±" in sheet.next_reading
    assert sheet.readings[0].sentence == sheet.next_reading
    assert sheet.learned == ()
    logging.keep(shop, (read(2, 3500),))
    assert "now" not in [w.when for w in bench.ball_sheet(shop, 2).readings]


def test_a_spare_ball_is_not_worth_a_reading(shop: Shop) -> None:
    assert bench.ball_sheet(shop, 4).next_reading == ""


def test_what_readings_have_taught_is_told_in_the_trades_words(shop: Shop) -> None:
    rough = Step(number=500, sides=6, seconds=120.0, pad_id=1)
    logging.keep(shop, (sanded(2, rough), read(2, 550), played(2, 9), read(2, 900), played(2, 9), read(2, 1000)))
    told = bench.ball_sheet(shop, 2).learned
    assert any(s.startswith("It keeps its finish ") and "±" in s for s in told)
    for ball_id in (1, 3, 5):
        logging.keep(shop, (read(ball_id, 3000), sanded(ball_id, Step(number=500, pad_id=1)), read(ball_id, 900)))
    for ball_id in (1, 2):
        told = bench.ball_sheet(shop, ball_id).learned
        assert any(s.startswith("The 500 foam pad cuts ") and "quickly" in s for s in told)


def test_cover_taken_off_is_told_in_all_and_for_each_job(shop: Shop) -> None:
    bare = bench.ball_sheet(shop, 2)
    assert bare.cover_jobs == ()
    assert bare.cover_off == "8.593 ± 0.008 in across"
    logging.keep(shop, (sanded(2, *FULL), sanded(2, Step(number=1000))))
    sheet = bench.ball_sheet(shop, 2)
    assert [job.label for job in sheet.cover_jobs] == ["1000 h", "360/500/1000/2000 s"]
    assert sum(job.taken_m.mean for job in sheet.cover_jobs) == pytest.approx(sheet.state.cover_off_m.mean)
    assert all(0 < job.taken_m.sd < job.taken_m.mean for job in sheet.cover_jobs)
    assert "in off the radius in all, about" in sheet.cover_off
    assert " g; 8.59" in sheet.cover_off
    logging.keep(shop, (read(2, 8.550 * INCH_M, Quantity.DIAMETER),))
    assert "8.550 ± 0.001 in across" in bench.ball_sheet(shop, 2).cover_off


def test_a_ball_too_small_is_told_once(shop: Shop) -> None:
    logging.keep(shop, (read(2, 8.49 * INCH_M, Quantity.DIAMETER),))
    told = [f for f in bench.ball_sheet(shop, 2).findings if f.rule_id == "ball-diameter"]
    assert len(told) == 1


def test_two_losses_are_told_apart_on_the_usual_condition_and_on_another(shop: Shop) -> None:
    logging.keep(shop, (sanded(2, Step(number=500, sides=6, seconds=120.0)), played(2, 60)))
    lost = bench.ball_sheet(shop, 2).lost
    assert isinstance(lost, Loss)
    assert lost.boards.mean > 0
    assert lost.oil_boards.mean > 0
    assert lost.boards.sd > 0
    assert lost.oil_boards.sd > 0
    heat = logging.read_line(shop, "jay heat 3", bowler_id=1).drafts
    logging.keep(shop, heat, confirmed=True)
    after = bench.ball_sheet(shop, 2).lost
    assert isinstance(after, Loss)
    assert after.oil_boards.mean < 0.6 * lost.oil_boards.mean
    assert after.boards.mean == pytest.approx(lost.boards.mean, abs=0.3)  # the two are independent
    there = convergence.lost(shop, 1, 2)[2]
    assert there.boards.mean != after.boards.mean
    with pytest.raises(NotFound):
        convergence.lost(shop, 1, 99)


def test_a_past_day_has_no_losses_no_alarms_and_nothing_to_read(shop: Shop) -> None:
    assert bench.ball_sheet(shop, 2, day=DAY).lost is None
    assert bench.ball_sheet(shop, 2, day=DAY).alarms == ()
    assert bench.ball_sheet(shop, 2, day=DAY).next_reading == ""  # nobody can read it then any more


def test_balls_that_have_grown_alike_are_told_on_the_bench_and_in_upkeep_until_one_is_set_again(shop: Shop) -> None:
    rough = Step(number=500, sides=6, seconds=120.0)
    shop.today()
    logging.keep(shop, (sanded(2, rough, on=DAY - timedelta(60)), played(2, 30, on=DAY - timedelta(30))))
    sheet = bench.ball_sheet(shop, 2)
    due = [r for r in sheet.alarms if r.kind == "lost"]
    assert due
    assert all(2 in r.ball_ids for r in sheet.alarms)
    assert set(sheet.alarms) <= set(upkeep.upkeep(shop, 1).alarms)
    logging.keep(shop, (sanded(2, rough),))
    assert not [r for r in bench.ball_sheet(shop, 2).alarms if r.kind == "lost"]
    undo.undo(shop)
    assert [r for r in bench.ball_sheet(shop, 2).alarms if r.kind == "lost"] == due


def test_a_weight_typed_wrong_is_kept_and_told(shop: Shop) -> None:
    logging.keep(shop, (read(2, 6793 * GRAM_KG, Quantity.MASS), played(2, 6), read(2, 6973 * GRAM_KG, Quantity.MASS)))
    sheet = bench.ball_sheet(shop, 2)
    assert "weight-against-log" in [f.code for f in sheet.findings]
    assert len([e for e in sheet.entries if e.kind == Kind.READING]) == 2


def test_of_a_bowlers_bag_the_reading_that_narrows_the_most_is_told(shop: Shop) -> None:
    first = upkeep.upkeep(shop, 1).next_reading
    ranked = readings.of_bowler(shop, 1)
    assert first == ranked[0][1].sentence
    assert [w.narrows for _, w in ranked] == sorted((w.narrows for _, w in ranked), reverse=True)
    assert 4 not in [ball_id for ball_id, _ in ranked]  # the spare ball
    logging.keep(shop, [read(ranked[0][0], 2000.0, on=date(2026, 11, 24))])
    assert upkeep.upkeep(shop, 1).next_reading != first
    assert upkeep.upkeep(shop).next_reading == ""
