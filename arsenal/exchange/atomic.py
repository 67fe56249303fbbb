"""Writing a file whole or not at all: a temporary file beside it, fsync, replace, fsync of the folder."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from arsenal.trade.errors import KnownError


def write_file(path: Path, content: bytes) -> None:
    """Put `content` in place of `path`. Raises KnownError with the reason; what was there is then untouched."""
    write_pieces(path, (content,))


def write_pieces(path: Path, pieces: Iterable[bytes]) -> None:
    """The same of what is too large to be held at once. What making a piece raises is raised on."""
    temporary: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)  # mode 0600
        temporary = Path(name)
        with os.fdopen(handle, "wb") as file:
            for piece in pieces:
                file.write(piece)
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
        temporary = None
        _sync_folder(path.parent)
    except OSError as error:
        raise KnownError(
            f"{path.name} could not be written: {error.strerror or error}.",
            safe="Any earlier file of that name is as it was.",
            next_step="Choose another folder or make room, then try again.",
        ) from error
    finally:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()


def _sync_folder(folder: Path) -> None:
    """Make the new name durable; some systems cannot open a folder, and there is nothing better to do then."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
