"""What one shot does to the lane's film: oil lifted under the contact band, and oil the ball lays back on its way.

Floats and arrays in SI. A film is a map h[station, node], metres, nodes evenly spaced across the lane from one gutter
to the other; each node stands for a cell, so that the volume of a map is Σ h · cell area, the trapezoid rule both ways.
`Cells.areas` gives those areas. The film map is changed in place by `roll`; everything else is new arrays.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


def areas(distance_m: Floats, spacing_m: float, nodes: int) -> Floats:
    """Area of each cell (stations × nodes), m², that the trapezoid rule gives a map on these nodes."""
    step = np.diff(distance_m)
    long = np.zeros(distance_m.size)
    long[:-1] += 0.5 * step
    long[1:] += 0.5 * step
    wide = np.full(nodes, spacing_m)
    wide[[0, -1]] *= 0.5
    return np.outer(long, wide)


def volume(film_m: Floats, area_m2: Floats) -> float:
    """Volume of a map, m³."""
    return float((film_m * area_m2).sum())


class Band(NamedTuple):
    """Where the contact band lies: for each station some nodes in a row, the area (m²) of each one's cell that the band
    covers, and of the whole cell; all (stations × k).
    """

    row: Ints
    node: Ints
    area: Floats
    whole: Floats


def band(lateral_m: Floats, width_m: float, spacing_m: float, area_m2: Floats) -> Band:
    """The band of a path that lies at `lateral_m` (stations,) from the gutter of node 0.

    What is past a gutter is not on the lane, and a ball that dropped does not come back.
    """
    stations, nodes = area_m2.shape
    on_lane = np.logical_and.accumulate((lateral_m >= 0.0) & (lateral_m <= spacing_m * (nodes - 1)))
    reach = math.ceil(width_m / spacing_m) + 2
    low = (lateral_m - 0.5 * width_m) / spacing_m
    high = low + width_m / spacing_m
    first = np.clip(np.floor(np.where(on_lane, low, 0.0)).astype(np.intp), 0, nodes - reach)
    node = first[:, None] + np.arange(reach)
    left = np.where(node == 0, 0.0, node - 0.5)
    right = np.where(node == nodes - 1, nodes - 1.0, node + 0.5)
    share = np.clip(np.minimum(right, high[:, None]) - np.maximum(left, low[:, None]), 0.0, None) / (right - left)
    share[~on_lane] = 0.0
    row = np.broadcast_to(np.arange(stations)[:, None], node.shape)
    whole = area_m2[row, node]
    return Band(row, node, share * whole, whole)


def track_m2(length_m: float, turn_m: float, again: float, width_m: float) -> float:
    """Cover that meets the lane in one shot, as lane area: all of the first revolution, then what is fresh of each.

    `again` is the share of the band that met the lane a revolution before: 1 without flare.
    """
    first = min(turn_m, length_m)
    return width_m * (first + (1.0 - again) * (length_m - first))


class Cover(NamedTuple):
    """How a ball carries film: share of the band that meets the lane again each revolution, share of its film that
    stays on it at each meeting, share of the lane's film that it takes, and stations a revolution.
    """

    again: float
    keeps: float
    takes: float
    turn: int


def exchange(under_m: Floats, touched_m2: Floats, earlier_m: float, cover: Cover) -> Floats:
    """Film that the ball brings to the lane at each station, metres of lane film, (stations,), where the lane has
    `under_m` under the `touched_m2` of it that the band covers.

    The cover arrives with A = again · C a revolution earlier, and where it is fresh with the film of earlier shots; it
    leaves with C = keeps · A + takes · h. So (1 − keeps) A is laid down and takes · h is lifted, and on a long even
    film A settles at again · takes / (1 − again · keeps) of it, the pick-up that friction reckons with. Cover that
    touched nothing a revolution earlier is fresh too.
    """
    arriving = np.empty_like(under_m)
    leaving = np.empty_like(under_m)
    for first in range(0, under_m.size, cover.turn):
        here = slice(first, first + cover.turn)
        now = touched_m2[here]
        if first == 0:
            arriving[here] = earlier_m
        else:
            ago = slice(first - cover.turn, first - cover.turn + now.size)
            was = np.minimum(touched_m2[ago], now)
            again = cover.again * np.divide(was, now, out=np.zeros_like(now), where=now > 0.0)
            arriving[here] = again * leaving[ago] + (1.0 - again) * earlier_m
        leaving[here] = cover.keeps * arriving[here] + cover.takes * under_m[here]
    return arriving


class Rolled(NamedTuple):
    """What a shot moved, m³: net off the lane where it lifted more than it laid, net onto it where it laid more
    (`gained` (stations,), in all `laid`). `lifted` − `laid` is what it took away.
    """

    lifted: float
    laid: float
    gained: Floats


def roll(film_m: Floats, under: Band, earlier_m: float, cover: Cover) -> Rolled:
    """One shot over `film_m`, which is changed in place; `earlier_m` is the film on the ball from earlier shots."""
    height = film_m[under.row, under.node]
    touched = under.area.sum(axis=1)
    there = (height * under.area).sum(axis=1)
    mean = np.divide(there, touched, out=np.zeros_like(there), where=touched > 0.0)
    onto = (1.0 - cover.keeps) * exchange(mean, touched, earlier_m, cover)
    change = (onto[:, None] - cover.takes * height) * under.area
    film_m[under.row, under.node] += change / under.whole
    net = change.sum(axis=1)
    gained = np.maximum(net, 0.0)
    return Rolled(float(np.maximum(-net, 0.0).sum()), float(gained.sum()), gained)


def lay(film_m: Floats, under: Band, volume_m3: float, weight: Floats) -> float:
    """Lay `volume_m3` down under the band, station by station as `weight` (stations,) goes, and give what was laid;
    `film_m` is changed in place. Where no weight is left the whole path takes it; a ball that never touched the lane
    lays nothing.
    """
    touched = under.area.sum(axis=1)
    share = np.where(touched > 0.0, weight, 0.0)
    share = share if share.sum() > 0.0 else touched
    total = float(share.sum())
    if total <= 0.0:
        return 0.0
    per_area = volume_m3 / total * share / np.where(touched > 0.0, touched, 1.0)
    film_m[under.row, under.node] += per_area[:, None] * under.area / under.whole
    return volume_m3
