"""A bowler's set from strongest to weakest on one condition, with its doubt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from arsenal import motion
from arsenal.motion.records import BestLine, NoLine, Trace
from arsenal.order import compare, convergence, remarks, words
from arsenal.order import shot as shots
from arsenal.order.compare import Reaction
from arsenal.order.parting import Parting, part, reaction
from arsenal.order.records import Order, OrderRow, Remark
from arsenal.order.shot import Draws, Shot
from arsenal.order.stamps import stamp
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.factors import BallFactors
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M

Owned = tuple[Ball, SurfaceState]


@dataclass(frozen=True, slots=True)
class _Thrown:
    """One ball on the shared shot at the means, and its row in the draws."""

    ball: Ball
    state: SurfaceState
    trace: Trace
    index: int


def order(
    bowler: Person, lane: Lane, set: Sequence[Owned], priors: Priors, *,  # noqa: A002
    line: Line | None = None, seed: int = 1, draws: int = 200, rooms: bool = True,
    recipes: Sequence[Recipe] = (), pads: Mapping[int, Pad] = {}, taught: Mapping[int, BallFactors] = {},
) -> Order:  # fmt: skip
    """The set of (ball, state) in order on `lane`.

    `line` None takes the bowler's own line there, else the reference ball's best. `rooms` False leaves every ball's
    own line out. `recipes` are the pads at hand for “one pad would part them”. `taught` is what practice shots have
    taught of balls, by id. Raises KnownError without a release, OutOfRange for what no lane or ball can be.
    """
    owned = sorted({ball.id: (ball, state) for ball, state in set}.values(), key=lambda pair: pair[0].id)
    shot = shots.shared_shot(bowler, lane, priors, line=line, seed=seed, draws=draws, taught=taught)
    thrown = [_Thrown(b, s, shots.mean_trace(shot, b, s), i) for i, (b, s) in enumerate(owned)]
    drawn = shots.throw(shot, [shots.piece(shot, b, s, shots.rows_of(shot, b, s)) for b, s in owned])
    ref = shots.mean_trace(shot, *motion.reference(priors))
    benchmark, said = _benchmark(bowler, thrown)
    made = _Maker(shot, thrown, drawn, ref, benchmark, rooms)
    return made.order(bowler, lane, said, recipes, pads)


def _benchmark(bowler: Person, thrown: Sequence[_Thrown]) -> tuple[_Thrown | None, Remark | None]:
    """The bowler's benchmark, or the ball in the middle of the order with the remark that says so."""
    strikes = [t for t in thrown if not t.ball.spare]
    own = [t for t in strikes if t.ball.id == bowler.benchmark_ball_id]
    if own:
        return own[0], None
    if not strikes:
        return None, remarks.nothing_here(len(thrown))
    ordered = sorted(strikes, key=lambda t: (-t.trace.landing_m, t.ball.id))
    chosen = ordered[len(ordered) // 2]
    missing = [t.ball.name for t in thrown if t.ball.id == bowler.benchmark_ball_id]
    wanted = missing[0] if missing else ("The ball" if bowler.benchmark_ball_id is not None else None)
    return chosen, remarks.benchmark(chosen.ball, wanted)


class _Maker:
    """Everything an order's rows are made of."""

    def __init__(
        self, shot: Shot, thrown: Sequence[_Thrown], drawn: Draws, ref: Trace, benchmark: _Thrown | None, rooms: bool
    ) -> None:
        self.shot, self.thrown, self.drawn, self.ref, self.benchmark = shot, thrown, drawn, ref, benchmark
        self.rooms = rooms
        self.zero_m = benchmark.trace.landing_m if benchmark else ref.landing_m
        zero_draws = drawn.landing_m[benchmark.index] if benchmark else np.full(shot.draws, ref.landing_m)
        none = np.zeros(0)
        self.low, self.high, self.sd = compare.spread(drawn.landing_m, zero_draws) if thrown else (none, none, none)
        self.reactions = {t.ball.id: reaction(t.ball.id, t.trace, self.zero_m) for t in thrown}

    def order(
        self, bowler: Person, lane: Lane, said: Remark | None, recipes: Sequence[Recipe], pads: Mapping[int, Pad]
    ) -> Order:
        """The whole order."""
        strikes = {t.ball.id: t for t in self.thrown if not t.ball.spare}
        ordered = compare.strongest_first([self.reactions[i] for i in strikes])
        in_order = [strikes[r.ball_id] for r in ordered]
        pairs, gaps_after = compare.overlaps(ordered), compare.gaps(ordered)
        rows = self._rows(in_order, ordered, pairs)
        spares = tuple(self._row(t, 0, (), same=False) for t in self.thrown if t.ball.spare)
        groups = compare.groups([t.ball.id for t in in_order], pairs)
        partings = {g: self._part([strikes[i] for i in g], strikes, recipes, pads) for g in groups}
        aged = convergence.alarms(self.shot, [(t.ball, t.state) for t in in_order])
        told = remarks.all_of(rows, spares, groups, partings, gaps_after, lane, aged)
        if self.shot.said:
            told.insert(0, remarks.line(self.shot.said))
        if said:
            told.insert(0, said)
        shot, chosen = self.shot, self.benchmark
        return Order(
            bowler.id, lane.id, shot.line, shot.line_is_own, rows, spares, gaps_after, pairs, tuple(told),
            stamp(bowler, lane, shot.line, [(t.ball, t.state) for t in self.thrown], shot.priors,
                  seed=shot.seed, draws=shot.draws, taught=shot.taught),
            shot.bed.findings, chosen.ball.id if chosen else None, said is None, self.ref.shape_m,
        )  # fmt: skip

    def _rows(
        self, in_order: Sequence[_Thrown], ordered: Sequence[Reaction], pairs: Sequence[tuple[int, int]]
    ) -> tuple[OrderRow, ...]:
        ids = [t.ball.id for t in in_order]
        sure = compare.sureness(self.drawn.landing_m[[t.index for t in in_order]])
        tied = compare.ties(ids, sure)
        places = compare.places([r.boards for r in ordered])
        joined = {frozenset(p) for p in pairs}
        made = []
        for i, (t, place) in enumerate(zip(in_order, places, strict=True)):
            same = i > 0 and frozenset((ids[i - 1], ids[i])) in joined
            made.append(self._row(t, place, tied[t.ball.id], same=same))
        return tuple(made)

    def _row(self, t: _Thrown, place: int, tied: tuple[int, ...], *, same: bool) -> OrderRow:
        own = self.reactions[t.ball.id]
        bench = self.benchmark.trace if self.benchmark else self.ref
        best = shots.own_line(self.shot, t.ball, t.state) if self.rooms and not t.ball.spare else None
        return OrderRow(
            ball=t.ball, state=t.state, place=place, boards=own.boards,
            boards_low=float(self.low[t.index]), boards_high=float(self.high[t.index]),
            strength=self._strength(t.trace), trace=t.trace, first_read_m=t.trace.first_read_m,
            first_read_sd_m=_sd(self.drawn.first_read_m[t.index]), rolls_sd_m=_sd(self.drawn.rolls_m[t.index]),
            read_word=words.read_word(t.trace.first_read_m, bench.first_read_m),
            shape_word=words.shape_word(t.trace.shape_m, self.ref.shape_m),
            benchmark=self.benchmark is not None and t.ball.id == self.benchmark.ball.id, tied_with=tied,
            flags=self._flags(t, best, same=same), findings=(*t.state.findings, *_own_findings(t)),
            best=best, room=best.room if isinstance(best, BestLine) else None, boards_sd=float(self.sd[t.index]),
        )  # fmt: skip

    def _strength(self, trace: Trace) -> float | None:
        least = self.shot.priors.reference.least_hook_boards * BOARD_M
        return 100.0 * trace.hook_m / self.ref.hook_m if self.ref.hook_m >= least else None

    def _flags(self, t: _Thrown, best: BestLine | NoLine | None, *, same: bool) -> tuple[str, ...]:
        """Most pressing first; a screen shows one."""
        own = best.trace if isinstance(best, BestLine) else t.trace
        told = {
            "rolls out": own.rolls_out,
            "leaves lane": t.trace.left_lane_m is not None,
            "wipe": shots.wants_wiping(self.shot, t.state),
            "same as above": same,
            "plays straight": t.trace.breakpoint_m is None,
            "beyond": t.trace.rolls_m is not None and t.trace.rolls_m > LANE_LENGTH_M,
        }
        return tuple(flag for flag, true in told.items() if true)

    def _part(
        self, group: Sequence[_Thrown], strikes: Mapping[int, _Thrown], recipes: Sequence[Recipe],
        pads: Mapping[int, Pad],
    ) -> Parting | None:  # fmt: skip
        others = {i: self.reactions[i] for i in strikes}
        movable = [(t.ball, t.state) for t in group if self.benchmark is None or t.ball.id != self.benchmark.ball.id]
        return part(self.shot, movable, [t.ball.id for t in group], others, self.zero_m, recipes=recipes, pads=pads)


def _sd(values: np.ndarray) -> float:
    """Spread of a mark over the draws that have it; 0 where fewer than two do."""
    known = values[np.isfinite(values)]
    return float(known.std()) if known.size > 1 else 0.0


def _own_findings(t: _Thrown) -> tuple[Finding, ...]:
    if t.trace.left_lane_m is None:
        return ()
    where = f"{t.ball.name} leaves the lane at {t.trace.left_lane_m / FOOT_M:.0f} ft on this shot"
    text = f"{where}; its boards are told as if the lane went on."
    return (Finding("leaves-lane", text, Weight.NOTE),)
