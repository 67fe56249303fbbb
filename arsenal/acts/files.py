"""Files in and out: load tables, dump, back up, verify, restore, the sample shop."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from arsenal.acts.shop import Shop
from arsenal.acts.views import LoadReport


def preview(shop: Shop, paths: Sequence[Path]) -> LoadReport:
    """What a load would keep and which rows are bad; changes nothing."""
    raise NotImplementedError


def load(shop: Shop, paths: Sequence[Path], *, keep_good: bool = False, initiator: str = "desk") -> LoadReport:
    """Load tables in one act with one undo: all or nothing, or with `keep_good` every good row. Backs up first where
    it changes over a fifth of the rows. Raises KnownError for a file that cannot be read at all.
    """
    raise NotImplementedError


def dump(shop: Shop, folder: Path) -> tuple[Path, ...]:
    """Write everything as the tables `load` reads, and as JSON Lines. The files written."""
    raise NotImplementedError


def backup(shop: Shop, path: Path) -> Path:
    """A checked copy of the whole file. Raises KnownError."""
    raise NotImplementedError


def backups(shop: Shop) -> Sequence[Any]:
    """The automatic backups, newest first."""
    raise NotImplementedError


def verify(shop: Shop) -> Any:
    """Whether the file is sound: `ok`, `problems`, `entries`, `head_hash`."""
    raise NotImplementedError


def restore(backup_path: Path, onto: Path) -> None:
    """Put a checked backup in place of a closed file. Raises KnownError; the file is then untouched."""
    raise NotImplementedError


def write_sample(path: Path) -> LoadReport:
    """Write the sample shop to a new file through the same door as anybody's tables. Raises KnownError where `path`
    is there already.
    """
    raise NotImplementedError
