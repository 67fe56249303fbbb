"""The shop's own upkeep intervals: how many games between each kind of work, and how much lost counts as due."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from arsenal.acts import writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.plan import DEFAULT_INTERVALS, DEFAULT_ROWS, Intervals, intervals_of
from arsenal.trade.errors import KnownError, OutOfRange

KEY = "intervals"
LOST_LOW, LOST_HIGH = 0.5, 20.0
Cells = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Chosen:
    """What differs from the usual table: rows by cover as people write them, and what counts as lost."""

    rows: dict[str, tuple[str, ...]] = field(default_factory=dict)
    boards: float = DEFAULT_INTERVALS.boards
    first_read_ft: float = DEFAULT_INTERVALS.first_read_ft


def chosen(shop: Shop) -> Chosen:
    """What this shop chose; the usual table where it chose nothing or its choice cannot be read."""
    found = shop.ledger.setting(KEY, None)
    try:
        rows = {str(cover): tuple(map(str, cells)) for cover, cells in found["rows"].items()}
        made = Chosen(rows, float(found["boards"]), float(found["first_read_ft"]))
        _table(made)
    except (KnownError, KeyError, TypeError, ValueError, AttributeError):
        return Chosen()
    return made


def of_shop(shop: Shop) -> Intervals:
    """The whole table as upkeep uses it."""
    return _table(chosen(shop))


def all_rows(shop: Shop) -> Cells:
    """Every row as people write it, the shop's own in place of the usual ones."""
    return {**DEFAULT_ROWS, **chosen(shop).rows}


def choose(shop: Shop, new: Chosen, initiator: str = "desk") -> Changes:
    """Keep the shop's own table. Raises NotUnderstood for a cell, OutOfRange for what counts as lost."""
    for name, lost in (("boards lost", new.boards), ("feet of first read lost", new.first_read_ft)):
        if not LOST_LOW <= lost <= LOST_HIGH:
            raise OutOfRange(name, f"{lost:g}", f"{LOST_LOW:g} to {LOST_HIGH:g}")
    _table(new)
    rows = {cover: list(cells) for cover, cells in new.rows.items() if tuple(cells) != DEFAULT_ROWS[cover]}
    value: dict[str, Any] | None = {"rows": rows, "boards": new.boards, "first_read_ft": new.first_read_ft}
    if Chosen(boards=new.boards, first_read_ft=new.first_read_ft) == Chosen() and not rows:
        value = None
    return writing.set_value(shop, KEY, value, "Changed the upkeep intervals", initiator)


def _table(new: Chosen) -> Intervals:
    return replace(intervals_of(new.rows), boards=new.boards, first_read_ft=new.first_read_ft)
