"""What one pad or recipe would do to one ball on this condition, in paired draws against the ball as it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from arsenal.motion.records import BestLine, Floats, NoLine, Trace
from arsenal.order import shot as shots
from arsenal.order import whatif_words as said
from arsenal.order.compare import Reaction, overlap
from arsenal.order.parting import reaction
from arsenal.order.records import Order, PadResult
from arsenal.order.shot import Draws, Shot
from arsenal.surface import after_work, cuts, minutes
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Tool
from arsenal.trade.errors import NotFound
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, LANE_LENGTH_M


@dataclass(frozen=True, slots=True)
class _Now:
    """The ball as it is, and everything it is told against."""

    shot: Shot
    ball: Ball
    state: SurfaceState
    trace: Trace
    normals: Floats
    zero_m: float
    others: tuple[tuple[str, Reaction], ...]
    place: int
    wipe_boards: float
    """What a towel alone would do, where the ball wants one."""


def what_if(
    context_order: Order, bowler: Person, lane: Lane, set: Sequence[tuple[Ball, SurfaceState]],  # noqa: A002
    ball_id: int, recipes: Sequence[Recipe], pads: Iterable[Pad] | Mapping[int, Pad], priors: Priors, *,
    seed: int = 1, draws: int = 200, rooms: bool = True,
) -> tuple[PadResult, ...]:  # fmt: skip
    """One PadResult a recipe, in the order of `recipes`, on the shared shot of `context_order`.

    The same normals move the ball before and after, so what is unknown of the ball and the lane cancels. Raises
    NotFound where the set does not hold the ball.
    """
    stock = dict(pads) if isinstance(pads, Mapping) else {pad.id: pad for pad in pads}
    shot = shots.shared_shot(bowler, lane, priors, line=context_order.line, seed=seed, draws=draws)
    now = _now(context_order, shot, set, ball_id)
    states = [after_work(now.ball, now.state, recipe.steps, priors, pads=stock) for recipe in recipes]
    pieces = [shots.piece(shot, now.ball, now.state, now.normals)]
    pieces += [shots.worked_on(shot, now.ball, now.state, s, now.normals) for s in states]
    drawn = shots.throw(shot, pieces)
    return tuple(
        _result(now, recipe, state, _change(drawn, i + 1), stock, rooms=rooms)
        for i, (recipe, state) in enumerate(zip(recipes, states, strict=True))
    )


def _now(context: Order, shot: Shot, owned: Sequence[tuple[Ball, SurfaceState]], ball_id: int) -> _Now:
    by_id = {ball.id: (ball, state) for ball, state in owned}
    if ball_id not in by_id:
        raise NotFound("That ball is not in this set.", next_step="Choose a ball of the set.")
    ball, state = by_id[ball_id]
    trace = shots.mean_trace(shot, ball, state)
    rows = [*context.rows, *context.spares]
    zero_m = next((r.trace.landing_m - r.boards * BOARD_M for r in rows), trace.landing_m)
    others = tuple(
        (r.ball.name, reaction(r.ball.id, r.trace, zero_m)) for r in context.rows if r.ball.id != ball_id
    )  # fmt: skip
    normals, place = shots.normals_of(ball_id, shot.seed, shot.draws), _place(reaction(ball_id, trace, zero_m), others)
    return _Now(shot, ball, state, trace, normals, zero_m, others, place, _wipe_boards(shot, ball, state, trace))


def _wipe_boards(shot: Shot, ball: Ball, state: SurfaceState, trace: Trace) -> float:
    if not shots.wants_wiping(shot, state):
        return 0.0
    wiped = shots.mean_trace(shot, ball, replace(state, film_m=ZERO))
    return (wiped.landing_m - trace.landing_m) / BOARD_M


def _place(own: Reaction, others: Sequence[tuple[str, Reaction]]) -> int:
    return 1 + sum(r.boards > own.boards + 1e-6 for _, r in others)


def _change(drawn: Draws, row: int) -> tuple[float, float, float]:
    """Spreads of the change in boards, first read (m) and rolls at (m) over the paired draws."""

    def sd(marks: Floats) -> float:
        both = marks[row] - marks[0]
        known = both[np.isfinite(both)]
        return float(known.std()) if known.size > 1 else 0.0

    reads = np.where(np.isnan(drawn.first_read_m), LANE_LENGTH_M, drawn.first_read_m)
    return sd(drawn.landing_m) / BOARD_M, sd(reads), sd(drawn.rolls_m)


def _less(after: float | None, before: float | None, unread: float | None = None) -> float:
    """The change of a mark. One that does not exist counts as `unread`; without that nothing is said to change."""
    after, before = (unread if mark is None else mark for mark in (after, before))
    return after - before if after is not None and before is not None else 0.0


def _result(
    now: _Now, recipe: Recipe, state: SurfaceState, sd: tuple[float, float, float], stock: Mapping[int, Pad], *,
    rooms: bool,
) -> PadResult:  # fmt: skip
    shot = now.shot
    trace = shots.mean_trace(shot, now.ball, state)
    best: BestLine | NoLine | None = shots.own_line(shot, now.ball, state) if rooms and not now.ball.spare else None
    own = best if isinstance(best, BestLine) else None
    then = reaction(now.ball.id, trace, now.zero_m)
    boards = Estimate((trace.landing_m - now.trace.landing_m) / BOARD_M, sd[0])
    place = 0 if now.ball.spare else _place(then, now.others)
    rolls_out = (own.trace if own else trace).rolls_out
    uses, cut = _pads(recipe, stock, shot.priors)
    told = said.Told(
        place=place, place_before=now.place, then=then, others=now.others, boards=boards, rolls_m=trace.rolls_m,
        rolls_sd_m=sd[2], minutes=minutes(recipe.steps), uses=uses, best=best, spare=now.ball.spare,
    )  # fmt: skip
    return PadResult(
        recipe=recipe, state=state, trace=trace, boards_change=boards,
        first_read_change_m=Estimate(_less(trace.first_read_m, now.trace.first_read_m, LANE_LENGTH_M), sd[1]),
        rolls_change_m=Estimate(_less(trace.rolls_m, now.trace.rolls_m), sd[2]), place=place,
        minutes=told.minutes, rolls_out=rolls_out,
        overlaps_with=tuple(r.ball_id for _, r in now.others if overlap(then, r)),
        sentence=said.sentence(told),
        warnings=said.warnings(recipe, now.state, state, cut, now.wipe_boards, rolls_out=rolls_out),
        pad_uses=uses, cuts=cut, room=own.room if own else None,
        room_in_boards=own.room_in_boards if own else None, room_out_boards=own.room_out_boards if own else None,
        as_large_as_its_doubt=abs(boards.mean) > boards.sd,
    )  # fmt: skip


def _pads(recipe: Recipe, stock: Mapping[int, Pad], priors: Priors) -> tuple[float | None, float | None]:
    """Uses behind the last pad of the recipe, and the share of its first cut that the most worn one has left."""
    owned = [(stock[s.pad_id], s.tool) for s in recipe.steps if s.pad_id is not None and s.pad_id in stock]
    if not owned:
        return None, None
    pad, tool = owned[-1]
    uses = pad.uses_hand if tool is Tool.HAND else pad.uses_spinner
    return uses, min(cuts(p, priors) for p, _ in owned)
