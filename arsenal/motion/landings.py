"""Where a bowler's lines land: a smooth table over laydown and launch, and the probability of a window on it."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from arsenal.motion.batches import Runs, Throws, batch
from arsenal.motion.beds import BedStack
from arsenal.motion.grips import Grip
from arsenal.motion.records import Floats
from arsenal.trade.ball import Body
from arsenal.trade.release import Line, Scatter, Style, Zone
from arsenal.trade.units import BOARD_M, DEGREE_RAD

LAYDOWN_STEP_M = BOARD_M
LAUNCH_STEP_RAD = 0.35 * DEGREE_RAD
MARGIN_SD = 3.2
"""The table reaches this far outside the zone, so that scatter about its edge is still on it."""


def thrown(style: Style, body: Body, laydown_m: Floats, launch_rad: Floats) -> Throws:
    """This bowler's release of `body` on lines given as arrays of one shape (n,)."""
    n = np.broadcast(laydown_m, launch_rad).size
    values = (
        style.speed_mps, style.rev_rate_radps, style.axis_rotation_rad, style.axis_tilt_rad, launch_rad, laydown_m,
        body.radius_m, body.rg_m,
    )  # fmt: skip
    return Throws(*(np.broadcast_to(np.asarray(v, float), n) for v in values))


def changed(throws: Throws, **fields_: Floats) -> Throws:
    """`throws` with some columns replaced."""
    return Throws(**{f.name: fields_.get(f.name, getattr(throws, f.name)) for f in fields(Throws)})


@dataclass(frozen=True, slots=True)
class Table:
    """Landing, nearest and farthest lateral place (laydowns × launches), metres, on even steps."""

    laydown_m: Floats
    launch_rad: Floats
    landing_m: Floats
    lowest_m: Floats
    highest_m: Floats
    entry_rad: Floats


def table(bed: BedStack, body: Body, style: Style, grip: Grip, *, coarse: int = 1) -> Table:
    """Every line of the bowler's zone and a margin around it; `coarse` widens both steps."""
    nodes = _nodes(style.zone, style.scatter, coarse)
    a, b = (m.ravel() for m in np.meshgrid(*nodes, indexing="ij"))
    runs = batch(bed, None, thrown(style, body, a, b), grip, maps=np.zeros(1, np.intp))
    return table_of(nodes, runs, slice(None))


def table_of(nodes: tuple[Floats, Floats], runs: Runs, here: slice) -> Table:
    """The table whose lines, laydowns × launches, are the runs `here`."""
    laydown, launch = nodes
    columns = (runs.landing_m, runs.lowest_m, runs.highest_m, runs.entry_rad)
    return Table(laydown, launch, *(c[here].reshape(laydown.size, launch.size) for c in columns))


def about(style: Style, line: Line) -> tuple[Floats, Floats]:
    """Laydowns and launches of a small table about one line: as far as scatter carries it."""
    zone = Zone(line.lateral_m, line.lateral_m, line.launch_rad, line.launch_rad)
    return _nodes(zone, style.scatter, 1)


def _nodes(zone: Zone, scatter: Scatter, coarse: int) -> tuple[Floats, Floats]:
    return (
        _even(zone.lateral_low_m, zone.lateral_high_m, LAYDOWN_STEP_M * coarse, MARGIN_SD * scatter.laydown_m / coarse),
        _even(zone.launch_low_rad, zone.launch_high_rad, LAUNCH_STEP_RAD * coarse,
              MARGIN_SD * scatter.launch_rad / coarse),
    )  # fmt: skip


def _even(low: float, high: float, step: float, margin: float) -> Floats:
    count = max(int(np.ceil((high - low + 2.0 * margin) / step)) + 1, 4)
    middle = 0.5 * (low + high)
    return middle + step * (np.arange(count, dtype=np.float64) - 0.5 * (count - 1))


def _taps(nodes: Floats, at: Floats) -> tuple[Floats, list[Floats]]:
    """First of four nodes around each place, and their cubic-convolution weights (Keys 1981, third order)."""
    place = (at - nodes[0]) / (nodes[1] - nodes[0])
    i = np.clip(place.astype(np.intp), 1, nodes.size - 3)
    p = np.clip(place - i, -1.0, 2.0)
    p2, p3 = p * p, p * p * p
    return i - 1, [
        -0.5 * p + p2 - 0.5 * p3,
        1.0 - 2.5 * p2 + 1.5 * p3,
        0.5 * p + 2.0 * p2 - 1.5 * p3,
        -0.5 * p2 + 0.5 * p3,
    ]


def smooth(t: Table, values: Floats, laydown_m: Floats, launch_rad: Floats) -> Floats:
    """`values` of the table at any lines; laydown and launch broadcast."""
    i, across = _taps(t.laydown_m, np.asarray(laydown_m, float))
    j, turned = _taps(t.launch_rad, np.asarray(launch_rad, float))
    total = np.zeros(np.broadcast(i, j).shape)
    for a, wa in enumerate(across):
        for b, wb in enumerate(turned):
            total += wa * wb * values[i + a, j + b]
    return total


def roots(t: Table, zone: Zone, target_m: float) -> tuple[Floats, Floats]:
    """(laydown, launch) of every line of the zone that lands on `target_m`; a laydown may have several."""
    inside = (t.laydown_m >= zone.lateral_low_m - 1e-9) & (t.laydown_m <= zone.lateral_high_m + 1e-9)
    gap = t.landing_m - target_m
    i, j = np.nonzero((gap[:, :-1] <= 0.0) != (gap[:, 1:] <= 0.0))
    keep = inside[i]
    i, j = i[keep], j[keep]
    laydown = t.laydown_m[i]
    low, high = t.launch_rad[j].copy(), t.launch_rad[j + 1].copy()
    rising = gap[i, j + 1] > gap[i, j]
    for _ in range(12):
        middle = 0.5 * (low + high)
        over = (smooth(t, t.landing_m, laydown, middle) > target_m) == rising
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    launch = 0.5 * (low + high)
    here = (launch >= zone.launch_low_rad) & (launch <= zone.launch_high_rad)
    return laydown[here], launch[here]


def below(z: Floats) -> Floats:
    """Standard normal probability below z, to 1.5e-7 (Abramowitz & Stegun 7.1.26)."""
    x = np.abs(z) / np.sqrt(2.0)
    t = 1.0 / (1.0 + 0.3275911 * x)
    poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    tail = 0.5 * poly * np.exp(-x * x)
    return np.asarray(np.where(z > 0.0, 1.0 - tail, tail))


LAUNCH_AT = np.linspace(-MARGIN_SD, MARGIN_SD, 33)
LAYDOWN_AT = np.linspace(-2.8, 2.8, 9)


def _weights(at: Floats) -> Floats:
    density = np.exp(-0.5 * at * at)
    return np.asarray(density / density.sum())


def room(
    t: Table, scatter: Scatter, laydown_m: Floats, launch_rad: Floats, rest_sd_m: Floats, low_m: float, high_m: float
) -> Floats:
    """Probability of landing between `low_m` and `high_m` on each line (n,) under the release's scatter.

    Fixed quadrature over laydown and launch on the smooth table; what speed, revs and rotation add is a normal of
    `rest_sd_m` (n,), the first-order effect at the line.
    """
    across = laydown_m[:, None, None] + scatter.laydown_m * LAYDOWN_AT[None, :, None]
    turned = launch_rad[:, None, None] + scatter.launch_rad * LAUNCH_AT[None, None, :]
    landing = smooth(t, t.landing_m, across, turned)
    sd = np.maximum(rest_sd_m, 0.02 * BOARD_M)[:, None, None]
    inside = below((high_m - landing) / sd) - below((low_m - landing) / sd)
    return np.asarray(np.einsum("nij,i,j->n", inside, _weights(LAYDOWN_AT), _weights(LAUNCH_AT)))


def nudged(style: Style, throws: Throws) -> Throws:
    """`throws` (n,) six times over: speed up and down by one sd, then revs, then rotation."""
    s = style.scatter
    steps = {
        "speed_mps": s.speed_mps,
        "rev_rate_radps": s.revs_fraction * style.rev_rate_radps,
        "axis_rotation_rad": s.rotation_rad,
    }
    both = []
    for name, step in steps.items():
        both += [changed(throws, **{name: getattr(throws, name) + sign * step}) for sign in (1.0, -1.0)]
    return Throws(*(np.concatenate([getattr(b, f.name) for b in both]) for f in fields(Throws)))


def nudged_sd(landing_m: Floats, n: int) -> Floats:
    """Spread (n,) that the scatter behind `nudged` throws of n lines makes, from their landings (6n,)."""
    ends = landing_m.reshape(3, 2, n)
    return np.asarray(np.sqrt(((0.5 * (ends[:, 0] - ends[:, 1])) ** 2).sum(axis=0)))


def rest_sd(bed: BedStack, style: Style, throws: Throws, grip: Grip) -> Floats:
    """Spread of the landing (n,), metres, that scatter of speed, revs and rotation makes at each line."""
    landing = batch(bed, None, nudged(style, throws), grip, maps=np.zeros(1, np.intp)).landing_m
    return nudged_sd(landing, throws.speed_mps.size)
