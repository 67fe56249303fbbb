"""What an erased person leaves in a file's free pages, its write-ahead log and its backups, cleared away."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from pathlib import Path

from arsenal.ledger import backup
from arsenal.ledger.backup import BackupPolicy
from arsenal.ledger.errors import KnownError
from arsenal.ledger.store import Store

_UNFINISHED = "erasing"


def note_unfinished(conn: sqlite3.Connection, unfinished: bool) -> None:
    """Whether a file's own traces of somebody, its earlier backups among them, are still to be cleared away."""
    conn.execute("DELETE FROM meta WHERE key = ?", (_UNFINISHED,))
    if unfinished:
        conn.execute("INSERT INTO meta (key, value) VALUES (?, '')", (_UNFINISHED,))


def is_unfinished(conn: sqlite3.Connection) -> bool:
    """The same, asked."""
    return conn.execute("SELECT 1 FROM meta WHERE key = ?", (_UNFINISHED,)).fetchone() is not None


def clear(
    store: Store, path: Path, now: datetime, policy: BackupPolicy, *, earlier: bool
) -> tuple[bool, tuple[Path, ...], str]:  # fmt: skip
    """Write the file anew and its backups with it: whether the write-ahead log is empty, files that still hold what was
    erased, and what went wrong, as a sentence. Never raises for the disk's sake: erased it is by now.
    """
    emptied, before = False, backup.earlier_files(path)
    try:
        emptied = store.shrink()
        if earlier:
            before = backup.remove_earlier(path, backup.back_up_own(path, now, policy))
            if emptied and not before:
                with store.writing() as conn:
                    note_unfinished(conn, False)
    except KnownError as problem:
        return emptied, before, problem.sentence
    return emptied, before, ""
