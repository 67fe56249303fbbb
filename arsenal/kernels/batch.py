"""Paths of a batch, block by block: marched, read as marks, and forgotten, so that memory stays flat."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from arsenal.kernels import march, marks
from arsenal.kernels.compiled import compiled
from arsenal.kernels.march import BUDGET, LANES, QUANTITIES, UX, UY, VX, VY, Contact, Film, Ints, Start, Terms

Floats = npt.NDArray[np.float64]
WIDE = LANES + 8
"""Rows a little longer than the lanes: a path read down its column then meets every set of the processor's cache."""


@compiled
def read_marks(
    first: int, last: int, film: Film, maps: Ints, start: Start, contact: Contact, terms: Terms,
    gravity: float, length: float, width: float, near: float, oil_end: Floats, out: Floats,
) -> None:  # fmt: skip
    """Marks of paths `first` to `last` (not included) into `out` (n × 15), see marks.NAMES."""
    flat = film.rows.ravel()
    steps = (film.along.shape[1] - 1) // 2
    block = np.ones(QUANTITIES * LANES)
    y, s, pull = np.empty((steps + 1, WIDE)), np.empty((steps + 1, WIDE)), np.empty((steps + 1, WIDE))
    for begin in range(first, last, LANES):
        count = min(LANES, last - begin)
        march.load(block, begin, count, start, contact, gravity)
        done = march.run(block, begin, count, film, flat, maps, terms, length, y, s, pull, False)
        for i in range(count):
            path = marks.Ridden(
                y[:, i], s[:, i], pull[:, i], done, length / steps, block[VX + i], block[VY + i], block[UX + i],
                block[UY + i], block[BUDGET + i],
            )  # fmt: skip
            marks.read(path, marks.Lane(length, width, oil_end[maps[begin + i]], near), out[begin + i])


@compiled
def stations(
    film: Film, maps: Ints, start: Start, contact: Contact, terms: Terms, gravity: float, length: float,
    y: Floats, s: Floats, pull: Floats,
) -> None:  # fmt: skip
    """y, s and pull of every path at the end of each step (steps + 1 × n), slid all the way."""
    flat = film.rows.ravel()
    steps = y.shape[0] - 1
    block = np.ones(QUANTITIES * LANES)
    one, two, three = np.empty((steps + 1, WIDE)), np.empty((steps + 1, WIDE)), np.empty((steps + 1, WIDE))
    for begin in range(0, y.shape[1], LANES):
        count = min(LANES, y.shape[1] - begin)
        march.load(block, begin, count, start, contact, gravity)
        march.run(block, begin, count, film, flat, maps, terms, length, one, two, three, True)
        for k in range(steps + 1):
            for i in range(count):
                y[k, begin + i], s[k, begin + i], pull[k, begin + i] = one[k, i], two[k, i], three[k, i]
