"""What can be true: allowed ranges of typed values, in the unit people type, and the sentence when one is outside."""

from __future__ import annotations

import math
from dataclasses import dataclass

from arsenal.trade.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Limit:
    """An allowed range of one field in the unit it is typed in."""

    field: str
    low: float
    high: float
    unit: str = ""

    @property
    def allowed(self) -> str:
        """“8 to 25 mph”."""
        return f"{self.low:g} to {self.high:g} {self.unit}".rstrip()

    def check(self, value: float, field: str | None = None) -> float:
        """`value` itself. Raises OutOfRange, which names field, value and range, also for NaN and infinities."""
        if not math.isfinite(value) or not self.low <= value <= self.high:
            raise OutOfRange(field or self.field, f"{value:g} {self.unit}".rstrip(), self.allowed)
        return value


LIMITS: dict[str, Limit] = {
    limit.field: limit
    for limit in (
        Limit("speed", 8, 25, "mph"),
        Limit("revs", 0, 750, "rpm"),
        Limit("rotation", -20, 120, "°"),
        Limit("tilt", 0, 90, "°"),
        Limit("launch", -8, 8, "°"),
        Limit("entry angle", -15, 15, "°"),
        Limit("speed at the pins", 6, 25, "mph"),
        Limit("display below the hand", -3, 5, "mph"),
        Limit("feet to laydown", -20, 30, "boards"),
        Limit("board", 1, 39),
        Limit("weight", 6, 16.01, "lb"),
        Limit("bag weight", 5, 200, "lb"),
        Limit("diameter", 8.3, 8.6, "in"),
        Limit("RG", 2.3, 3.0, "in"),
        Limit("differential", 0.0, 0.09, "in"),
        Limit("intermediate differential", 0.0, 0.09, "in"),
        Limit("pin-to-axis", 0.0, 6.75, "in"),
        Limit("grain number", 30, 12000),
        Limit("grain size", 1, 200, "µm"),
        Limit("sides", 1, 12),
        Limit("seconds", 1, 600, "s"),
        Limit("games", 0.1, 400),
        Limit("shots", 1, 4400),
        Limit("games a week", 0.0, 60),
        Limit("Ra", 0.5, 200, "μin"),
        Limit("gloss", 0, 200, "GU"),
        Limit("scanner number", 50, 12000),
        Limit("hardness", 40, 100, "D"),
        Limit("drop test", 0.2, 600, "min"),
        Limit("temperature", 50, 250, "°F"),
        Limit("minutes", 1, 600, "min"),
        Limit("passes", 1, 20),
        Limit("boards", -40, 40, "boards"),
        Limit("oil length", 20, 60, "ft"),
        Limit("oil volume", 1, 60, "mL"),
        Limit("oil ratio", 1, 20, ":1"),
        Limit("holes", 0, 8),
        Limit("oil height", 0, 200, "units"),
        Limit("distance", 0, 65, "ft"),
        Limit("seen at", 0, 99, "ft"),
        Limit("board seen", -20, 99),
    )
}


def check(field: str, value: float) -> float:
    """`value` if it lies in the allowed range of `field` (a key of LIMITS). Raises OutOfRange."""
    return LIMITS[field].check(value)
