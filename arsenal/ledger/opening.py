"""Opening a file: make it, look before touching, take the lock, bring it to this version, or refuse it whole."""

from __future__ import annotations

import glob
import os
import secrets
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from sqlite_utils import Database

from arsenal.ledger import act, files, log, schema
from arsenal.ledger.errors import Damaged, Newer, NotFound, Refused, explained
from arsenal.ledger.store import Store, check_schema, connect, pragma


def open_store(path: Path, *, read_only: bool, create: bool, before_migration: Callable[[], object]) -> Store:
    """The open file. Raises Refused (see errors), NotFound where it is missing and `create` is False."""
    path = path.absolute()
    if not path.exists():
        if read_only or not create:
            raise NotFound(f"There is no file {path}.")
        make(path)
    crashed = files.wal_pending(path)
    with explained(path):
        db = connect(path, read_only=read_only)
    try:
        with explained(path):
            found = check_schema(db, path)
            _look(db, path, crashed and not read_only)
            if found < schema.version():
                _must_be_writable(path, read_only)
                before_migration()
                migrate(db, path)
            if not read_only:
                _write_ahead(db)
    except BaseException:
        db.close()
        raise
    files.note_open(path)
    return Store(path, db, read_only=read_only)


def _write_ahead(db: Database) -> None:
    """Readers and the writer do not wait for each other, also where another program has set the file otherwise."""
    if db.conn.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        with suppress(sqlite3.OperationalError):  # that program still reads: the next opening does it
            db.conn.execute("PRAGMA journal_mode = WAL").fetchone()


def _must_be_writable(path: Path, read_only: bool) -> None:
    if read_only:
        raise Newer(path, "is of an earlier version", "Open it once for writing, which brings it up to date.")


def lock_for(path: Path, create: bool) -> files.Lock:
    """The right to write `path`. Raises OnNetwork, AlreadyOpen, or NotFound where there is no such file to write."""
    if not path.exists():
        if not create:
            raise NotFound(f"There is no file {path}.")
        with explained(path):
            path.parent.mkdir(parents=True, exist_ok=True)
    files.refuse_network(path)
    with explained(path):
        return files.Lock(path)


def _look(db: Database, path: Path, thoroughly: bool) -> None:
    """The end of the log is as noted; after a crash every page is looked at."""
    if thoroughly and (found := db.conn.execute("PRAGMA quick_check(1)").fetchone()[0]) != "ok":
        raise Damaged(path, f"is damaged ({found})")
    try:
        end, noted = log.head(db.conn), act.noted_head(db.conn)
    except ValueError as error:
        raise Damaged(path, "does not tell where its log ends") from error
    if end != noted:
        raise Damaged(path, f"ends at entry {end.seq}, where entry {noted.seq} was noted as the last")


def clear_leftovers(path: Path) -> None:
    """Remove what a killed program left half-made beside the file; the caller holds the file's lock."""
    for end in (".new-*", ".part-*"):
        for left in path.parent.glob(glob.escape(path.name) + end):
            left.unlink(missing_ok=True)


def make(path: Path) -> None:
    """A new, empty file of ours, whole from its first moment under this name."""
    with explained(path):
        made = files.beside(path, f".new-{secrets.token_hex(4)}")
        os.close(os.open(made, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
        try:
            _fill(made)
            files.swap_in(made, path)
        finally:
            files.remove_whole(made)


def _fill(made: Path) -> None:
    db = connect(made)
    try:
        db.conn.execute("BEGIN IMMEDIATE")
        schema.apply(db, 0, schema.version())
        db.conn.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
        db.conn.execute(f"PRAGMA user_version = {schema.version()}")
        db.conn.execute("COMMIT")
        db.conn.execute("PRAGMA journal_mode = WAL").fetchone()
    finally:
        db.close()
    files.check_whole(made)


def migrate(db: Database, path: Path) -> None:
    """From the file's version to this program's in one transaction, `user_version` inside it.

    Raises Damaged where a step leaves the file wrong; the file is then as it was.
    """
    conn = db.conn
    conn.execute("BEGIN IMMEDIATE")
    try:
        schema.apply(db, pragma(db, "user_version"), schema.version())
        conn.execute(f"PRAGMA user_version = {schema.version()}")
        _must_be_whole(db, path)
        conn.execute("COMMIT")
    except BaseException:
        if conn.in_transaction:
            conn.execute("ROLLBACK")
        raise


def _must_be_whole(db: Database, path: Path) -> None:
    if broken := db.conn.execute("PRAGMA foreign_key_check").fetchone():
        raise Damaged(path, f"could not be brought up to date: {broken[0]} refers to a row that is not there")
    if schema.objects(db) != schema.expected(schema.version()):
        raise Damaged(path, "could not be brought up to date: its tables came out wrong")


__all__ = ["Refused", "make", "migrate", "open_store"]
