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


@dataclass(frozen=True, slots=True)
class NowBall:
    """One ball's line of the view `balls_now`. Days are ISO text, `as_of` the moment it was reckoned, in UTC."""

    ball_id: int
    as_of: str
    finish: str
    finish_on: str | None
    plays_about_grit: float | None
    grit_low: float | None
    grit_high: float | None
    games_since_surface: float | None
    oil_g: float | None
    holder: str


@dataclass(frozen=True, slots=True)
class NowDue:
    """One line of the view `due`; the same."""

    ball_id: int
    as_of: str
    job: str
    due: str
    by_day: str | None
    why: str


def result_sum(number: int, kind: str, at: str, revision: int, data: str) -> int:
    """The sum over a kept result; earlier versions of this program summed kind and data alone."""
    return records.check_sum(str(number), kind, at, str(revision), data)
