"""Files and folders around the ledger: header, lock, network folders, swapping files in one step.

A database that is open is never read here as plain bytes: closing such a handle would drop its locks.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import struct
import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from arsenal.ledger.errors import AlreadyOpen, Damaged, Newer, NoRoom, NotFound, NotOurs, OnNetwork, Refused
from arsenal.ledger.schema import APPLICATION_ID, version

_MAGIC = b"SQLite format 3\x00"
_NETWORK = {
    "nfs", "nfs4", "cifs", "smb2", "smb3", "smbfs", "afs", "ncpfs", "9p", "ceph", "glusterfs", "fuse.sshfs",
    "fuse.rclone", "fuse.glusterfs", "fuse.s3fs", "davfs", "fuse.davfs2", "webdav", "afpfs", "lustre", "gpfs",
}  # fmt: skip


def private(path: Path) -> None:
    """Only the owner reads and writes the file (0600)."""
    path.chmod(0o600)


def sync_folder(folder: Path) -> None:
    """The folder's own entries reach the disk."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_file(path: Path) -> None:
    """The file's bytes reach the disk."""
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def swap_in(made: Path, onto: Path) -> None:
    """`made`, in the same folder, takes the place of `onto` in one step, or `onto` stays as it was."""
    sync_file(made)
    made.replace(onto)
    sync_folder(onto.parent)


def keep_link(path: Path, kept: Path) -> None:
    """A second name for the same file, or a copy where the disk knows no second names."""
    try:
        os.link(path, kept)
    except OSError:
        keep_copy(path, kept)


def keep_copy(path: Path, kept: Path) -> None:
    """A copy of a file nobody has open, on the disk when this returns."""
    shutil.copyfile(path, kept)
    private(kept)
    sync_file(kept)


def remove_whole(path: Path) -> None:
    """A database file half-made and what lies beside it; what cannot be removed is left."""
    for end in ("", "-wal", "-shm", "-journal"):
        with suppress(OSError):
            beside(path, end).unlink(missing_ok=True)


def beside(path: Path, end: str) -> Path:
    """`path` with something added to its name: its write-ahead log, its lock, its backups."""
    return path.with_name(path.name + end)


def door_name(path: Path) -> str:
    """A short name made of the file's place, the same in every process: what a second window calls the first one by."""
    return "padbook-" + hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Header:
    """What a database says of itself in its first hundred bytes."""

    page_size: int
    pages: int
    user_version: int
    application_id: int


_open_here: dict[str, int] = {}
"""How many connections this process holds on each file; those are not read as bytes."""


def note_open(path: Path) -> None:
    """One more connection of this process."""
    _open_here[str(path)] = _open_here.get(str(path), 0) + 1


def note_closed(path: Path) -> None:
    """One less."""
    _open_here[str(path)] = _open_here.get(str(path), 1) - 1
    if _open_here[str(path)] <= 0:
        del _open_here[str(path)]


def open_here(path: Path) -> bool:
    """True where this process has the file open, under whatever name."""
    return str(path) in _open_here or str(path.resolve()) in _open_here


def check_header(path: Path) -> Header:
    """The header of a file; of one this process has open, and so looked at already, only what it must be. Raises
    Refused, or NotFound; reads, never writes.
    """
    if open_here(path):
        return Header(0, 0, version(), APPLICATION_ID)
    size, head = _beginning(path)
    if len(head) < 100 or not head.startswith(_MAGIC):
        raise NotOurs(path, "is not a database of this program")
    page_size = struct.unpack(">H", head[16:18])[0]
    pages, user_version, application_id = (struct.unpack(">I", head[at : at + 4])[0] for at in (28, 60, 68))
    header = Header(65536 if page_size == 1 else page_size, pages, user_version, application_id)
    if application_id != APPLICATION_ID:
        raise NotOurs(path, "belongs to another program")
    if user_version > version():
        raise Newer(path, "was written by a newer version of this program", "Open it with that version.")
    if not wal_pending(path) and (size % header.page_size or size < pages * header.page_size):
        raise Damaged(path, "was cut short")
    return header


def _beginning(path: Path) -> tuple[int, bytes]:
    """Size and first hundred bytes."""
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise NotOurs(path, "is not a file")
        if size == 0:
            raise NotOurs(path, "is empty")
        with path.open("rb") as file:
            return size, file.read(100)
    except FileNotFoundError:
        raise NotFound(f"There is no file {path}.") from None
    except OSError as error:
        step = "Look at who may read it and its folder."
        raise Refused(path, f"cannot be read: {error.strerror or error}", step) from error


def check_whole(made: Path) -> None:
    """A file just made holds everything itself: closing may leave a full disk's rest in the write-ahead log, untold.

    Raises NoRoom.
    """
    if wal_pending(made) or wal_pending(made, "-journal"):
        raise NoRoom(f"The disk has no room for {made.name}.", next_step="Make room, then do it again.")
    check_header(made)


def wal_pending(path: Path, end: str = "-wal") -> bool:
    """True where a write-ahead log with something in it lies beside the file: it was not closed, or it is open now."""
    wal = beside(path, end)
    return wal.exists() and wal.stat().st_size > 0


def on_network(folder: Path) -> bool:
    """True where the folder is known to lie on another machine; False also where that cannot be told."""
    resolved = folder.resolve()
    if sys.platform == "win32":
        return _windows_network(resolved)
    mounts = Path("/proc/mounts")
    if not mounts.exists():
        return False
    return _network_mount(str(resolved), mounts.read_text("utf-8", "replace"))


def _network_mount(folder: str, mounts: str) -> bool:
    """By the innermost mount that holds the folder; a container's own root is this machine's."""
    best, kind = "", ""
    for line in mounts.splitlines():
        parts = line.split(" ")
        if len(parts) < 3:
            continue
        place = parts[1].encode().decode("unicode_escape")
        if _lies_under(folder, place) and len(place) >= len(best):
            best, kind = place, parts[2]
    return best != "/" and kind in _NETWORK


def _windows_network(folder: Path) -> bool:
    import ctypes  # noqa: PLC0415

    if str(folder).startswith("\\\\"):
        return True
    drives = getattr(ctypes, "windll", None)
    return bool(drives and drives.kernel32.GetDriveTypeW(folder.anchor) == 4)


def _lies_under(place: str, mount: str) -> bool:
    return place == mount or place.startswith(mount.rstrip("/") + "/")


def refuse_network(path: Path) -> None:
    """Raises OnNetwork where the file's folder lies on another machine."""
    if on_network(path.parent):
        raise OnNetwork(
            path, "lies in a network folder, where two machines could write at once", "Keep the file on this machine."
        )


class Lock:
    """The right to write one file: held by one process, dropped by the system when that process dies."""

    def __init__(self, path: Path) -> None:
        """Take it. Raises AlreadyOpen with the process that holds it."""
        self._file = _lock_file(path)
        if not _take(self._file):
            pid = _read_pid(self._file)
            os.close(self._file)
            raise AlreadyOpen(path, pid)
        with suppress(OSError):  # no room for the number: the right is held all the same
            os.ftruncate(self._file, 0)
            os.lseek(self._file, 0, os.SEEK_SET)
            os.write(self._file, f"{os.getpid()}\n".encode())

    def release(self) -> None:
        """Give it back. Again does nothing."""
        if self._file >= 0:
            os.close(self._file)
            self._file = -1


def holder(path: Path) -> int | None:
    """The process that has `path` open for writing, None where nobody has."""
    if not beside(path, ".lock").exists():
        return None
    handle = _lock_file(path)
    try:
        return None if _take(handle, shared=True) else _read_pid(handle)
    finally:
        os.close(handle)


def _lock_file(path: Path) -> int:
    return os.open(beside(path, ".lock"), os.O_RDWR | os.O_CREAT, 0o600)


def _take(handle: int, *, shared: bool = False) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt  # noqa: PLC0415

            os.lseek(handle, 1 << 20, os.SEEK_SET)  # past the number, which others may read
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl  # noqa: PLC0415

            fcntl.flock(handle, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _read_pid(handle: int) -> int | None:
    os.lseek(handle, 0, os.SEEK_SET)
    text = os.read(handle, 32).strip()
    return int(text) if text.isdigit() else None


__all__ = [
    "Header", "Lock", "Refused", "beside", "check_header", "check_whole", "door_name", "holder", "keep_copy",
    "keep_link", "on_network", "private", "refuse_network", "remove_whole", "swap_in", "sync_file", "sync_folder",
    "wal_pending",
]  # fmt: skip
