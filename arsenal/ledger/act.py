"""One act: everything it writes is kept together with how it was before, or not at all."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, TypeVar

from arsenal.ledger import log, records, search
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import NotFound, StillNeeded
from arsenal.ledger.records import SHELVES, Record, Shelf, check_sum
from arsenal.trade.entries import Draft, Entry
from arsenal.trade.ticket import Photo

R = TypeVar("R", bound=Record)
_OWNERS = {"owner_id": "person", "bowler_id": "person", "person_id": "person", "event_id": "event", "ball_id": "ball"}
"""Fields that name another record, and which."""
Clock = Callable[[], datetime]


@dataclass(frozen=True, slots=True)
class Changed:
    """One thing an act changed: what, its number (0 for a setting, whose name is `key`), which fields."""

    what: str
    """entry, setting, or what kind of record (`records.SHELVES`)."""
    id: int
    fields: tuple[str, ...] = ()
    key: str = ""


def act_sum(row: tuple[Any, ...]) -> int:
    """The sum over an act's columns (id, at, offset_min, title, initiator, undoes, undone_by)."""
    return check_sum(text_of(list(row)))


def seal(conn: sqlite3.Connection, act_id: int) -> None:
    """Bring an act's sum up to date."""
    sql = "SELECT id, at, offset_min, title, initiator, undoes, undone_by FROM acts WHERE id = ?"
    row = conn.execute(sql, (act_id,)).fetchone()
    conn.execute("UPDATE acts SET sum = ? WHERE id = ?", (act_sum(row), act_id))


class Act:
    """What an act may write. Only inside `with ledger.act(...)`; `id` is None until something is written."""

    def __init__(
        self, conn: sqlite3.Connection, title: str, initiator: str, clock: Clock, undoes: int | None = None
    ) -> None:
        self._conn, self._clock, self._undoes = conn, clock, undoes
        self.title, self.initiator = title, initiator
        self.id: int | None = None
        self.at: datetime | None = None
        self.entries: list[Entry] = []
        self._changed: dict[tuple[str, int, str], tuple[str, ...]] = {}
        self._head: log.Head | None = None
        self._balls: set[int] = set()
        """Balls that were written anew: what tickets are found by may have changed."""

    @property
    def changes(self) -> tuple[Changed, ...]:
        """Everything changed so far, entries first."""
        made = [Changed("entry", entry.seq) for entry in self.entries]
        return tuple(made + [Changed(what, i, fields, key) for (what, i, key), fields in self._changed.items()])

    def append(self, draft: Draft, *, at: datetime | None = None) -> Entry:
        """Keep a log entry; `at` (with its offset) where it was written at another time than now.

        Raises NotFound where its ball or the entry it takes back does not exist.
        """
        act_id = self._begin()
        end = self._head or log.head(self._conn)
        entry, self._head = log.append(self._conn, draft, act_id, at or self._clock(), end)
        self.entries.append(entry)
        return entry

    def put(self, record: R) -> R:
        """Keep a record of any kind; id 0 is a new one. Raises NotFound where it names one that does not exist."""
        for field, what in _OWNERS.items():
            named = getattr(record, field, None)
            if named is not None:
                self._must_exist(what, named)
        return self._put(record)

    def keep_photo(self, photo: Photo, taken: bytes) -> Photo:
        """Keep a new photograph and its bytes, as they are."""
        kept = self.put(replace(photo, id=0, digest=hashlib.sha256(taken).hexdigest()))
        self._conn.execute("INSERT INTO photo_bytes (photo_id, bytes) VALUES (?, ?)", (kept.id, taken))
        return kept

    def remove(self, what: str, record_id: int) -> None:
        """Take a record out of sight; a ball's log stays. Raises NotFound."""
        self._must_exist(what, record_id)
        self.write_text(SHELVES[what], record_id, None)

    def set_setting(self, key: str, value: Any) -> None:
        """Keep a setting of the file; None takes it away. `value` is anything JSON can say."""
        self.write_setting(key, None if value is None else text_of(value))

    def write_setting(self, key: str, after: str | None) -> None:
        """Keep a setting's stored text; None takes it away. The same text again is no change."""
        row = self._conn.execute("SELECT value FROM settings WHERE key = ?", (key,)).fetchone()
        before = str(row[0]) if row else None
        if before == after:
            return
        if after is None:
            self._conn.execute("DELETE FROM settings WHERE key = ?", (key,))
        else:
            self._conn.execute(
                "INSERT INTO settings (key, value, sum) VALUES (?, ?, ?) "
                "ON CONFLICT (key) DO UPDATE SET value = excluded.value, sum = excluded.sum",
                (key, after, check_sum(after)),
            )
        self._note("setting", 0, key, before, after)

    def write_text(self, shelf: Shelf, record_id: int, after: str | None) -> int:
        """Keep a record's stored text, id 0 for a new one; None takes it out of sight. Returns its id."""
        before = records.text_at(self._conn, shelf, record_id) if record_id else None
        if before == after:
            return record_id
        if after is None:
            records.hide(self._conn, shelf, record_id)
        else:
            record_id = records.put_text(self._conn, shelf, record_id, after)
        self._note(shelf.what, record_id, "", before, after)
        search.index(self._conn, shelf.what, record_id)
        if before is not None and shelf.what == "person":
            search.reindex_of_person(self._conn, record_id)
        elif before is not None and shelf.what == "ball":
            self._balls.add(record_id)
        return record_id

    def _put(self, record: R) -> R:
        shelf = records.shelf_of(record)
        return records.with_id(record, self.write_text(shelf, record.id, records.to_text(record)))

    def _must_exist(self, what: str, record_id: int) -> None:
        if records.text_at(self._conn, SHELVES[what], record_id) is None:
            raise NotFound(f"There is no {what} number {record_id}.")

    def _note(self, what: str, record_id: int, key: str, before: str | None, after: str | None) -> None:
        act_id = self._begin()
        self._conn.execute(
            "INSERT INTO act_changes (act_id, what, record_id, key, before, after, sum) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (act_id, what, record_id, key, before, after, check_sum(what, key, before, after)),
        )
        mark = (what, record_id, key)
        fields = differing(before, after) if what in SHELVES else ()
        self._changed[mark] = tuple(dict.fromkeys(self._changed.get(mark, ()) + fields))

    def _begin(self) -> int:
        if self.id is None:
            self.at = self._clock()
            row = (*log.stamp(self.at), self.title, self.initiator, self._undoes, None)
            made = self._conn.execute(
                "INSERT INTO acts (at, offset_min, title, initiator, undoes, undone_by, sum) "
                "VALUES (?, ?, ?, ?, ?, ?, 0)",
                row,
            )
            self.id = int(made.lastrowid or 0)
            seal(self._conn, self.id)
        return self.id

    def finish(self) -> None:
        """Last thing before the commit: nobody removed still owns something; note where the log ends now.

        Raises StillNeeded.
        """
        for what, record_id, _ in self._changed:
            if what == "person" and records.text_at(self._conn, SHELVES[what], record_id) is None:
                self._must_own_nothing(record_id)
        search.reindex_with_balls(self._conn, self._balls)
        if self._head is not None:
            note_head(self._conn, self._head)

    def _must_own_nothing(self, person_id: int) -> None:
        for table in ("balls", "pads", "recipes"):
            sql = f"SELECT count(*) FROM {table} WHERE owner_id = ? AND NOT gone"  # noqa: S608
            if count := self._conn.execute(sql, (person_id,)).fetchone()[0]:
                raise StillNeeded(
                    f"This person still owns {count} {table}.", next_step="Give them to somebody or remove them first."
                )


def note_head(conn: sqlite3.Connection, head: log.Head) -> None:
    """Keep where the log ends, so that a log cut at its end is noticed."""
    conn.execute(
        "INSERT INTO meta (key, value) VALUES ('head', ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
        (f"{head.seq} {head.hash.hex()}",),
    )


def noted_head(conn: sqlite3.Connection) -> log.Head:
    """Where the log ended after the last act."""
    row = conn.execute("SELECT value FROM meta WHERE key = 'head'").fetchone()
    if row is None:
        return log.Head(0, log.GENESIS)
    seq, digest = str(row[0]).split()
    return log.Head(int(seq), bytes.fromhex(digest))


def differing(before: str | None, after: str | None) -> tuple[str, ...]:
    """Names of the fields that differ between two stored texts; all of them where one is missing."""
    old = json.loads(before) if before is not None else {}
    new = json.loads(after) if after is not None else {}
    return tuple(name for name in {**old, **new} if name not in old or name not in new or old[name] != new[name])


__all__ = ["Act", "Changed", "Clock", "Record", "act_sum", "differing", "note_head", "noted_head", "seal"]
