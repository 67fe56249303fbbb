"""What a batch of paths is made of: arrays in SI that the compiled kernels read and fill."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
MARKS = (
    "landing", "quarter", "half", "three_quarter", "rolls", "turn", "turn_y", "flat", "entry", "left_at_oil_end",
    "left_at_pins", "speed_at_pins", "left_lane", "lowest", "highest",
)  # fmt: skip
"""The marks of one path in the order they are read: metres, radians, m/s, shares; `flat` is a length."""


class Film(NamedTuple):
    """Film maps at the stations: height = `along[map, station]` × `rows[row_of[map, station]]` at y.

    `rows` (rows × nodes) holds heights in metres at evenly spaced `y = node × spacing_m`; edge values hold beyond.
    Stations are evenly spaced: both ends of each step and its middle.
    """

    rows: Floats
    row_of: Ints
    along: Floats
    spacing_m: float


class Contact(NamedTuple):
    """Friction of each path (n,): μ dry and on oil, σ (m), factor on the lane's film, film left on the ball (m),
    settled share of the lane's film that this shot's own pick-up reaches, and the length it needs (m). That film was
    picked up where the ball went, so it is a first-order filter along the path, not at one board.
    """

    mu_dry: Floats
    mu_oil: Floats
    sigma: Floats
    film_scale: Floats
    film_on_ball: Floats
    gain: Floats
    gain_length: Floats


class Start(NamedTuple):
    """Where and how each path starts (n,): lateral y, velocity, unit slip direction, slip budget."""

    y: Floats
    vx: Floats
    vy: Floats
    ux: Floats
    uy: Floats
    budget: Floats


class Stations(NamedTuple):
    """What came out at the end of each step (steps + 1 × paths): y, spent impulse s, pull μ g."""

    y: Floats
    s: Floats
    pull: Floats
