"""The film on the lane as plain contour lines with numbers, worked out once a condition off the window's thread."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pyqtgraph.functions import isocurve

from arsenal.acts.views import Contours
from arsenal.motion.records import Floats
from arsenal.trade.person import Person

LEVELS = (2.0, 5.0, 10.0, 15.0, 20.0)
"""Units of oil that get a line."""
LEAST_POINTS, LEAST_POINTS_PLAYED = 6, 30


@dataclass(frozen=True, slots=True, eq=False)
class FilmLine:
    """One contour: units of oil, feet from the foul line, boards from the own gutter."""

    units: float
    feet: Floats
    boards: Floats


@dataclass(frozen=True, slots=True, eq=False)
class FilmLines:
    """All contours of a condition and where its oil ends."""

    lines: tuple[FilmLine, ...]
    oil_ends_ft: float


def smoothed(height: Floats, times: int = 3) -> Floats:
    """The film without its finest unevenness: each place with half of its neighbours, so many times over."""
    for _ in range(times):
        for axis in (0, 1):
            edges = np.concatenate([height.take([0], axis), height, height.take([-1], axis)], axis)
            n = height.shape[axis]
            before, after = edges.take(range(n), axis), edges.take(range(2, n + 2), axis)
            height = 0.25 * before + 0.5 * height + 0.25 * after
    return height


def film_lines(contours: Contours, person: Person, *, played: bool = False) -> FilmLines:
    """Contours at the levels that the film reaches. Where shots were `played` on it, single tracks are smoothed away
    and small islands left out: they are drawing, not knowledge.
    """
    distance, boards = contours.distance_ft, contours.boards
    height = smoothed(contours.height_units) if played else contours.height_units
    least = LEAST_POINTS_PLAYED if played else LEAST_POINTS
    columns, rows = np.arange(distance.size), np.arange(boards.size)
    made = []
    for level in LEVELS:
        if not height.min() < level < height.max():
            continue
        for points in isocurve(height, level, connected=True, extendToEdge=True):
            found = np.array([(p[0], p[1]) for p in points], dtype=float) - 0.5
            if len(found) < least:
                continue
            feet = np.interp(found[:, 0], columns, distance)
            own = np.interp(found[:, 1], rows, boards)
            made.append(FilmLine(level, feet, 40.0 - own if person.back_up else own))
    return FilmLines(tuple(made), contours.oil_ends_ft)


def number_places(
    film: FilmLines, low: float, high: float, apart_ft: float = 6.5, apart_boards: float = 1.6
) -> list[tuple[float, float, float]]:
    """(units, feet, board) for one number a level, where its line is visible and no other number is near."""
    placed: list[tuple[float, float, float]] = []
    wanted = np.linspace(5.0, 32.0, len(LEVELS))
    for level, target in zip(reversed(LEVELS), wanted, strict=True):
        best: tuple[float, float, float] | None = None
        for line in (one for one in film.lines if one.units == level):
            clear = (line.boards > low + 1.0) & (line.boards < high - 1.0) & (line.feet > 2.0) & (line.feet < 57.0)
            clear &= np.abs(line.feet - film.oil_ends_ft) > 1.5
            for feet, board in zip(line.feet[clear], line.boards[clear], strict=True):
                if any(abs(feet - f) < apart_ft and abs(board - b) < apart_boards for _, f, b in placed):
                    continue
                away = abs(feet - target) + 0.4 * abs(board - low)
                if best is None or away < best[0]:
                    best = (away, float(feet), float(board))
        if best is not None:
            placed.append((level, best[1], best[2]))
    return placed
