"""Headers of tables from elsewhere: how two are compared, and what all tables of one kind share."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence


def plain_header(text: str) -> str:
    """A header as it is compared: case and spacing do not count."""
    return " ".join(text.replace("\u00a0", " ").split()).casefold()


def fingerprint(headers: Sequence[str]) -> str:
    """What two tables of one kind share: their headers in their order."""
    return hashlib.sha256("\x1f".join(map(plain_header, headers)).encode()).hexdigest()[:16]
