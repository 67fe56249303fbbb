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
MOST_SPREADS = 10.0
MOST_GAMES_BEFORE = 5000.0


def problem(payload: object) -> str | None:
    """Why `payload` cannot be true; None where it can. Steps of surface work are judged one by one elsewhere."""
    if isinstance(payload, Played):
        return _doubt(payload.sd, 1.0) or _outside("shots", payload.shots, 1.0)
    if isinstance(payload, Reading):
        return _doubt(payload.sd or 0.0, payload.value) or _outside(*_of_reading(payload))
    if isinstance(payload, DropTest):
        return _outside("drop test", payload.minutes, 1.0)
    if isinstance(payload, Drilled):
        return None if payload.pin_to_axis_m is None else _outside("pin-to-axis", payload.pin_to_axis_m, INCH_M)
    return _oil_drawn(payload) if isinstance(payload, OilDrawn) else None


def _doubt(sd: float, value: float) -> str | None:
    """A spread may be larger than its value, but not beyond all measure."""
    return None if 0.0 <= sd <= MOST_SPREADS * abs(value) else f"a doubt of {sd:g}"


def games_before(games: float | None) -> str | None:
    """Why a used ball cannot have played that many games before; None where it can or nobody said."""
    if games is None or 0.0 <= games <= MOST_GAMES_BEFORE:
        return None
    return f"{games:g} games before (allowed: 0 to {MOST_GAMES_BEFORE:.0f})"


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
