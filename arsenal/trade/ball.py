"""Ball and cover."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from arsenal.trade.units import INCH_M, POUND_KG


class Cover(StrEnum):
    """What the cover is made of."""

    SOLID = "solid"
    HYBRID = "hybrid"
    PEARL = "pearl"
    URETHANE = "urethane"
    POLYESTER = "polyester"

    @property
    def reactive(self) -> bool:
        """Solid, hybrid and pearl covers take up oil; urethane and polyester hardly any."""
        return self in (Cover.SOLID, Cover.HYBRID, Cover.PEARL)


@dataclass(frozen=True, slots=True)
class Body:
    """A ball as a rigid body. Outside checks construct it by keyword.

    `rg_m` is the radius of gyration about the rolling axis, `differential_m` the difference between the
    largest and the smallest RG, `intermediate_m` between the largest and the middle one (0 for a symmetric core).
    """

    radius_m: float
    mass_kg: float
    rg_m: float
    differential_m: float = 0.0
    intermediate_m: float = 0.0
    pin_to_axis_m: float | None = None


@dataclass(frozen=True, slots=True)
class Ball:
    """One ball: who owns it and what it is. What happened to it is in its log."""

    id: int
    name: str
    nickname: str
    owner_id: int
    cover: Cover
    mass_kg: float = 15.0 * POUND_KG
    radius_m: float = 4.2965 * INCH_M
    rg_m: float = 2.50 * INCH_M
    differential_m: float = 0.048 * INCH_M
    intermediate_m: float = 0.0
    serial: str = ""
    spare: bool = False
    """Kept for spares: out of order, overlaps, gaps and strike advice."""
    bought_on: date | None = None
    colour: str = ""
    note: str = ""
    spec_known: bool = True
    """False where RG and differential are defaults rather than typed; widens doubt."""
