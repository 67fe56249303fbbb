"""The append-only log: one row an entry, each carrying the hash of the one before.

An entry's own words (payload, what was typed) go into the chain as a salted digest of their bytes, everything else
as it stands, so that the chain can be walked without reading any words.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from arsenal.ledger.codec import PAYLOAD_VERSION, decode_payload, encode_payload, text_of
from arsenal.ledger.errors import NotFound
from arsenal.trade.entries import Draft, Entry, Unknown

GENESIS = bytes(32)
_COLUMNS = "seq, ball_id, kind, version, day, payload, typed, undoes, act_id, at, offset_min, late"
_INSERT = f"INSERT INTO log ({_COLUMNS}, salt, body_hash, prev_hash, hash) VALUES ({', '.join('?' * 16)})"  # noqa: S608


@dataclass(frozen=True, slots=True)
class Head:
    """The end of the log: its last number and that entry's hash."""

    seq: int
    hash: bytes


def body_hash(salt: bytes, payload: str, typed: str) -> bytes:
    """Digest of an entry's own words."""
    words = (payload.encode(), typed.encode())
    return hashlib.sha256(salt + len(words[0]).to_bytes(8, "big") + words[0] + words[1]).digest()


def chain_hash(prev: bytes, facts: tuple[object, ...], body: bytes) -> bytes:
    """Hash of one entry: the hash before, the canonical bytes of its facts, the digest of its words."""
    return hashlib.sha256(prev + body + text_of(facts).encode()).digest()


def head(conn: sqlite3.Connection) -> Head:
    """The log's end now."""
    row = conn.execute("SELECT seq, hash FROM log ORDER BY seq DESC LIMIT 1").fetchone()
    return Head(int(row[0]), bytes(row[1])) if row else Head(0, GENESIS)


def stamp(at: datetime) -> tuple[str, int]:
    """(UTC to the microsecond, local offset in minutes). Raises ValueError for a time without an offset."""
    offset = at.utcoffset()
    if offset is None:
        raise ValueError("a time without its offset from UTC")
    return at.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z"), int(
        offset / timedelta(minutes=1)
    )


def unstamp(text: str) -> datetime:
    """UTC from a stamp."""
    return datetime.fromisoformat(text)


def append(conn: sqlite3.Connection, draft: Draft, act_id: int, at: datetime, end: Head) -> tuple[Entry, Head]:
    """One entry after `end`. Raises NotFound where the ball or the entry it takes back does not exist."""
    if conn.execute("SELECT 1 FROM balls WHERE id = ?", (draft.ball_id,)).fetchone() is None:
        raise NotFound(f"There is no ball number {draft.ball_id}.")
    if draft.undoes is not None and not 0 < draft.undoes <= end.seq:
        raise NotFound(f"There is no entry number {draft.undoes} to take back.")
    version = draft.version if isinstance(draft.payload, Unknown) else PAYLOAD_VERSION
    payload, day = encode_payload(draft.payload), draft.on.isoformat()
    when, offset = stamp(at)
    seq, salt = end.seq + 1, secrets.token_bytes(16)
    facts = (seq, draft.ball_id, str(draft.kind), version, day, draft.undoes, act_id, when, offset, int(draft.late))
    body = body_hash(salt, payload, draft.typed)
    digest = chain_hash(end.hash, facts, body)
    conn.execute(
        _INSERT,
        (
            seq, draft.ball_id, str(draft.kind), version, day, payload, draft.typed, draft.undoes, act_id, when, offset,
            int(draft.late), salt, body, end.hash, digest,
        ),
    )  # fmt: skip
    kind, kept = decode_payload(str(draft.kind), version, payload)
    entry = Entry(
        seq,
        draft.ball_id,
        kind,
        draft.on,
        kept,
        unstamp(when),
        offset,
        draft.typed,
        draft.undoes,
        act_id,
        version,
        draft.late,
    )
    return entry, Head(seq, digest)


def entry_of(row: tuple[object, ...]) -> Entry:
    """An entry from its columns."""
    seq, ball_id, kind, version, day, payload, typed, undoes, act_id, at, offset, late = row
    known, read = decode_payload(kind, version, payload)  # type: ignore[arg-type]
    return Entry(
        seq, ball_id, known, date.fromisoformat(day), read, unstamp(at), offset, typed, undoes, act_id, version,  # type: ignore[arg-type]
        bool(late),
    )  # fmt: skip


def entries(
    conn: sqlite3.Connection, ball_ids: Iterable[int] | None, since_seq: int, act_id: int | None = None
) -> Iterator[Entry]:
    """Entries after `since_seq` in the order they were kept; of some balls, or of one act, or all."""
    where, values = ["seq > ?"], [since_seq]
    if act_id is not None:
        where.append("act_id = ?")
        values.append(act_id)
    if ball_ids is not None:
        where.append("ball_id IN (SELECT value FROM json_each(?))")
        values.append(json.dumps([int(i) for i in ball_ids]))  # type: ignore[arg-type]
    sql = f"SELECT {_COLUMNS} FROM log WHERE {' AND '.join(where)} ORDER BY seq"  # noqa: S608
    for row in conn.execute(sql, values):
        yield entry_of(row)
