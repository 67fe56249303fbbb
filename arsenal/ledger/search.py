"""Finding balls and people by the beginnings of words, whatever was typed.

Every token is quoted, so that no typed text is ever a query of its own; a short query is not ranked by the index
(ranking every match of one letter is slow) but by how the few first ones fit.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass

from arsenal.ledger import records
from arsenal.ledger.schema import FIND
from arsenal.trade.ball import Ball
from arsenal.trade.person import Person

KINDS = ("ball", "person")
_TOKENS, _LENGTH, _CANDIDATES = 8, 120, 60
_SHORT = 3
"""Queries whose longest word is shorter than this are not ranked by the index."""


@dataclass(frozen=True, slots=True)
class Found:
    """One find, best first in its list."""

    kind: str
    """ball or person."""
    id: int
    label: str
    detail: str = ""


def tokens(text: str) -> list[str]:
    """The words of what was typed: no NUL, no half characters, nothing without a letter or a digit."""
    clean = text[:_LENGTH].replace("\x00", " ").encode("utf-8", "replace").decode()
    return [word for word in clean.split() if any(c.isalnum() for c in word)][:_TOKENS]


def match_of(words: Iterable[str]) -> str:
    """A full-text expression: each word quoted, each the beginning of something, all of them found."""
    return " ".join('"' + word.replace('"', '""') + '"*' for word in words)


def search(conn: sqlite3.Connection, text: str, limit: int) -> tuple[Found, ...]:
    """Balls and people whose words begin like the typed ones, exact nicknames and names first."""
    words = tokens(text)
    if not words or limit <= 0:
        return ()
    rowids = _exact(conn, text.strip().replace("\x00", " ")) + _matching(conn, words, max(limit, _CANDIDATES))
    finds = [found for rowid in dict.fromkeys(rowids) if (found := _found(conn, rowid))]
    typed = " ".join(words).casefold()
    finds.sort(key=lambda hit: _fit(hit, typed))
    return tuple(hit for hit, _ in finds[:limit])


def _exact(conn: sqlite3.Connection, text: str) -> list[int]:
    clean = text.encode("utf-8", "replace").decode()
    rows = conn.execute(
        "SELECT id FROM balls WHERE nickname = ? COLLATE NOCASE AND NOT gone ORDER BY id LIMIT 20", (clean,)
    )
    return [rowid_of("ball", row[0]) for row in rows]


def _matching(conn: sqlite3.Connection, words: list[str], limit: int) -> list[int]:
    short = max(len(word) for word in words) < _SHORT
    order = "" if short else "ORDER BY bm25(find, 8.0, 1.0)"
    sql = f"SELECT rowid FROM find WHERE find MATCH ? {order} LIMIT ?"  # noqa: S608
    try:
        rows = conn.execute(sql, (match_of(words), limit)).fetchall()
    except sqlite3.OperationalError as error:
        if "fts5" in str(error):
            return []
        raise
    return [int(row[0]) for row in rows]


_Placed = tuple[Found, str]
"""A find and the words it is known by, folded for comparing."""


def _found(conn: sqlite3.Connection, rowid: int) -> _Placed | None:
    kind, record_id = KINDS[rowid % len(KINDS)], rowid // len(KINDS)
    if kind == "person":
        person = records.get(conn, Person, record_id)
        return (Found(kind, record_id, person.name, person.nickname), person.nickname.casefold()) if person else None
    ball = records.get(conn, Ball, record_id)
    if ball is None:
        return None
    owner = records.get(conn, Person, ball.owner_id)
    detail = " · ".join(part for part in (owner.name if owner else "", ball.cover.value, ball.serial) if part)
    return Found(kind, record_id, ball.name, detail), ball.nickname.casefold()


def _fit(placed: _Placed, typed: str) -> int:
    found, nickname = placed
    label = found.label.casefold()
    if typed in (nickname, label):
        return 0
    if nickname.startswith(typed) or label.startswith(typed):
        return 1
    return 2


def rowid_of(kind: str, record_id: int) -> int:
    """Where a record stands in the full-text table."""
    return record_id * len(KINDS) + KINDS.index(kind)


def to_index(conn: sqlite3.Connection, kind: str, record_id: int) -> tuple[str, str] | None:
    """(label, words) a ball or person is found by; None where it is out of sight."""
    if kind == "person":
        person = records.get(conn, Person, record_id)
        return (person.name, person.nickname) if person else None
    ball = records.get(conn, Ball, record_id)
    if ball is None:
        return None
    owner = records.get(conn, Person, ball.owner_id)
    words = (ball.nickname, ball.serial, ball.colour, ball.cover.value, owner.name if owner else "")
    return ball.name, " ".join(word for word in words if word)


def indexed(conn: sqlite3.Connection, kind: str, record_id: int) -> tuple[str, str] | None:
    """(label, words) as the full-text table holds them now."""
    row = conn.execute("SELECT label, words FROM find WHERE rowid = ?", (rowid_of(kind, record_id),)).fetchone()
    return (str(row[0]), str(row[1])) if row else None


def index(conn: sqlite3.Connection, kind: str, record_id: int) -> None:
    """Bring the full-text table up to date for one ball or person; other kinds are not searched."""
    if kind not in KINDS:
        return
    rowid = rowid_of(kind, record_id)
    conn.execute("DELETE FROM find WHERE rowid = ?", (rowid,))
    if found := to_index(conn, kind, record_id):
        conn.execute("INSERT INTO find (rowid, label, words) VALUES (?, ?, ?)", (rowid, *found))


def reindex_balls_of(conn: sqlite3.Connection, person_id: int) -> None:
    """An owner's new name reaches his balls."""
    for (ball_id,) in conn.execute("SELECT id FROM balls WHERE owner_id = ? AND NOT gone", (person_id,)).fetchall():
        index(conn, "ball", int(ball_id))


def rebuild(conn: sqlite3.Connection) -> None:
    """The full-text table anew from the records; the caller holds the transaction."""
    conn.execute("DROP TABLE find")
    conn.execute(FIND)
    for kind in KINDS:
        table = records.SHELVES[kind].table
        for (record_id,) in conn.execute(f"SELECT id FROM {table} WHERE NOT gone").fetchall():  # noqa: S608
            index(conn, kind, int(record_id))
