"""The open file: one connection with its guards set, one lock for all threads, one way to write.

Errors of the database come out as known ones; anything begun and not finished is rolled back.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from arsenal.ledger import schema
from arsenal.ledger.errors import Damaged, KnownError, Moved, Newer, NotOurs, ReadOnly, explained, no_answer
from arsenal.ledger.files import wal_pending

_PRAGMAS = (
    "PRAGMA trusted_schema = OFF",
    "PRAGMA foreign_keys = ON",
    "PRAGMA recursive_triggers = ON",  # else INSERT OR REPLACE removes a row behind the delete guards
    "PRAGMA secure_delete = ON",
    "PRAGMA synchronous = FULL",
    "PRAGMA fullfsync = ON",  # where a plain fsync stops at the drive's own memory (macOS)
    "PRAGMA cell_size_check = ON",
    "PRAGMA busy_timeout = 5000",
)


_AS_IT_LIES = "mode=ro&immutable=1"


def connect(path: Path, *, read_only: bool = False) -> Database:
    """A connection to an existing file. Journal mode is the file's own. A closed file is read as it lies there where
    the disk has no room even for what a reader needs beside it.
    """
    try:
        return _connected(path, _mode(path, read_only), read_only=read_only)
    except sqlite3.OperationalError as error:
        if not read_only or not no_answer(error) or wal_pending(path):
            raise
        return _connected(path, _AS_IT_LIES, read_only=True)


def _connected(path: Path, mode: str, *, read_only: bool) -> Database:
    uri = f"{path.resolve().as_uri()}?{mode}"
    conn = sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False)
    db = Database(conn, execute_plugins=False, strict=True)
    try:
        for statement in (*_PRAGMAS, *(("PRAGMA query_only = ON",) if read_only else ())):
            conn.execute(statement).close()
        if read_only:
            conn.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error:
        conn.close()
        raise
    return db


def _mode(path: Path, read_only: bool) -> str:
    """How SQLite is to open the file.

    A closed file in a folder where nothing can be written is read as it lies there; elsewhere a reader may clear away
    the empty write-ahead log it makes, unless one with something in it lies there.
    """
    if not read_only:
        return "mode=rw"
    if wal_pending(path):
        return "mode=ro"
    return "mode=rw" if os.access(path.parent, os.W_OK) and os.access(path, os.W_OK) else _AS_IT_LIES


def pragma(db: Database, name: str) -> int:
    """A pragma's number."""
    return int(db.conn.execute(f"PRAGMA {name}").fetchone()[0])


def check_schema(db: Database, path: Path) -> int:
    """The file's version. Raises NotOurs, Newer or Damaged where its schema is not exactly ours."""
    if pragma(db, "application_id") != schema.APPLICATION_ID:
        raise NotOurs(path, "belongs to another program")
    found = pragma(db, "user_version")
    if found > schema.version():
        raise Newer(path, "was written by a newer version of this program", "Open it with that version.")
    have, want = schema.objects(db), schema.expected(found)
    if added := sorted(f"{kind} “{name}”" for kind, name, _ in have - want):
        raise Damaged(path, f"holds what this program never put there: {', '.join(added)}")
    if lost := sorted(f"{kind} “{name}”" for kind, name, _ in want - have):
        raise Damaged(path, f"lacks {', '.join(lost)}")
    return found


def _roll_back(conn: sqlite3.Connection) -> None:
    """A full disk may have rolled back already."""
    if conn.in_transaction:
        conn.execute("ROLLBACK")


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


class Store:
    """One file, open. Reads and writes of every thread take turns."""

    def __init__(self, path: Path, db: Database, *, read_only: bool) -> None:
        self.path, self.db, self.read_only = path, db, read_only
        self._turn = threading.RLock()
        self.closed = False
        self.why: KnownError | None = None
        """Why nothing may be written, where that is not just how the file was opened."""
        self._same = _identity(path)

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The connection, for reading."""
        with self._turn, explained(self.path, disk=False):
            yield self.db.conn

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """The connection inside `BEGIN IMMEDIATE`; committed at the end, rolled back whole on any error."""
        self.may_write()
        with self._turn, explained(self.path, disk=False):
            conn = self.db.conn
            if conn.in_transaction:
                raise RuntimeError("an act inside an act")
            if _identity(self.path) != self._same:
                raise Moved(f"{self.path.name} was moved or replaced while it was open.", next_step="Open it again.")
            conn.execute("BEGIN IMMEDIATE")
            try:
                yield conn
                conn.execute("COMMIT")
            except BaseException:
                _roll_back(conn)
                raise

    def may_write(self) -> None:
        """Raises ReadOnly with the reason where nothing may be written."""
        if self.read_only and self.why is not None:
            raise ReadOnly(self.why.sentence, next_step=self.why.next_step)
        if self.read_only:
            raise ReadOnly(f"{self.path.name} was opened for reading only.")

    @contextmanager
    def joining(self) -> Iterator[sqlite3.Connection]:
        """Inside the act that is going on in this thread, or in a write of its own."""
        with self._turn:
            inside = self.db.conn.in_transaction
            with self.reading() if inside else self.writing() as conn:
                yield conn

    def one(self, sql: str, values: tuple[Any, ...] = ()) -> Any:
        """The first column of the first row, None where there is none."""
        with self.reading() as conn:
            row = conn.execute(sql, values).fetchone()
        return row[0] if row else None

    def rest(self, why: KnownError | None) -> None:
        """Write nothing from now on, for this reason; None: write again."""
        with self._turn, explained(self.path, disk=False):
            self.db.conn.execute(f"PRAGMA query_only = {'OFF' if why is None else 'ON'}").close()
            self.read_only, self.why = why is not None, why

    def shrink(self) -> bool:
        """Write the file anew without what was deleted and empty the write-ahead log; False where a reader is in the
        way of that.
        """
        with self._turn, explained(self.path, disk=False):
            self.db.conn.execute("VACUUM")
            return bool(self.db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0] == 0)

    def close(self) -> None:
        """Close the connection; the last one out empties the write-ahead log."""
        with self._turn:
            self.closed = True
            self.db.close()
