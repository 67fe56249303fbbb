"""What one pad or recipe would do to one ball on this condition, in paired draws against the ball as it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from arsenal.motion.records import BestLine, Floats, NoLine, Trace
from arsenal.order import pad_life, words
from arsenal.order import rooms as own_rooms
from arsenal.order import shot as shots
from arsenal.order import whatif_words as said
from arsenal.order.compare import Reaction, overlap
from arsenal.order.parting import reaction
from arsenal.order.records import Order, PadResult
from arsenal.order.rooms import Lines
from arsenal.order.shot import Draws, Piece, Shot
from arsenal.surface import after_work, cuts, minutes
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.errors import NotFound
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, LANE_LENGTH_M

ALIKE_M = 1e-6 * BOARD_M
LEAST_COVER_M = 1e-9


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
    others_landing_m: Floats
    """(others, draws)"""
    place: int
    wipe_boards: float
    """What a towel alone would do, where the ball wants one."""
    reference_shape_m: float | None
    stock: Mapping[int, Pad]


@dataclass(frozen=True, slots=True)
class _Then:
    """One recipe worked out: state, path, and its row in the draws (row 0 is the ball as it is)."""

    recipe: Recipe
    state: SurfaceState
    trace: Trace
    row: int


def what_if(
    context_order: Order, bowler: Person, lane: Lane, set: Sequence[tuple[Ball, SurfaceState]],  # noqa: A002
    ball_id: int, recipes: Sequence[Recipe], pads: Iterable[Pad] | Mapping[int, Pad], priors: Priors, *,
    seed: int = 1, draws: int = 200, rooms: bool = True, taught: Mapping[int, BallFactors] = {},
) -> tuple[PadResult, ...]:  # fmt: skip
    """One PadResult a recipe, in the order of `recipes`, on the shared shot of `context_order`.

    The same normals move the ball before and after, so what is unknown of the ball and the lane cancels. `taught` is
    what practice shots have taught of balls, by id. Raises NotFound where the set does not hold the ball.
    """
    stock = dict(pads) if isinstance(pads, Mapping) else {pad.id: pad for pad in pads}
    shot = shots.shared_shot(bowler, lane, priors, line=context_order.line, seed=seed, draws=draws, taught=taught)
    now = _now(context_order, shot, set, ball_id, stock)
    states = [after_work(now.ball, now.state, recipe.steps, priors, pads=stock) for recipe in recipes]
    pieces = [shots.piece(shot, now.ball, now.state, now.normals)]
    pieces += [shots.worked_on(shot, now.ball, now.state, s, now.normals) for s in states]
    drawn = shots.throw(shot, pieces)
    lines = _lines(now, states, pieces[1:], asked=rooms and not now.ball.spare)
    thens = [
        _Then(recipe, s, shots.mean_trace(shot, now.ball, s), i + 1)
        for i, (recipe, s) in enumerate(zip(recipes, states, strict=True))
    ]
    return tuple(_result(now, then, drawn, lines) for then in thens)


def _now(
    context: Order, shot: Shot, owned: Sequence[tuple[Ball, SurfaceState]], ball_id: int, stock: Mapping[int, Pad]
) -> _Now:
    by_id = {ball.id: (ball, state) for ball, state in owned}
    if ball_id not in by_id:
        raise NotFound("That ball is not in this set.", next_step="Choose a ball of the set.")
    ball, state = by_id[ball_id]
    trace = shots.mean_trace(shot, ball, state)
    rows = [*context.rows, *context.spares]
    zero_m = next((r.trace.landing_m - r.boards * BOARD_M for r in rows), trace.landing_m)
    rivals = [r for r in context.rows if r.ball.id != ball_id]
    others = tuple((r.ball.name, reaction(r.ball.id, r.trace, zero_m)) for r in rivals)
    thrown = shots.throw(
        shot, [shots.piece(shot, r.ball, r.state, shots.rows_of(shot, r.ball, r.state)) for r in rivals]
    )
    return _Now(
        shot, ball, state, trace, shots.rows_of(shot, ball, state), zero_m, others, thrown.landing_m,
        _place(reaction(ball_id, trace, zero_m), others), _wipe_boards(shot, ball, state, trace),
        context.reference_shape_m, stock,
    )  # fmt: skip


def _lines(now: _Now, states: Sequence[SurfaceState], pieces: Sequence[Piece], *, asked: bool) -> Lines:
    return own_rooms.lines(now.shot, now.ball, now.state, states, pieces) if asked else Lines(None, (), (), ())


def _wipe_boards(shot: Shot, ball: Ball, state: SurfaceState, trace: Trace) -> float:
    if not shots.wants_wiping(shot, state):
        return 0.0
    wiped = shots.mean_trace(shot, ball, replace(state, film_m=ZERO))
    return (wiped.landing_m - trace.landing_m) / BOARD_M


def _place(own: Reaction, others: Sequence[tuple[str, Reaction]]) -> int:
    return 1 + sum(r.boards > own.boards + 1e-6 for _, r in others)


def _places(now: _Now, landing_m: Floats) -> tuple[int, int]:
    """10th and 90th percentile of the place, among the others in the same draws."""
    drawn = 1 + (now.others_landing_m > landing_m[None, :] + ALIKE_M).sum(axis=0)
    low, high = np.percentile(drawn, (10.0, 90.0), method="nearest")
    return int(low), int(high)


def _sd(marks: Floats, row: int) -> float:
    """Spread of the change of a mark over the paired draws that have it before and after."""
    both = marks[row] - marks[0]
    known = both[np.isfinite(both)]
    return float(known.std()) if known.size > 1 else 0.0


def _own_sd(marks: Floats) -> float:
    known = marks[np.isfinite(marks)]
    return float(known.std()) if known.size > 1 else 0.0


def _less(after: float | None, before: float | None, unread: float | None = None) -> float:
    """The change of a mark. One that does not exist counts as `unread`; without that nothing is said to change."""
    after, before = (unread if mark is None else mark for mark in (after, before))
    return after - before if after is not None and before is not None else 0.0


def _changes(now: _Now, then: _Then, drawn: Draws) -> dict[str, Estimate]:
    """Change in boards, and of first read, rolls at and shape (m), each ± its spread."""
    before, after, row = now.trace, then.trace, then.row
    reads = np.where(np.isnan(drawn.first_read_m), LANE_LENGTH_M, drawn.first_read_m)
    return {
        "boards": Estimate((after.landing_m - before.landing_m) / BOARD_M, _sd(drawn.landing_m, row) / BOARD_M),
        "first read": Estimate(_less(after.first_read_m, before.first_read_m, LANE_LENGTH_M), _sd(reads, row)),
        "rolls": Estimate(_less(after.rolls_m, before.rolls_m), _sd(drawn.rolls_m, row)),
        "shape": Estimate(_less(after.shape_m, before.shape_m), _sd(drawn.shape_m, row)),
    }


def _result(now: _Now, then: _Then, drawn: Draws, lines: Lines) -> PadResult:
    changed = _changes(now, then, drawn)
    stands = reaction(now.ball.id, then.trace, now.zero_m)
    place = 0 if now.ball.spare else _place(stands, now.others)
    low, high = (0, 0) if now.ball.spare else _places(now, drawn.landing_m[then.row])
    best, before = lines.then(then.row - 1), lines.now
    own, had = (found if isinstance(found, BestLine) else None for found in (best, before))
    takes, rolls_sd_m = minutes(then.recipe.steps), _own_sd(drawn.rolls_m[then.row])
    rolls_out = (own.trace if own else then.trace).rolls_out
    uses, cut = _pads(then.recipe, now.stock, now.shot.priors)
    return _pad_facts(now, then, PadResult(
        recipe=then.recipe, state=then.state, trace=then.trace, boards_change=changed["boards"],
        first_read_change_m=changed["first read"], rolls_change_m=changed["rolls"], place=place, minutes=takes,
        rolls_out=rolls_out, overlaps_with=tuple(r.ball_id for _, r in now.others if overlap(stands, r)),
        sentence=said.sentence(_told(now, then, place, stands, changed["boards"], rolls_sd_m, uses, best)),
        pad_uses=uses, cuts=cut, room=own.room if own else None,
        room_in_boards=own.room_in_boards if own else None, room_out_boards=own.room_out_boards if own else None,
        as_large_as_its_doubt=abs(changed["boards"].mean) > changed["boards"].sd,
        shape_change_m=changed["shape"], shape_word=words.shape_word(then.trace.shape_m, now.reference_shape_m),
        rolls_sd_m=rolls_sd_m, place_before=0 if now.ball.spare else now.place, place_low=low, place_high=high,
        room_before=had.room if had else None, room_in_boards_before=had.room_in_boards if had else None,
        room_out_boards_before=had.room_out_boards if had else None, room_sd=lines.room_sd(then.row - 1),
        rolls_out_share=lines.rolls_out_share(then.row - 1, rolls_out=rolls_out),
        unsure=tuple(name for name, by in changed.items() if abs(by.mean) <= by.sd),
    ))  # fmt: skip


def _told(
    now: _Now, then: _Then, place: int, stands: Reaction, boards: Estimate, rolls_sd_m: float, uses: float | None,
    best: BestLine | NoLine | None,
) -> said.Told:  # fmt: skip
    return said.Told(
        place=place, place_before=now.place, then=stands, others=now.others, boards=boards, rolls_m=then.trace.rolls_m,
        rolls_sd_m=rolls_sd_m, minutes=minutes(then.recipe.steps), uses=uses, best=best, spare=now.ball.spare,
    )  # fmt: skip


def _pad_facts(now: _Now, then: _Then, found: PadResult) -> PadResult:
    """What goes by the pads and the cover alone: warnings, uses left, what comes off, what to try first."""
    priors, before, after = now.shot.priors, now.state, then.state
    named = pad_life.pads_of(then.recipe.steps, now.stock)
    off = Estimate(
        max(after.cover_off_m.mean - before.cover_off_m.mean, 0.0),
        max(after.cover_off_m.sd - before.cover_off_m.sd, 0.0),
    )
    left = [pad_life.uses_left(pad, tool, priors) for pad, tool in named]
    done = any(pad_life.is_done(pad, priors) for pad, _ in named)
    minded = said.Minded(
        recipe=then.recipe, before=before, after=after, cut=found.cuts, wipe_boards=now.wipe_boards,
        rolls_out=found.rolls_out, rolls_out_share=found.rolls_out_share,
        used_up=any(pad.used_up for pad, _ in named),
    )  # fmt: skip
    return replace(
        found, warnings=said.warnings(minded), uses_left=min(left, key=lambda e: e.mean) if left else None,
        pad_done=done, cover_off_m=off, reversible=off.mean <= LEAST_COVER_M,
        way_back=said.way_back(before, after, off), gentler=said.gentler(then.recipe, before, now.stock),
    )  # fmt: skip


def _pads(recipe: Recipe, stock: Mapping[int, Pad], priors: Priors) -> tuple[float | None, float | None]:
    """Uses behind the last pad of the recipe, and the share of its first cut that the most worn one has left."""
    owned = pad_life.pads_of(recipe.steps, stock)
    if not owned:
        return None, None
    pad, _ = owned[-1]
    return pad.uses_hand + pad.uses_spinner, min(cuts(p, priors) for p, _ in owned)
