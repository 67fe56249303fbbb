"""Bowlers: add, edit, and what the Lane-side sentence lets one change."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.person import Person
from arsenal.trade.release import Line, Style


def add_bowler(shop: Shop, person: Person, initiator: str = "desk") -> Changes:
    """Add somebody (id 0). The new id is `changed[0].id`. Raises OutOfRange, KnownError for an empty or taken name."""
    raise NotImplementedError


def edit_bowler(shop: Shop, person: Person, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    raise NotImplementedError


def set_release(shop: Shop, bowler_id: int, style: Style, initiator: str = "desk") -> Changes:
    """How the bowler throws."""
    raise NotImplementedError


def set_benchmark(shop: Shop, bowler_id: int, ball_id: int | None, initiator: str = "desk") -> Changes:
    """The ball the others are counted against; None lets the order choose."""
    raise NotImplementedError


def set_usual_lane(shop: Shop, bowler_id: int, lane_id: int | None, initiator: str = "desk") -> Changes:
    """The condition the bowler usually plays."""
    raise NotImplementedError


def set_line(shop: Shop, bowler_id: int, lane_id: int, line: Line | None, initiator: str = "desk") -> Changes:
    """The bowler's own line on a condition; None goes back to the reference ball's best line."""
    raise NotImplementedError
