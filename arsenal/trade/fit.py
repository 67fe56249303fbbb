"""How a hand fits: spans, pitches, holes. Lengths in metres, pitches in metres at the centre of the hole."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from arsenal.trade.limits import Limit

FINGERS = ("thumb", "middle", "ring", "other")
MOST_HOLES = 8
SPAN, PITCH = Limit("span", 0.5, 8.0, "in"), Limit("pitch", -2.0, 2.0, "in")
WIDTH, DEPTH = Limit("width", 0.25, 2.0, "in"), Limit("depth", 0.1, 4.5, "in")
AXIS_OVER, AXIS_UP = Limit("axis point over", 0.0, 8.0, "in"), Limit("axis point up", -4.0, 4.0, "in")
PIN, APART = Limit("pin to axis point", 0.0, 6.75, "in"), Limit("distance", 0.0, 9.0, "in")
STATIC, MASS_AFTER = Limit("static weight", -16.0, 16.0, "oz"), Limit("weight after", 2.5, 17.0, "lb")
"""A: what no hand and no ball has lies outside of these; within them everything is kept. A pin
farther from the axis point than a quarter of the way round is nearer to its other end."""


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
