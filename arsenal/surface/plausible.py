"""What an entry's numbers can be: the reason, in words, why one of them cannot be true."""

from __future__ import annotations

import math

from arsenal.trade.entries import Drilled, DropTest, OilDrawn, Played, Quantity, Reading
from arsenal.trade.limits import LIMITS
from arsenal.trade.units import INCH_M, MICROINCH_M, POUND_KG, f_from_c

READING_LIMIT = {
    Quantity.RA: ("Ra", MICROINCH_M), Quantity.SCANNER_GRIT: ("scanner number", 1.0), Quantity.GLOSS: ("gloss", 1.0),
    Quantity.MASS: ("weight", POUND_KG), Quantity.HARDNESS: ("hardness", 1.0), Quantity.DIAMETER: ("diameter", INCH_M),
}  # fmt: skip
SLACK = 1e-9


def problem(payload: object) -> str | None:
    """Why `payload` cannot be true; None where it can. Steps of surface work are judged one by one elsewhere."""
    if isinstance(payload, Played):
        return _doubt(payload.sd) or _outside("shots", payload.shots, 1.0)
    if isinstance(payload, Reading):
        return _doubt(payload.sd or 0.0) or _outside(*_of_reading(payload))
    if isinstance(payload, DropTest):
        return _outside("drop test", payload.minutes, 1.0)
    if isinstance(payload, Drilled):
        return None if payload.pin_to_axis_m is None else _outside("pin-to-axis", payload.pin_to_axis_m, INCH_M)
    return _oil_drawn(payload) if isinstance(payload, OilDrawn) else None


def _doubt(sd: float) -> str | None:
    return None if math.isfinite(sd) and sd >= 0.0 else f"a doubt of {sd:g}"


def _of_reading(reading: Reading) -> tuple[str, float, float]:
    field, unit = READING_LIMIT[reading.quantity]
    return field, reading.value, unit


def _outside(field: str, value: float, unit: float) -> str | None:
    limit = LIMITS[field]
    typed = value / unit
    if math.isfinite(typed) and limit.low - SLACK <= typed <= limit.high + SLACK:
        return None
    return f"{field} {typed:g} {limit.unit}".rstrip() + f" (allowed: {limit.allowed})"


def _oil_drawn(drawn: OilDrawn) -> str | None:
    wrong = _outside("passes", drawn.passes, 1.0)
    if wrong is None and drawn.minutes is not None:
        wrong = _outside("minutes", drawn.minutes, 1.0)
    if wrong is None and drawn.temperature_c is not None:
        wrong = _outside("temperature", f_from_c(drawn.temperature_c), 1.0)
    return wrong
