"""The file as everybody above sees it: acts in, records and entries out, undo, search, backups."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from types import TracebackType
from typing import Self

from arsenal.ledger import backup, erase, files, handing, opening, traces, undo, verify, whole
from arsenal.ledger.act import Act, Clock
from arsenal.ledger.backup import Backup, BackupPolicy
from arsenal.ledger.errors import CannotUndo, KnownError, ReadOnly, Refused, explained
from arsenal.ledger.handing import HandedOver, Handing, Looked, Role, TakenOver
from arsenal.ledger.reader import Reader
from arsenal.ledger.store import Store, pragma
from arsenal.ledger.undo import ActRow
from arsenal.ledger.verify import Verification
from arsenal.trade.person import Person
from arsenal.trade.steps import Tell, untold

_CACHE_ROWS = 20_000


def _place(path: str | Path) -> Path:
    """Where a file really lies, so that every name for it meets the same lock."""
    return Path(path).expanduser().resolve()


def _now() -> datetime:
    return datetime.now().astimezone()


class Ledger(Reader):
    """One open file. Make it with `Ledger.open`; it may be used from any thread, one at a time."""

    def __init__(self, store: Store, lock: files.Lock | None, clock: Clock, policy: BackupPolicy) -> None:
        self._store, self._lock, self._clock, self._policy = store, lock, clock, policy
        self._seen = pragma(store.db, "data_version")
        self._backing_up = threading.Lock()
        self._beside: threading.Thread | None = None
        self.backup_problem: KnownError | None = None
        """Why the last automatic backup was not made; None where it was."""
        self.acting = False
        """Whether an act is open: what is read meanwhile may yet be taken back."""

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
        or NoRoom. A file that was handed over is opened for reading only, see `handing`.
        """
        path, clock, policy = _place(path), clock or _now, backups or BackupPolicy()
        if path.exists() and not files.open_here(path):
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
        if lock and (told := ledger.handing) is not None:
            ledger._rest(told)
        if policy.at_open:
            ledger._backup_at_open()
        return ledger

    def close(self) -> None:
        """Back up what changed, close the file, give the lock back. Again does nothing."""
        if self._store.closed:
            return
        try:
            self._backup_at_close()
        finally:
            self._store.close()
            files.note_closed(self._store.path)
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

    def may_write(self) -> None:
        """Raises ReadOnly with the reason where nothing may be written."""
        self._store.may_write()

    # ---- acts ------------------------------------------------------------------------------------------------------

    @contextmanager
    def act(self, title: str, initiator: str = "desk") -> Iterator[Act]:
        """Everything written through the act is kept when the block ends, or nothing where it raises."""
        with self._store.writing() as conn:
            act = Act(conn, title, initiator, self._clock)
            self.acting = True
            try:
                yield act
            finally:
                self.acting = False
            act.finish()

    @contextmanager
    def remaking(self, title: str, initiator: str) -> Iterator[whole.Again]:
        """Everything of another file, in one act of this empty one; nothing where it raises, see `whole.fitting`."""
        with whole.fitting(), self._store.writing() as conn:
            act = Act(conn, title, initiator, self._clock)
            yield whole.Again(conn, act)
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

    def undo(self, act_id: int | None = None, initiator: str = "desk", tell: Tell = untold) -> Act:
        """Take back the last act that stands, or the one named, whole or not at all; `tell` may stop it. Returns the
        undoing act (its changes, its title).

        Raises CannotUndo where nothing is left, it is undone already, or a later act built on it.
        """
        with self._store.writing() as conn:
            target = undo.act_row(conn, act_id) if act_id is not None else undo.last_standing(conn)
            if target is None:
                raise CannotUndo("There is nothing to take back.")
            prefix = "Undo" if target.undoes is None else "Redo"
            title = target.title if target.undoes is None else undo.act_row(conn, target.undoes).title
            return undo.undo(conn, target, f"{prefix}: {title}", initiator, self._clock, tell)

    def redo(self, initiator: str = "desk", tell: Tell = untold) -> Act:
        """Bring back what the last undo took, where nothing new was done since. Raises CannotUndo."""
        with self._store.reading() as conn:
            last = undo.last_undo(conn)
        if last is None:
            raise CannotUndo("There is nothing to bring back.")
        return self.undo(last.id, initiator, tell)

    def changed_elsewhere(self) -> bool:
        """True where another process wrote to the file since this was asked last."""
        with self._store.reading():
            now = pragma(self._store.db, "data_version")
        seen, self._seen = self._seen, now
        return now != seen

    def erase_person(
        self, person_id: int, title: str, initiator: str = "desk", *, earlier: bool = True
    ) -> erase.Erased:
        """Take out of every row what tells who a person is, for good; their balls' technical history stays.

        `earlier` removes the file's earlier backups and replaced files too, once a new backup is made; without it they
        are named in the outcome. Cannot be undone. Raises NotFound, StillNeeded where a ticket of theirs is open.
        """
        person = self.one(Person, person_id)
        with self._backing_up:  # one made meanwhile would hold the person, and clear away the new one half made
            with self._store.writing() as conn:
                act = Act(conn, title, initiator, self._clock)
                count, wards = erase.erase(conn, act, person)
                act.finish()
                traces.note_unfinished(conn, earlier)
            emptied, before, trouble = self._clear_traces(earlier=earlier)
        return erase.Erased(act, count, emptied, before, wards, trouble)

    def _clear_traces(self, *, earlier: bool) -> tuple[bool, tuple[Path, ...], str]:
        return traces.clear(self._store, self.path, self._clock(), self._policy, earlier=earlier)

    # ---- between machines ------------------------------------------------------------------------------------------

    @property
    def handing(self) -> Handing | None:
        """What is noted of the file's handing over; None while it is in charge."""
        with self._store.reading() as conn:
            return handing.noted(conn)

    def hand_over(self, onto: str | Path, who: str, machine: str) -> Handing:
        """Copy the file onto `onto` to be taken over elsewhere, and write nothing here from then on.

        The copy is gone over and this file noted as handed over before the copy takes its name, so that there are never
        two in charge; where that fails, this one is. Raises KnownError, also where `onto` is there already.
        """
        onto = Path(onto).expanduser().absolute()
        if onto.exists():
            raise Refused(onto, "is there already", "Choose a name that is not taken.")
        self.mark()
        told = Handing(
            secrets.token_hex(8), Role.AWAY, self._clock().isoformat(timespec="seconds"), who, machine, str(onto), 0, 0,
            "",
        )  # fmt: skip
        made = files.beside(onto, f".part-{secrets.token_hex(4)}")
        try:
            with self._store.writing() as conn, explained(onto):
                onto.parent.mkdir(parents=True, exist_ok=True)
                told = handing.make_copy(self.path, made, conn, told)
                handing.note(conn, told)
            try:
                with explained(onto):
                    files.swap_in(made, onto)
            except BaseException:
                with explained(onto):
                    onto.unlink(missing_ok=True)  # it may have its name already; while it does, this one stays away
                with self._store.writing() as conn:
                    handing.note(conn, None)
                raise
        finally:
            files.remove_whole(made)
        self._rest(told)
        return told

    def take_back(self, who: str, machine: str) -> Handing:
        """Be in charge again of a file that was handed over; the copy is then an older one. Returns what it was noted
        as. Raises ReadOnly where it was not, AlreadyOpen where another window has it open.
        """
        told = self.handing
        if told is None or told.role is not Role.AWAY or self._lock:
            raise ReadOnly(f"{self.path.name} was not handed over; there is nothing to take back.")
        self._lock = opening.lock_for(self.path, create=False)
        self._store.rest(None)
        try:
            with self._store.writing() as conn:
                handing.note(conn, None, f"taken back {self._charge(who, machine, self._clock())}")
        except BaseException:
            self._rest(told)
            raise
        return told

    def _rest(self, told: Handing) -> None:
        self._store.rest(HandedOver(self.path, told))
        if self._lock:
            self._lock.release()
            self._lock = None

    @staticmethod
    def _charge(who: str, machine: str, at: datetime) -> str:
        return f"on {at:%Y-%m-%d %H:%M} {f'by {who} ' if who else ''}on {machine}"

    @staticmethod
    def look_over(copy: str | Path, onto: str | Path) -> Looked:
        """What a copy is to the file at `onto`; changes nothing. Raises Refused."""
        return handing.look(_place(copy), _place(onto))

    @staticmethod
    def may_take_over(copy: Path, looked: Looked, *, anyway: bool = False) -> None:
        """Raises KnownError with what is against taking it over; with `anyway` only for what can never be."""
        handing.may_take_over(copy, looked, anyway=anyway)

    @staticmethod
    def take_over(
        copy: str | Path, onto: str | Path, who: str, machine: str, *, anyway: bool = False, clock: Clock | None = None
    ) -> TakenOver:
        """Put a copy that was handed over in the place of the closed file `onto` and be in charge of it.

        Raises KnownError where it was not handed over, is another shop's, or (without `anyway`) was taken over already,
        is older than what is here, or does not hold all of it. What was here is kept beside it.
        """
        copy, onto, now = _place(copy), _place(onto), (clock or _now)()
        looked = handing.look(copy, onto)
        handing.may_take_over(copy, looked, anyway=anyway)
        charge = Ledger._charge(who, machine, now)
        kept = backup.restore(copy, onto, now, prepare=lambda made: handing.note_in(made, None, f"taken over {charge}"))
        told = looked.handing
        marked = told is not None and handing.mark_taken(copy, told, charge)
        return TakenOver(onto, kept, looked, marked)

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

    def _backup_at_open(self) -> None:
        """At once, or beside everything else where the file is so large that somebody would have to wait for it."""
        if self.path.stat().st_size <= self._policy.small:
            self._begin_backups()
            return
        self._beside = threading.Thread(target=self._begin_backups, name="backup", daemon=True)
        self._beside.start()

    def _begin_backups(self) -> None:
        with self._store.reading() as conn:
            unfinished = not self.read_only and traces.is_unfinished(conn)
        if unfinished:
            with self._backing_up:
                self._clear_traces(earlier=True)
        self.backup_if_due()

    def _backup_at_close(self) -> None:
        if self._beside is not None:
            self._beside.join()
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
        """Put the backup `path` in the place of the closed file `onto`; returns where the replaced file is kept. Raises
        HandedOver where that file was handed over and not taken back.
        """
        path, onto = _place(path), _place(onto)
        handing.refuse_over_handed(onto)
        return backup.restore(path, onto, (clock or _now)())

    @staticmethod
    def holder(path: str | Path) -> int | None:
        """The process that has a file open for writing, None where nobody has."""
        return files.holder(_place(path))

    @staticmethod
    def door_name(path: str | Path) -> str:
        """What a second window calls the first one by (a local socket's name)."""
        return files.door_name(_place(path))
