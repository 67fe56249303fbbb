"""An oil film on a lane from its summary: length, volume and ratio; and its value anywhere from nodes.

Arrays in SI, boards counted from one gutter (centre of board b at (b − ½) board widths). New arrays are returned.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

END_SHARE = 0.45
"""Film at the oil's end over film at the foul line (our own assumption)."""
END_WIDTH_M = 0.5 * 0.3048
WALL_BOARD = 9.0
WALL_WIDTH_BOARDS = 0.9
MIDDLE = np.arange(18.0, 23.0)
OUTSIDE = np.arange(3.0, 8.0)
BOARDS = 39.0


def _logistic(z: Floats) -> Floats:
    return 0.5 * (1.0 + np.tanh(0.5 * z))


def along(distance_m: Floats, length_m: float | Floats) -> Floats:
    """Film along the lane over its value at the foul line: linear to 0.45 at `length_m`, then a soft end."""
    fall = 1.0 - (1.0 - END_SHARE) * np.minimum(distance_m / length_m, 1.0)
    return np.asarray(fall * _logistic((length_m - distance_m) / END_WIDTH_M))


def _wall(board: Floats) -> Floats:
    return _logistic((board - WALL_BOARD) / WALL_WIDTH_BOARDS)


def floor_for(ratio: float | Floats) -> float | Floats:
    """Film outside the wall over film in the middle such that boards 18–22 over boards 3–7 (means) is `ratio`."""
    middle = float(np.mean(np.minimum(_wall(MIDDLE), _wall(40.0 - MIDDLE))))
    outside = float(np.mean(_wall(OUTSIDE)))
    return (middle - ratio * outside) / (ratio * (1.0 - outside) - (1.0 - middle))


def cross(board: Floats, ratio: float | Floats, ratio_far: float | Floats | None = None) -> Floats:
    """Film across the lane over its value in the middle, at `board`; `ratio_far` is for the boards beyond 20."""
    far = ratio if ratio_far is None else ratio_far
    near_floor, far_floor = floor_for(ratio), floor_for(far)
    near = near_floor + (1.0 - near_floor) * _wall(board)
    beyond = far_floor + (1.0 - far_floor) * _wall(40.0 - board)
    return np.asarray(np.where(board <= 20.0, near, beyond))


def _mean_of(values: Floats) -> Floats:
    """Simpson's mean over an odd number of evenly spaced values along the last axis."""
    weights = np.ones(values.shape[-1])
    weights[1:-1:2], weights[2:-1:2] = 4.0, 2.0
    return np.asarray(values @ weights / weights.sum())


def height_scale(
    volume_m3: float | Floats,
    length_m: float | Floats,
    ratio: float | Floats,
    ratio_far: float | Floats | None,
    lane_length_m: float,
    board_m: float,
) -> Floats:
    """Height A at the foul line in the middle, metres, so that the film over boards ½–39½ holds `volume_m3`."""
    x = np.linspace(0.0, lane_length_m, 2001)
    b = np.linspace(0.5, BOARDS + 0.5, 1561)
    column = [np.asarray(v, float)[..., None] for v in (length_m, ratio, ratio if ratio_far is None else ratio_far)]
    mean_along = _mean_of(along(x, column[0]))
    mean_cross = _mean_of(cross(b, column[1], column[2]))
    return np.asarray(volume_m3 / (lane_length_m * BOARDS * board_m * mean_along * mean_cross))


def bilinear(values: Floats, rows: Floats, columns: Floats, at_row: Floats, at_column: Floats) -> Floats:
    """`values[row, column]` at any place, linear between nodes both ways, edge values beyond; shapes broadcast."""
    row = np.clip(at_row, rows[0], rows[-1])
    column = np.clip(at_column, columns[0], columns[-1])
    i = np.clip(np.searchsorted(rows, row, side="right") - 1, 0, rows.size - 2)
    j = np.clip(np.searchsorted(columns, column, side="right") - 1, 0, columns.size - 2)
    p = (row - rows[i]) / (rows[i + 1] - rows[i])
    q = (column - columns[j]) / (columns[j + 1] - columns[j])
    near = values[i, j] * (1.0 - q) + values[i, j + 1] * q
    far = values[i + 1, j] * (1.0 - q) + values[i + 1, j + 1] * q
    return np.asarray(near * (1.0 - p) + far * p)
