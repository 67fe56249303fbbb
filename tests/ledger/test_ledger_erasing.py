"""A person is erased: no byte tells who it was any more, and what happened to the balls still verifies."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from arsenal.ledger import BackupPolicy, CannotUndo, Ledger, StillNeeded, backup, before_load, verify_file
from arsenal.ledger.codec import encode_payload
from arsenal.ledger.log import body_hash
from arsenal.ledger.traces import is_unfinished
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.calendar import League
from arsenal.trade.entries import Draft, Handed, Kind, Note, Step, SurfaceWork, Tool
from arsenal.trade.fit import DrillRecord, FitSheet, Hole
from arsenal.trade.pads import Recipe
from arsenal.trade.person import Person
from arsenal.trade.ticket import Photo, Standing, TakenIn, Ticket

DAY = date(2026, 3, 14)
AT = datetime(2026, 3, 14, 19, 0, tzinfo=timezone(timedelta(hours=-5)))
TELLING = (b"Tallow", b"wren", b"Wren", b"5550162")


def everywhere(path: Path) -> bytes:
    """Every byte of the file, its write-ahead log and its backups."""
    files = [path, *path.parent.glob(path.name + "-*"), *path.parent.glob(path.name + ".backups/*")]
    return b"".join(file.read_bytes() for file in files if file.is_file())


@pytest.fixture
def told(shop: Any) -> Any:
    """A shop in which the person's name stands in every kind of place."""
    ledger: Ledger = shop.ledger
    with ledger.act("Wren Tallow: a lot happened") as act:
        act.put(replace(shop.wren, note="calls after six", phone="5550162"))
        act.append(Draft(1, Kind.NOTE, DAY, Note("Wren says it skids"), typed="rook note Wren says it skids"))
        act.append(Draft(2, Kind.SOLD, DAY, Handed("Wren Tallow", 1), typed="jay sold wren tallow"))
        act.put(Ticket(0, Standing.OUT, AT, 1, "Wren", "5550162", (TakenIn(1, "for Wren Tallow"),), handed_to="wren"))
        act.put(FitSheet(0, 1, DAY, (Hole("thumb", 0.025),), measured_by="Wren"))
        act.put(League(0, 1, "Tallow family night", DAY))
        act.set_setting("bench", {"first": "Wren Tallow"})
        act.keep_photo(Photo(0, DAY, "Wren Tallow's crack", ball_id=1), b"not really a picture")
    ledger.keep_result("bag card", {"bowler": "Wren Tallow", "boards": [1.5, -2.0]})
    with ledger.act("Rename") as act:
        act.put(replace(ledger.ball(1), note="Wren Tallow's best"))
    return shop


def test_nothing_that_names_the_person_is_left_in_any_byte(told: Any) -> None:
    made = told.ledger.backup(told.path.with_name("taken away.db"))
    assert made.ok
    told.reopen()
    assert all(word in everywhere(told.path) for word in TELLING)
    outcome = told.ledger.erase_person(1, "Erase a customer")
    assert outcome.emptied
    assert outcome.still_there == ()
    assert outcome.entries >= 2
    told.ledger.close()
    left = everywhere(told.path)
    assert [word for word in TELLING if word in left] == []


def test_what_happened_to_the_balls_stays_and_the_file_verifies(told: Any) -> None:
    before = told.ledger.entries()
    told.ledger.erase_person(1, "Erase a customer")
    after = told.ledger.entries()
    assert [(e.seq, e.ball_id, e.kind, e.on) for e in after] == [(e.seq, e.ball_id, e.kind, e.on) for e in before]
    assert after[0].payload == Note("erased says it skids")
    assert told.ledger.person(1).name == "erased 1"
    assert told.ledger.ball(1).owner_id == 1
    assert told.ledger.results("bag card")[0].data == {"bowler": "erased", "boards": [1.5, -2.0]}
    assert told.ledger.verify().problems == ()
    again = told.reopen()
    assert again.search("tallow") == ()
    assert again.every(FitSheet)[0].holes == ()


def test_a_word_changed_in_another_entry_is_still_found_after_an_erasure(told: Any) -> None:
    told.ledger.erase_person(1, "Erase a customer")
    told.log(told.played(3.0))
    told.ledger.close()
    page = told.path.read_bytes()
    assert page.count(b"rook 3g") == 1
    told.path.write_bytes(page.replace(b"rook 3g", b"rook 9g"))
    assert any("words of entry" in problem for problem in verify_file(told.path).problems)


def test_erasing_cannot_be_undone(told: Any) -> None:
    outcome = told.ledger.erase_person(1, "Erase a customer")
    with pytest.raises(CannotUndo):
        told.ledger.undo(outcome.act.id)
    assert told.ledger.undo().title == "Undo: Rename"  # the act before it
    assert told.ledger.person(1).name == "erased 1"
    assert b"Tallow" not in told.path.read_bytes()


def test_a_person_with_a_ball_in_the_shop_is_not_erased(told: Any) -> None:
    with told.ledger.act("Take in") as act:
        act.put(Ticket(0, Standing.BENCH, AT, 1, balls=(TakenIn(1),)))
    before = told.path.read_bytes()
    with pytest.raises(StillNeeded, match="still open"):
        told.ledger.erase_person(1, "Erase a customer")
    assert told.path.read_bytes() == before
    assert told.ledger.person(1).name == "Wren Tallow"


def test_backups_that_are_to_stay_are_named(told: Any) -> None:
    told.ledger.close()
    with Ledger.open(told.path, clock=told.clock, backups=BackupPolicy()) as ledger:
        kept = ledger.list_backups()
        assert kept
        outcome = ledger.erase_person(1, "Erase a customer", earlier=False)
        assert outcome.still_there == tuple(b.path for b in kept)


def test_the_backup_made_before_a_large_load_goes_with_the_others(told: Any) -> None:
    made = before_load(told.path, AT)
    told.ledger.backup(made)
    other = told.path.with_name(f"{told.path.stem}-before-load-not-ours{told.path.suffix}")
    told.ledger.backup(other)
    assert told.ledger.erase_person(1, "Erase a customer", earlier=False).still_there == (made,)
    told.reopen()
    assert b"Tallow" in made.read_bytes()


def test_it_is_removed_with_them(told: Any) -> None:
    made = before_load(told.path, AT)
    told.ledger.backup(made)
    told.ledger.erase_person(1, "Erase a customer")
    assert not made.exists()


def test_a_photograph_comes_back_as_it_was_kept_and_a_changed_one_is_noticed(told: Any) -> None:
    (photo,) = told.ledger.every(Photo)
    assert told.ledger.photo(photo.id) == b"not really a picture"
    told.ledger.close()
    page = told.path.read_bytes()
    told.path.write_bytes(page.replace(b"not really a picture", b"not really a pictura"))
    assert any("Photograph" in problem for problem in verify_file(told.path).problems)


def theirs(ledger: Ledger, **known: Any) -> Person:
    """A customer with a ball of theirs, number 3 or later."""
    with ledger.act("In") as act:
        person = act.put(Person(0, **known))
        act.put(Ball(0, "Lark", "lark", person.id, Cover.PEARL))
    return person


def left_of(shop: Any, person: Person) -> bytes:
    """Every byte after the person was erased."""
    outcome = shop.ledger.erase_person(person.id, "Erase a customer")
    assert shop.ledger.verify().problems == ()
    shop.ledger.close()
    assert outcome.still_there == ()
    return everywhere(shop.path)


def test_earlier_names_and_numbers_go_too(shop: Any) -> None:
    person = theirs(
        shop.ledger, name="Isa Varnholt", nickname="Tippi", phone="+49 170 5550199", guardian="Gun Varnholt"
    )
    with shop.ledger.act("Added Isa Varnholt") as act:
        act.put(replace(person, name="Isa Brandt-Oll", nickname="", phone="", guardian=""))
        act.append(Draft(1, Kind.NOTE, DAY, Note("lent by Isa  Varnholt"), typed="ask VARNHOLT, Isa: 0170/555-0199"))
        act.append(Draft(1, Kind.NOTE, DAY, Note("her mother Gun Varnholt came")))
    left = left_of(shop, person)
    assert [w for w in (b"Varnholt", b"VARNHOLT", b"Brandt", b"Tippi", b"0199", b"Gun ") if w in left] == []


def test_what_is_or_was_theirs_loses_parts_of_the_name_too(shop: Any) -> None:
    person = theirs(shop.ledger, name="Isa Varnholt")
    lark = shop.ledger.every(Ball)[-1]
    with shop.ledger.act("Work on Isas ball") as act:
        act.put(replace(lark, note="Isa likes it dull"))
        act.put(DrillRecord(0, lark.id, DAY, note="for Isa's thumb"))
        act.put(Recipe("Isas way", (Step(number=500.0),), owner_id=person.id, note="Varnholt"))
        act.put(Ticket(0, Standing.PARKED, AT, None, "Isa", "0117", (TakenIn(None, "blue one of Isa"),)))
    (ticket,) = shop.ledger.every(Ticket)
    with shop.ledger.act("Taken in") as act:
        act.put(replace(ticket, person_id=person.id, name="", phone="", standing=Standing.OUT))
        act.append(Draft(lark.id, Kind.NOTE, DAY, Note("Isa thinks it skids")))
        act.put(replace(lark, owner_id=2, note="Isa likes it dull"))
    shop.ledger.keep_result("bag card", {"bowler_id": person.id, "called": "Isa", "cover": "pearl"})
    left = left_of(shop, person)
    assert b"Isa" not in left
    assert b"Varnholt" not in left
    assert b'"0117"' not in left


def test_a_name_that_is_a_word_of_the_trade_takes_no_cover_and_no_tool_along(shop: Any) -> None:
    person = theirs(shop.ledger, name="Pearl Hand", nickname="grit")
    lark = shop.ledger.every(Ball)[-1]
    with shop.ledger.act("Sanded") as act:
        work = SurfaceWork((Step(number=1000.0, tool=Tool.HAND),))
        entry = act.append(Draft(lark.id, Kind.SANDED, DAY, work, typed="lark 1000 h for Pearl"))
    shop.ledger.keep_result("bag card", {"bowler": "Pearl Hand", "cover": "pearl"})
    shop.ledger.erase_person(person.id, "Erase a customer")
    assert shop.ledger.ball(lark.id) == lark
    (after,) = [e for e in shop.ledger.entries() if e.seq == entry.seq]
    assert after.payload == work
    assert after.typed == "lark 1000 h for erased"
    assert shop.ledger.results("bag card")[0].data == {"bowler": "erased", "cover": "pearl"}


def test_somebody_else_of_the_same_name_keeps_theirs(shop: Any) -> None:
    person, other = (theirs(shop.ledger, name=name) for name in ("Isa Varnholt", "Isa Varnholt, 2"))
    with shop.ledger.act("Sold") as act:
        act.append(Draft(1, Kind.SOLD, DAY, Handed("Isa Varnholt, 2", other.id)))
        act.put(Ticket(0, Standing.OUT, AT, other.id, handed_to="Isa Varnholt"))
    shop.ledger.erase_person(person.id, "Erase a customer")
    assert shop.ledger.person(other.id) == other
    assert shop.ledger.entries()[-1].payload == Handed("Isa Varnholt, 2", other.id)
    assert shop.ledger.every(Ticket)[0].handed_to == "Isa Varnholt"


def test_a_customer_of_one_word_takes_no_ball_of_that_name_along(shop: Any) -> None:
    person = theirs(shop.ledger, name="Kestrel")
    shop.ledger.erase_person(person.id, "Erase a customer")
    assert [ball.name for ball in shop.ledger.every(Ball)[:2]] == [shop.rook.name, shop.jay.name]


def test_who_loses_a_guardian_is_told(shop: Any) -> None:
    person = theirs(shop.ledger, name="Gun Varnholt", phone="555 0199")
    ward = theirs(
        shop.ledger, name="Pip Varnholt", minor=True, guardian="Gun Varnholt, 5550199", note="of Gun Varnholt"
    )
    outcome = shop.ledger.erase_person(person.id, "Erase a customer")
    assert outcome.wards == (ward.id,)
    assert shop.ledger.person(ward.id) == replace(ward, guardian="", note="of erased")


def test_no_name_can_be_tried_against_the_digest_of_erased_words(told: Any) -> None:
    told.ledger.erase_person(1, "Erase a customer")
    told.ledger.close()
    with closing(sqlite3.connect(told.path)) as conn:
        rows = conn.execute("SELECT salt, body_hash FROM log WHERE seq IN (SELECT seq FROM erased)").fetchall()
    assert rows
    words = encode_payload(Note("Wren says it skids"))
    assert all(body_hash(salt, words, "rook note Wren says it skids") != body for salt, body in rows)


def test_a_backup_that_is_being_made_meanwhile_neither_keeps_the_person_nor_stops_the_erasing(
    told: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    told.ledger.close()
    begun, go, calls, copied = threading.Event(), threading.Event(), [], backup._copied

    def slow(source: Path, made: Path) -> Any:
        calls.append(made)
        if len(calls) == 1:
            begun.set()
            found = copied(source, made)
            go.wait(0.5)
            return found
        found = copied(source, made)
        go.set()
        other.join(10)
        return found

    policy = BackupPolicy(at_open=False, at_close=False, every=timedelta(0))
    with Ledger.open(told.path, clock=told.clock, backups=policy) as ledger:
        monkeypatch.setattr(backup, "_copied", slow)
        other = threading.Thread(target=ledger.backup_if_due)
        other.start()
        begun.wait(10)
        assert ledger.erase_person(1, "Erase a customer").still_there == ()
        other.join(10)
    assert [word for word in TELLING if word in everywhere(told.path)] == []


def test_an_erasing_broken_off_before_the_backups_were_removed_is_finished_at_the_next_opening(
    told: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    told.ledger.close()
    with Ledger.open(told.path, clock=told.clock, backups=BackupPolicy(at_close=False)) as ledger:
        assert any(word in everywhere(told.path) for word in TELLING)
        with monkeypatch.context() as killed:
            killed.setattr(Ledger, "_clear_traces", lambda _ledger, **_how: (False, (), ""))
            ledger.erase_person(1, "Erase a customer")
    assert [word for word in TELLING if word in everywhere(told.path)] != []
    with Ledger.open(told.path, clock=told.clock, backups=BackupPolicy(at_close=False)) as ledger:
        assert len(ledger.list_backups()) == 1
        assert ledger.verify().ok
    assert [word for word in TELLING if word in everywhere(told.path)] == []
    with closing(sqlite3.connect(told.path)) as conn:
        assert not is_unfinished(conn)
