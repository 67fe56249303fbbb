"""Many paths at once over shared stations: each window of the lane is solved by sweeps of the integral equations.

With distance as the variable, v₀ₓ s − ûₓ s²/2 = ∫ μ g dx gives s in closed form, and y = ∫ v_y/v_x dx; only the film
under the path ties the two together, weakly, so a few sweeps of quadrature settle a window (checked, not assumed).
The smooth motion is integrated without stopping at the slip budget; whoever reads the stations cuts it there.
SI; inputs are read only, outputs are new arrays (stations × paths).
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from arsenal.kernels.friction import INNER, OUTER

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

TOLERANCE_M = 2e-5
MOST_SWEEPS = 30
CHUNK = 384
SLOWEST_SHARE = 0.2


class Film(NamedTuple):
    """Film maps at the stations: height = `along[map, station]` × `rows[row_of[map, station]]` at y.

    `rows` (rows × nodes) holds heights in metres at evenly spaced `y = node × spacing_m`; edge values hold beyond.
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
    """What came out at each station (stations × paths): y, spent impulse s, pull μ g."""

    y: Floats
    s: Floats
    pull: Floats


@cache
def running_integral(intervals: int) -> Floats:
    """Matrix (intervals+1 square) that takes values at evenly spaced nodes to their running integral (unit spacing).

    Each interval uses the cubic through the four nearest nodes: fourth order, and a kink stays local.
    """
    size = intervals + 1
    steps = np.zeros((size, size))
    for i in range(intervals):
        first = min(max(i - 1, 0), size - 4)
        nodes = np.arange(first, first + 4)
        for j in nodes:
            others = [k for k in nodes if k != j]
            basis = np.poly1d(others, r=True) / np.prod([j - k for k in others])
            primitive = basis.integ()
            steps[i + 1, j] = primitive(i + 1) - primitive(i)
    return np.cumsum(steps, axis=0)


class _Window:
    """The integral equations of one window for one chunk of paths; arrays are (nodes × paths)."""

    def __init__(
        self, film: Film, maps: Ints, start: Start, contact: Contact, gravity: float, h: float, m: int
    ) -> None:
        self.film, self.maps, self.start, self.contact = film, maps, start, contact
        self.integral = running_integral(m) * h
        self.x = np.arange(m + 1)[:, None] * h
        self.wet = contact.mu_oil * gravity
        self.dry = contact.mu_dry * gravity - self.wet
        self.per_sigma = 1.0 / contact.sigma
        self.vx2, self.two_ux = start.vx**2, 2.0 * start.ux
        self.slowest = (SLOWEST_SHARE * np.minimum(start.vx, start.vx - start.ux * start.budget)) ** 2
        self.flat = np.ascontiguousarray(film.rows).ravel()
        self.nodes = film.rows.shape[1]
        self.per_spacing, self.last = 1.0 / film.spacing_m, film.rows.shape[1] - 1.0000001
        self.soaks = bool(np.any(contact.gain > 0.0))
        self.grow = np.exp(self.x / contact.gain_length) if self.soaks else np.ones(1)
        self.fade = contact.gain / contact.gain_length / self.grow if self.soaks else np.zeros(1)

    def place(self, k: int, m: int) -> None:
        """Read the film maps at stations k … k + m."""
        self.base = self.film.row_of[self.maps, k : k + m + 1].T * self.nodes
        self.along = self.film.along[self.maps, k : k + m + 1].T

    def pull(self, y: Floats, on_ball: Floats) -> tuple[Floats, Floats]:
        """μ g along the path y, and this shot's own film on the ball."""
        node = y * self.per_spacing
        np.minimum(node, self.last, out=node)
        np.maximum(node, 0.0, out=node)
        i = node.astype(np.intp)
        node -= i
        i += self.base
        film = self.flat.take(i)
        i += 1
        node *= self.flat.take(i) - film
        film += node
        film *= self.along
        own = self._own(film, on_ball) if self.soaks else on_ball
        film *= self.contact.film_scale
        film += self.contact.film_on_ball
        if self.soaks:
            film += own
            np.maximum(film, 0.0, out=film)  # quadrature over a jagged film may dip under nothing
        film *= self.per_sigma
        np.power(film, INNER, out=film)
        film += 1.0
        np.power(film, OUTER, out=film)
        film *= self.dry
        film += self.wet
        return film, own

    def _own(self, film: Floats, on_ball: Floats) -> Floats:
        own = self.integral @ (film * self.grow)
        own *= self.fade
        own += on_ball / self.grow
        return own

    def ride(self, pull: Floats, y: Floats, work: Floats) -> tuple[Floats, Floats, Floats]:
        """y, s and ∫μg dx at the nodes under a given pull, from `y` and `work` at the first node."""
        total = self.integral @ pull
        total += work
        vx = self.vx2 - self.two_ux * total
        np.maximum(vx, self.slowest, out=vx)
        np.sqrt(vx, out=vx)
        s = 2.0 * total / (vx + self.start.vx)
        slope = self.start.vy - self.start.uy * s
        slope /= vx
        path = self.integral @ slope
        path += y
        return path, s, total


class NotSettled(ArithmeticError):
    """The sweeps of a window do not close in on one path: the window is too long for so steep a film."""


def _settle(
    window: _Window, y: Floats, work: Floats, on_ball: Floats, guess: Floats, *, gently: bool
) -> tuple[Floats, ...]:
    """One window's y, s, ∫μg dx, μg and own film, from their values at its first node and a guess at the pull.

    `gently` goes half of each move and takes what it has in the end: for films that jump within a path's width.
    """
    path = window.ride(guess, y, work)[0]
    for _ in range(MOST_SWEEPS):
        pull, own = window.pull(path, on_ball)
        better, s, total = window.ride(pull, y, work)
        moved = float(np.abs(better - path).max())
        path = 0.5 * (path + better) if gently else better
        if moved < TOLERANCE_M:
            return path, s, total, pull, own
    if gently:
        return path, s, total, pull, own
    raise NotSettled(f"paths still move by {moved:g} m after {MOST_SWEEPS} sweeps")


def _chunk(window: _Window, start: Start, m: int, count: int, *, gently: bool = False) -> Stations:
    n = start.y.size
    out = Stations(*(np.empty((count, n)) for _ in range(3)))
    y, work, on_ball, pull = start.y, np.zeros(n), np.zeros(n), np.zeros((m + 1, n))
    for k in range(0, count - 1, m):
        window.place(k, m)
        path, s, total, pull, own = _settle(window, y, work, on_ball, pull, gently=gently)
        here = slice(k, k + m + 1)
        out.y[here], out.s[here], out.pull[here] = path, s, pull
        y, work, pull = path[-1], total[-1], np.broadcast_to(pull[-1], pull.shape)
        on_ball = own[-1] if window.soaks else on_ball
    return out


def _robust(
    film: Film, maps: Ints, start: Start, contact: Contact, gravity: float, h: float, m: int, count: int
) -> Stations:
    """A chunk by windows of m intervals, by shorter ones where a film is too steep for them."""
    lengths = [w for w in range(m, 2, -1) if m % w == 0]
    for intervals in lengths:
        window = _Window(film, maps, start, contact, gravity, h, intervals)
        try:
            return _chunk(window, start, intervals, count, gently=intervals == lengths[-1])
        except NotSettled:
            continue
    raise NotSettled("no window is short enough")


def march(
    film: Film, maps: Ints, start: Start, contact: Contact, gravity: float, length: float, intervals: int, windows: int
) -> Stations:
    """All paths (n,) over `windows` × `intervals` even intervals of `length` metres; `maps` (n,) picks each film."""
    count = windows * intervals + 1
    h = length / (count - 1)
    parts = []
    for first in range(0, start.y.size, CHUNK):
        cut = slice(first, first + CHUNK)
        begun, gripped = Start(*(a[cut] for a in start)), Contact(*(a[cut] for a in contact))
        parts.append(_robust(film, maps[cut], begun, gripped, gravity, h, intervals, count))
    if len(parts) == 1:
        return parts[0]
    return Stations(*(np.concatenate([p[i] for p in parts], axis=1) for i in range(3)))
