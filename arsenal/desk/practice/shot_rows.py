"""A shot in words: what its row says, what a screen reader hears, what hovers."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from arsenal.acts.practice_views import ShotRow

OUTSIDE, ODD, OUT = "outside its doubt", "fits nothing else, teaches little", "not learned from"


def mark(row: ShotRow) -> str:
    """What the row's mark says; empty for none."""
    if row.kept_out:
        return OUT
    return OUTSIDE if row.outside else ODD if row.odd else ""


def name(row: ShotRow) -> str:
    """“Quarry Song”, “Quarry Song and Paper Moth” for two thrown back to back."""
    return f"{row.name} and {row.other}" if row.other else row.name


def detail(row: ShotRow) -> str:
    """Everything known of the shot, on one line or two."""
    wiped = {True: "wiped", False: "not wiped", None: ""}[row.wiped]
    parts = (row.seen, row.expected, *row.more, row.finish, wiped, row.time, "" if row.kept_out else mark(row))
    said = ", ".join(part for part in parts if part)
    return f"{said}. {row.kept_out}" if row.kept_out else said


def spoken(row: ShotRow) -> str:
    """The row for a screen reader."""
    lead = f"Shot {row.number}, {row.name}" if row.number else f"Back to back, {name(row)}"
    return f"{lead}: {detail(row)}"
