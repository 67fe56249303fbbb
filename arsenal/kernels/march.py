"""Many paths at once: the reduced model by the classical Runge–Kutta method over even steps of distance.

State y, s and own film w of each path, x down the lane:
    dy/dx = v_y/v_x,  ds/dx = μ g/v_x,  dw/dx = (gain·h − w)/length,  v = v₀ − û s,
    μ = ξ(λ) μ_dry + (1 − ξ) μ_oil,  λ = (scale·h + left + w)/σ,  h the lane's film at (x, y).
The smooth motion is stepped past the slip budget; whoever reads the stations cuts it there.

Paths go side by side in blocks of LANES: all that belongs to a block lies in one flat array, quantity after quantity,
so that the compiler sees that no two overlap and works on several paths at once. SI; inputs are read only.
"""

from __future__ import annotations

import math

import numpy as np

from arsenal.kernels.compiled import compiled
from arsenal.kernels.shapes import Contact, Film, Floats, Ints, Start

Terms = tuple[float, ...]

LANES = 64
SLOWEST_SHARE = 0.2
"""Of the launch speed: below it a path is no longer a shot, and distance no good variable."""


(
    Y, S, W, VX, VY, UX, UY, BUDGET, SLOWEST, DRY, WET, SCALE, LEFT, GAIN, PER_LENGTH,
    AT_Y, AT_S, AT_W, SUM_Y, SUM_S, SUM_W, NODE, SHARE, FILM, NEXT, ALONG, PULL,
) = (LANES * i for i in range(27))  # fmt: skip
QUANTITIES = 27


@compiled
def load(block: Floats, first: int, count: int, start: Start, contact: Contact, gravity: float) -> None:
    """Fill the block with paths `first` … `first + count`; films in units of σ, friction as pull."""
    for i in range(count):
        path = first + i
        per_sigma = 1.0 / contact.sigma[path]
        block[Y + i], block[S + i], block[W + i] = start.y[path], 0.0, 0.0
        block[VX + i], block[VY + i] = start.vx[path], start.vy[path]
        block[UX + i], block[UY + i] = start.ux[path], start.uy[path]
        block[BUDGET + i] = start.budget[path]
        end = start.vx[path] - start.ux[path] * start.budget[path]
        block[SLOWEST + i] = SLOWEST_SHARE * min(start.vx[path], end)
        block[WET + i] = contact.mu_oil[path] * gravity
        block[DRY + i] = (contact.mu_dry[path] - contact.mu_oil[path]) * gravity
        block[SCALE + i] = contact.film_scale[path] * per_sigma
        block[LEFT + i] = contact.film_on_ball[path] * per_sigma
        block[GAIN + i] = contact.gain[path] * per_sigma
        block[PER_LENGTH + i] = 1.0 / contact.gain_length[path]


@compiled
def begin(block: Floats, count: int) -> None:
    """A step starts where the last one ended."""
    for i in range(count):
        block[AT_Y + i], block[AT_S + i], block[AT_W + i] = block[Y + i], block[S + i], block[W + i]
        block[SUM_Y + i], block[SUM_S + i], block[SUM_W + i] = 0.0, 0.0, 0.0


@compiled
def look(block: Floats, first: int, count: int, film: Film, flat: Floats, maps: Ints, station: int) -> None:
    """The film's nodes either side of each path at a station."""
    nodes = film.rows.shape[1]
    per_spacing, last = 1.0 / film.spacing_m, nodes - 1.0000001
    for i in range(count):
        place = block[AT_Y + i] * per_spacing
        place = 0.0 if place < 0.0 else place
        place = last if place > last else place
        node = np.floor(place)
        block[NODE + i], block[SHARE + i] = node, place - node
    if film.along.shape[0] == 1:
        row, along = film.row_of[0, station] * nodes, film.along[0, station]
        for i in range(count):
            k = np.intp(block[NODE + i]) + row
            block[FILM + i], block[NEXT + i], block[ALONG + i] = flat[k], flat[k + 1], along
        return
    for i in range(count):
        lane = maps[first + i]
        k = np.intp(block[NODE + i]) + film.row_of[lane, station] * nodes
        block[FILM + i], block[NEXT + i], block[ALONG + i] = flat[k], flat[k + 1], film.along[lane, station]


@compiled
def rates(block: Floats, count: int, terms: Terms, weight: float, ahead: float) -> None:
    """Add the rates at the place looked at, times `weight`, to the step's sum; look `ahead` metres along them next."""
    t0, t1, t2, t3, t4, t5, t6, t7, t8, t9, t10, t11, t12 = terms
    for i in range(count):
        s, w = block[AT_S + i], block[AT_W + i]
        film = (block[FILM + i] + (block[NEXT + i] - block[FILM + i]) * block[SHARE + i]) * block[ALONG + i]
        ratio = film * block[SCALE + i] + block[LEFT + i] + w
        ratio = 0.0 if ratio < 0.0 else ratio
        vx = block[VX + i] - block[UX + i] * s
        vx = vx if vx > block[SLOWEST + i] else block[SLOWEST + i]
        both = 1.0 / ((1.0 + ratio) * vx)  # one division for two
        rest, per_vx = both * vx, both * (1.0 + ratio)
        r = math.sqrt(ratio * rest)
        high = t6 + r * (t7 + r * (t8 + r * (t9 + r * (t10 + r * (t11 + r * t12)))))
        series = t0 + r * (t1 + r * (t2 + r * (t3 + r * (t4 + r * (t5 + r * high)))))
        pull = block[DRY + i] * (series * rest * rest) + block[WET + i]
        dy, ds = (block[VY + i] - block[UY + i] * s) * per_vx, pull * per_vx
        dw = (block[GAIN + i] * film - w) * block[PER_LENGTH + i]
        block[PULL + i] = pull
        block[SUM_Y + i] += weight * dy
        block[SUM_S + i] += weight * ds
        block[SUM_W + i] += weight * dw
        block[AT_Y + i] = block[Y + i] + ahead * dy
        block[AT_S + i] = block[S + i] + ahead * ds
        block[AT_W + i] = block[W + i] + ahead * dw


@compiled
def finish(block: Floats, count: int, sixth: float) -> None:
    """The step's end from its sum."""
    for i in range(count):
        block[Y + i] += sixth * block[SUM_Y + i]
        block[S + i] += sixth * block[SUM_S + i]
        block[W + i] += sixth * block[SUM_W + i]


@compiled
def keep(block: Floats, count: int, step: int, y: Floats, s: Floats, pull: Floats) -> None:
    """Write y, s and the pull at the step's first end, the last rates looked at."""
    for i in range(count):
        y[step, i], s[step, i], pull[step, i] = block[Y + i], block[S + i], block[PULL + i]


@compiled
def all_roll(block: Floats, count: int) -> bool:
    """Whether every path of the block has spent its slip."""
    slides = 0
    for i in range(count):
        slides += block[S + i] < block[BUDGET + i]
    return slides == 0


@compiled
def run(
    block: Floats, first: int, count: int, film: Film, flat: Floats, maps: Ints, terms: Terms, length: float,
    y: Floats, s: Floats, pull: Floats, to_the_end: bool,
) -> int:  # fmt: skip
    """March a loaded block; fills y, s, pull (steps + 1 × LANES) and returns the last step filled."""
    steps = int(film.along.shape[1] - 1) // 2
    h = length / steps
    for step in range(steps + 1):
        begin(block, count)
        look(block, first, count, film, flat, maps, 2 * step)
        rates(block, count, terms, 1.0, 0.5 * h)
        keep(block, count, step, y, s, pull)
        if step == steps or (all_roll(block, count) and not to_the_end):
            return step
        look(block, first, count, film, flat, maps, 2 * step + 1)
        rates(block, count, terms, 2.0, 0.5 * h)
        look(block, first, count, film, flat, maps, 2 * step + 1)
        rates(block, count, terms, 2.0, h)
        look(block, first, count, film, flat, maps, 2 * step + 2)
        rates(block, count, terms, 1.0, 0.0)
        finish(block, count, h / 6.0)
    return steps
