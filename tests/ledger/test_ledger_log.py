"""The log: only grows at its end, each entry tied to the one before, unknown kinds kept."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest

from arsenal.ledger import Ledger, decode_payload
from arsenal.trade.entries import Draft, Kind, Note, Unknown, effective

WRITES = {
    "an update": "UPDATE log SET typed = 'x' WHERE seq = 1",
    "an update that changes nothing": "UPDATE log SET typed = typed",
    "a removal": "DELETE FROM log WHERE seq = 2",
    "a removal of all": "DELETE FROM log",
    "a replaced row": "INSERT OR REPLACE INTO log SELECT * FROM log WHERE seq = 1",
    "a replaced last row": "REPLACE INTO log SELECT * FROM log WHERE seq = 2",
    "an ignored row": "INSERT OR IGNORE INTO log SELECT * FROM log WHERE seq = 1",
    "an upsert": "INSERT INTO log SELECT * FROM log WHERE seq = 1 ON CONFLICT (seq) DO UPDATE SET typed = 'x'",
    "a gap": "INSERT INTO log SELECT 9, ball_id, kind, version, day, payload, typed, undoes, act_id, at, offset_min, "
    "late, salt, body_hash, hash, hash FROM log WHERE seq = 2",
    "a row not tied to the last": "INSERT INTO log SELECT 3, ball_id, kind, version, day, payload, typed, undoes, "
    "act_id, at, offset_min, late, salt, body_hash, x'00', hash FROM log WHERE seq = 2",
    "an update of a result": "UPDATE results SET data = '1'",
    "a removed result": "DELETE FROM results",
    "a replaced result": "INSERT OR REPLACE INTO results SELECT * FROM results",
    "a removed act": "DELETE FROM acts",
}


@pytest.mark.parametrize("recursive", [False, True])
@pytest.mark.parametrize("name", WRITES)
def test_no_statement_of_anybody_changes_what_was_logged(shop: Any, name: str, recursive: bool) -> None:
    shop.log(shop.played(1.0), shop.played(2.0))
    shop.ledger.keep_result("card", 1)
    shop.ledger.close()
    conn = sqlite3.connect(shop.path)
    conn.execute(f"PRAGMA recursive_triggers = {'ON' if recursive else 'OFF'}")
    rows = conn.execute("SELECT * FROM log").fetchall(), conn.execute("SELECT * FROM results").fetchall()
    with pytest.raises(sqlite3.IntegrityError):
        conn.execute(WRITES[name])
    conn.rollback()
    assert (conn.execute("SELECT * FROM log").fetchall(), conn.execute("SELECT * FROM results").fetchall()) == rows
    conn.close()


def test_each_entry_carries_the_hash_of_the_one_before(shop: Any) -> None:
    """The chain is walked here a second way, from the stored columns with SHA-256 (FIPS 180-4) alone."""
    shop.log(shop.played(1.0), shop.played(2.0, ball_id=2), shop.played(3.0))
    conn = sqlite3.connect(shop.path)
    conn.row_factory = sqlite3.Row
    prev = bytes(32)
    for row in conn.execute("SELECT * FROM log ORDER BY seq"):
        words = row["payload"].encode(), row["typed"].encode()
        body = hashlib.sha256(row["salt"] + len(words[0]).to_bytes(8, "big") + words[0] + words[1]).digest()
        facts = [
            row[n] for n in ("seq", "ball_id", "kind", "version", "day", "undoes", "act_id", "at", "offset_min", "late")
        ]
        digest = hashlib.sha256(
            prev + body + json.dumps(facts, ensure_ascii=False, separators=(",", ":")).encode()
        ).digest()
        assert (row["prev_hash"], row["body_hash"], row["hash"]) == (prev, body, digest)
        prev = digest
    conn.close()
    checked = shop.ledger.verify()
    assert (checked.ok, checked.entries, checked.head_hash) == (True, 3, prev.hex())


def test_a_first_part_of_the_log_is_the_log_of_that_day(shop: Any) -> None:
    """Feeding fewer entries gives the earlier log, entry by entry the same."""
    for games in range(1, 6):
        shop.log(shop.played(float(games)))
    whole = shop.ledger.entries()
    assert [e.seq for e in whole] == [1, 2, 3, 4, 5]
    for seq in range(6):
        assert whole[:seq] + shop.ledger.entries(since_seq=seq) == whole
    assert shop.reopen().entries() == whole


def test_entries_are_read_by_ball_by_several_balls_and_by_act(shop: Any) -> None:
    first = shop.log(shop.played(1.0), shop.played(2.0, ball_id=2))
    shop.log(shop.played(3.0))
    assert [e.seq for e in shop.ledger.entries(1)] == [1, 3]
    assert [e.seq for e in shop.ledger.entries([2, 1])] == [1, 2, 3]
    assert [e.seq for e in shop.ledger.entries([])] == []
    assert [e.seq for e in shop.ledger.entries(act_id=first)] == [1, 2]
    assert shop.ledger.head_seq == 3


def test_order_is_by_number_whatever_the_clock_says(shop: Any) -> None:
    """Two 01:30s in autumn, a clock set back, a leap day: UTC and offset are kept, the number orders."""
    summer, winter = timezone(timedelta(hours=-4)), timezone(timedelta(hours=-5))
    moments = [
        datetime(2026, 11, 1, 1, 30, tzinfo=summer),
        datetime(2026, 11, 1, 1, 30, tzinfo=winter),
        datetime(2024, 2, 29, 12, tzinfo=winter),
        datetime(2026, 1, 1, 0, 0, 0, 250000, tzinfo=timezone(timedelta(hours=5, minutes=45))),
    ]
    with shop.ledger.act("Log") as act:
        for at in moments:
            act.append(shop.played(), at=at)
    kept = shop.reopen().entries()
    assert [e.at for e in kept] == moments
    assert [e.offset_min for e in kept] == [-240, -300, -300, 345]
    assert kept[1].at - kept[0].at == timedelta(hours=1)
    assert all(e.at.tzinfo == UTC for e in kept)


def test_a_time_without_its_offset_is_a_bug(shop: Any) -> None:
    with pytest.raises(ValueError, match="offset"), shop.ledger.act("Log") as act:
        act.append(shop.played(), at=datetime(2026, 1, 1))  # noqa: DTZ001
    assert shop.ledger.entries() == ()


@pytest.mark.parametrize("raw", ['{"charge":3,"b":[1,2]}', '"words"', "no JSON at all", ""])
def test_an_entry_of_an_unknown_kind_is_kept_word_for_word(shop: Any, raw: str) -> None:
    shop.log(Draft(1, "frozen", date(2026, 3, 1), Unknown(raw), typed="rook frozen"))
    (entry,) = shop.reopen().entries()
    assert entry.kind == "frozen"
    assert isinstance(entry.payload, Unknown)
    assert raw in (entry.payload.raw, json.loads(entry.payload.raw))
    checked = shop.ledger.verify()
    assert (checked.ok, checked.unknown) == (True, 1)


def test_an_entry_of_a_later_payload_version_is_kept_as_it_is(shop: Any) -> None:
    raw = '{"shots":33.0,"sd":0.0,"lanes":[3,4]}'
    shop.log(Draft(1, Kind.PLAYED, date(2026, 3, 1), Unknown(raw), version=2))
    (entry,) = shop.reopen().entries()
    assert (entry.kind, entry.version, entry.payload) == ("played", 2, Unknown(raw))


def test_a_known_kind_with_words_it_cannot_have_is_unknown_not_an_error() -> None:
    for raw in ('{"shots":"many"}', '{"shots":1,"sd":0,"colour":"red"}', "[]", "3", '{"wiped":"monthly","shots":3}'):
        assert decode_payload("played", 1, raw) == ("played", Unknown(raw))


def test_what_was_typed_and_that_it_came_late_are_kept(shop: Any) -> None:
    nasty = "<b>rook</b> & =1+1 \u202e\u0000 ' \" ; DROP TABLE log; 🎳"
    shop.log(replace(shop.played(typed=nasty), late=True), Draft(2, Kind.NOTE, date(1999, 12, 31), Note(nasty * 200)))
    first, second = shop.reopen().entries()
    assert (first.typed, first.late, second.late) == (nasty, True, False)
    assert second.payload == Note(nasty * 200)
    assert shop.ledger.verify().ok


def test_a_log_rebuilt_from_its_drafts_is_equal_and_ends_in_its_own_hash(shop: Any, tmp_path: Any) -> None:
    shop.log(shop.played(1.0), shop.played(2.0))
    shop.ledger.undo()
    shop.log(shop.played(4.0))
    with Ledger.open(tmp_path / "again.db") as again:
        with again.act("Rebuild") as act:
            act.put(shop.wren)
            for ball in shop.ledger.balls():
                act.put(ball)
            for e in shop.ledger.entries():
                draft = Draft(e.ball_id, e.kind, e.on, e.payload, e.typed, e.undoes, e.late, e.version)
                act.append(draft, at=e.at.astimezone(timezone(timedelta(minutes=e.offset_min))))
        blank = [replace(e, act_id=None) for e in again.entries()]
        assert blank == [replace(e, act_id=None) for e in shop.ledger.entries()]
        assert [e.seq for e in effective(again.entries())] == [5]
        assert again.balls() == shop.ledger.balls()
