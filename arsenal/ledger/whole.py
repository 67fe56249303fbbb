"""A file's contents as they stand in it, for one that is made again from them: removed records, numbers given out,
settings, kept results and photographs too.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass

from arsenal.ledger import log
from arsenal.ledger.act import Act
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import CannotKeep
from arsenal.ledger.records import SHELVES, Shelf
from arsenal.ledger.results import Result, result_sum

ACTS = "act"
_TABLES = {**{shelf.what: shelf.table for shelf in SHELVES.values()}, ACTS: "acts"}


@dataclass(frozen=True, slots=True)
class Row:
    """One record as it is stored; `gone` where it was taken out of sight."""

    what: str
    id: int
    text: str
    gone: bool = False


def rows(conn: sqlite3.Connection, shelf: Shelf) -> Iterator[Row]:
    """Every record of a shelf, removed ones too, in the order of their numbers."""
    for record_id, text, gone in conn.execute(f"SELECT id, data, gone FROM {shelf.table} ORDER BY id"):  # noqa: S608
        yield Row(shelf.what, int(record_id), str(text), bool(gone))


def numbers(conn: sqlite3.Connection) -> dict[str, int]:
    """The last number given out to each kind of record and to acts; none of them is ever given again."""
    last = {str(table): int(seq) for table, seq in conn.execute("SELECT name, seq FROM sqlite_sequence")}
    return {what: last[table] for what, table in _TABLES.items() if last.get(table)}


def results(conn: sqlite3.Connection) -> Iterator[Result]:
    """Every kept result, oldest first."""
    sql = "SELECT id, kind, at, revision, data FROM results ORDER BY id"
    for number, kind, at, revision, data in conn.execute(sql):
        yield Result(int(number), str(kind), log.unstamp(at), int(revision), json.loads(data))


@contextmanager
def fitting() -> Iterator[None]:
    """Raises CannotKeep for records that name others which are not there, or stand there twice."""
    try:
        yield
    except sqlite3.IntegrityError as error:
        sentence = "Something in it names a record that is not there, or stands in it twice."
        raise CannotKeep(sentence, next_step="Take another copy of it.") from error


class Again:
    """What is written into a file that is made again, all of it inside one act."""

    def __init__(self, conn: sqlite3.Connection, act: Act) -> None:
        self._conn, self.act = conn, act

    def go_on_from(self, given: Mapping[str, int]) -> None:
        """Numbers up to these count as given out, those of acts too: ask it before anything else is written."""
        for what, last in given.items():
            if what not in _TABLES:
                continue
            values = (last, _TABLES[what])
            sql = "UPDATE sqlite_sequence SET seq = max(seq, ?) WHERE name = ?"
            if not self._conn.execute(sql, values).rowcount:
                self._conn.execute("INSERT INTO sqlite_sequence (seq, name) VALUES (?, ?)", values)

    def put(self, found: Iterable[Row]) -> None:
        """Records under their own numbers, removed ones removed again."""
        gone = []
        for row in found:
            self.act.write_text(SHELVES[row.what], row.id, row.text)
            if row.gone:
                gone.append(row)
        for row in reversed(gone):
            self.act.write_text(SHELVES[row.what], row.id, None)

    def photo(self, photo_id: int, taken: bytes) -> None:
        """The bytes of a photograph whose record is there."""
        self._conn.execute("INSERT INTO photo_bytes (photo_id, bytes) VALUES (?, ?)", (photo_id, taken))

    def result(self, kept: Result) -> None:
        """A result as it was kept; those before it are there."""
        text, (at, _) = text_of(kept.data), log.stamp(kept.at)
        total = result_sum(kept.id, kept.kind, at, kept.revision, text)
        self._conn.execute(
            "INSERT INTO results (id, kind, at, revision, data, sum) VALUES (?, ?, ?, ?, ?, ?)",
            (kept.id, kept.kind, at, kept.revision, text, total),
        )
