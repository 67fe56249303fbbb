"""Going over a whole file: pages, references, guards, the chain of the log, and whether every word can be read."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlite_utils import Database

from arsenal.ledger import act, log, records, schema, search
from arsenal.ledger.codec import decode_payload, known_kind
from arsenal.ledger.errors import KnownError, translated
from arsenal.ledger.files import check_header
from arsenal.ledger.results import result_sum
from arsenal.ledger.store import check_schema, connect
from arsenal.trade.entries import Unknown

_SHOWN = 20


@dataclass(frozen=True, slots=True)
class Verification:
    """What going over a file found; `problems` are finished sentences, at most a screenful."""

    ok: bool
    problems: tuple[str, ...]
    entries: int
    head_hash: str
    unknown: int = 0
    """Entries of a kind or version this program does not know: kept, shown, no problem."""
    revision: int = 0

    @property
    def sentence(self) -> str:
        """One sentence for the screen."""
        if self.ok:
            return f"All {self.entries} entries are there and nothing is damaged."
        return f"{len(self.problems)} problems: {self.problems[0]}"


def verify_file(path: Path) -> Verification:
    """Go over a file that need not be open; nothing in it is changed."""
    try:
        check_header(path)
        db = connect(path, read_only=True)
    except (sqlite3.Error, KnownError, OSError) as error:
        return Verification(False, (_words(error, path),), 0, "")
    try:
        return verify(db, path)
    finally:
        db.close()


def verify(db: Database, path: Path) -> Verification:
    """Go over an open file, in one view of it."""
    conn, problems, counted = db.conn, [], _Count()
    began = not conn.in_transaction
    try:
        if began:
            conn.execute("BEGIN")
        for problem in _problems(db, path, counted):
            problems.append(problem)
            if len(problems) >= _SHOWN:
                break
    except (sqlite3.Error, KnownError, ValueError, TypeError, OverflowError) as error:
        problems.append(_words(error, path))
    finally:
        if began and conn.in_transaction:
            conn.execute("ROLLBACK")
    return Verification(
        not problems, tuple(problems), counted.entries, counted.end.hash.hex(), counted.unknown, counted.revision
    )


@dataclass
class _Count:
    entries: int = 0
    unknown: int = 0
    revision: int = 0
    end: log.Head = log.Head(0, log.GENESIS)  # noqa: RUF009 (frozen)


def _words(error: Exception, path: Path) -> str:
    known = error if isinstance(error, KnownError) else translated(error, path)
    return known.sentence if known else f"{path.name} could not be read to its end: {error}."


def _problems(db: Database, path: Path, counted: _Count) -> Iterator[str]:
    conn = db.conn
    check_schema(db, path)
    for (said,) in conn.execute(f"PRAGMA integrity_check({_SHOWN})"):
        if said != "ok":
            yield f"The database finds: {said}."
    for table, rowid, other, _ in conn.execute("PRAGMA foreign_key_check"):
        yield f"Row {rowid} of {table} refers to a row of {other} that is not there."
    counted.revision = int(conn.execute("SELECT coalesce(max(id), 0) FROM acts").fetchone()[0])
    yield from _chain(conn, counted)
    noted = act.noted_head(conn)
    if noted != counted.end:
        yield f"The log ends at entry {counted.end.seq}; entry {noted.seq} was noted as its last."
    yield from _records(conn)
    yield from _photos(conn)
    yield from _sums(conn)
    yield from _search(conn)


_CHAIN = """SELECT seq, ball_id, kind, version, day, payload, typed, undoes, act_id, at, offset_min, late, salt,
body_hash, prev_hash, hash FROM log ORDER BY seq"""


def _chain(conn: sqlite3.Connection, counted: _Count) -> Iterator[str]:
    end, erased = log.Head(0, log.GENESIS), _erased(conn)
    for row in conn.execute(_CHAIN):
        seq, ball_id, kind, version, day, payload, typed, *told, salt, body, prev, digest = row
        facts = (seq, ball_id, kind, version, day, *told)
        if seq != end.seq + 1:
            yield f"Entry {end.seq + 1} is missing from the log."
        if prev != end.hash:
            yield f"Entry {seq} does not follow the entry before it."
        if seq not in erased and log.body_hash(salt, payload, typed) != body:
            yield f"The words of entry {seq} are not those that were kept."
        elif log.chain_hash(prev, facts, body) != digest:
            yield f"Entry {seq} is not as it was kept."
        elif isinstance(decode_payload(kind, version, payload)[1], Unknown):
            counted.unknown += 1
            if known_kind(kind, version):
                yield f"Entry {seq} ({kind}) cannot be read."
        else:
            log.entry_of(row[:12])
        end = log.Head(seq, digest)
        counted.entries, counted.end = counted.entries + 1, end


def _erased(conn: sqlite3.Connection) -> set[int]:
    """Entries out of which somebody's name was taken; their digest is still that of the words before."""
    if not conn.execute("SELECT 1 FROM sqlite_master WHERE name = 'erased'").fetchone():
        return set()  # a file of an earlier version
    return {int(seq) for (seq,) in conn.execute("SELECT seq FROM erased")}


def _photos(conn: sqlite3.Connection) -> Iterator[str]:
    if not conn.execute("SELECT 1 FROM sqlite_master WHERE name = 'photos'").fetchone():
        return
    for photo_id, data, kept in conn.execute(
        "SELECT photos.id, photos.data, photo_bytes.bytes FROM photos LEFT JOIN photo_bytes ON photo_id = photos.id"
    ):
        if kept is None or hashlib.sha256(kept).hexdigest() != json.loads(data)["digest"]:
            yield f"Photograph number {photo_id} is not as it was kept."


def _records(conn: sqlite3.Connection) -> Iterator[str]:
    there = {name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    for shelf in (s for s in records.SHELVES.values() if s.table in there):  # a file of an earlier version has fewer
        sql = f"SELECT id, data, sum, gone, {', '.join(shelf.columns)} FROM {shelf.table}"  # noqa: S608
        for record_id, data, total, gone, *beside in conn.execute(sql):
            if records.check_sum(data) != total or tuple(beside) != shelf.beside(data):
                yield f"The {shelf.what} number {record_id} is not as it was kept."
                continue
            last = conn.execute(
                "SELECT after FROM act_changes WHERE what = ? AND record_id = ? ORDER BY id DESC LIMIT 1",
                (shelf.what, record_id),
            ).fetchone()
            if last is None or last[0] != (None if gone else data):
                yield f"The {shelf.what} number {record_id} is not as its last act left it."
            try:
                records.of_text(shelf.cls, record_id, data)
            except ValueError as error:
                yield f"The {shelf.what} number {record_id} cannot be read: {error}."


def _sums(conn: sqlite3.Connection) -> Iterator[str]:
    sql = "SELECT id, at, offset_min, title, initiator, undoes, undone_by, sum FROM acts"
    for row in conn.execute(sql):
        if act.act_sum(row[:7]) != row[7]:
            yield f"Act number {row[0]} is not as it was kept."
    for change, what, key, before, after, total in conn.execute(
        "SELECT id, what, key, before, after, sum FROM act_changes"
    ):
        if records.check_sum(what, key, before, after) != total:
            yield f"Change number {change} is not as it was kept."
    for key, value, total in conn.execute("SELECT key, value, sum FROM settings"):
        if records.check_sum(value) != total:
            yield f"The setting “{key}” is not as it was kept."
        json.loads(value)
    for number, kind, at, revision, data, total in conn.execute(
        "SELECT id, kind, at, revision, data, sum FROM results"
    ):
        if total not in (result_sum(number, kind, at, revision, data), records.check_sum(kind, data)):
            yield f"Result number {number} is not as it was kept."


def _search(conn: sqlite3.Connection) -> Iterator[str]:
    there = {name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    for kind in search.KINDS:
        table = records.SHELVES[kind].table
        if table not in there:
            continue
        for (record_id,) in conn.execute(f"SELECT id FROM {table} WHERE NOT gone"):  # noqa: S608
            if search.indexed(conn, kind, record_id) != search.to_index(conn, kind, record_id):
                yield f"The search list is not up to date ({kind} number {record_id}); it can be made anew."
                return


__all__ = ["Verification", "schema", "verify", "verify_file"]
