"""The lane under the path: oil film as the bowler's hook side sees it, one map or a spread of them.

Lateral y counts from the gutter OPPOSITE the hook side: for a ball that hooks to the left that is the right gutter,
which a film's boards count from; for one that hooks to the right the film is mirrored. A back-up ball is therefore the
mirror in sign: a right-hander's back-up ball counts from the left gutter here, and whoever prints boards from the
bowler's own gutter takes 40 − board.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from arsenal.kernels import film as films
from arsenal.kernels.shapes import Film
from arsenal.motion.maps import FARTHEST_LENGTHS
from arsenal.motion.records import Floats
from arsenal.trade.errors import OutOfRange
from arsenal.trade.findings import Finding
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M

STEPS = 40
"""Steps of a foot and a half hold the landing to 0.5 mm on every house film tried, nine of ten to a third of that."""
MEASURED_STEPS = 180
"""A measured film may end within a foot: 30 landings on each of 17 such films hold 0.4 mm; 90 steps held 3 mm."""

SEARCHED_STEPS = 45


def _stations(steps: int) -> Floats:
    return np.linspace(0.0, LANE_LENGTH_M, 2 * steps + 1)


STATION_AT_M = _stations(STEPS)
MEASURED_AT_M = _stations(MEASURED_STEPS)
NODE_M = BOARD_M / 4.0
NODE_AT_M: Floats = np.arange(4 * 39 + 1, dtype=np.float64) * NODE_M
BOARDS_PER_LN_FILM = 5.5
"""How far ln of the film moves the reference ball's landing on a usual house, from this model itself."""
MOST_OIL_M3 = 200e-6
"""Several times what any house puts down (15 to 35 mL; common practice, no source)."""
OIL_ENDS_SHARE, OIL_ENDS_M = 0.10, 0.02e-6
"""A measured film ends where its mean across last holds this share of its most: carrydown is not pattern."""


@dataclass(frozen=True, slots=True)
class BedStack:
    """One film map or several over the same stations; `of(map)` is one of them.

    `film` as kernels.shapes.Film, metres; `oil_end_m` (maps,) where the oil ends, 0 on a dry lane; `dry_factor` (maps,)
    on a ball's dry friction; `volume_m3` (maps,).
    """

    film: Film
    oil_end_m: Floats
    dry_factor: Floats
    volume_m3: Floats
    findings: tuple[Finding, ...] = ()

    @property
    def size(self) -> int:
        """How many maps it holds."""
        return self.oil_end_m.size

    @property
    def steps(self) -> int:
        """How many steps a path takes down the lane; each has a station at both ends and one in the middle."""
        return int(self.film.along.shape[1] - 1) // 2

    @property
    def station_at_m(self) -> Floats:
        """Where the stations of its films lie, metres from the foul line."""
        return np.linspace(0.0, LANE_LENGTH_M, self.film.along.shape[1])

    def coarser(self) -> BedStack:
        """The same for looking many lines over: a measured film on a quarter of its stations. On films worn for some
        games half of the landings then hold 0.5 mm, nineteen of twenty 2 mm, all 8 mm, of a window of 27 mm.
        """
        every = self.steps // SEARCHED_STEPS
        if self.steps <= STEPS or self.steps % SEARCHED_STEPS:
            return self
        row_of = np.ascontiguousarray(self.film.row_of[:, ::every])
        along = np.ascontiguousarray(self.film.along[:, ::every])
        return replace(self, film=self.film._replace(row_of=row_of, along=along))

    def of(self, index: int) -> Bed:
        """One map of the stack."""
        cut = slice(index, index + 1)
        film = self.film._replace(row_of=self.film.row_of[cut], along=self.film.along[cut])
        return Bed(film, self.oil_end_m[cut], self.dry_factor[cut], self.volume_m3[cut], self.findings)


@dataclass(frozen=True, slots=True)
class Bed(BedStack):
    """A stack of exactly one map."""

    @property
    def length_m(self) -> float:
        """Where the oil ends, metres from the foul line."""
        return float(self.oil_end_m[0])

    def height_m(self, distance_m: Floats | float, lateral_m: Floats | float) -> Floats:
        """Film at a place, metres; linear between stations and quarter boards."""
        heights = self.film.rows[self.film.row_of[0]] * self.film.along[0][:, None]
        return films.bilinear(heights, self.station_at_m, NODE_AT_M, np.asarray(distance_m), np.asarray(lateral_m))


def _summaries(
    length: Floats, volume: Floats, ratio: Floats, ratio_left: Floats, hooks_to_left: bool
) -> tuple[Film, Floats, Floats]:
    near, far = (ratio, ratio_left) if hooks_to_left else (ratio_left, ratio)
    peak = films.height_scale(volume, length, near, far, LANE_LENGTH_M, BOARD_M)
    along = films.along(STATION_AT_M, length[:, None]) * peak[:, None]
    boards = NODE_AT_M / BOARD_M + 0.5
    rows = films.cross(boards, near[:, None], far[:, None])
    row_of = np.repeat(np.arange(length.size)[:, None], STATION_AT_M.size, axis=1)
    return Film(np.ascontiguousarray(rows), row_of, along, NODE_M), np.array(length, float), np.array(volume, float)


def _check_grid(grid: FilmGrid) -> tuple[Floats, Floats, Floats]:
    x, boards = np.asarray(grid.distance_m, float), np.asarray(grid.boards, float)
    if x.size < 2 or boards.size < 2:
        raise OutOfRange("oil film", f"{x.size} × {boards.size} values", "at least two distances and two boards")
    heights = np.asarray(grid.height_m, float)
    if heights.shape != (x.size, boards.size):
        raise OutOfRange("oil film", f"{heights.shape} values", f"{x.size} distances × {boards.size} boards")
    if not (np.all(np.isfinite(x)) and np.all(np.isfinite(boards)) and np.all(np.isfinite(heights))):
        raise OutOfRange("oil film", "not a number somewhere", "finite numbers only")
    if np.any(np.diff(x) <= 0.0) or np.any(np.diff(boards) <= 0.0):
        raise OutOfRange("oil film", "distances or boards out of order", "in growing order")
    changes = np.flatnonzero(np.any(np.diff(heights, axis=0) != 0.0, axis=1))
    if changes.size and x[changes[-1] + 1] > FARTHEST_LENGTHS * LANE_LENGTH_M:
        raise OutOfRange("oil film", f"still changing at {x[changes[-1] + 1]:g} m", "on the lane; is it in feet?")
    if boards[-1] < 3.0 or boards[-1] > 60.0:
        raise OutOfRange("oil film", f"given to board {boards[-1]:g}", "given by boards, 1 to 39; is it in metres?")
    if np.any(heights < 0.0):
        raise OutOfRange("oil film", f"{heights.min() * 1e6:g} μm somewhere", "0 or more everywhere")
    if heights.max() > 100e-6:
        raise OutOfRange("oil film", f"{heights.max() * 1e6:g} μm somewhere", "at most 100 μm; is it in oil units?")
    return x, boards, heights


def _grid_findings(x: Floats, boards: Floats, heights: Floats) -> tuple[Finding, ...]:
    found = []
    ends_wet = x[-1] < LANE_LENGTH_M - 0.02 and heights[-1].max() > 0.0
    if x[0] > 0.6 or x[-1] < 30.0 * FOOT_M or ends_wet:
        found.append(Finding("film.distance", "The measured film does not cover the lane's length; its edge goes on."))
    if boards[0] > 3.0 or boards[-1] < 37.0:
        found.append(Finding("film.boards", "The measured film does not cover the lane's width; its edge goes on."))
    return tuple(found)


def _gridded(grid: FilmGrid, hooks_to_left: bool) -> tuple[Film, Floats, Floats, tuple[Finding, ...]]:
    x, boards, heights = _check_grid(grid)
    if not hooks_to_left:
        boards, heights = 40.0 - boards[::-1], heights[:, ::-1]
    at_board, count = NODE_AT_M / BOARD_M + 0.5, MEASURED_AT_M.size
    rows = films.bilinear(heights, x, boards, MEASURED_AT_M[:, None], at_board[None, :])
    film = Film(np.ascontiguousarray(rows), np.arange(count)[None, :], np.ones((1, count)), NODE_M)
    fine_x = np.linspace(0.0, LANE_LENGTH_M, 721)
    fine = films.bilinear(heights, x, boards, fine_x[:, None], at_board[None, :])
    mean = fine.mean(axis=1)
    wet = np.flatnonzero(mean > max(OIL_ENDS_SHARE * mean.max(), OIL_ENDS_M))
    end = np.array([fine_x[wet[-1]] if wet.size else 0.0])
    volume = np.array([float(np.trapezoid(np.trapezoid(fine, fine_x, axis=0), NODE_AT_M))])
    return film, end, volume, _grid_findings(x, boards, heights)


def middle_of(house: UnknownHouse) -> FilmSummary:
    """The middle of what an unknown house may be."""
    return FilmSummary(
        0.5 * (house.length_low_m + house.length_high_m),
        0.5 * (house.volume_low_m3 + house.volume_high_m3),
        math.sqrt(house.ratio_low * house.ratio_high),
    )


def _check_summary(film: FilmSummary) -> None:
    if not (math.isfinite(film.length_m) and 0.0 < film.length_m <= LANE_LENGTH_M):
        raise OutOfRange("oil length", f"{film.length_m / FOOT_M:g} ft", "above 0 and at most 60 ft; is it in feet?")
    if not (math.isfinite(film.volume_m3) and 0.0 <= film.volume_m3 <= MOST_OIL_M3):
        raise OutOfRange("oil volume", f"{film.volume_m3 * 1e6:g} mL", "0 to 200 mL; is it in mL?")
    for ratio in (film.ratio, film.ratio if film.ratio_left is None else film.ratio_left):
        if not (math.isfinite(ratio) and 1.0 <= ratio <= 20.0):
            raise OutOfRange("oil ratio", f"{ratio:g}:1", "1:1 to 20:1")


def _check_house(house: UnknownHouse) -> None:
    low = FilmSummary(house.length_low_m, house.volume_low_m3, house.ratio_low)
    high = FilmSummary(house.length_high_m, house.volume_high_m3, house.ratio_high)
    _check_summary(low)
    _check_summary(high)
    if low.length_m > high.length_m or low.volume_m3 > high.volume_m3 or low.ratio > high.ratio:
        raise OutOfRange("unknown house", "from more to less somewhere", "given from the least to the most")
    if not (math.isfinite(house.lane_boards_sd) and 0.0 <= house.lane_boards_sd <= 40.0):
        raise OutOfRange("unknown house", f"± {house.lane_boards_sd:g} boards", "0 to 40 boards")


def bed(lane: Lane, hooks_to_left: bool, priors: Priors) -> Bed:
    """The lane's film at its means; an unknown house is taken at the middle of its spread.

    Raises OutOfRange for films that cannot be.
    """
    dry = np.array([priors.friction.lane_surface[lane.surface]])
    if isinstance(lane.film, FilmGrid):
        film, end, volume, found = _gridded(lane.film, hooks_to_left)
        return Bed(film, end, dry, volume, found)
    if isinstance(lane.film, UnknownHouse):
        _check_house(lane.film)
    summary = middle_of(lane.film) if isinstance(lane.film, UnknownHouse) else lane.film
    _check_summary(summary)
    left = summary.ratio if summary.ratio_left is None else summary.ratio_left
    length, ratio = np.array([summary.length_m]), np.array([summary.ratio])
    film, end, volume = _summaries(length, np.array([summary.volume_m3]), ratio, np.array([left]), hooks_to_left)
    return Bed(film, end if summary.volume_m3 > 0.0 else end * 0.0, dry, volume)


def beds(lane: Lane, hooks_to_left: bool, priors: Priors, *, rng: np.random.Generator, n: int) -> BedStack:
    """`n` draws of what is not known of the lane, common to all balls thrown on it.

    Every lane: its factor on dry friction and its film number. An unknown house: length, volume and ratio too.
    """
    z = rng.standard_normal((2, n))
    share = rng.random((3, n))
    f, doubt = priors.friction, priors.doubt
    dry = f.lane_surface[lane.surface] * np.exp(f.lane_surface_ln_sd * z[0])
    if isinstance(lane.film, UnknownHouse):
        house = lane.film
        _check_house(house)
        length = house.length_low_m + share[0] * (house.length_high_m - house.length_low_m)
        volume = house.volume_low_m3 + share[1] * (house.volume_high_m3 - house.volume_low_m3)
        ratio = np.exp(np.log(house.ratio_low) + share[2] * math.log(house.ratio_high / house.ratio_low))
        film, end, volume = _summaries(length, volume, ratio, ratio, hooks_to_left)
        factor = np.exp(house.lane_boards_sd / BOARDS_PER_LN_FILM * z[1])
        return BedStack(film._replace(along=film.along * factor[:, None]), end, dry, volume)
    one = bed(lane, hooks_to_left, priors)
    factor = np.exp(doubt.lane_ln_sd * z[1])
    film = one.film._replace(row_of=np.repeat(one.film.row_of, n, axis=0), along=one.film.along * factor[:, None])
    return BedStack(film, np.full(n, one.length_m), dry, np.full(n, one.volume_m3[0]), one.findings)
