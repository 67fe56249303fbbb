"""Which unit a field is shown in, by the setting; a typed unit wins; what is stored is SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from arsenal.trade.limits import LIMITS, Limit
from arsenal.trade.units import FOOT_M, INCH_M, KMH_MPS, MICROINCH_M, MPH_MPS, OUNCE_KG, POUND_KG


@dataclass(frozen=True, slots=True)
class Measure:
    """How one field is typed: range in the unit shown, factor from that unit to SI, other units one may type."""

    limit: Limit
    to_si: float
    units: Mapping[str, float]
    digits: int

    def show(self, si: float | None) -> float | None:
        """A stored value in the unit shown."""
        return None if si is None else si / self.to_si

    def store(self, shown: float | None) -> float | None:
        """What was typed, in SI."""
        return None if shown is None else shown * self.to_si


_FACTORS = {
    "speed": (MPH_MPS, {"mph": MPH_MPS, "km/h": KMH_MPS, "kmh": KMH_MPS, "m/s": 1.0}, "km/h", 1),
    "speed at the pins": (MPH_MPS, {"mph": MPH_MPS, "km/h": KMH_MPS, "kmh": KMH_MPS, "m/s": 1.0}, "km/h", 1),
    "display below the hand": (MPH_MPS, {"mph": MPH_MPS, "km/h": KMH_MPS, "kmh": KMH_MPS, "m/s": 1.0}, "km/h", 1),
    "weight": (POUND_KG, {"lb": POUND_KG, "kg": 1.0, "g": 0.001, "oz": OUNCE_KG}, "kg", 2),
    "bag weight": (POUND_KG, {"lb": POUND_KG, "kg": 1.0}, "kg", 1),
    "diameter": (INCH_M, {"in": INCH_M, "mm": 0.001, "cm": 0.01}, "mm", 3),
    "RG": (INCH_M, {"in": INCH_M, "mm": 0.001}, "mm", 3),
    "differential": (INCH_M, {"in": INCH_M, "mm": 0.001}, "mm", 3),
    "intermediate differential": (INCH_M, {"in": INCH_M, "mm": 0.001}, "mm", 3),
    "pin-to-axis": (INCH_M, {"in": INCH_M, "mm": 0.001, "cm": 0.01}, "mm", 2),
    "Ra": (MICROINCH_M, {"μin": MICROINCH_M, "uin": MICROINCH_M, "μm": 1e-6, "um": 1e-6}, "μm", 2),
    "oil length": (FOOT_M, {"ft": FOOT_M, "m": 1.0}, "m", 1),
}


def measure(field: str, system: str) -> Measure:
    """How `field` (a key of LIMITS) is typed in the `imperial` or `metric` system."""
    limit = LIMITS[field]
    if field not in _FACTORS:
        return Measure(limit, 1.0, {}, 2)
    base, known, metric, digits = _FACTORS[field]
    if system != "metric":
        return Measure(limit, base, {unit: factor / base for unit, factor in known.items()}, digits)
    to_si = known[metric]
    scale = base / to_si
    shown = Limit(field, round(limit.low * scale, 2), round(limit.high * scale, 2), metric)
    return Measure(shown, to_si, {unit: factor / to_si for unit, factor in known.items()}, max(1, digits - 1))
