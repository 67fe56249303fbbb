"""Readings: r 2400, ra 21, g60 14, 6793 g, d 76, 8.552. A typed unit wins; a scanner's name goes with it."""

from __future__ import annotations

import re
from collections.abc import Mapping

from arsenal.exchange.numbers import (
    CELSIUS,
    FAHRENHEIT,
    LENGTH_M,
    MASS_KG,
    parse_number,
    plain,
    split_measure,
    to_celsius,
)
from arsenal.exchange.one_line.sheet import Sheet, read_text
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.trade.entries import Kind, Quantity, Reading
from arsenal.trade.errors import KnownError, NotUnderstood, OutOfRange
from arsenal.trade.limits import LIMITS, check
from arsenal.trade.units import INCH_M, MICROINCH_M, POUND_KG

_GLOSS = re.compile(r"g(20|60|85)", re.ASCII)
_LENGTHS: Mapping[str, float] = {k: v for k, v in LENGTH_M.items() if k in ("in", "inch", '"', "″", "mm", "cm", "m")}
_TEXTURES: Mapping[str, float] = {k: v for k, v in LENGTH_M.items() if v < 1e-5 or k == "m"}
_POUNDS_AND = ("lb", "lbs", "pound", "pounds")


def check_si(field: str, value_si: float, unit_si: float, typed: str) -> float:
    """`value_si` if it lies in the range of `field`, whose limits are in units of `unit_si`. Raises OutOfRange."""
    limit = LIMITS[field]
    slack = 1e-9 * limit.high
    if not limit.low - slack <= value_si / unit_si <= limit.high + slack:
        raise OutOfRange(f"The {field}", typed, limit.allowed)
    return value_si


def _value(cursor: Cursor, after: str, example: str) -> float:
    token = cursor.peek()
    if token is None:
        raise NotUnderstood(after, f"After {after} comes the number, as in {example}.")
    try:
        value = parse_number(token.text)
    except KnownError:
        raise NotUnderstood(token.text, f"After {after} comes the number, as in {example}.") from None
    cursor.at += 1
    return value


def _tail(cursor: Cursor, sheet: Sheet) -> tuple[str, float | None, float | None]:
    """Instrument, spread in percent or units as typed, temperature: whatever is said after a reading."""
    instrument, sd, celsius = "", None, None
    while not cursor.done:
        if cursor.accept_any(("by", "with", "from")):
            token = cursor.peek()
            instrument = cursor.take().text if token and token.quoted else read_text(cursor, sheet)
        elif cursor.low().startswith("±"):
            text = cursor.take().text.removeprefix("±")
            sd = parse_number(text or (cursor.take().text if not cursor.done else ""))
            if sd < 0:
                raise OutOfRange("The doubt", plain(sd), "0 or more")
        elif found := cursor.measure(CELSIUS | FAHRENHEIT):
            celsius = to_celsius(*found)
        else:
            break
    return instrument, sd, celsius


def _add(sheet: Sheet, quantity: Quantity, value: float, cursor: Cursor, unit_si: float = 1.0,
         angle: float | None = None) -> bool:  # fmt: skip
    instrument, sd, celsius = _tail(cursor, sheet)
    spread = None if sd is None else sd * unit_si
    sheet.add(Kind.READING, Reading(quantity, value, instrument, spread, angle, celsius))
    return True


def read_scanner(cursor: Cursor, sheet: Sheet) -> bool:
    """A scanner's grit number."""
    word = cursor.accept_any(("r", "reads", "scan", "scanner"))
    if not word:
        return False
    return _add(sheet, Quantity.SCANNER_GRIT, check("scanner number", _value(cursor, word, f"{word} 2400")), cursor)


def read_ra(cursor: Cursor, sheet: Sheet) -> bool:
    """Mean roughness, microinches unless a unit says otherwise."""
    if not cursor.accept("ra"):
        return False
    found = cursor.measure(_TEXTURES, bare=True)
    if found is None:
        _value(cursor, "ra", "ra 21")
        return False
    unit = _TEXTURES.get(found[1], MICROINCH_M)
    value = check_si("Ra", found[0] * unit, MICROINCH_M, f"{found[0]:g} {found[1] or 'μin'}")
    return _add(sheet, Quantity.RA, value, cursor, unit)


def read_gloss(cursor: Cursor, sheet: Sheet) -> bool:
    """Gloss with its angle: g60 14."""
    match = _GLOSS.fullmatch(cursor.low())
    if not match and cursor.low() != "gloss":
        return False
    word = cursor.take().low
    angle = float(match[1]) if match else None
    return _add(sheet, Quantity.GLOSS, check("gloss", _value(cursor, word, "g60 14")), cursor, angle=angle)


def read_hardness(cursor: Cursor, sheet: Sheet) -> bool:
    """“d 76” is hardness; “d 8.552” or a length with its unit is the diameter."""
    word = cursor.accept_any(("d", "hardness", "shore", "diameter", "diam"))
    if not word:
        return False
    if word == "shore":
        cursor.accept("d")
    before = cursor.at
    found = cursor.measure(_LENGTHS, bare=word != "hardness")
    low, high = LIMITS["diameter"].low, LIMITS["diameter"].high
    if found and (found[1] or word in ("diameter", "diam") or low - 0.5 <= found[0] <= high + 0.5):
        return _diameter(sheet, cursor, *found)
    cursor.at = before
    return _add(sheet, Quantity.HARDNESS, check("hardness", _value(cursor, word, "d 76")), cursor)


def _diameter(sheet: Sheet, cursor: Cursor, value: float, unit: str) -> bool:
    factor = _LENGTHS.get(unit, INCH_M)
    return _add(sheet, Quantity.DIAMETER, check_si("diameter", value * factor, INCH_M, f"{value:g} {unit or 'in'}"),
                cursor, factor)  # fmt: skip


def read_bare_diameter(cursor: Cursor, sheet: Sheet) -> bool:
    """“8.552” alone can only be a diameter; so can a length with its unit."""
    token = cursor.peek()
    split = split_measure(token.low) if token else None
    low, high = LIMITS["diameter"].low, LIMITS["diameter"].high
    if split and not split[1] and low <= split[0] <= high and split[0] != int(split[0]) and cursor.low(1) not in (
        "g", "games", "game"
    ):  # fmt: skip
        found = cursor.measure(_LENGTHS, bare=True)
    else:
        found = cursor.measure({k: v for k, v in _LENGTHS.items() if k != "m"})
    return _diameter(sheet, cursor, *found) if found else False


def read_weight(cursor: Cursor, sheet: Sheet) -> bool:
    """A weight: 6793 g, 15.1 lb, 15 lb 2 oz, 6.8 kg."""
    named = cursor.accept_any(("weight", "weighs", "w"))
    found = cursor.measure(MASS_KG, bare=named is not None)
    if found is None:
        if named:
            _value(cursor, named, f"{named} 6793 g")
        return False
    value, unit = found
    factor = MASS_KG.get(unit, POUND_KG)
    kilograms, typed = value * factor, f"{value:g} {unit or 'lb'}"
    ounces = cursor.measure(("oz", "ounce", "ounces")) if unit in _POUNDS_AND else None
    if ounces:
        kilograms += ounces[0] * MASS_KG["oz"]
        typed += f" {ounces[0]:g} oz"
    return _add(sheet, Quantity.MASS, check_si("weight", kilograms, POUND_KG, typed), cursor, factor)
