"""An event's plan on the small shop: bag, sheet, ticks, kept plans, at the lanes; one plan made and looked at often."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from made_event import NINE, entered
from made_shop import Clock, opened

from arsenal.acts import (
    balls,
    event,
    event_facts,
    event_lanes,
    event_offers,
    event_prep,
    event_registration,
    event_ticks,
    events,
    logging,
    undo,
)
from arsenal.acts.event_offers import AS_IT_IS
from arsenal.acts.event_reckon import reckon, without
from arsenal.acts.event_ticks import Going
from arsenal.acts.event_views import EventPlan, Mark, PrepLine, PrepSheet, Reach
from arsenal.acts.shop import Shop
from arsenal.plan import bag
from arsenal.trade.entries import Draft, Handed, Kind, Played, Quantity, Reading, SurfaceWork, Wiped, effective
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.pads import label

Planned = tuple[Shop, int, EventPlan]
TOLD: list[tuple[str, int, int]] = []
"""What the module's one plan told of its progress."""


@pytest.fixture(scope="module")
def planned(filled: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Planned]:
    """Only looked at: nothing may be written here."""
    TOLD.clear()
    path = tmp_path_factory.mktemp("planned") / "shop.padbook"
    shutil.copy(filled, path)
    with opened(path, Clock()) as shop:
        event_id = entered(shop)
        yield shop, event_id, event.event_plan(shop, event_id, 1, lambda *told: TOLD.append(told))


@pytest.fixture
def at_event(shop: Shop, planned: Planned) -> tuple[Shop, int]:
    """Another copy of the same shop; what was reckoned for the first goes for it too, its keys hold everything."""
    shop._made.update(planned[0]._made)
    return shop, entered(shop, lane_ids=(1,))


def line(sheet: PrepSheet, key: str) -> PrepLine:
    return next(one for part in sheet.parts for one in part.lines if one.key.startswith(key))


def going(shop: Shop, event_id: int, finishes: dict[int, str]) -> Going:
    """These balls with these finishes, whatever a plan would say."""
    chosen = [shop.ball(ball_id) for ball_id in finishes]
    made = event_offers.offers(shop, 1, chosen, spinner=True, barred=False)
    offers = tuple(o for o in made if finishes[o.ball.id] == o.name)
    own = events.entered_of(shop, event_id, 1)
    return Going(events.event_of(shop, event_id), own, offers, (shop.ball(4),), {})


# ---- the plan


def test_the_bag_holds_no_more_than_is_allowed_and_its_foot_says_who_covers_what(planned: Planned) -> None:
    _, _, plan = planned
    taken = [row for row in plan.rows if row.taken and not row.spare]
    assert 1 <= len(taken) <= 2
    assert plan.balls == f"{len(taken)} of 3 balls"
    assert [row.name for row in plan.rows if row.spare] == ["Plain Gate"]
    names = {row.name for row in taken}
    for stage, covered in zip(plan.stages, plan.covered, strict=True):
        assert covered.stage == stage.key
        assert covered.name in names
        assert covered.reach is not Reach.NONE
        cells = {row.name: next(c for c in row.cells if c.stage == stage.key) for row in taken}
        assert [name for name, cell in cells.items() if cell.best] == [covered.name]
        assert stage.line == cells[covered.name].line


def test_rows_are_taken_ones_then_those_at_home_then_spare_balls(planned: Planned) -> None:
    marks = [(not row.taken, row.spare) for row in planned[2].rows]
    assert marks[:-1] == sorted(marks[:-1])
    assert planned[2].rows[-1].spare


def test_what_is_given_up_is_the_bag_chosen_anew_without_the_ball(planned: Planned) -> None:
    shop, event_id, plan = planned
    made = reckon(shop, event_id, 1)
    for row in plan.rows:
        if not row.taken or row.spare:
            continue
        rest = without(made, row.ball_id)
        assert all(o.ball_id != row.ball_id for o in rest.taken)
        loses = any(a - b > 0.5 * bag.GRAIN for a, b in zip(made.bag.covered, rest.covered, strict=True))
        assert ("no stage would lose" not in row.given_up) == loses


def test_one_more_speaks_of_a_pad_a_ball_at_home_and_a_ball_not_owned(planned: Planned) -> None:
    more = {m.kind: m for m in planned[2].more}
    assert set(more) == {"A pad", "A ball you have", "A ball you do not own"}
    assert more["A pad"].what.split()[0] in ("3000", "4000")  # 500, 1000 and 2000 are in stock
    at_home = [row.name for row in planned[2].rows if not row.taken]
    assert any(name in more["A ball you have"].what for name in at_home)


def test_planning_writes_nothing(planned: Planned) -> None:
    shop, event_id, _ = planned
    revision = shop.revision
    event.event_plan(shop, event_id, 1)
    event_lanes.at_the_lanes(shop, event_id, 1, planned[2])
    assert shop.revision == revision


def test_progress_is_told_while_paths_are_computed_and_they_are_computed_once(planned: Planned) -> None:
    shop, event_id, _ = planned
    assert TOLD[0][:2] == ("the stages of the lane", 0)
    assert TOLD[-1][1] == TOLD[-1][2]
    assert all(a <= b for a, b in pairwise(done for _, done, _ in TOLD))
    assert max(b - a for a, b in pairwise(done for _, done, _ in TOLD)) < 0.1 * TOLD[-1][2]
    assert reckon(shop, event_id, 1).bag is reckon(shop, event_id, 1).bag


def test_pinned_balls_and_finishes_hold_and_a_ball_left_by_hand_stays_home(at_event: tuple[Shop, int]) -> None:
    shop, event_id = at_event
    events.choose(shop, event_id, 1, 3, take=True, finish="500 h")
    events.choose(shop, event_id, 1, 2, take=False)
    plan = event.event_plan(shop, event_id, 1)
    rows = {row.ball_id: row for row in plan.rows}
    assert rows[3].taken
    assert (rows[3].settled, rows[3].finish, rows[3].finish_settled) == (True, "500 h", True)
    assert not rows[2].taken
    assert rows[2].settled is False
    assert line(plan.prep, "work:3:").what == "500 h, from 4000 h"


def test_what_cannot_be_planned_says_what_to_change(at_event: tuple[Shop, int]) -> None:
    shop, event_id = at_event
    own = events.entered_of(shop, event_id, 1)
    events.choose(shop, event_id, 1, 3, take=True)
    logging.keep(shop, (Draft(3, Kind.LENT, shop.today(), Handed("Tave Lund")),))
    with pytest.raises(KnownError, match=r"Paper Moth is pinned and is lent to Tave Lund.*Unpin it"):
        reckon(shop, event_id, 1)
    undo.undo(shop)
    events.choose(shop, event_id, 1, 3, take=True, finish="4000 h")
    with pytest.raises(KnownError, match=r"Paper Moth cannot have 4000 h.*add the pad"):
        reckon(shop, event_id, 1)
    events.choose(shop, event_id, 1, 3, take=True, finish="500 h")
    events.enter(shop, replace(events.entered_of(shop, event_id, 1), minutes=1.0))
    with pytest.raises(KnownError, match=r"take 3 min and 1 min are there.*Find 2 more"):
        reckon(shop, event_id, 1)
    events.enter(shop, replace(own, chosen=()))
    for ball_id in (1, 2, 3):
        events.choose(shop, event_id, 1, ball_id, take=True)
    with pytest.raises(KnownError, match=r"3 balls are pinned and 2 may be taken.*Unpin 1"):
        reckon(shop, event_id, 1)


def test_once_pads_are_barred_every_ball_is_as_it_is(at_event: tuple[Shop, int]) -> None:
    shop, event_id = at_event
    shop.clock.at = NINE + timedelta(minutes=5)  # type: ignore[attr-defined]
    assert {o.name for o in reckon(shop, event_id, 1).offers} == {AS_IT_IS}


# ---- the sheet


def test_the_sheet_tells_the_day_in_order_with_the_ban_its_one_warning(planned: Planned) -> None:
    day = next(part for part in planned[2].prep.parts if part.title == "Sat 28 Nov")
    told = [(one.at, one.what) for one in day.lines]
    assert [at for at, _ in told] == ["7:45", "8:30", "8:50", "8:55", "9:00", "9:00", "10:00", "11:00", "12:30"]
    assert told[0][1] == "out of the car: room temperature first"
    assert told[1][1] == "registration closes, bags locked 8:55"
    assert [one.what for one in day.lines if one.warn] == ["last pad: dry towel only from now"]
    assert [one.mark for one in day.lines if one.warn] == [Mark.BAN]
    assert told[6][1] == "block 1 over: dry towel only"
    assert told[7][1] == "block 2, 2 games, not re-oiled"
    assert planned[2].prep.parts[0].title == "By Fri 27 Nov, 21:00"


def test_the_facts_name_the_rule_the_bags_and_what_stays_home(planned: Planned) -> None:
    facts = dict(planned[2].prep.facts)
    assert facts["Rule, this event"] == "ban from: first ball by anybody; check your book"
    assert "flammable" in facts["Stays home"]
    assert "not checked yet" in facts["Approved list"]
    assert "no serial yet for" in facts["Registration"]  # nobody typed one
    assert facts["Bags"].startswith("one, ")


def test_bags_over_their_limit_say_by_how_much_and_what_to_do(at_event: tuple[Shop, int]) -> None:
    shop, event_id = at_event
    own = events.entered_of(shop, event_id, 1)
    events.enter(shop, replace(own, bag_limit_kg=14.0, bags=1))  # three 15 lb balls in one bag of 31 lb
    along = going(shop, event_id, {1: AS_IT_IS, 2: AS_IT_IS})
    said = dict(event_facts.facts(shop, along, ()))["Bags"]
    assert said.startswith("one, 3 balls with spare: 45 lb of 31 lb, over by 14 lb, take 2 bags.")


def test_ticking_writes_the_log_as_the_bench_does_and_taking_it_back_takes_that_back(
    at_event: tuple[Shop, int],
) -> None:
    shop, event_id = at_event
    wanted = going(shop, event_id, {2: "500 h"})
    work = line(event_prep.prep_sheet(shop, wanted), "work:2:")
    assert (work.mark, work.logs, work.can_tick) == (Mark.OPEN, True, True)
    assert (work.who, work.what) == ("Jay Quarry", "500 h, from 2000 h")
    event_ticks.tick(shop, event_id, 1, work, wanted.offers)
    last = effective(shop.entries(2))[-1]
    assert isinstance(last.payload, SurfaceWork)
    assert label(last.payload.steps) == "500 h"
    assert last.payload.steps[0].pad_id == 1  # the pad of that grain, and its use counted
    assert shop.pad(1).uses_hand == 1.0
    after = going(shop, event_id, {2: AS_IT_IS})
    done = line(event_prep.prep_sheet(shop, after), "work:2:500 h")
    assert done.mark is Mark.DONE
    assert event_ticks.tick(shop, event_id, 1, done, after.offers).act_id is None  # once is enough
    event_ticks.tick(shop, event_id, 1, done, after.offers, done=False)
    assert not any(isinstance(e.payload, SurfaceWork) for e in effective(shop.entries(2)))
    assert shop.pad(1).uses_hand == 0.0


def test_cleaning_and_inspection_are_ticked_into_the_log_and_times_into_the_entry(
    planned: Planned, at_event: tuple[Shop, int]
) -> None:
    plan, (shop, event_id) = planned[2], at_event
    ball_id = next(row.ball_id for row in plan.rows if row.taken)
    offers = going(shop, event_id, {ball_id: AS_IT_IS}).offers

    def tick(key: str, *, done: bool = True) -> None:
        event_ticks.tick(shop, event_id, 1, line(plan.prep, key), offers, done=done)

    tick(f"inspect:{ball_id}")
    assert effective(shop.entries(ball_id))[-1].kind == Kind.INSPECTED
    tick("serials")
    assert events.entered_of(shop, event_id, 1).ticked == ("serials",)
    tick("serials", done=False)
    assert events.entered_of(shop, event_id, 1).ticked == ()
    with pytest.raises(KnownError, match="time of the day"):
        tick("ban")


def test_a_line_that_is_no_longer_on_the_sheet_says_so(planned: Planned) -> None:
    shop, event_id, plan = planned
    with pytest.raises(NotFound, match="no such line"):
        event.tick(shop, event_id, 1, "nothing", plan=plan)


def test_the_registration_sheet_has_serial_weight_and_the_hardness_read_with_its_day(
    at_event: tuple[Shop, int],
) -> None:
    shop, event_id = at_event
    balls.edit_ball(shop, replace(shop.ball(1), serial="7K20418"))
    read = Reading(Quantity.HARDNESS, 72.0, temperature_c=23.0)
    logging.keep(shop, (Draft(1, Kind.READING, shop.today(), read),))
    old = events.event_of(shop, event_id)
    events.put_event(shop, replace(old, hardness_at_least_d=73.0))
    along = going(shop, event_id, {1: AS_IT_IS, 2: AS_IT_IS})
    rows = {row.name: row for row in event_registration.registration(shop, along, "").rows}
    rook = rows["Rook Hollow"]
    assert (rook.serial, rook.weight, rook.cover) == ("7K20418", "15 lb", "urethane")
    assert (rook.hardness, rook.hardness_when) == ("72 D", "Tue 24 Nov, 23 °C")
    assert any("asks for 73 D; it reads 72 D. Ask the director" in said for said in rook.advice)  # never a block
    assert rook.missing == ""
    assert all(row.missing == "serial not known" for name, row in rows.items() if name != "Rook Hollow")


# ---- kept


def test_a_kept_plan_shows_the_same_numbers_and_says_why_it_would_be_another_now(
    planned: Planned, at_event: tuple[Shop, int]
) -> None:
    plan, (shop, event_id) = planned[2], at_event
    kept = event.keep_plan(shop, plan)
    assert kept.id > 0
    assert event.kept_plan(shop, event_id, 1, now=plan) == kept
    logging.keep(shop, logging.read_line(shop, "jay 500 h").drafts)
    rows = tuple(replace(row, taken=not row.taken) if row.ball_id == 3 else row for row in plan.rows)
    now = replace(plan, rows=rows, stamp=replace(plan.stamp, inputs_hash="another"))
    then = event.kept_plan(shop, event_id, 1, now=now)
    assert then is not None
    assert replace(then, changed_since=()) == kept  # the numbers stay as they were
    assert then.changed_since[0] == "Changed since, because Jay Quarry was sanded 500 h."
    assert then.changed_since[1].startswith("Paper Moth ")
    old = events.event_of(shop, event_id)
    events.put_event(shop, replace(old, balls_allowed=1))
    now = replace(now, event=events.event_of(shop, event_id))
    moved = event.kept_plan(shop, event_id, 1, now=now)
    assert moved is not None
    assert "the event was changed" in moved.changed_since[0]


def test_the_same_inputs_have_one_stamp_and_other_ones_another(at_event: tuple[Shop, int], planned: Planned) -> None:
    shop, event_id = at_event
    made = reckon(shop, event_id, 1)
    assert event.stamp_of(made, shop) == planned[2].stamp
    logging.keep(shop, logging.read_line(shop, "jay 500 h").drafts)
    assert event.stamp_of(reckon(shop, event_id, 1), shop) != planned[2].stamp


# ---- at the lanes


def test_the_countdown_runs_to_the_ban_and_then_says_what_is_allowed(planned: Planned) -> None:
    shop, event_id, plan = planned

    def at(minutes: float) -> str:
        when = NINE + timedelta(minutes=minutes)
        return event_lanes.at_the_lanes(shop, event_id, 1, plan, when).countdown

    assert at(-72) == "no pads from now: 1 h 12 min"
    assert at(-5) == "no pads from now: 5 min"
    assert at(-60 * 24 * 4) == "no pads from Sat 28 Nov, 9:00"
    assert at(1) == "dry towel only; no pads between blocks"
    assert at(90) == "between blocks, dry towel only until 11:00"


def test_the_stage_follows_the_shots_on_the_pair_and_names_the_next_ball(planned: Planned) -> None:
    shop, event_id, plan = planned
    views = [event_lanes.at_the_lanes(shop, event_id, 1, plan, NINE + timedelta(minutes=m)) for m in (0, 40, 170)]
    shots = [view.shots_on_pair for view in views]
    assert shots == sorted(shots)
    assert shots[0] == 10  # alone on the pair: ten shots to warm up (common practice)
    assert shots[2] == 10 + round(15 * (2 + 2 * 50 / 60))  # 15 shots a game, 50 of 60 minutes of the second block
    for view in views:
        here = next(s for s in plan.stages if s.key == view.stage)
        assert (here.from_shot or 0) <= view.shots_on_pair < (here.to_shot or 10_000)
        assert view.in_hand
        assert view.next_ball
    assert views[0].block == "block 1 of 2, 2 games, since 9:00"


def test_a_block_is_logged_in_one_act_afterwards(planned: Planned, at_event: tuple[Shop, int]) -> None:
    plan, (shop, event_id) = planned[2], at_event
    with pytest.raises(KnownError, match="Block 1 is still to come"):
        event_lanes.log_block(shop, event_id, 1, 1, {2: 2.0})
    shop.clock.at = NINE + timedelta(minutes=70)  # type: ignore[attr-defined]
    with pytest.raises(OutOfRange, match="games of all strike balls together is 5"):
        event_lanes.log_block(shop, event_id, 1, 1, {2: 5.0})
    with pytest.raises(OutOfRange, match="block is 7"):
        event_lanes.log_block(shop, event_id, 1, 7, {2: 2.0})
    with pytest.raises(KnownError, match="No ball has any games"):
        event_lanes.log_block(shop, event_id, 1, 1, {2: 0.0})
    done = event_lanes.log_block(shop, event_id, 1, 1, {2: 1.5, 3: 0.5}, wiped=Wiped.EACH)
    assert done.sentence == "Logged block 1 of Autumn singles: Jay Quarry 1.5 games and Paper Moth 0.5 games"
    last = effective(shop.entries(2))[-1].payload
    assert isinstance(last, Played)
    assert (last.games_typed, last.lane_id, last.wiped) == (1.5, 1, Wiped.EACH)
    with pytest.raises(KnownError, match="logged already"):
        event_lanes.log_block(shop, event_id, 1, 1, {2: 2.0})
    view = event_lanes.at_the_lanes(shop, event_id, 1, plan)
    assert view.logged
    assert view.block_number == 1
    assert [t.name for t in view.thrown] == ["Jay Quarry", "Paper Moth"]
    assert view.clean == "clean all used tonight: Jay Quarry, Paper Moth"
    assert view.between == "between blocks: not re-oiled, pads not allowed until 11:00"
    undo.undo(shop)
    assert not any(e.on == shop.today() for e in effective(shop.entries(2)))


def test_everything_used_is_cleaned_in_one_act_the_same_night_counting_as_that(at_event: tuple[Shop, int]) -> None:
    shop, event_id = at_event
    assert event.clean_all_used(shop, event_id, 1).act_id is None
    shop.clock.at = NINE + timedelta(hours=8)  # type: ignore[attr-defined]
    event_lanes.log_block(shop, event_id, 1, 2, {2: 2.0})
    assert event.clean_all_used(shop, event_id, 1).sentence == "Cleaned Jay Quarry, same night"
    assert event.clean_all_used(shop, event_id, 1).act_id is None
    undo.undo(shop)
    shop.clock.at = NINE + timedelta(days=1)  # type: ignore[attr-defined]
    assert event.clean_all_used(shop, event_id, 1).sentence == "Cleaned Jay Quarry, later"


def test_urethane_and_heavy_oil_are_wiped_every_shot(planned: Planned, at_event: tuple[Shop, int]) -> None:
    plan, (shop, event_id) = planned[2], at_event
    shop.clock.at = NINE + timedelta(minutes=70)  # type: ignore[attr-defined]
    event_lanes.log_block(shop, event_id, 1, 1, {1: 2.0})
    assert event_lanes.at_the_lanes(shop, event_id, 1, plan).wipe == "wipe every shot: urethane keeps its film"
    undo.undo(shop)
    event_lanes.log_block(shop, event_id, 1, 1, {2: 2.0})
    events.put_event(shop, replace(events.event_of(shop, event_id), lane_ids=(2,)))
    assert "28 mL is heavy oil" in event_lanes.at_the_lanes(shop, event_id, 1, plan).wipe
