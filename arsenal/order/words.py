"""The trade's words for numbers of an order: boards with sensible digits, early or late, sharp or smooth, names."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.trade.units import FOOT_M

READ_WIDTH_M = 1.0 * FOOT_M
SHARP_MOST, MEDIUM_MOST = 1.05, 1.20
"""Our own assumption: shape against the reference ball's on the same shot; the same words then hold on any lane."""
SHARP_MOST_M, MEDIUM_MOST_M = 14.5 * FOOT_M, 16.5 * FOOT_M
ORDINALS = {1: "st", 2: "nd", 3: "rd"}


def halves(value: float) -> str:
    """A number to the nearest half, unsigned: “½”, “2”, “3½”."""
    twice = round(2.0 * abs(value))
    whole, half = divmod(twice, 2)
    if half:
        return f"{whole or ''}½"
    return str(whole)


def amount(value: float, sd: float = 0.0) -> str:
    """Unsigned, whole where the doubt is one or more, halves where it is less."""
    return halves(value) if sd < 1.0 else str(round(abs(value)))


def signed(value: float, sd: float = 0.0) -> str:
    """“+3”, “−1½”, “0”."""
    text = amount(value, sd)
    if text == "0":
        return text
    return ("+" if value > 0.0 else "−") + text


def counted(value: float, sd: float = 0.0, one: str = "board", many: str = "boards") -> str:
    """“1 board”, “½ board”, “3 boards”."""
    text = amount(value, sd)
    return f"{text} {one if text in ('½', '1') else many}"


def doubt(sd: float) -> str:
    """A doubt as shown after ±: never less than a half, whole from one on."""
    return amount(max(sd, 0.5), sd)


def feet(metres: float) -> str:
    """A distance in whole feet."""
    return f"{metres / FOOT_M:.0f}"


def nth(number: int) -> str:
    """“7th”, “1st”."""
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}{ORDINALS.get(number % 10, 'th')}"


def names(of: Sequence[str]) -> str:
    """“Umber, Quarry and Rook”."""
    if len(of) < 2:
        return "".join(of)
    return ", ".join(of[:-1]) + " and " + of[-1]


def read_word(first_read_m: float | None, benchmark_m: float | None) -> str:
    """early, mid or late: first read against the benchmark's, a foot either way is mid. A ball that never reads on
    the lane is late.
    """
    if first_read_m is None:
        return "mid" if benchmark_m is None else "late"
    if benchmark_m is None:
        return "early"
    if abs(first_read_m - benchmark_m) <= READ_WIDTH_M:
        return "mid"
    return "early" if first_read_m < benchmark_m else "late"


def shape_word(shape_m: float | None, reference_m: float | None) -> str:
    """sharp, medium or smooth: shape against the reference ball's on the same shot. No shape at all is smooth."""
    if shape_m is None:
        return "smooth"
    sharp, medium = SHARP_MOST_M, MEDIUM_MOST_M
    if reference_m:
        sharp, medium = SHARP_MOST * reference_m, MEDIUM_MOST * reference_m
    if shape_m <= sharp:
        return "sharp"
    return "medium" if shape_m <= medium else "smooth"
