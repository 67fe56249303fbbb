"""Short lengths as drillers write them: “4 3/8”, “31/32”, “4.38”, “111 mm”; pitches as “1/8 F”, “1/4 R”."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from arsenal.trade.errors import NotUnderstood
from arsenal.trade.units import INCH_M

FINEST = 64
"""Tapes and bits of the trade go down to 64ths of an inch."""
NEAR_M = 0.0004 * INCH_M
"""Nearer to a 64th than this it is that 64th: 31/32 typed as 0.969 is 31/32, 0.97 stays a decimal."""
FORWARD: Mapping[str, float] = {
    "f": 1.0, "fwd": 1.0, "forward": 1.0, "r": -1.0, "rev": -1.0, "reverse": -1.0,
}  # fmt: skip
SIDE: Mapping[str, float] = {"r": 1.0, "right": 1.0, "l": -1.0, "left": -1.0}
UP: Mapping[str, float] = {"up": 1.0, "u": 1.0, "down": -1.0, "d": -1.0}
"""Words for a direction, plus and minus."""
MM_M, CM_M = 0.001, 0.01
_UNITS = {"in": INCH_M, "inch": INCH_M, "inches": INCH_M, '"': INCH_M, "″": INCH_M, "”": INCH_M, "mm": MM_M, "cm": CM_M}
_GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_TEXT = re.compile(
    r"(?P<sign>[+\-−])?\s*(?:(?P<whole>\d{1,4})(?:\s+|\s*-\s*))?(?P<top>\d{1,4})\s*/\s*(?P<under>\d{1,4})\s*(?P<rest>\D*)"
    r"|(?P<sign2>[+\-−])?\s*(?P<number>\d{1,4}(?:[.,]\d{0,6})?|[.,]\d{1,6})\s*(?P<rest2>\D*)"
)
_HINT, _METRIC_HINT = "Write it as 4 3/8, 4.38 or 111 mm.", "Write it as 111, 4 3/8 or 4.38 in."


def read(text: str, *, metric: bool = False, ways: Mapping[str, float] | None = None) -> float:
    """A typed length in metres; without a unit it is inches, or millimetres where `metric`; a fraction is always of an
    inch. `ways` are words for its direction. Raises NotUnderstood.
    """
    typed = text.strip()
    clean = typed.casefold()
    for glyph, plain in _GLYPHS.items():
        clean = clean.replace(glyph, f" {plain}")
    found, hint = _TEXT.fullmatch(clean.strip()), _METRIC_HINT if metric else _HINT
    if found is None:
        raise NotUnderstood(typed[:40], hint)
    if found["top"]:
        if int(found["under"]) == 0:
            raise NotUnderstood(typed[:40], hint)
        value = float(int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["under"])))
        sign, unit, rest = found["sign"], INCH_M, found["rest"]
    else:
        value = float(found["number"].replace(",", "."))
        sign, unit, rest = found["sign2"], MM_M if metric else INCH_M, found["rest2"]
    turned = -1.0 if sign in ("-", "−") else 1.0
    for word in re.findall(r"[a-z]+|[^\sa-z.]", rest):
        if word in _UNITS:
            unit = _UNITS[word]
        elif ways and word in ways and not sign:
            turned = ways[word]
        else:
            raise NotUnderstood(typed[:40], _way_hint(ways) if ways else hint)
    return turned * value * unit


def _way_hint(ways: Mapping[str, float]) -> str:
    shortest: dict[float, str] = {}
    for word, way in ways.items():
        if way not in shortest or len(word) < len(shortest[way]):
            shortest[way] = word
    plus, minus = (word if len(word) > 1 else word.upper() for word in (shortest[1.0], shortest[-1.0]))
    return f"Write it as 1/8 {plus} or 1/8 {minus}."


def say(value_m: float, *, metric: bool = False) -> str:
    """“4 3/8”, “4.38”, “111.1”: without its unit; to 64ths of an inch where it is one, else to a thousandth;
    a millimetre. A negative one with the minus sign.
    """
    minus = "−" if value_m < 0 else ""
    size = abs(value_m)
    if metric:
        shown = f"{size / MM_M:.2f}".rstrip("0").rstrip(".")
        return shown if shown == "0" else minus + shown
    parts = round(size / INCH_M * FINEST)
    if abs(parts / FINEST * INCH_M - size) > NEAR_M:
        return minus + f"{size / INCH_M:.3f}".rstrip("0").rstrip(".")
    whole, left = divmod(parts, FINEST)
    if not left:
        return f"{minus if whole else ''}{whole}"
    part = Fraction(left, FINEST)
    told = f"{part.numerator}/{part.denominator}"
    return f"{minus}{whole} {told}" if whole else minus + told


def say_way(value_m: float, plus: str, minus: str, *, metric: bool = False) -> str:
    """“1/8 F”, “1/4 R”, “0”: with a word for its direction in place of a sign."""
    told = say(abs(value_m), metric=metric)
    return told if told == "0" else f"{told} {plus if value_m > 0 else minus}"


def with_unit(value_m: float, *, metric: bool = False) -> str:
    """“4 3/8 in”, “111.1 mm”."""
    return f"{say(value_m, metric=metric)} {'mm' if metric else 'in'}"
