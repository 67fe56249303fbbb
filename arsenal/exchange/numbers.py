"""Numbers and quantities as people type them: point or comma, a unit or none; and the same written out again.

A typed unit wins; without one the trade's own unit is taken. Inside is SI.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from arsenal.trade.errors import NotUnderstood
from arsenal.trade.units import (
    FOOT_M,
    GRAM_KG,
    INCH_M,
    MICROINCH_M,
    MICROMETRE_M,
    OUNCE_KG,
    POUND_KG,
    c_from_f,
)

_NUMBER = re.compile(r"[+\-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+\-]?\d{1,3})?", re.ASCII | re.IGNORECASE)
_MEASURE = re.compile(rf"({_NUMBER.pattern})\s*([^\d\s].*)?", re.ASCII | re.IGNORECASE)

_INCHES = dict.fromkeys(("in", "inch", "inches", '"', "″"), INCH_M)
LENGTH_M: Mapping[str, float] = {
    **_INCHES, "mm": 1e-3, "cm": 1e-2, "m": 1.0, "ft": FOOT_M, "feet": FOOT_M,
    **dict.fromkeys(("um", "µm", "μm", "micron", "microns"), MICROMETRE_M),
    **dict.fromkeys(("uin", "µin", "μin", "microinch", "microinches"), MICROINCH_M),
}  # fmt: skip
MASS_KG: Mapping[str, float] = {
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), POUND_KG), "kg": 1.0,
    **dict.fromkeys(("g", "gram", "grams"), GRAM_KG), **dict.fromkeys(("oz", "ounce", "ounces"), OUNCE_KG),
}  # fmt: skip
CELSIUS = frozenset(("c", "°c", "celsius"))
FAHRENHEIT = frozenset(("f", "°f", "fahrenheit"))
MINUTES: Mapping[str, float] = {**dict.fromkeys(("min", "mins", "minute", "minutes"), 1.0), "hours": 60.0, "hour": 60.0}
SECONDS: Mapping[str, float] = dict.fromkeys(("sec", "secs", "second", "seconds"), 1.0)


def parse_number(text: str) -> float:
    """A plain number with one decimal sign, point or comma: “15.5” and “15,5” alike; “−3” and “-3” alike.

    Raises NotUnderstood for a second sign (“1,500.5”), letters, an empty field, infinities.
    """
    cleaned = text.strip().replace("\u2212", "-").replace("\u00a0", "")
    if _NUMBER.fullmatch(cleaned):
        value = float(cleaned.replace(",", "."))
        if math.isfinite(value):
            return value
    raise NotUnderstood(text.strip(), "Write a number with at most one decimal sign: 15.5 or 15,5.")


def split_measure(text: str) -> tuple[float, str] | None:
    """“14s” → (14, "s"), “15,5 lb” → (15.5, "lb"), “8.552” → (8.552, ""); None where it does not begin as a number."""
    found = _MEASURE.fullmatch(text.strip().replace("\u2212", "-"))
    if not found or not math.isfinite(value := float(found[1].replace(",", "."))):
        return None
    return value, (found[2] or "").casefold().strip()


def to_celsius(value: float, unit: str) -> float:
    """A typed temperature in °C; `unit` is one of CELSIUS or FAHRENHEIT."""
    return value if unit.casefold() in CELSIUS else c_from_f(value)


def plain(value: float) -> str:
    """The shortest text that reads back to exactly this number, without a needless “.0”."""
    text = repr(float(value))
    return text.removesuffix(".0")


def write_quantity(value_si: float, units: Mapping[str, float], si_unit: str) -> str:
    """`value_si` in the first unit that gives a short number which reads back to exactly the same; else in SI."""
    for unit, factor in units.items():
        for digits in (4, 6, 8):
            text = f"{value_si / factor:.{digits}g}"
            if "e" not in text and float(text) * factor == value_si:
                return f"{text} {unit}"
    return f"{plain(value_si)} {si_unit}"
