"""Where a bowler's lines land: a smooth table over laydown and launch, and the probability of a window on it."""

from __future__ import annotations

from collections.abc import Sequence
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
LAUNCH_STEP_RAD = 0.175 * DEGREE_RAD
REST_COARSER = 2
"""With these steps room agreed with 100,000 thrown shots within 0.006 on house films, 0.013 on a thin one."""
NEAR_M = 0.5 * BOARD_M
"""Between coarse nodes whose landings come so near the target a line may land on it."""
MARGIN_SD = 3.2
"""The table reaches this far outside the zone, so that scatter about its edge is still on it."""


def thrown(style: Style, body: Body, laydown_m: Floats, launch_rad: Floats) -> Throws:
    """This bowler's release of `body` on lines given as arrays of one shape (n,)."""
    laydown, launch = np.broadcast_arrays(np.asarray(laydown_m, float), np.asarray(launch_rad, float))
    alike = (
        style.speed_mps, style.rev_rate_radps, style.axis_rotation_rad, style.axis_tilt_rad, body.radius_m, body.rg_m,
    )  # fmt: skip
    speed, revs, rotation, tilt, radius, rg = (np.full(laydown.size, value) for value in alike)
    return Throws(speed, revs, rotation, tilt, launch, laydown, radius, rg)


def changed(throws: Throws, **fields_: Floats) -> Throws:
    """`throws` with some columns replaced."""
    return Throws(**{f.name: fields_.get(f.name, getattr(throws, f.name)) for f in fields(Throws)})


def joined(parts: Sequence[Throws]) -> Throws:
    """Throws one after the other."""
    return Throws(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Throws)))


@dataclass(frozen=True, slots=True)
class Nodes:
    """Laydowns and launches, each on even steps; what is told on them has the shape laydowns × launches."""

    laydown_m: Floats
    launch_rad: Floats

    @property
    def size(self) -> int:
        """How many lines."""
        return self.laydown_m.size * self.launch_rad.size

    def of(self, values: Floats) -> Floats:
        """Values told line by line (laydown first), in their shape."""
        return values.reshape(self.laydown_m.size, self.launch_rad.size)

    def throws(self, style: Style, body: Body) -> Throws:
        """This bowler's release of `body` on every line."""
        a, b = (m.ravel() for m in np.meshgrid(self.laydown_m, self.launch_rad, indexing="ij"))
        return thrown(style, body, a, b)


@dataclass(frozen=True, slots=True)
class Rest:
    """What scatter of speed, revs and rotation adds to the landing, metres: spread and shift of the mean."""

    nodes: Nodes
    sd_m: Floats
    shift_m: Floats


@dataclass(frozen=True, slots=True)
class Table:
    """Landing, nearest and farthest lateral place, entry angle; and what the rest of the release adds."""

    nodes: Nodes
    landing_m: Floats
    lowest_m: Floats
    highest_m: Floats
    entry_rad: Floats
    rest: Rest


@dataclass(frozen=True, slots=True)
class Plan:
    """The throws behind one table: every line once, then coarser nodes seven times over."""

    nodes: Nodes
    rest: Nodes
    throws: Throws

    def read(self, runs: Runs, first: int = 0) -> Table:
        """The table from its runs, which begin at `first`."""
        own = slice(first, first + self.throws.speed_mps.size)
        return self.made(
            np.stack([c[own] for c in (runs.landing_m, runs.lowest_m, runs.highest_m, runs.entry_rad)])
        )  # fmt: skip

    def made(self, marks: Floats) -> Table:
        """The table from landing, lowest, highest and entry of its throws (4, n)."""
        landing, lowest, highest, entry = (self.nodes.of(c) for c in marks[:, : self.nodes.size])
        ends = marks[0, self.nodes.size :].reshape(7, self.rest.size)
        up, down, middle = ends[1::2], ends[2::2], ends[0]
        sd = np.sqrt(((0.5 * (up - down)) ** 2).sum(axis=0))
        shift = (0.5 * (up + down) - middle).sum(axis=0)
        return Table(
            self.nodes, landing, lowest, highest, entry, Rest(self.rest, self.rest.of(sd), self.rest.of(shift))
        )


def plan(style: Style, body: Body, zone: Zone) -> Plan:
    """Every line of `zone` and a margin around it."""
    nodes, rest = _nodes(zone, style.scatter, 1), _nodes(zone, style.scatter, REST_COARSER)
    once = rest.throws(style, body)
    return Plan(nodes, rest, joined([nodes.throws(style, body), once, _nudged(style, once)]))


def about(style: Style, body: Body, line: Line) -> Plan:
    """A small table about one line: as far as scatter carries it."""
    return plan(style, body, Zone(line.lateral_m, line.lateral_m, line.launch_rad, line.launch_rad))


def table(bed: BedStack, body: Body, style: Style, grip: Grip) -> Table:
    """Every line of the bowler's zone and a margin around it."""
    return tables(bed, body, style, [grip.take(slice(0, 1))])[0]


def tables(bed: BedStack, body: Body, style: Style, grips: Sequence[Grip]) -> list[Table]:
    """`table` with each of several grips (of one path each), all in one batch."""
    if not grips:
        return []
    planned, count = plan(style, body, style.zone), len(grips)
    n = planned.throws.speed_mps.size
    thrown_ = Throws(*(np.tile(getattr(planned.throws, f.name), count) for f in fields(Throws)))
    runs = batch(bed, None, thrown_, Grip.join([g.repeat(n) for g in grips]), maps=np.zeros(1, np.intp))
    return [planned.read(runs, i * n) for i in range(count)]


def bands(bed: BedStack, body: Body, style: Style, grips: Sequence[Grip], target_m: float) -> list[Table]:
    """`tables` worked out only where lines may land on `target_m`, and as far about them as scatter carries; no numbers
    elsewhere. Coarse nodes say where that is.
    """
    if not grips:
        return []
    planned, held, one = plan(style, body, style.zone), Grip.join(grips), np.zeros(1, np.intp)
    size, rest = planned.nodes.size, planned.rest.size
    coarse = _taken(planned.throws, size + np.arange(rest))
    tiled = _taken(coarse, np.tile(np.arange(rest), len(grips)))
    first = batch(bed, None, tiled, held.repeat(rest), maps=one).landing_m.reshape(len(grips), rest)
    wanted = [_wanted(planned, style, planned.rest.of(landing), target_m) for landing in first]
    which = np.repeat(np.arange(len(grips)), [w.size for w in wanted])
    marks = np.empty((4, 0))
    if which.size:  # else nothing comes near
        runs = batch(bed, None, _taken(planned.throws, np.concatenate(wanted)), held.take(which), maps=one)
        marks = np.stack([runs.landing_m, runs.lowest_m, runs.highest_m, runs.entry_rad])
    ends = np.cumsum([w.size for w in wanted])[:-1]
    made = []
    for own, landing, columns in zip(wanted, first, np.split(marks, ends, axis=1), strict=True):
        whole = np.full((4, planned.throws.speed_mps.size), np.nan)
        whole[:, own] = columns
        whole[0, size : size + rest] = landing
        made.append(planned.made(whole))
    return made


def _taken(throws: Throws, index: np.ndarray) -> Throws:
    return Throws(*(getattr(throws, f.name)[index] for f in fields(Throws)))


def _wanted(planned: Plan, style: Style, landing_m: Floats, target_m: float) -> np.ndarray:
    """Which throws of a plan a line that lands on the target may take, told from the landings of its coarse nodes;
    those themselves not among them.
    """
    corners = [
        landing_m[a : a + landing_m.shape[0] - 1, b : b + landing_m.shape[1] - 1] for a in (0, 1) for b in (0, 1)
    ]
    low, high = np.minimum.reduce(corners), np.maximum.reduce(corners)
    near = (low <= target_m + NEAR_M) & (high >= target_m - NEAR_M)
    zone, s, rest = style.zone, style.scatter, planned.rest
    near &= _meets(rest.laydown_m, zone.lateral_low_m, zone.lateral_high_m)[:, None]
    near &= _meets(rest.launch_rad, zone.launch_low_rad, zone.launch_high_rad)[None, :]
    found = []
    for nodes in (planned.nodes, rest):
        across = _within(nodes.laydown_m, rest.laydown_m, float(LAYDOWN_AT[-1]) * s.laydown_m)
        turned = _within(nodes.launch_rad, rest.launch_rad, float(LAUNCH_AT[-1]) * s.launch_rad)
        found.append(np.flatnonzero(across @ near.astype(float) @ turned.T))
    fine, nudged = found
    first = planned.nodes.size + rest.size
    return np.concatenate([fine, *(first + k * rest.size + nudged for k in range(6))])


def _meets(nodes: Floats, low: float, high: float) -> np.ndarray:
    """Which steps between nodes touch the range."""
    return np.asarray((nodes[:-1] <= high) & (nodes[1:] >= low))


def _within(nodes: Floats, coarse: Floats, reach: float) -> Floats:
    """1 where a place in a coarse step, or as far from it as `reach`, may be read from a node (nodes × steps)."""
    far = reach + 2.0 * (nodes[1] - nodes[0])
    here = (nodes[:, None] >= coarse[None, :-1] - far) & (nodes[:, None] <= coarse[None, 1:] + far)
    return np.asarray(here, np.float64)


def any_line(bed: BedStack, body: Body, style: Style, grip: Grip, target_m: float, low_m: float, high_m: float) -> bool:
    """Whether some line of the zone lands on `target_m` and stays between `low_m` and `high_m`; on coarse steps."""
    nodes = _nodes(style.zone, style.scatter, 3)
    runs = batch(bed, None, nodes.throws(style, body), grip, maps=np.zeros(1, np.intp))
    found = roots(nodes, nodes.of(runs.landing_m), style.zone, target_m)
    low, high = (smooth(nodes, nodes.of(c), *found) for c in (runs.lowest_m, runs.highest_m))
    return bool(np.any((low >= low_m) & (high <= high_m)))


def _nudged(style: Style, throws: Throws) -> Throws:
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
    return joined(both)


def _nodes(zone: Zone, scatter: Scatter, coarse: int) -> Nodes:
    return Nodes(
        _even(zone.lateral_low_m, zone.lateral_high_m, LAYDOWN_STEP_M * coarse, MARGIN_SD * scatter.laydown_m),
        _even(zone.launch_low_rad, zone.launch_high_rad, LAUNCH_STEP_RAD * coarse, MARGIN_SD * scatter.launch_rad),
    )


def _even(low: float, high: float, step: float, margin: float) -> Floats:
    count = max(int(np.ceil((high - low + 2.0 * margin) / step)) + 1, 4)
    middle = 0.5 * (low + high)
    return middle + step * (np.arange(count, dtype=np.float64) - 0.5 * (count - 1))


def smooth(nodes: Nodes, values: Floats, laydown_m: Floats, launch_rad: Floats) -> Floats:
    """`values` told on `nodes` at any lines; laydown and launch broadcast (Keys 1981, third order)."""
    from arsenal.kernels import scatter  # noqa: PLC0415 - the compiler

    laydown, launch = np.broadcast_arrays(np.asarray(laydown_m, float), np.asarray(launch_rad, float))
    out = np.empty(laydown.size)
    scatter.smooth(
        nodes.laydown_m, nodes.launch_rad, _plain(values), _plain(laydown).ravel(), _plain(launch).ravel(), out
    )  # fmt: skip
    return out.reshape(laydown.shape)


def _plain(values: Floats) -> Floats:
    """A plain array of its own: a kernel is compiled anew for every other layout."""
    return np.array(values, np.float64, order="C")


def on_laydowns(
    nodes: Nodes, landing_m: Floats, zone: Zone, target_m: float, laydown_m: Floats
) -> tuple[Floats, Floats]:  # fmt: skip
    """(laydown, launch) of every line of the zone on these laydowns that lands on `target_m`; one may have several."""
    from arsenal.kernels import scatter  # noqa: PLC0415 - the compiler

    out = np.empty((2, laydown_m.size * nodes.launch_rad.size))
    count = scatter.cross(nodes.laydown_m, nodes.launch_rad, _plain(landing_m), _plain(laydown_m), target_m, out)
    laydown, launch = out[:, :count]
    here = (launch >= zone.launch_low_rad) & (launch <= zone.launch_high_rad)
    return laydown[here], launch[here]


def roots(nodes: Nodes, landing_m: Floats, zone: Zone, target_m: float) -> tuple[Floats, Floats]:
    """The same on every laydown of `nodes` that lies in the zone."""
    at = nodes.laydown_m
    inside = (at >= zone.lateral_low_m - 1e-9) & (at <= zone.lateral_high_m + 1e-9)
    return on_laydowns(nodes, landing_m, zone, target_m, at[inside])


LAUNCH_AT = np.linspace(-MARGIN_SD, MARGIN_SD, 33)
LAYDOWN_AT = np.linspace(-2.8, 2.8, 9)
LEAST_SD_M = 0.02 * BOARD_M


def _weights(at: Floats) -> Floats:
    density = np.exp(-0.5 * at * at)
    return np.asarray(density / density.sum())


def room(t: Table, scatter: Scatter, laydown_m: Floats, launch_rad: Floats, low_m: float, high_m: float) -> Floats:
    """Probability of landing between `low_m` and `high_m` on each line (n,) under the release's scatter.

    Fixed quadrature over laydown and launch on the smooth table; what speed, revs and rotation add at each of those
    lines is a normal with their first-order spread and second-order shift there.
    """
    from arsenal.kernels import scatter as kernel  # noqa: PLC0415 - the compiler

    out = np.empty(laydown_m.size)
    kernel.room(
        t.nodes.laydown_m, t.nodes.launch_rad, _plain(t.landing_m), t.rest.nodes.laydown_m, t.rest.nodes.launch_rad,
        _plain(t.rest.sd_m), _plain(t.rest.shift_m), _plain(laydown_m), _plain(launch_rad),
        scatter.laydown_m * LAYDOWN_AT, scatter.launch_rad * LAUNCH_AT, _weights(LAYDOWN_AT), _weights(LAUNCH_AT),
        low_m, high_m, LEAST_SD_M, out,
    )  # fmt: skip
    return out
