"""Acts: whole or not at all, before and after kept, taken back and brought back."""

# ruff: noqa: ARG005, PT012 - a mutator takes what it needs; an act fails in its midst
from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta, timezone
from typing import Any

import pytest

from arsenal.ledger import Act, AlreadyOpen, CannotKeep, CannotUndo, Ledger, ReadOnly, StillNeeded
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.calendar import League, Slot
from arsenal.trade.entries import Step, effective
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.event import Block, Entered, Event, Squad
from arsenal.trade.lane import Lane, UnknownHouse
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

MUTATORS: dict[str, Callable[[Any, Act], object]] = {
    "an entry": lambda shop, act: act.append(shop.played()),
    "a new ball": lambda shop, act: act.put(Ball(0, "Pale Finch", "finch", 1, Cover.URETHANE)),
    "a ball's name": lambda shop, act: act.put(replace(shop.rook, name="Dun Kestrel")),
    "a new person": lambda shop, act: act.put(Person(0, "Hollis Marrow")),
    "a person's name": lambda shop, act: act.put(replace(shop.wren, name="Wren Fallow")),
    "a lane": lambda shop, act: act.put(Lane(0, "unknown", UnknownHouse())),
    "a pad": lambda shop, act: act.put(Pad(0, 500.0)),
    "a pad's use": lambda shop, act: act.put(replace(shop.pad, uses_hand=3.0)),
    "a recipe": lambda shop, act: act.put(Recipe("two steps", (Step(number=500.0), Step(number=2000.0)))),
    "an event": lambda shop, act: act.put(Event(0, "Harvest singles", DAY, squads=(Squad("first", (BLOCK,)),))),
    "a league": lambda shop, act: act.put(League(0, shop.wren.id, "house league", DAY, starts=time(19, 0))),
    "a slot": lambda shop, act: act.put(Slot(0, None, DAY, 60.0)),
    "a removed ball": lambda shop, act: act.remove("ball", shop.jay.id),
    "a removed lane": lambda shop, act: act.remove("lane", shop.lane.id),
    "a setting": lambda shop, act: act.set_setting("event", {"starts": "2026-03-14T18:00"}),
}


DAY = date(2026, 3, 14)
BLOCK = Block(datetime(2026, 3, 14, 9, 0, tzinfo=timezone(timedelta(hours=2))), 6)


def everything(ledger: Ledger) -> tuple[object, ...]:
    return (
        ledger.people(), ledger.balls(), ledger.lanes(), ledger.pads(), ledger.recipes(), ledger.settings(),
        *(ledger.every(cls) for cls in (Event, Entered, League, Slot)),
        tuple(effective(ledger.entries())),
    )  # fmt: skip


@pytest.mark.parametrize("name", MUTATORS)
def test_one_write_alone_is_kept_and_told(shop: Any, name: str) -> None:
    before, revision = everything(shop.ledger), shop.ledger.revision
    with shop.ledger.act("Change") as act:
        MUTATORS[name](shop, act)
    assert len(act.changes) == 1
    assert everything(shop.ledger) != before
    assert shop.ledger.revision == revision + 1 == act.id
    assert everything(shop.reopen()) != before
    assert shop.ledger.verify().problems == ()


@pytest.mark.parametrize("name", MUTATORS)
def test_a_write_beside_others_in_one_act_is_taken_back_with_them(shop: Any, name: str) -> None:
    before = everything(shop.ledger)
    with shop.ledger.act("Change") as act:
        act.append(shop.played(1.0, ball_id=2))
        MUTATORS[name](shop, act)
        act.set_setting("last", 7)
    after = everything(shop.ledger)
    undone = shop.ledger.undo()
    assert undone.title == "Undo: Change"
    assert everything(shop.ledger) == before
    assert shop.ledger.redo().title == "Redo: Change"
    assert everything(shop.ledger) == after
    assert shop.ledger.undo(initiator="keyboard").initiator == "keyboard"
    assert everything(shop.ledger) == before
    assert shop.ledger.verify().problems == ()


@pytest.mark.parametrize("name", MUTATORS)
def test_a_write_in_an_act_that_fails_is_wholly_absent(shop: Any, name: str) -> None:
    before, revision, entries = everything(shop.ledger), shop.ledger.revision, shop.ledger.entries()
    with pytest.raises(ZeroDivisionError), shop.ledger.act("Change") as act:
        MUTATORS[name](shop, act)
        _ = 1 / 0
    assert everything(shop.ledger) == before
    assert (shop.ledger.revision, shop.ledger.entries()) == (revision, entries)
    assert shop.ledger.verify().problems == ()


def test_an_act_that_changes_nothing_leaves_nothing(shop: Any) -> None:
    revision = shop.ledger.revision
    with shop.ledger.act("Nothing") as act:
        act.put(shop.rook)
        act.set_setting("never there", None)
    assert act.id is None
    assert act.changes == ()
    assert shop.ledger.revision == revision


def test_changes_name_the_fields_that_differ(shop: Any) -> None:
    with shop.ledger.act("Rename") as act:
        act.put(replace(shop.rook, name="Dun Kestrel", serial="1"))
    (changed,) = act.changes
    assert (changed.what, changed.id, set(changed.fields)) == ("ball", 1, {"name", "serial"})


def test_undo_walks_back_act_by_act_and_redo_forward(shop: Any) -> None:
    states = [everything(shop.ledger)]
    for games in (1.0, 2.0, 3.0):
        shop.log(shop.played(games), title=f"{games:g} games")
        states.append(everything(shop.ledger))
    for state in (states[2], states[1], states[0]):
        shop.ledger.undo()
        assert everything(shop.ledger) == state
    assert shop.ledger.can_redo().title == "1 games"
    for state in states[1:]:
        shop.ledger.redo()
        assert everything(shop.ledger) == state
    with pytest.raises(CannotUndo):
        shop.ledger.redo()


def test_after_something_new_there_is_nothing_to_bring_back(shop: Any) -> None:
    shop.log(shop.played(1.0))
    shop.ledger.undo()
    shop.log(shop.played(2.0))
    assert shop.ledger.can_redo() is None
    with pytest.raises(CannotUndo):
        shop.ledger.redo()


def test_undoing_everything_leaves_nothing_to_take_back_and_the_whole_log_in_place(shop: Any) -> None:
    shop.log(shop.played())
    while shop.ledger.can_undo():
        shop.ledger.undo()
    with pytest.raises(CannotUndo):
        shop.ledger.undo()
    assert shop.ledger.balls() == ()
    assert [e.kind for e in shop.ledger.entries()] == ["played", "undo"]
    assert shop.ledger.verify().problems == ()


def test_an_older_act_is_taken_back_alone_where_nothing_was_built_on_it(shop: Any) -> None:
    first = shop.log(shop.played(1.0))
    shop.log(shop.played(2.0))
    shop.ledger.undo(first)
    assert [e.payload.games_typed for e in effective(shop.ledger.entries())] == [2.0]
    with pytest.raises(CannotUndo, match="already"):
        shop.ledger.undo(first)


def test_an_older_change_of_another_field_is_taken_back_and_the_newer_field_stays(shop: Any) -> None:
    with shop.ledger.act("Rename") as first:
        act_ball = first.put(replace(shop.rook, name="Dun Kestrel"))
    with shop.ledger.act("Serial") as second:
        second.put(replace(act_ball, serial="99"))
    shop.ledger.undo(first.id)
    assert shop.ledger.ball(1) == replace(shop.rook, serial="99")


def test_an_older_change_of_the_same_field_is_not_taken_back_over_a_newer_one(shop: Any) -> None:
    with shop.ledger.act("Rename") as first:
        first.put(replace(shop.rook, name="Dun Kestrel"))
    with shop.ledger.act("Rename again") as second:
        second.put(replace(shop.rook, name="Grey Kestrel"))
    with pytest.raises(CannotUndo, match="changed again"):
        shop.ledger.undo(first.id)
    assert shop.ledger.ball(1).name == "Grey Kestrel"


def test_a_ball_with_later_log_is_not_taken_away_from_under_it(shop: Any) -> None:
    with shop.ledger.act("Add a ball") as first:
        finch = first.put(Ball(0, "Pale Finch", "finch", 1, Cover.URETHANE))
    shop.log(shop.played(ball_id=finch.id), title="Three games")
    with pytest.raises(CannotUndo, match="Three games"):
        shop.ledger.undo(first.id)
    shop.ledger.undo()
    shop.ledger.undo(first.id)
    with pytest.raises(NotFound):
        shop.ledger.ball(finch.id)


def test_a_removed_balls_number_is_never_given_again(shop: Any) -> None:
    with shop.ledger.act("Remove") as act:
        act.remove("ball", shop.jay.id)
    with shop.ledger.act("Add") as act:
        assert act.put(Ball(0, "Pale Finch", "finch", 1, Cover.URETHANE)).id == 3


def test_a_person_who_still_owns_balls_is_not_removed(shop: Any) -> None:
    with pytest.raises(StillNeeded, match="2 balls"), shop.ledger.act("Remove") as act:
        act.remove("person", shop.wren.id)
    assert shop.ledger.people() == (shop.wren,)
    with shop.ledger.act("Remove all of it") as act:
        act.remove("person", shop.wren.id)
        for ball in shop.ledger.balls():
            act.remove("ball", ball.id)
        act.remove("pad", shop.pad.id)
    assert shop.ledger.people() == ()
    shop.ledger.undo()
    assert shop.ledger.people() == (shop.wren,)


def test_an_entry_for_a_ball_nobody_has_is_refused(shop: Any) -> None:
    with pytest.raises(NotFound, match="no ball number 77"), shop.ledger.act("Log") as act:
        act.append(shop.played(ball_id=77))
    with pytest.raises(NotFound, match="no entry number 5"), shop.ledger.act("Log") as act:
        act.append(replace(shop.played(), undoes=5))
    with pytest.raises(NotFound, match="no person number 9"), shop.ledger.act("Add") as act:
        act.put(replace(shop.rook, id=0, owner_id=9))
    assert shop.ledger.entries() == ()


def test_what_no_file_can_hold_is_refused_in_words(shop: Any) -> None:
    for draft in (shop.played(typed="half \ud800"), shop.played(float("nan")), shop.played(float("inf"))):
        with pytest.raises(CannotKeep), shop.ledger.act("Log") as act:
            act.append(draft)
    with pytest.raises(CannotKeep), shop.ledger.act("Rename") as act:
        act.put(replace(shop.wren, name="\udc80"))
    assert shop.ledger.entries() == ()


def test_an_error_of_the_disk_elsewhere_in_an_act_stays_what_it_is(shop: Any) -> None:
    with pytest.raises(FileNotFoundError), shop.ledger.act("Load") as act:
        act.append(shop.played())
        raise FileNotFoundError("table.csv")
    assert shop.ledger.entries() == ()


def test_the_file_is_opened_for_writing_once(shop: Any) -> None:
    with pytest.raises(AlreadyOpen) as second:
        Ledger.open(shop.path)
    assert second.value.pid == os.getpid() == Ledger.holder(shop.path)
    shop.ledger.close()
    assert Ledger.holder(shop.path) is None
    assert Ledger.door_name(shop.path) == Ledger.door_name(shop.path.parent / "." / "shop.db")


def test_a_reader_sees_what_the_writer_keeps_and_writes_nothing(shop: Any) -> None:
    with Ledger.open(shop.path, read_only=True) as reader:
        assert reader.changed_elsewhere() is False
        shop.log(shop.played())
        assert reader.changed_elsewhere() is True
        assert reader.changed_elsewhere() is False
        assert len(reader.entries()) == 1
        assert reader.revision == shop.ledger.revision
        with pytest.raises(ReadOnly), reader.act("Write"):
            pass
        reader.keep_state("k", 1)
        assert reader.cached_state("k") is None
        assert reader.search("rook")
    assert shop.ledger.changed_elsewhere() is False


def test_computed_states_are_droppable_and_results_are_kept_for_good(shop: Any) -> None:
    shop.ledger.keep_states({"fold 1|a": [1.5, "x"], "fold 1|b": None})
    assert shop.ledger.cached_state("fold 1|a") == [1.5, "x"]
    revision = shop.ledger.revision
    shop.ledger.drop_states()
    assert shop.ledger.cached_state("fold 1|a") is None
    first = shop.ledger.keep_result("card", {"order": [2, 1]})
    second = shop.ledger.keep_result("order", {"seed": 1})
    assert shop.ledger.revision == revision
    assert [r.id for r in shop.ledger.results()] == [second, first]
    (card,) = shop.ledger.results("card")
    assert (card.data, card.revision) == ({"order": [2, 1]}, revision)


def test_states_are_kept_inside_an_act_too(shop: Any) -> None:
    with shop.ledger.act("Log") as act:
        act.append(shop.played())
        shop.ledger.keep_state("k", 3)
        assert len(shop.ledger.entries()) == 1
    assert shop.ledger.cached_state("k") == 3


def test_an_act_inside_an_act_is_a_bug(shop: Any) -> None:
    with pytest.raises(RuntimeError), shop.ledger.act("Outer"), shop.ledger.act("Inner"):
        pass


def test_every_known_error_is_a_finished_sentence(shop: Any) -> None:
    with pytest.raises(KnownError) as error:
        Ledger.open(shop.path)
    assert str(error.value).count(".") >= 3
    assert error.value.safe
