"""How many games between each kind of work, by cover: the trade's rule-of-thumb table as data that anybody may change.

Common practice with no one source; published statements lie between 50 and 80 games for resurfacing and between 50 and
120 for deep oil. An interval is a starting point: boards lost may come first.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from arsenal.kernels.wear import p_equivalent
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Abrasive
from arsenal.trade.errors import NotUnderstood

COARSE_MOST, MIDDLE_MOST = 1250.0, 3500.0
"""Where the three columns of finishes part: half-way between 1000 and 1500, and between 3000 and 4000."""
OVER_SHARE = 1.5


class FinishClass(StrEnum):
    """The three columns of the refresh interval."""

    COARSE = "1000 and coarser"
    MIDDLE = "1500 to 3000"
    FINE = "4000 and finer, polish"


@dataclass(frozen=True, slots=True)
class Interval:
    """Games between two jobs. `first` when it may be wanted, `due` when it is, `doubt` ± of that."""

    first: float
    due: float
    doubt: float
    said: str
    """As people write it: “3–6”, “60 ± 15”, “6”, “60+”."""

    @staticmethod
    def of(text: str) -> Interval:
        """Reads “3–6” (due at its end), “60 ± 15” (due at its middle), “6”, “60+”. Raises NotUnderstood."""
        number = r"(\d+(?:\.\d+)?)"
        said = text.strip().replace("-", "–")
        if found := re.fullmatch(rf"{number} ?– ?{number}", said):
            low, high = float(found[1]), float(found[2])
            if 0.0 < low <= high:
                return Interval(low, high, 0.5 * (high - low), said)
        elif found := re.fullmatch(rf"{number} ?(?:±|\+/–) ?{number}", said):
            middle, doubt = float(found[1]), float(found[2])
            if 0.0 <= doubt < middle:
                return Interval(middle - doubt, middle, doubt, said)
        elif (found := re.fullmatch(rf"{number}(\+?)", said)) and float(found[1]) > 0.0:
            games = float(found[1])
            return Interval(games, games, 0.0, said)
        raise NotUnderstood(text, "An interval is written 6, 3-6, 60 ± 15 or 60+, in games.")

    @property
    def over_share(self) -> float:
        """Share of the interval from which it is well past, never inside its own doubt."""
        return max(OVER_SHARE, (self.due + 2.0 * self.doubt) / self.due)


@dataclass(frozen=True, slots=True)
class CoverIntervals:
    """One row of the table; None where that work is not done by games on this cover."""

    wipe: str
    """shot, or when oily."""
    clean: str
    """session, or monthly."""
    refresh: Mapping[FinishClass, Interval | None]
    resurface: Interval | None
    resurface_by_date: bool
    """False where only games or nicks count."""
    deep_oil: Interval | None
    check: Interval | None
    """Games after which to see whether oil has gone in at all."""


@dataclass(frozen=True, slots=True)
class Intervals:
    """The whole table and the few figures that hold for every cover."""

    by_cover: Mapping[Cover, CoverIntervals]
    resurface_months: int = 6
    season_months: int = 12
    season_games: float = 50.0
    inspect_sessions: int = 10
    boards: float = 2.0
    first_read_ft: float = 2.0
    """Lost since settling in, or (boards) to oil in the cover: what makes work due by state."""


COLUMNS = ("wipe", "clean", "coarse", "middle", "fine", "resurface", "deep oil")
NONE, NEVER = "–", "never"
DEFAULT_ROWS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "solid": ("shot", "session", "3–6", "6–10", "10–20", "60 ± 15", "75 ± 25"),
    "hybrid": ("shot", "session", "4–6", "8–12", "12–20", "65 ± 15", "85 ± 25"),
    "pearl": ("shot", "session", "6", "10–12", "15–30", "70 ± 15", "95 ± 25"),
    "urethane": ("shot", "session", "3", "6", NONE, "50 ± 20", "none, check at 200"),
    "polyester": ("when oily", "monthly", NONE, NONE, "60+", "200 or nicks", NEVER),
})  # fmt: skip


def _games(text: str) -> Interval | None:
    return None if text in (NONE, NEVER, "") else Interval.of(text)


def row(cells: tuple[str, ...]) -> CoverIntervals:
    """One row from its seven cells. Raises NotUnderstood, naming the cell."""
    if len(cells) != len(COLUMNS):
        raise NotUnderstood(" · ".join(cells), f"A row has {len(COLUMNS)} cells: {', '.join(COLUMNS)}.")
    wipe, clean, coarse, middle, fine, resurface, deep = cells
    if wipe not in ("shot", "when oily"):
        raise NotUnderstood(wipe, "Wipe is “shot” or “when oily”.")
    if clean not in ("session", "monthly"):
        raise NotUnderstood(clean, "Clean is “session” or “monthly”.")
    check = re.fullmatch(r"none, check at (\d+)", deep)
    return CoverIntervals(
        wipe=wipe, clean=clean,
        refresh=MappingProxyType(dict(zip(FinishClass, map(_games, (coarse, middle, fine)), strict=True))),
        resurface=_games(resurface.removesuffix(" or nicks")), resurface_by_date=not resurface.endswith("nicks"),
        deep_oil=None if check else _games(deep), check=Interval.of(check[1]) if check else None,
    )  # fmt: skip


def intervals_of(rows: Mapping[str, tuple[str, ...]]) -> Intervals:
    """A table from its cells; covers left out keep the usual row. Raises NotUnderstood for a cover or cell."""
    unknown = [name for name in rows if name not in DEFAULT_ROWS]
    if unknown:
        raise NotUnderstood(unknown[0], "Covers are solid, hybrid, pearl, urethane and polyester.")
    merged = {**DEFAULT_ROWS, **rows}
    return Intervals(MappingProxyType({Cover(name): row(tuple(cells)) for name, cells in merged.items()}))


DEFAULT_INTERVALS = intervals_of({})


def finish_class(state: SurfaceState) -> FinishClass:
    """The column a finish belongs to, by the last step put on it, else by what it played right after."""
    grit = state.finish_set_grit
    if state.finish:
        last = state.finish[-1]
        if last.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND):
            return FinishClass.FINE
        if last.number is not None:
            grit = float(p_equivalent(last.number, last.scale.value))
    if grit <= COARSE_MOST:
        return FinishClass.COARSE
    return FinishClass.MIDDLE if grit <= MIDDLE_MOST else FinishClass.FINE
