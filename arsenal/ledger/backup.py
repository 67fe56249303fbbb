"""Backups: copied through the database, gone over before they count, thinned with time, brought back."""

from __future__ import annotations

import glob
import re
import secrets
import sqlite3
from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from arsenal.ledger import files
from arsenal.ledger.errors import Damaged, KnownError, NotFound, Refused, explained
from arsenal.ledger.store import connect
from arsenal.ledger.verify import Verification, verify_file


@dataclass(frozen=True, slots=True)
class BackupPolicy:
    """When a backup is made by itself, and which ones stay."""

    at_open: bool = True
    at_close: bool = True
    every: timedelta = timedelta(minutes=30)
    """While open and changing, and at the close of a large file: at the earliest so long after the one before."""
    small: int = 8_000_000
    """Bytes up to which a file is backed up at every close that follows a change."""
    newest: int = 5
    days: int = 14
    weeks: int = 8
    months: int = 24

    def keep(self, backups: Iterable[Backup]) -> set[Path]:
        """Which stay: the newest few, the last of each day, week and month, and always the oldest."""
        ordered = sorted(backups, key=lambda b: (b.at, b.revision), reverse=True)
        stay = {b.path for b in ordered[: self.newest]} | {b.path for b in ordered[-1:]}
        for count, of in ((self.days, "%Y-%j"), (self.weeks, "%G-%V"), (self.months, "%Y-%m")):
            last_of: dict[str, Path] = {}
            for backup in ordered:
                last_of.setdefault(backup.at.strftime(of), backup.path)
            stay.update(list(last_of.values())[:count])
        return stay


NO_BACKUPS = BackupPolicy(at_open=False, at_close=False, every=timedelta.max)
_EMPTY, _BEFORE_LOAD = "r00000000-00000000", "-before-load-"
_NAME = re.compile(r"(?P<at>\d{8}T\d{6}Z)-(?P<mark>r(?P<revision>\d+)-[0-9a-f]{8})\.db")


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup: its file, when it was made (UTC), the revision it holds, its size in bytes."""

    path: Path
    at: datetime
    revision: int
    size: int
    mark: str = ""
    """Revision and the last act's sum: two backups with one mark hold the same."""

    @property
    def name(self) -> str:
        """The file's name."""
        return self.path.name


def folder_of(path: Path) -> Path:
    """Where a file's own backups are kept."""
    return files.beside(path, ".backups")


def list_backups(path: Path) -> tuple[Backup, ...]:
    """A file's own backups, newest first."""
    folder, found = folder_of(path), []
    for file in folder.glob("*.db") if folder.is_dir() else ():
        if said := _NAME.fullmatch(file.name):
            at = datetime.strptime(said["at"], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
            found.append(Backup(file, at, int(said["revision"]), file.stat().st_size, said["mark"]))
    return tuple(sorted(found, key=lambda b: (b.at, b.revision), reverse=True))


def newest_good(path: Path) -> Backup | None:
    """The latest of a file's own backups that is whole now; what is offered where the file itself is not."""
    return next((backup for backup in list_backups(path) if verify_file(backup.path).ok), None)


def back_up(source: Path, onto: Path) -> Verification:
    """Copy a file, open or not, onto `onto`, which takes that name only once the copy was gone over.

    It reads through a connection of its own, so that acts go on meanwhile; what it copies is one moment of the file.
    Raises KnownError; what was at `onto` before is then still there.
    """
    if onto.exists() and onto.samefile(source):
        raise Refused(onto, "is the file itself", "Choose another name for the backup.")
    with explained(onto):
        onto.parent.mkdir(parents=True, exist_ok=True)
        made = files.beside(onto, f".part-{secrets.token_hex(4)}")
        try:
            checked, _ = _copied(source, made)
            files.swap_in(made, onto)
        finally:
            files.remove_whole(made)
    return checked


def _copied(source: Path, made: Path) -> tuple[Verification, str | None]:
    """A copy gone over, and the mark of the moment it holds. Raises Damaged where the source did not copy whole."""
    db = connect(source, read_only=True)
    try:
        copy(db.conn, made)
    finally:
        db.close()
    checked = verify_file(made)
    if not checked.ok:
        raise Damaged(source, f"did not copy whole: {checked.problems[0]}")
    files.check_whole(made)
    with closing(sqlite3.connect(made, isolation_level=None)) as conn:
        return checked, mark_of(conn)


def copy(conn: sqlite3.Connection, made: Path) -> None:
    """Every page of an open database into a new file of one piece (no write-ahead log)."""
    made.touch(0o600, exist_ok=False)
    with closing(sqlite3.connect(made, isolation_level=None)) as target:
        conn.backup(target)
        target.execute("PRAGMA journal_mode = DELETE").fetchone()


def mark_of(conn: sqlite3.Connection) -> str | None:
    """What tells one state of a file from another in a backup's name; None for a file in which nothing happened yet."""
    row = conn.execute("SELECT id, sum FROM acts ORDER BY id DESC LIMIT 1").fetchone()
    return f"r{row[0]:08d}-{row[1] & 0xFFFFFFFF:08x}" if row else None


def back_up_own(source: Path, now: datetime, policy: BackupPolicy) -> Path:
    """One more of a file's own backups, then thin them out; the new one stays whatever the clock says."""
    folder = folder_of(source)
    with explained(source):
        folder.mkdir(mode=0o700, exist_ok=True)
        made = folder / f"new.part-{secrets.token_hex(4)}"
        try:
            _, mark = _copied(source, made)
            onto = folder / f"{now.astimezone(UTC):%Y%m%dT%H%M%SZ}-{mark or _EMPTY}.db"
            files.swap_in(made, onto)
            thin(source, policy, stay={onto})
        finally:
            files.remove_whole(made)
    return onto


def thin(source: Path, policy: BackupPolicy, stay: Iterable[Path] = ()) -> tuple[Path, ...]:
    """Remove the backups the policy does not keep; what is left over of broken-off ones too. Returns what went."""
    have = list_backups(source)
    kept = policy.keep(have) | set(stay)
    gone = tuple(b.path for b in have if b.path not in kept)
    for path in gone:
        path.unlink(missing_ok=True)
    for part in folder_of(source).glob("*.part-*"):
        part.unlink(missing_ok=True)
    return gone


def before_load(source: Path, now: datetime) -> Path:
    """Where a file is backed up before a large load."""
    return source.with_name(f"{source.stem}{_BEFORE_LOAD}{now:%Y%m%d-%H%M%S}{source.suffix}")


def earlier_files(source: Path) -> tuple[Path, ...]:
    """A file's own backups, those made before large loads, and what was replaced by a restored one."""
    replaced = sorted(source.parent.glob(glob.escape(source.name) + ".replaced-*"))
    digits = "[0-9]" * 8 + "-" + "[0-9]" * 6
    named = glob.escape(source.stem + _BEFORE_LOAD) + digits + glob.escape(source.suffix)
    return (*(b.path for b in list_backups(source)), *sorted(source.parent.glob(named)), *replaced)


def remove_earlier(source: Path, but: Path) -> tuple[Path, ...]:
    """Remove them all but one; returns those that could not be removed."""
    left = []
    for path in earlier_files(source):
        if path != but:
            try:
                path.unlink(missing_ok=True)
            except OSError:
                left.append(path)
    files.sync_folder(folder_of(source))
    return tuple(left)


def restore(
    backup: Path, onto: Path, now: datetime, *, prepare: Callable[[Path], object] = lambda _made: None
) -> Path | None:
    """Put a backup in the place of `onto`, which must be closed. Returns where the replaced file is kept.

    `prepare` may change the copy before it is gone over. The backup is copied beside `onto`, gone over there, and takes
    its place in one step; before that nothing of `onto` is touched. Raises Refused where the backup is not good,
    AlreadyOpen where `onto` is open.
    """
    if not backup.exists():
        raise NotFound(f"There is no file {backup}.")
    backup, onto = backup.absolute(), onto.absolute()
    files.check_header(backup)
    with explained(onto):
        onto.parent.mkdir(parents=True, exist_ok=True)
        files.refuse_network(onto)
        lock = files.Lock(onto)
        made = files.beside(onto, f".part-{secrets.token_hex(4)}")
        try:
            _copy_file(backup, made, prepare)
            kept = _keep_replaced(onto, now) if onto.exists() else None
            files.swap_in(made, onto)
        finally:
            files.remove_whole(made)
            lock.release()
    return kept


def _copy_file(backup: Path, made: Path, prepare: Callable[[Path], object]) -> None:
    with explained(backup), closing(sqlite3.connect(f"{backup.as_uri()}?mode=ro", uri=True)) as source:
        copy(source, made)
    prepare(made)
    with closing(sqlite3.connect(made, isolation_level=None)) as target:
        target.execute("PRAGMA journal_mode = WAL").fetchone()
    checked = verify_file(made)
    if not checked.ok:
        raise Damaged(backup, f"is not a good backup: {checked.problems[0]}")
    files.check_whole(made)


def _keep_replaced(onto: Path, now: datetime) -> Path:
    """Keep the present file under another name, and let no write-ahead log of it meet the new one."""
    kept = files.beside(onto, f".replaced-{now.astimezone(UTC):%Y%m%dT%H%M%SZ}-{secrets.token_hex(2)}")
    wal, kept_wal = files.beside(onto, "-wal"), files.beside(kept, "-wal")
    files.keep_link(onto, kept)
    if files.wal_pending(onto):
        files.keep_copy(wal, kept_wal)
        if _checkpointed(onto):
            kept_wal.unlink()
    files.sync_folder(onto.parent)
    for end in ("-wal", "-shm"):
        files.beside(onto, end).unlink(missing_ok=True)
    return kept


def _checkpointed(path: Path) -> bool:
    """True where the write-ahead log could be carried over into the file; a damaged file is left as it is."""
    try:
        with closing(connect(path).conn) as conn:
            busy = conn.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
            return not busy and conn.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok"
    except sqlite3.Error:
        return False


__all__ = [
    "NO_BACKUPS", "Backup", "BackupPolicy", "KnownError", "back_up", "back_up_own", "folder_of", "list_backups",
    "newest_good", "restore", "thin",
]  # fmt: skip
