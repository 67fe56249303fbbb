"""The desk's colours in light and dark, the series of the plots, and the contrast they must keep."""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Tokens:
    """Colours by what they are for. `hand` means “the ball in hand, where you are, what you can act on”."""

    name: str
    paper: str
    sheet: str
    sel: str
    well: str
    rule: str
    edge: str
    ink: str
    ink2: str
    ink3: str
    hand: str
    on_hand: str
    bad: str
    warn: str
    good: str
    series1: str
    series2: str
    series3: str

    @property
    def grounds(self) -> tuple[str, str, str, str]:
        """What text stands on."""
        return self.paper, self.sheet, self.sel, self.well


LIGHT = Tokens(
    name="light",
    paper="#F4F6F4",
    sheet="#FCFDFC",
    sel="#EFE6F2",
    well="#E9EDEA",
    rule="#D3DAD6",
    edge="#74807B",
    ink="#15201D",
    ink2="#44514C",
    ink3="#5A6762",
    hand="#6B1F73",
    on_hand="#FFFFFF",
    bad="#A3271C",
    warn="#805000",
    good="#1C6545",
    series1="#8F4A00",
    series2="#00695F",
    series3="#2B3240",
)

DARK = Tokens(
    name="dark",
    paper="#131817",
    sheet="#191F1E",
    sel="#33253A",
    well="#222A28",
    rule="#323C39",
    edge="#76837E",
    ink="#E9EEEC",
    ink2="#B6C1BC",
    ink3="#95A29D",
    hand="#DDA8EA",
    on_hand="#241029",
    bad="#FF9A8A",
    warn="#F0BC62",
    good="#7FD3A6",
    series1="#F2B45A",
    series2="#35B7A4",
    series3="#F2F5F7",
)

NAMES = tuple(f.name for f in fields(Tokens) if f.name != "name")
TEXT = ("ink", "ink2", "ink3", "hand", "bad", "warn", "good")
"""Tokens that write text; each must reach 4.5:1 on every ground."""
MARKS = ("edge", "hand", "bad", "warn", "good", "series1", "series2", "series3")
"""Tokens that draw marks; each must reach 3:1 on every ground."""


@dataclass(frozen=True, slots=True)
class Series:
    """How one path is drawn: token, width in pixels, and dash in widths (empty is solid)."""

    token: str
    width: float
    dash: tuple[float, ...] = ()


SERIES = (
    Series("hand", 3.2),
    Series("series1", 2.2, (6, 3)),
    Series("series2", 2.2, (2, 2.5)),
    Series("series3", 2.2, (9, 3, 2, 3)),
)
"""0 the ball in hand, 1 and 2 other balls, 3 the benchmark: at most four at a time."""
WHAT_IF = Series("hand", 2.4, (4, 3))
WHAT_IF_FILL = 0.17


def luminance(colour: str) -> float:
    """Relative luminance of #RRGGBB, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    parts = (int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
