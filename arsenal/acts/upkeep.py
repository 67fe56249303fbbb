"""Upkeep: what is due on which ball and by when, and the entry that says a job was done as planned."""

from __future__ import annotations

from datetime import date
from typing import Any

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, Meaning, UpkeepSheet
from arsenal.plan.records import Job


def upkeep(
    shop: Shop, bowler_id: int | None = None, *, until: date | None = None, games_a_week: float | None = None
) -> UpkeepSheet:
    """Jobs of one bowler, or of everybody, soonest first. Raises NotFound."""
    raise NotImplementedError


def as_planned(shop: Shop, job: Job) -> Meaning:
    """The entry that says this job was done today the way it was planned."""
    raise NotImplementedError


def intervals(shop: Shop) -> Any:
    """The shop's intervals by cover, where it changed them, else the usual ones."""
    raise NotImplementedError


def set_intervals(shop: Shop, changed: Any, initiator: str = "desk") -> Changes:
    """Keep the shop's own intervals."""
    raise NotImplementedError
