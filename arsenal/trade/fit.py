"""How a hand fits: spans, pitches, holes. Lengths in metres, pitches in metres at the centre of the hole."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Hole:
    """One gripping hole. `forward_m` is forward pitch (reverse is negative), `side_m` toward the palm side's right as
    the holes are looked at (left is negative). `span_m` from the thumb hole's near edge to this one's.
    """

    finger: str
    """thumb, middle, ring, other."""
    diameter_m: float | None = None
    depth_m: float | None = None
    span_m: float | None = None
    forward_m: float | None = None
    side_m: float | None = None
    insert: str = ""
    """Insert or slug in plain words; empty for none."""
    used: bool = True


@dataclass(frozen=True, slots=True)
class FitSheet:
    """One dated measurement of a hand's fit. The newest is in force; the older ones stay."""

    id: int
    person_id: int
    measured_on: date
    holes: tuple[Hole, ...] = ()
    axis_over_m: float | None = None
    """Axis point: so far over from the grip's centre, toward the hook side's own edge."""
    axis_up_m: float | None = None
    """And so far up (down is negative)."""
    palm_mark: bool = False
    measured_by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class DrillRecord:
    """How one ball was drilled, dated: “drill like my last one” opens it. A redrill is another record."""

    id: int
    ball_id: int
    drilled_on: date
    holes: tuple[Hole, ...] = ()
    pin_to_axis_m: float | None = None
    pin_to_grip_m: float | None = None
    """Pin to the centre of the grip."""
    mark_to_axis_m: float | None = None
    """Mass bias mark to the axis point, where the core has one."""
    palm_mark: bool = False
    side_oz: float | None = None
    """Static side weight in ounces, toward the axis side positive; as the scale of the trade reads it."""
    top_oz: float | None = None
    thumb_oz: float | None = None
    """Finger weight positive, thumb weight negative."""
    mass_after_kg: float | None = None
    driller: str = ""
    fit_id: int | None = None
    note: str = ""
