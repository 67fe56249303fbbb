"""Lane-side, Bench, Upkeep and the bag card as the rooms are given them."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_shop import STYLE, TODAY, Clock, ball, came

from arsenal.acts import (
    balls,
    bench,
    cards,
    intervals,
    lane_side,
    lanes,
    logging,
    own_side,
    pads,
    people,
    rules_now,
    undo,
    upkeep,
)
from arsenal.acts.intervals import Chosen
from arsenal.acts.shop import Shop
from arsenal.plan.records import Due, Job, Work
from arsenal.surface.state import Holder
from arsenal.trade import Cover, Lane, Person, UnknownHouse
from arsenal.trade.entries import Draft, Drilled, Handed, Kind, Quantity, Reading, Step, SurfaceWork, Tool
from arsenal.trade.errors import KnownError, NotFound, NotUnderstood, OutOfRange
from arsenal.trade.pads import Pad
from arsenal.trade.units import board_to_lateral_m


def keep(shop: Shop, line: str) -> None:
    assert logging.keep(shop, logging.read_line(shop, line, bowler_id=1).drafts).act_id is not None


def test_the_order_counts_from_the_benchmark_and_keeps_the_spare_apart(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    assert {row.ball.id for row in side.order.rows} == {1, 2, 3}
    assert [row.ball.id for row in side.order.spares] == [4]
    assert [row.boards for row in side.order.rows if row.ball.id == 2] == [0.0]
    boards = [row.boards for row in side.order.rows]
    assert boards == sorted(boards, reverse=True)


@pytest.mark.common_practice
def test_the_same_file_gives_the_same_order_and_a_changed_finish_another(shop: Shop) -> None:
    first = lane_side.lane_side(shop, 1)
    again = lane_side.lane_side(shop, 1)
    assert first.order is again.order  # nothing is reckoned twice
    keep(shop, "rook 500 h")
    after = lane_side.lane_side(shop, 1)
    gain = {row.ball.id: row.boards for row in after.order.rows}[1] - {r.ball.id: r.boards for r in first.order.rows}[1]
    assert gain > 0  # rougher reads earlier and ends stronger (common practice)
    undo.undo(shop)
    assert lane_side.lane_side(shop, 1).order == first.order


def test_a_ball_lent_sold_or_retired_is_not_in_the_order(shop: Shop) -> None:
    for ball_id, kind in ((1, Kind.LENT), (3, Kind.RETIRED)):
        logging.keep(shop, (Draft(ball_id, kind, TODAY, Handed("Ilan")),))
    assert [row.ball.id for row in lane_side.lane_side(shop, 1).order.rows] == [2]
    assert shop.state(1).holder is Holder.LENT


def test_a_past_day_shows_what_was_on_the_balls_then(shop: Shop) -> None:
    keep(shop, "rook 500 h")
    then = lane_side.lane_side(shop, 1, day=TODAY - timedelta(days=1))
    state = next(row.state for row in then.order.rows if row.ball.id == 1)
    assert state == shop.state(1, until=TODAY - timedelta(days=1))
    assert state != shop.state(1)


def test_a_bowler_nobody_has_asked_has_no_order_and_is_told_why(shop: Shop) -> None:
    new_id = people.add_bowler(shop, Person(0, "Orla Venn")).changed[0].id
    with pytest.raises(KnownError, match="How Orla Venn throws is not known yet"):
        lane_side.lane_side(shop, new_id, 1)


def test_without_a_usual_condition_the_choices_are_listed(shop: Shop) -> None:
    people.set_usual_lane(shop, 1, None)
    with pytest.raises(NotFound, match="Which condition") as error:
        lane_side.lane_side(shop, 1)
    assert "45 ft long" in str(error.value)


def test_the_film_is_drawn_on_a_small_grid_in_units(shop: Shop) -> None:
    drawn = lane_side.lane_side(shop, 1).contours
    assert drawn.height_units.shape == (drawn.distance_ft.size, drawn.boards.size)
    assert drawn.distance_ft.size <= 120
    assert drawn.boards.size <= 60
    assert drawn.oil_ends_ft == pytest.approx(41.0)
    beyond = drawn.height_units[drawn.distance_ft > 44.0]
    assert beyond.max() < 0.01 * drawn.height_units.max()  # it runs out within a few feet
    middle = drawn.height_units[20, drawn.boards.size // 2]
    assert middle > 2.0 * drawn.height_units[20, 3]  # a house condition has more in the middle


def test_an_unknown_house_has_an_order_with_a_wider_lane(shop: Shop) -> None:
    lane_id = lanes.add_lane(shop, Lane(0, "unknown house", UnknownHouse())).changed[0].id
    side = lane_side.lane_side(shop, 1, lane_id)
    assert len(side.order.rows) == 3


def test_a_left_hander_sees_the_same_chart_as_a_right_hander(shop: Shop) -> None:
    """A symmetric film and one release: the mirror image throws the same shot, counted from the own gutter."""
    traces = []
    for bowler_id, hand in ((1, "right"), (2, "left")):
        twin = balls.add_ball(shop, ball("Twin", "twin", bowler_id, Cover.SOLID), came(2000)).changed[0].id
        side = lane_side.lane_side(shop, bowler_id)
        assert side.bowler.hand.value == hand
        traces.append(next(row.trace for row in side.order.rows if row.ball.id == twin))
    assert traces[0].lateral_m == pytest.approx(traces[1].lateral_m)
    assert traces[0].first_read_m == pytest.approx(traces[1].first_read_m)


def test_a_back_up_balls_boards_are_mirrored_for_print(shop: Shop) -> None:
    usual, back_up = shop.person(1), replace(shop.person(1), back_up=True)
    assert own_side.board(usual, board_to_lateral_m(12.0)) == pytest.approx(12.0)
    assert own_side.board(back_up, board_to_lateral_m(12.0)) == pytest.approx(28.0)  # 40 − n
    assert own_side.lateral_m(back_up, 28.0) == pytest.approx(board_to_lateral_m(12.0))


def test_the_pad_keys_are_the_bowlers_own_pads_roughest_first(shop: Shop) -> None:
    keys = lane_side.recipes_for(shop, 1, shop.ball(1))
    assert [key.name for key in keys] == ["500 h", "1000 h", "2000 h", "500/2000 m", "polish"]
    assert keys[1].steps[0].pad_id == 4  # her own 1000 before the shop's


def test_a_used_up_pad_is_no_key_and_no_stock_gives_the_usual_grains(shop: Shop) -> None:
    pads.mark_used_up(shop, 1)
    assert "500 h" not in [key.name for key in lane_side.recipes_for(shop, 1, shop.ball(1))]
    for pad in shop.pads():
        pads.mark_used_up(shop, pad.id)
    assert len(lane_side.recipes_for(shop, 1, shop.ball(1))) == 6


def test_many_pads_leave_the_four_nearest_to_what_is_on_the_ball(shop: Shop) -> None:
    for number in (360, 1500, 3000, 4000, 5000):
        pads.add_pad(shop, Pad(0, number))
    names = [key.name for key in lane_side.recipes_for(shop, 1, shop.ball(1))]
    assert len(names) == 6
    assert "1000 h" in names
    assert "5000 h" not in names


def test_what_one_pad_would_do_is_what_it_does(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    foreseen = {k.recipe.name: k for k in lane_side.pad_keys(shop, 1, 1, 1, side)}["500 h"]
    before = {row.ball.id: row.boards for row in side.order.rows}[1]
    keep(shop, "rook 500 h")
    after = {row.ball.id: row.boards for row in lane_side.lane_side(shop, 1).order.rows}[1]
    assert after - before == pytest.approx(foreseen.boards_change.mean, abs=0.5)


def test_the_pad_that_would_part_two_balls_alike_is_one_of_the_bowlers_own(shop: Shop) -> None:
    for name in ("North Twin", "South Twin"):
        balls.add_ball(shop, ball(name, name[:5].lower(), 1, Cover.SOLID), came(500))
    first = lane_side.lane_side(shop, 1, 2).order
    pads.add_pad(shop, Pad(0, 2500, owner_id=1))
    for pad in shop.pads():
        if pad.number != 2500:
            pads.mark_used_up(shop, pad.id)
    order = lane_side.lane_side(shop, 1, 2).order
    assert order is not first
    said = next(r.detail for r in order.remarks if r.kind == "overlap" and "Twin" in r.title)
    assert "would part them: 2500 h," in said


def test_a_ball_unwiped_the_day_before_is_still_flagged_where_it_is_thrown(shop: Shop, clock: Clock) -> None:
    keep(shop, "rook 3g not wiped")
    assert _job(shop, 1, Work.WIPE).due is Due.DUE
    clock.at += timedelta(days=1)
    assert _job(shop, 1, Work.WIPE).due is Due.SOON
    side = lane_side.lane_side(shop, 1)
    assert "wipe" in next(row.flags for row in side.order.rows if row.ball.id == 1)


def _job(shop: Shop, ball_id: int, work: Work) -> Job:
    return next(j for j in upkeep.upkeep(shop, 1).jobs if j.ball_id == ball_id and j.work is work)


def test_the_bench_shows_history_newest_first_with_undone_entries_marked(shop: Shop) -> None:
    keep(shop, "rook 1000 h")
    undo.undo(shop)
    keep(shop, "rook r 2400")
    sheet = bench.ball_sheet(shop, 1)
    assert [str(e.kind) for e in sheet.entries][:2] == ["reading", "sanded"]
    assert {str(e.kind) for e in sheet.entries if e.seq in sheet.undone} == {"sanded"}
    assert sheet.owner.name == "Mirel Oster"
    assert sheet.moments[-1].reading_grit is not None
    assert {job.work for job in sheet.jobs} >= {Work.REFRESH, Work.CLEAN}


def test_the_bench_of_a_past_day_ends_on_that_day(shop: Shop) -> None:
    day = date(2026, 11, 12)
    sheet = bench.ball_sheet(shop, 1, day=day)
    assert max(e.on for e in sheet.entries) == day
    assert max(m.on for m in sheet.moments) == day
    assert sheet.state.games_on_finish.mean == pytest.approx(3)


def test_the_pads_on_a_ball_say_what_each_cuts_and_would_play(shop: Shop) -> None:
    rows = bench.pads_on_ball(shop, 1)
    assert [row.recipe.name for row in rows] == ["500 h", "1000 h", "1000 h", "2000 h"]
    assert all(row.cuts == 1.0 for row in rows)
    assert [row.grit for row in rows] == sorted(row.grit for row in rows)
    assert all(math.isfinite(row.boards_back) for row in rows)


def test_without_a_throw_the_pads_still_say_what_they_would_play(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(1), style=None))
    rows = bench.pads_on_ball(shop, 1)
    assert all(row.grit > 0 and math.isnan(row.boards_back) for row in rows)


def test_a_pad_used_up_is_listed_as_such(shop: Shop) -> None:
    pads.mark_used_up(shop, 4)
    assert [row.used_up for row in bench.pads_on_ball(shop, 1) if row.pad.id == 4] == [True]


def test_upkeep_is_listed_soonest_first_for_one_bowler_or_all(shop: Shop) -> None:
    sheet = upkeep.upkeep(shop, 1)
    urgency = [Due.OVER, Due.DUE, Due.SOON, Due.FINE]
    assert [urgency.index(job.due) for job in sheet.jobs] == sorted(urgency.index(job.due) for job in sheet.jobs)
    assert sheet.until == date(2026, 11, 29)  # the Sunday of that week
    everybody = upkeep.upkeep(shop)
    assert {everybody.balls[job.ball_id].owner_id for job in everybody.jobs} == {1, 2}


def test_an_impossible_pace_is_refused(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="games a week is 900"):
        upkeep.upkeep(shop, 1, games_a_week=900)


def test_every_job_is_done_as_planned_or_says_what_to_log(shop: Shop) -> None:
    for job in upkeep.upkeep(shop, 1).jobs:
        said = upkeep.as_planned(shop, job)
        assert bool(said.drafts) != bool(said.problem)
        assert all(draft.ball_id == job.ball_id for draft in said.drafts)


def test_a_refresh_done_as_planned_is_no_longer_due(shop: Shop) -> None:
    keep(shop, "rook 8g")
    jobs = {(job.ball_id, job.work): job for job in upkeep.upkeep(shop, 1).jobs}
    refresh = jobs[1, Work.REFRESH]
    assert refresh.due in (Due.DUE, Due.OVER)  # 15 games on a urethane at 1000: past its 3 games
    logging.keep(shop, upkeep.as_planned(shop, refresh).drafts)
    after = {(job.ball_id, job.work): job for job in upkeep.upkeep(shop, 1).jobs}
    assert after[1, Work.REFRESH].due not in (Due.DUE, Due.OVER)


def test_a_job_with_a_result_of_its_own_is_never_logged_as_planned(shop: Shop) -> None:
    some = upkeep.upkeep(shop, 1).jobs[0]
    for work in Work:
        said = upkeep.as_planned(shop, replace(some, work=work, one_entry=False, steps=(Step(number=1000),)))
        assert said.drafts == ()
        assert said.problem


def test_a_refresh_done_as_planned_takes_the_steps_of_the_plan_and_the_bowlers_pad(shop: Shop) -> None:
    some = upkeep.upkeep(shop, 1).jobs[0]
    steps = (Step(number=1000, tool=Tool.SPINNER, wet=True), Step(number=3000))
    planned = replace(some, ball_id=1, work=Work.REFRESH, one_entry=True, damage=False, steps=steps)
    (draft,) = upkeep.as_planned(shop, planned).drafts
    assert isinstance(draft.payload, SurfaceWork)
    assert draft.payload.steps == (replace(steps[0], pad_id=4), steps[1])


def test_worn_out_pads_are_to_buy(shop: Shop) -> None:
    pads.edit_pad(shop, replace(shop.pad(3), uses_hand=60.0))
    assert upkeep.upkeep(shop, 1).to_buy == ("2000 foam",)


def test_the_intervals_are_the_shops_to_change_and_to_take_back(shop: Shop) -> None:
    rows = {"urethane": ("shot", "session", "60", "60", "–", "300", "none, check at 200")}
    before = upkeep.upkeep(shop, 1).jobs
    changed = intervals.choose(shop, Chosen(rows, boards=20.0, first_read_ft=20.0))
    assert changed.sentence == "Changed the upkeep intervals"
    refresh = next(j for j in upkeep.upkeep(shop, 1).jobs if j.ball_id == 1 and j.work is Work.REFRESH)
    assert refresh.games_left is not None
    assert refresh.games_left.mean > 40
    assert intervals.choose(shop, Chosen(rows, boards=20.0, first_read_ft=20.0)).act_id is None
    undo.undo(shop)
    assert upkeep.upkeep(shop, 1).jobs == before


@pytest.mark.parametrize("cell", ["soon", "-3", "0"])
def test_an_interval_nobody_can_read_is_refused(shop: Shop, cell: str) -> None:
    with pytest.raises(NotUnderstood):
        intervals.choose(shop, Chosen({"solid": ("shot", "session", cell, "6", "10", "60", "75")}))


def test_a_broken_interval_setting_falls_back_to_the_usual_table(shop: Shop) -> None:
    with shop.ledger.act("odd") as act:
        act.set_setting("intervals", {"rows": {"solid": ["x"]}, "boards": "many"})
    assert intervals.chosen(shop) == Chosen()


def test_the_card_shows_the_order_as_it_is_and_is_kept_as_printed(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    card = cards.bag_card(shop, side)
    assert [row.name for row in card.rows] == [row.ball.name for row in side.order.rows]
    assert card.ball_in_hand == "Jay Quarry"  # the benchmark
    assert card.spares == (("Plain Gate", "4000 h"),)
    assert card.hand == "right-handed"
    assert card.stamp == side.order.stamp
    assert card.printed_at == shop.now()
    keep(shop, "rook 500 h")
    assert cards.stored(shop, card.id) == card


def test_the_card_says_same_as_above_exactly_where_the_order_does(shop: Shop) -> None:
    side = lane_side.lane_side(shop, 1)
    order = side.order
    rows = tuple(replace(r, benchmark=False, flags=(), read_word="mid", tied_with=(1, 2, 3)) for r in order.rows)
    only_tied = replace(side, order=replace(order, rows=rows, overlaps=()))
    assert {row.flag for row in cards.bag_card(shop, only_tied, store=False).rows} == {""}
    last = replace(rows[-1], flags=("same as above",), tied_with=(), read_word="late")
    same = replace(side, order=replace(order, rows=(*rows[:-1], last)))
    assert [row.flag for row in cards.bag_card(shop, same, store=False).rows] == ["", "", "same as above"]


def test_the_next_card_says_what_changed_and_because_of_what(shop: Shop) -> None:
    cards.bag_card(shop, lane_side.lane_side(shop, 1))
    assert cards.bag_card(shop, lane_side.lane_side(shop, 1)).changes == ()
    keep(shop, "moth 360 h")
    changes = cards.bag_card(shop, lane_side.lane_side(shop, 1)).changes
    assert any(said.startswith("Paper Moth +") and said.endswith("sanded 360 h") for said in changes)


def test_a_ball_gone_and_a_ball_new_are_said(shop: Shop) -> None:
    cards.bag_card(shop, lane_side.lane_side(shop, 1))
    logging.keep(shop, (Draft(3, Kind.SOLD, TODAY, Handed("Ilan")),))
    balls.add_ball(shop, ball("Bramble Vow", "vow", 1, Cover.HYBRID), came(1500))
    changes = cards.bag_card(shop, lane_side.lane_side(shop, 1)).changes
    assert "Bramble Vow is new in the order" in changes
    assert "Paper Moth is no longer in the order" in changes


def test_another_throw_is_the_reason_where_the_log_is_silent(shop: Shop) -> None:
    cards.bag_card(shop, lane_side.lane_side(shop, 1))
    people.set_release(shop, 1, replace(STYLE, speed_mps=STYLE.speed_mps * 0.86))
    changes = cards.bag_card(shop, lane_side.lane_side(shop, 1)).changes
    assert changes
    assert all("the throw was changed" in said for said in changes)


@pytest.mark.common_practice
def test_the_moves_are_toward_the_dry_for_light_and_into_the_oil_for_high(shop: Shop) -> None:
    card = cards.bag_card(shop, lane_side.lane_side(shop, 1), store=False)
    feet = {move.saw: move.feet for move in card.moves}
    assert feet, "this condition leaves the benchmark room to move"
    assert feet.get("light", "right").endswith("right")
    assert feet.get("high", "left").endswith("left")
    names = {row.name for row in card.rows} | {"none holds"}
    assert all(move.then_ball in names - {card.ball_in_hand} for move in card.moves)


def test_a_card_not_stored_leaves_no_trace(shop: Shop) -> None:
    cards.bag_card(shop, lane_side.lane_side(shop, 1), store=False)
    assert cards.last_card(shop, 1, 1) is None
    with pytest.raises(NotFound):
        cards.stored(shop, 1)


def test_the_card_carries_the_time_of_the_ban(shop: Shop, clock: Clock) -> None:
    rules_now.set_competition(shop, 1, rules_now.Competition(clock.at.replace(hour=19, minute=0)))
    card = cards.bag_card(shop, lane_side.lane_side(shop, 1), store=False)
    assert card.rule_line == "Dry towel only from the first scored ball, 19:00"


def test_a_reading_beats_the_guess(shop: Shop) -> None:
    wide = shop.state(1)
    logging.keep(shop, (Draft(1, Kind.READING, TODAY, Reading(Quantity.SCANNER_GRIT, 1500.0)),))
    told = shop.state(1)
    assert told.grit_high / told.grit_low < wide.grit_high / wide.grit_low
    assert abs(math.log(told.grit / 1500.0)) < abs(math.log(wide.grit / 1500.0))


def test_what_was_seen_of_two_balls_stands_against_what_was_expected(shop: Shop) -> None:
    keep(shop, "jay > moth 2")
    keep(shop, "rook > moth 9")
    seen = bench.compared(shop, 2)
    assert [(e.ball_id, e.other_ball_id, e.seen.mean) for e in seen] == [(2, 3, 2.0)]
    order = {row.ball.id: row.boards for row in lane_side.lane_side(shop, 1).order.rows}
    assert seen[0].expected.mean == pytest.approx(order[2] - order[3], abs=0.6)
    assert len(bench.compared(shop, 3)) == 2
    assert bench.compared(shop, 4) == ()


def test_a_ball_against_a_rule_row_is_flagged_with_the_row_and_nothing_is_blocked(shop: Shop) -> None:
    """USBC: five gripping holes at most and all of them used, from 1 August 2020."""
    assert not bench.ball_sheet(shop, 1).findings
    logging.keep(shop, (Draft(1, Kind.DRILLED, TODAY, Drilled(holes=3, holes_used=2)),))
    found = bench.ball_sheet(shop, 1).findings
    assert [f.rule_id for f in found if f.rule_id] == ["holes-used"]
    assert logging.thrown(shop, 1, 14).act_id is not None
