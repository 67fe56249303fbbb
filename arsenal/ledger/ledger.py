"""The file as everybody above sees it: acts in, records and entries out, undo, search, backups."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from arsenal.ledger import backup, files, log, opening, records, search, undo, verify
from arsenal.ledger.act import Act, Clock
from arsenal.ledger.backup import Backup, BackupPolicy
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import CannotUndo, Damaged, KnownError, NotFound, explained
from arsenal.ledger.results import Result, result_sum
from arsenal.ledger.search import Found
from arsenal.ledger.store import Store, pragma
from arsenal.ledger.undo import ActRow
from arsenal.ledger.verify import Verification
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

_CACHE_ROWS = 20_000


def _place(path: str | Path) -> Path:
    """Where a file really lies, so that every name for it meets the same lock."""
    return Path(path).expanduser().resolve()


def _now() -> datetime:
    return datetime.now().astimezone()


class Ledger:
    """One open file. Make it with `Ledger.open`; it may be used from any thread, one at a time."""

    def __init__(self, store: Store, lock: files.Lock | None, clock: Clock, policy: BackupPolicy) -> None:
        self._store, self._lock, self._clock, self._policy = store, lock, clock, policy
        self._seen = pragma(store.db, "data_version")
        self._backing_up = threading.Lock()
        self.backup_problem: KnownError | None = None
        """Why the last automatic backup was not made; None where it was."""

    @classmethod
    def open(
        cls,
        path: str | Path,
        *,
        clock: Clock | None = None,
        read_only: bool = False,
        create: bool = True,
        backups: BackupPolicy | None = None,
    ) -> Ledger:
        """Open a file, or make it where it is missing and `create` is True.

        Raises Refused (NotOurs, Newer, Damaged, OnNetwork, AlreadyOpen) with the file's bytes unchanged, NotFound,
        or NoRoom.
        """
        path, clock, policy = _place(path), clock or _now, backups or BackupPolicy()
        if path.exists() and not opening.open_here(path):
            files.check_header(path)
        lock = None if read_only else opening.lock_for(path, create)
        try:
            if lock:
                opening.clear_leftovers(path)
            store = opening.open_store(
                path,
                read_only=read_only,
                create=create,
                before_migration=lambda: backup.back_up_own(path, clock(), policy),
            )
        except BaseException:
            if lock:
                lock.release()
            raise
        ledger = cls(store, lock, clock, policy)
        if policy.at_open:
            ledger.backup_if_due()
        return ledger

    def close(self) -> None:
        """Back up what changed, close the file, give the lock back. Again does nothing."""
        if self._store.closed:
            return
        try:
            self._backup_at_close()
        finally:
            self._store.close()
            opening.closed(self._store.path)
            if self._lock:
                self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """The file."""
        return self._store.path

    @property
    def read_only(self) -> bool:
        """True where nothing can be written."""
        return self._store.read_only

    # ---- acts ------------------------------------------------------------------------------------------------------

    @contextmanager
    def act(self, title: str, initiator: str = "desk") -> Iterator[Act]:
        """Everything written through the act is kept when the block ends, or nothing where it raises."""
        with self._store.writing() as conn:
            act = Act(conn, title, initiator, self._clock)
            yield act
            act.finish()

    def acts(self, limit: int = 50) -> tuple[ActRow, ...]:
        """The latest acts, newest first."""
        with self._store.reading() as conn:
            return undo.acts(conn, limit)

    def can_undo(self) -> ActRow | None:
        """The act `undo` would take back."""
        with self._store.reading() as conn:
            return undo.last_standing(conn)

    def can_redo(self) -> ActRow | None:
        """The act `redo` would bring back: the one the last undo took."""
        with self._store.reading() as conn:
            last = undo.last_undo(conn)
            return undo.act_row(conn, last.undoes) if last and last.undoes else None

    def undo(self, act_id: int | None = None, initiator: str = "desk") -> Act:
        """Take back the last act that stands, or the one named. Returns the undoing act (its changes, its title).

        Raises CannotUndo where nothing is left, it is undone already, or a later act built on it.
        """
        with self._store.writing() as conn:
            target = undo.act_row(conn, act_id) if act_id is not None else undo.last_standing(conn)
            if target is None:
                raise CannotUndo("There is nothing to take back.")
            prefix = "Undo" if target.undoes is None else "Redo"
            title = target.title if target.undoes is None else undo.act_row(conn, target.undoes).title
            return undo.undo(conn, target, f"{prefix}: {title}", initiator, self._clock)

    def redo(self, initiator: str = "desk") -> Act:
        """Bring back what the last undo took, where nothing new was done since. Raises CannotUndo."""
        with self._store.reading() as conn:
            last = undo.last_undo(conn)
        if last is None:
            raise CannotUndo("There is nothing to bring back.")
        return self.undo(last.id, initiator)

    # ---- reading ---------------------------------------------------------------------------------------------------

    @property
    def revision(self) -> int:
        """Grows with each act, whoever wrote it."""
        return int(self._store.one("SELECT coalesce(max(id), 0) FROM acts"))

    @property
    def head_seq(self) -> int:
        """The last log entry's number, 0 for an empty log."""
        return int(self._store.one("SELECT coalesce(max(seq), 0) FROM log"))

    def changed_elsewhere(self) -> bool:
        """True where another process wrote to the file since this was asked last."""
        with self._store.reading():
            now = pragma(self._store.db, "data_version")
        seen, self._seen = self._seen, now
        return now != seen

    def ball(self, ball_id: int) -> Ball:
        """One ball. Raises NotFound."""
        return self.one(Ball, ball_id)

    def person(self, person_id: int) -> Person:
        """One person. Raises NotFound."""
        return self.one(Person, person_id)

    def lane(self, lane_id: int) -> Lane:
        """One lane condition. Raises NotFound."""
        return self.one(Lane, lane_id)

    def pad(self, pad_id: int) -> Pad:
        """One pad. Raises NotFound."""
        return self.one(Pad, pad_id)

    def balls(self, owner_id: int | None = None) -> tuple[Ball, ...]:
        """Every ball, or one person's."""
        with self._store.reading() as conn:
            return records.every(conn, Ball, owner_id)

    def people(self) -> tuple[Person, ...]:
        """Everybody."""
        with self._store.reading() as conn:
            return records.every(conn, Person)

    def lanes(self) -> tuple[Lane, ...]:
        """Every lane condition."""
        with self._store.reading() as conn:
            return records.every(conn, Lane)

    def pads(self, owner_id: int | None = None) -> tuple[Pad, ...]:
        """Every pad, or one person's (the shop's own have no owner and come only with all)."""
        with self._store.reading() as conn:
            return records.every(conn, Pad, owner_id)

    def recipes(self) -> tuple[Recipe, ...]:
        """Every recipe that was kept."""
        with self._store.reading() as conn:
            return records.every(conn, Recipe)

    def every(self, cls: type[records.R]) -> tuple[records.R, ...]:
        """Every record of one kind."""
        with self._store.reading() as conn:
            return records.every(conn, cls)

    def entries(
        self, ball_id: int | Iterable[int] | None = None, since_seq: int = 0, *, act_id: int | None = None
    ) -> tuple[Entry, ...]:
        """Entries after `since_seq` in the order they were kept: of one ball, of several, of one act, or all."""
        ids = [ball_id] if isinstance(ball_id, int) else ball_id
        with self._store.reading() as conn:
            return tuple(log.entries(conn, ids, since_seq, act_id))

    def balls_with(self, kind: str) -> dict[int, int]:
        """Balls whose log holds an entry of that kind, undone ones too, and the number of each one's last entry."""
        of_kind = "ball_id IN (SELECT ball_id FROM log WHERE kind = ?)"
        sql = f"SELECT ball_id, max(seq) FROM log WHERE {of_kind} GROUP BY ball_id"  # noqa: S608
        with self._store.reading() as conn:
            return {int(ball_id): int(seq) for ball_id, seq in conn.execute(sql, (str(kind),))}

    def setting(self, key: str, default: Any = None) -> Any:
        """A setting of the file."""
        text = self._store.one("SELECT value FROM settings WHERE key = ?", (key,))
        return default if text is None else json.loads(text)

    def settings(self, prefix: str = "") -> dict[str, Any]:
        """Every setting whose name begins with `prefix`."""
        with self._store.reading() as conn:
            rows = conn.execute("SELECT key, value FROM settings ORDER BY key").fetchall()
        return {key: json.loads(value) for key, value in rows if key.startswith(prefix)}

    def search(self, text: str, limit: int = 20) -> tuple[Found, ...]:
        """Balls and people whose words begin like the typed ones, best first; any text is safe."""
        try:
            with self._store.reading() as conn:
                return search.search(conn, text, limit)
        except Damaged:
            if self.read_only:
                raise
            self.rebuild_search()
            with self._store.reading() as conn:
                return search.search(conn, text, limit)

    def rebuild_search(self) -> None:
        """Make the search list anew from the records; nothing else is touched."""
        with self._store.joining() as conn:
            search.rebuild(conn)

    def one(self, cls: type[records.R], record_id: int) -> records.R:
        """One record of any kind. Raises NotFound."""
        with self._store.reading() as conn:
            found = records.get(conn, cls, record_id)
        if found is None:
            raise NotFound(f"There is no {records.SHELF_OF[cls].what} number {record_id}.")
        return found

    # ---- what was computed -----------------------------------------------------------------------------------------

    def cached_state(self, key: str) -> Any:
        """A state kept under `key`; None where it is not there, or no longer as it was kept."""
        with self._store.reading() as conn:
            row = conn.execute("SELECT value, sum FROM state_cache WHERE key = ?", (key,)).fetchone()
        return json.loads(row[0]) if row and records.check_sum(key, row[0]) == row[1] else None

    def keep_state(self, key: str, value: Any) -> None:
        """Keep a computed state under a key made of fold version and settings; may be dropped at any time."""
        self.keep_states({key: value})

    def keep_states(self, states: dict[str, Any]) -> None:
        """Keep several in one write; the oldest fall out beyond 20,000. Does nothing in a file that is only read."""
        if self.read_only or not states:
            return
        rows = [(key, text := text_of(value), records.check_sum(key, text)) for key, value in states.items()]
        with self._store.joining() as conn:
            conn.executemany("INSERT OR REPLACE INTO state_cache (key, value, sum) VALUES (?, ?, ?)", rows)
            conn.execute(
                "DELETE FROM state_cache WHERE rowid <= (SELECT max(rowid) FROM state_cache) - ?", (_CACHE_ROWS,)
            )

    def drop_states(self) -> None:
        """Drop every computed state; nothing is lost but time."""
        with self._store.joining() as conn:
            conn.execute("DELETE FROM state_cache")

    def keep_result(self, kind: str, data: Any) -> int:
        """Keep an order or a card for good, with what made it inside. Returns its number."""
        text = text_of(data)
        with self._store.joining() as conn:
            number = int(conn.execute("SELECT coalesce(max(id), 0) + 1 FROM results").fetchone()[0])
            revision = conn.execute("SELECT coalesce(max(id), 0) FROM acts").fetchone()[0]
            at, _ = log.stamp(self._clock())
            conn.execute(
                "INSERT INTO results (id, kind, at, revision, data, sum) VALUES (?, ?, ?, ?, ?, ?)",
                (number, kind, at, revision, text, result_sum(number, kind, at, revision, text)),
            )
        return number

    def results(self, kind: str | None = None, limit: int = 20) -> tuple[Result, ...]:
        """Kept results, newest first, of one kind or all."""
        with self._store.reading() as conn:
            rows = conn.execute(
                "SELECT id, kind, at, revision, data FROM results WHERE :kind IS NULL OR kind = :kind "
                "ORDER BY id DESC LIMIT :most",
                {"kind": kind, "most": limit},
            ).fetchall()
        return tuple(Result(i, k, log.unstamp(at), revision, json.loads(data)) for i, k, at, revision, data in rows)

    # ---- keeping it safe -------------------------------------------------------------------------------------------

    def verify(self) -> Verification:
        """Go over the whole file as it is on the disk; nothing in it is changed, and acts go on meanwhile."""
        return verify.verify_file(self.path)

    def backup(self, onto: str | Path) -> Verification:
        """Copy the file onto `onto`, which takes that name only once it has been reopened and gone over.

        Acts go on meanwhile. Raises KnownError; what was at `onto` before is then still there.
        """
        return backup.back_up(self.path, Path(onto).expanduser().absolute())

    def list_backups(self) -> tuple[Backup, ...]:
        """The file's own backups, newest first."""
        return backup.list_backups(self.path)

    def backup_if_due(self) -> Path | None:
        """Make one of the file's own backups where something changed and the last is old enough; acts go on meanwhile.

        Never raises for the disk's sake: what went wrong is in `backup_problem`.
        """
        last = next(iter(self.list_backups()), None)
        if last and timedelta(0) <= self._clock() - last.at < self._policy.every:
            return None
        return self._automatic_backup()

    def _backup_at_close(self) -> None:
        if not self._policy.at_close or not self.path.exists():
            return
        if self.path.stat().st_size <= self._policy.small:
            self._automatic_backup()
        else:
            self.backup_if_due()

    def _automatic_backup(self) -> Path | None:
        if self.read_only or self._policy.every == timedelta.max or not self._backing_up.acquire(blocking=False):
            return None
        try:
            with self._store.reading() as conn:
                mark = backup.mark_of(conn)
            with explained(self.path):
                if mark is None or any(kept.mark == mark for kept in self.list_backups()):
                    return None
            made = backup.back_up_own(self.path, self._clock(), self._policy)
        except KnownError as problem:
            self.backup_problem = problem
            return None
        finally:
            self._backing_up.release()
        self.backup_problem = None
        return made

    @staticmethod
    def restore(path: str | Path, onto: str | Path, *, clock: Clock | None = None) -> Path | None:
        """Put the backup `path` in the place of the closed file `onto`; returns where the replaced file is kept."""
        return backup.restore(_place(path), _place(onto), (clock or _now)())

    @staticmethod
    def holder(path: str | Path) -> int | None:
        """The process that has a file open for writing, None where nobody has."""
        return files.holder(_place(path))

    @staticmethod
    def door_name(path: str | Path) -> str:
        """What a second window calls the first one by (a local socket's name)."""
        return files.door_name(_place(path))
