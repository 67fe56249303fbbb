"""What can go wrong with a file, each as a finished sentence; database errors translated into them.

Anything not translated here is a bug and passes through.
"""

from __future__ import annotations

import errno
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from arsenal.trade.errors import KnownError, NotFound


class Refused(KnownError):
    """A file that is not opened; its bytes stay as they were."""

    def __init__(self, path: Path, reason: str, next_step: str = "Choose another file, or start a new one.") -> None:
        super().__init__(f"{path.name} {reason}.", safe="The file was left as it is.", next_step=next_step)
        self.path = path


class NotOurs(Refused):
    """No database at all, or another program's."""


class Newer(Refused):
    """Written by a later version of this program."""


class Damaged(Refused):
    """Cut short, flipped, or with parts of the schema missing or added."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(path, reason, "Restore the newest good backup; the damaged file is kept.")


class OnNetwork(Refused):
    """A folder on a network: locks cannot be trusted there."""


class AlreadyOpen(Refused):
    """Another window has the file open for writing; `pid` is its process, None where that could not be read."""

    def __init__(self, path: Path, pid: int | None) -> None:
        super().__init__(path, "is already open in another window", "Go on in that window, or close it first.")
        self.pid = pid


class ReadOnly(KnownError):
    """A write was asked of a file opened for reading only."""


class NoRoom(KnownError):
    """The disk is full or cannot be written; nothing of the act was kept."""


class Moved(KnownError):
    """The open file is no longer the one under its name: what is written now would be lost with it."""


class Busy(KnownError):
    """Another program holds the file."""


class StillNeeded(KnownError):
    """A person cannot be removed while balls or pads are theirs."""


class CannotKeep(KnownError):
    """A value no file can hold: half a character, a number that is none."""


class CannotUndo(KnownError):
    """An act that cannot be taken back now."""


__all__ = [
    "AlreadyOpen", "Busy", "CannotKeep", "CannotUndo", "Damaged", "KnownError", "Moved", "Newer", "NoRoom", "NotFound",
    "NotOurs", "OnNetwork", "ReadOnly", "Refused", "StillNeeded", "explained", "translated",
]  # fmt: skip


def translated(error: BaseException, path: Path) -> KnownError | None:
    """A database or system error as a known one; None where it is a bug."""
    if isinstance(error, UnicodeEncodeError):
        return CannotKeep("The text holds half a character, which cannot be kept.", next_step="Type it again.")
    if isinstance(error, OSError):
        return _of_system(error, path)
    if not isinstance(error, sqlite3.Error):
        return None
    text = str(error).lower()
    if "malformed" in text or "not a database" in text:
        return Damaged(path, "is damaged")
    if no_answer(error) and _full(path):
        text = "disk is full"
    for words, cls, sentence, next_step in _SAID:
        if any(word in text for word in words):
            return cls(sentence.format(path.name), next_step=next_step)
    return None


def _of_system(error: OSError, path: Path) -> KnownError:
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return ReadOnly(f"{path.name} can only be read here.", next_step=_PERMISSIONS)
    return NoRoom(f"{path.name} could not be written: {error.strerror or error}.", next_step="Look at the disk.")


def no_answer(error: sqlite3.Error) -> bool:
    """Whether the disk did not do what it was asked."""
    return any(words in str(error).lower() for words in _NO_ANSWER)


def _full(path: Path) -> bool:
    """Whether there is no room for what the database needs beside a file; an error of the disk says no more than that
    something was not written.
    """
    try:
        return shutil.disk_usage(path.parent).free < _LEAST_ROOM
    except OSError:
        return False


_NO_ANSWER, _LEAST_ROOM = ("disk i/o", "unable to open"), 65_536
_PERMISSIONS = "Look at the folder's permissions."
_SAID = (
    (("disk is full",), NoRoom, "The disk with {} is full.", "Make room, then do it again."),
    (_NO_ANSWER, NoRoom, "The disk with {} did not answer.", "Look at it, then do it again."),
    (("readonly",), ReadOnly, "{} can only be read here.", _PERMISSIONS),
    (("locked", "busy"), Busy, "{} is held by another program.", "Close it there, then do it again."),
)


_DATABASE = (sqlite3.Error, UnicodeEncodeError)


@contextmanager
def explained(path: Path, *, disk: bool = True) -> Iterator[None]:
    """Inside, errors of the database, and of the disk unless `disk` is False, are raised as known ones."""
    try:
        yield
    except (*_DATABASE, OSError) as error:
        known = translated(error, path) if disk or isinstance(error, _DATABASE) else None
        if known:
            raise known from error
        raise
