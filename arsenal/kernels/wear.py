"""Roughness of a cover: grain sizes, what a pad leaves, what a polish leaves, what lane shine takes. Floats in SI.

Everything happens in ln grit, where sanding and shine are both linear; roughness is read off at the end. Grit numbers
are on the P scale throughout unless a scale is named. Nothing here holds state or owns an array.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping

P_MEDIAN_M: Mapping[float, float] = {
    240: 58.5e-6, 320: 46.2e-6, 360: 40.5e-6, 400: 35.0e-6, 500: 30.2e-6, 600: 25.8e-6, 800: 21.8e-6,
    1000: 18.3e-6, 1200: 15.3e-6, 1500: 12.6e-6, 2000: 10.3e-6, 2500: 8.4e-6,
    3000: 7.0e-6, 4000: 5.0e-6, 5000: 4.0e-6,
}  # fmt: skip
"""Median grain of the P scale, FEPA 43 / ISO 6344-3, from secondary tables; P3000 and finer from memory."""

CAMI_MEDIAN_M: Mapping[float, float] = {
    220: 68e-6, 240: 52e-6, 280: 42e-6, 320: 35e-6, 360: 28e-6, 400: 23e-6, 500: 18e-6, 600: 15e-6,
    800: 12.2e-6, 1000: 10.3e-6,
}  # fmt: skip
"""Median grain of the CAMI scale, from secondary comparison charts (published; 800 from memory)."""

JIS_MEDIAN_M: Mapping[float, float] = {
    240: 57e-6, 320: 40e-6, 400: 30e-6, 600: 20e-6, 800: 14e-6, 1000: 11.5e-6, 1200: 9.5e-6, 1500: 8.0e-6,
    2000: 6.7e-6, 3000: 4.0e-6, 4000: 3.0e-6, 6000: 2.0e-6, 8000: 1.2e-6,
}  # fmt: skip
"""Median grain of the JIS scale; #1000 from a published table, the rest from memory."""

_TABLES: Mapping[str, Mapping[float, float]] = {
    "P": P_MEDIAN_M, "plain": P_MEDIAN_M, "CAMI": CAMI_MEDIAN_M, "JIS": JIS_MEDIAN_M,
}  # fmt: skip
LN_HALVING = math.log(2.0)


def _log_interpolated(x: float, xs: list[float], ys: list[float]) -> float:
    """Value at `x` on straight pieces in the logs of both; the end pieces go on. `xs` ascending, all positive."""
    i = min(max(bisect_left(xs, x), 1), len(xs) - 1)
    lx0, lx1 = math.log(xs[i - 1]), math.log(xs[i])
    ly0, ly1 = math.log(ys[i - 1]), math.log(ys[i])
    return math.exp(ly0 + (ly1 - ly0) * (math.log(x) - lx0) / (lx1 - lx0))


_KNOTS = {scale: (sorted(table), [table[n] for n in sorted(table)]) for scale, table in _TABLES.items()}
_P_BY_MEDIAN = (sorted(P_MEDIAN_M.values()), sorted(P_MEDIAN_M, reverse=True))


def median_m(number: float, scale: str = "P") -> float:
    """Median grain (m) of grain `number` on `scale` (P, plain, CAMI, JIS, micron), between table rows by logs.

    Raises ValueError for a number that is not positive, KeyError for a scale that does not exist.
    """
    if not number > 0.0:
        raise ValueError(f"a grain number is positive, not {number}")
    if scale == "micron":
        return number * 1e-6
    return _log_interpolated(number, *_KNOTS[scale])


def p_number(median: float) -> float:
    """The P number whose median grain is `median` (m): what other scales are compared by."""
    if not median > 0.0:
        raise ValueError(f"a grain size is positive, not {median}")
    return _log_interpolated(median, *_P_BY_MEDIAN)


def p_equivalent(number: float, scale: str) -> float:
    """`number` on `scale` as a P number of equal grain; P and plain numbers are themselves."""
    return number if scale in ("P", "plain") else p_number(median_m(number, scale))


def ra_m(grit: float, ra_at_500_m: float, exponent: float) -> float:
    """Mean roughness Ra (m) of a cover fully sanded at `grit`: Ra = Ra₅₀₀ · (grit/500)^exponent.

    `ra_at_500_m` carries the cover's factor already; `exponent` is negative (our own prior).
    """
    return ra_at_500_m * math.pow(grit / 500.0, exponent)


def grit_equivalent(ra: float, ra_at_500_m: float, exponent: float) -> float:
    """The grit that would leave `ra` (m): the inverse of `ra_m`. With exponent −¾: 500 (Ra₅₀₀/Ra)^(4/3)."""
    return 500.0 * math.pow(ra / ra_at_500_m, 1.0 / exponent)


def closure(time_s: float, tau_s: float, wear: float = 1.0) -> float:
    """Share of the gap in ln grit that a pad closes in `time_s`: wear · (1 − e^(−T/τ)); 0 for no time."""
    return wear * -math.expm1(-max(time_s, 0.0) / tau_s)


def pad_wear(uses_hand: float, uses_spinner: float, lasts_hand: float, lasts_spinner: float) -> float:
    """Share of its first cut that a pad still has: e^(−uses/lasts), by hand and on a spinner apart."""
    return math.exp(-max(uses_hand, 0.0) / lasts_hand - max(uses_spinner, 0.0) / lasts_spinner)


def reached(ln_now: float, ln_pad: float, beyond_first: float) -> tuple[float, float]:
    """Where a pad would take a surface given all the time there is, in ln grit, and how much that depends on now.

    Going finer by more than one halving, the part beyond the first counts only `beyond_first` (500 → 4000 is not
    500 → 1000 → 2000 → 4000). Returns (ln grit reached, d reached / d now).
    """
    beyond = ln_pad - ln_now - LN_HALVING
    if beyond <= 0.0:
        return ln_pad, 0.0
    return ln_pad - (1.0 - beyond_first) * beyond, 1.0 - beyond_first


def polished_ra_m(ra: float, polish_ra_m: float, keeps: float) -> float:
    """Ra (m) that a polish or compound tends to: its own roughness and `keeps` of what lay above it (or below)."""
    return polish_ra_m + keeps * (ra - polish_ra_m)


def sanded(gaps: tuple[float, float], share: float, ln_settled: float, ln_reached: float, fast: float) -> tuple[
    float, float
]:  # fmt: skip
    """The two gaps (fast, slow; ln grit below settled) after a sanding that closes `share` of the way.

    (g_f, g_s) ← (1 − c)(g_f, g_s) + c · (ln settled − ln reached) · (a, 1 − a), with a = `fast`.
    """
    whole = ln_settled - ln_reached
    return (1.0 - share) * gaps[0] + share * whole * fast, (1.0 - share) * gaps[1] + share * whole * (1.0 - fast)


def shone(gaps: tuple[float, float], games: float, tau_fast: float, tau_slow: float) -> tuple[float, float]:
    """The two gaps after `games` on the lane: each decays by its own number of games (lane shine, our own prior)."""
    return gaps[0] * math.exp(-games / tau_fast), gaps[1] * math.exp(-games / tau_slow)


def cover_taken_m(median: float, share: float, takes: float) -> float:
    """Cover taken off the radius (m) by one step: `takes` of a median grain (m) at full closure (our own prior)."""
    return takes * median * share
