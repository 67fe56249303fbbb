"""Paths of a batch, block by block: marched, read as marks, and forgotten, so that memory stays flat."""

from __future__ import annotations

import numpy as np

from arsenal.kernels import march, marks
from arsenal.kernels.compiled import compiled
from arsenal.kernels.march import BUDGET, LANES, QUANTITIES, UX, UY, VX, VY, Terms
from arsenal.kernels.shapes import Contact, Film, Floats, Ints, Start, Stations

WIDE = LANES + 8
"""Rows a little longer than the lanes: a path read down its column then meets every set of the processor's cache."""


@compiled
def ride(
    first: int, last: int, film: Film, maps: Ints, start: Start, contact: Contact, terms: Terms,
    gravity: float, length: float, width: float, near: float, oil_end: Floats, out: Floats, kept: Stations,
) -> None:  # fmt: skip
    """Marks of paths `first` to `last` (not included) into `out` (n × 15), see shapes.MARKS.

    `kept` takes y, s and pull at the end of each step, slid all the way; arrays of no paths where nobody wants them.
    """
    flat = film.rows.ravel()
    steps = int(film.along.shape[1] - 1) // 2
    wanted = kept.y.shape[1] > 0
    block = np.ones(QUANTITIES * LANES)
    y, s, pull = np.empty((steps + 1, WIDE)), np.empty((steps + 1, WIDE)), np.empty((steps + 1, WIDE))
    for begin in range(first, last, LANES):
        count = min(LANES, last - begin)
        march.load(block, begin, count, start, contact, gravity)
        done = march.run(block, begin, count, film, flat, maps, terms, length, y, s, pull, wanted)
        for i in range(count):
            path = marks.Ridden(
                y, s, pull, i, done, length / steps, block[VX + i], block[VY + i], block[UX + i],
                block[UY + i], block[BUDGET + i],
            )  # fmt: skip
            marks.read(path, marks.Lane(length, width, oil_end[maps[begin + i]], near), out[begin + i])
        if wanted:
            for k in range(steps + 1):
                for i in range(count):
                    kept.y[k, begin + i], kept.s[k, begin + i] = y[k, i], s[k, i]
                    kept.pull[k, begin + i] = pull[k, i]
