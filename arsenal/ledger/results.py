"""Orders and cards kept for good."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from arsenal.ledger import records


@dataclass(frozen=True, slots=True)
class Result:
    """A stored order or card, with the revision of the file it was made from."""

    id: int
    kind: str
    at: datetime
    revision: int
    data: Any


def result_sum(number: int, kind: str, at: str, revision: int, data: str) -> int:
    """The sum over a kept result; earlier versions of this program summed kind and data alone."""
    return records.check_sum(str(number), kind, at, str(revision), data)
