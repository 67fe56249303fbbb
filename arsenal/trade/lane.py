"""Lane conditions: what is on the lane, as a summary, a measured grid, or an unknown house."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from arsenal.trade.units import FOOT_M, MILLILITRE_M3


class LaneSurface(StrEnum):
    """What the lane is made of; a wide factor."""

    WOOD = "wood"
    WOOD_FRONT = "wood front"
    PANEL = "panel"
    OVERLAY = "overlay"


@dataclass(frozen=True, slots=True)
class FilmSummary:
    """A film as a house will tell it: length, volume over the whole lane, ratio of middle to outside.

    `ratio_left` is for the left side where it differs; None means the same as the right. A ratio of 1 is flat.
    """

    length_m: float
    volume_m3: float
    ratio: float
    ratio_left: float | None = None


@dataclass(frozen=True, slots=True)
class FilmGrid:
    """A measured film: `height_m[i][j]` at `distance_m[i]`, board `boards[j]`, boards from the RIGHT gutter."""

    distance_m: tuple[float, ...]
    boards: tuple[float, ...]
    height_m: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class UnknownHouse:
    """A house that will not tell: a spread (our own assumption), narrowed by two or three benchmark shots."""

    length_low_m: float = 38.0 * FOOT_M
    length_high_m: float = 44.0 * FOOT_M
    volume_low_m3: float = 18.0 * MILLILITRE_M3
    volume_high_m3: float = 30.0 * MILLILITRE_M3
    ratio_low: float = 6.0
    ratio_high: float = 12.0
    lane_boards_sd: float = 3.0


Film = FilmSummary | FilmGrid | UnknownHouse


@dataclass(frozen=True, slots=True)
class Lane:
    """A lane condition, described rather than named: “41 ft house, 25 mL, fresh”."""

    id: int
    name: str
    film: Film
    surface: LaneSurface = LaneSurface.PANEL
    house: str = ""
    note: str = ""
