"""Asked the other way round: which recipe makes a ball read so much earlier, end so much stronger, or stand between two
others; the gentlest that does it, or that none does and which comes nearest.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from arsenal import motion
from arsenal.motion.records import Floats
from arsenal.order import shot as shots
from arsenal.order import words
from arsenal.order.compare import OVERLAP_BOARDS
from arsenal.order.records import Order, PadResult
from arsenal.order.whatif import what_if
from arsenal.surface import after_work, minutes
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M

NEAR_FT, NEAR_BOARDS = 0.5, 0.5
"""A change this near to the one asked for does it, or half of one under a foot or a board: nobody sees half a board
(common practice, no source)."""
MOST_FT, MOST_BOARDS = 30.0, 40.0
LISTED = 6


@dataclass(frozen=True, slots=True)
class Earlier:
    """First read so many feet earlier; negative is later."""

    feet: float


@dataclass(frozen=True, slots=True)
class More:
    """So many boards stronger at the pins on the shared shot; negative is weaker."""

    boards: float


@dataclass(frozen=True, slots=True)
class Between:
    """Between two other balls of the set: over 1½ boards from both where they stand far enough apart, else half way."""

    one_id: int
    other_id: int


Want = Earlier | More | Between


@dataclass(frozen=True, slots=True)
class Answer:
    """`does` is the gentlest recipe that does it, None where none in stock does; `nearest` is then the one that comes
    nearest. `others` are more recipes that do it, gentlest first.
    """

    want: Want
    does: PadResult | None
    nearest: PadResult | None
    others: tuple[PadResult, ...]
    sentence: str
    tried: int


@dataclass(frozen=True, slots=True)
class _Aim:
    """What is wanted as a range of one mark: of first read (ft, change) or of boards (change)."""

    low: float
    high: float
    by_read: bool
    said: str

    @property
    def middle(self) -> float:
        """What comes nearest to this comes nearest to what was asked."""
        return 0.5 * (self.low + self.high)

    def off(self, value: float) -> float:
        """How far outside the range; 0 within."""
        return max(self.low - value, value - self.high, 0.0)


@dataclass(frozen=True, slots=True)
class _Tried:
    """One recipe at the means."""

    recipe: Recipe
    off: float
    from_middle: float
    rolls_out: bool
    cover_m: float

    @property
    def harm(self) -> tuple[float, int, float]:
        """Least cover off, then fewest steps, then least minutes: what is gentler comes first."""
        return round(self.cover_m * 1e8), len(self.recipe.steps), minutes(self.recipe.steps)


def answer(
    context: Order, bowler: Person, lane: Lane, owned: Sequence[tuple[Ball, SurfaceState]], ball_id: int, want: Want,
    recipes: Sequence[Recipe], pads: Mapping[int, Pad], priors: Priors, *, seed: int = 1, draws: int = 200,
    taught: Mapping[int, BallFactors] = {},
) -> Answer:  # fmt: skip
    """The gentlest of `recipes` that does what is wanted; an over-surfaced ball is no answer. `taught` is what practice
    shots have taught of balls, by id. Raises NotFound where a ball is not in the set, KnownError for what cannot be
    wanted.
    """
    by_id = {ball.id: (ball, state) for ball, state in owned}
    if ball_id not in by_id:
        raise NotFound("That ball is not in this set.", next_step="Choose a ball of the set.")
    ball, state = by_id[ball_id]
    shot = shots.shared_shot(bowler, lane, priors, line=context.line, seed=seed, draws=1, taught=taught)
    states = [after_work(ball, state, r.steps, priors, pads=pads) for r in recipes]
    aim = _aim(want, context, ball, now_boards=_boards_of(context, ball_id))
    if aim.off(0.0) <= 0.0:
        return Answer(want, None, None, (), f"{ball.name} stands {aim.said} already: no pad is needed.", 0)
    tried = _tried(aim, _run(shot, ball, [state, *states]), recipes, [s.cover_off_m.mean - state.cover_off_m.mean
                                                                     for s in states])  # fmt: skip
    safe = [t for t in tried if not t.rolls_out]
    do = sorted((t for t in safe if t.off <= 0.0), key=lambda t: (t.harm, t.from_middle))
    near = sorted((t for t in safe or tried if t.off > 0.0), key=lambda t: (round(t.off, 2), t.harm))
    listed = [t.recipe for t in (*do[:LISTED], *near[:LISTED])]
    told = what_if(context, bowler, lane, owned, ball_id, listed, pads, priors, seed=seed, draws=draws, taught=taught)
    doing = [r for r in told[: len(do[:LISTED])] if not r.rolls_out]
    over = any(t.rolls_out and t.off <= 0.0 for t in tried) or len(doing) < len(do[:LISTED])
    if doing:
        return Answer(want, doing[0], None, tuple(doing[1:]), _does(aim, ball, doing[0]), len(tried))
    missing = told[len(do[:LISTED]) :]
    nearest = next((r for r in missing if not r.rolls_out), next(iter(missing), None))
    return Answer(want, None, nearest, (), _none(aim, ball, nearest, over=over), len(tried))


def _boards_of(context: Order, ball_id: int) -> float:
    return next(r.boards for r in (*context.rows, *context.spares) if r.ball.id == ball_id)


def _aim(want: Want, context: Order, ball: Ball, *, now_boards: float) -> _Aim:
    if isinstance(want, Earlier):
        if not math.isfinite(want.feet) or not 0.0 < abs(want.feet) <= MOST_FT:
            raise KnownError("Say how many feet earlier or later, up to 30.")
        way, near = "earlier" if want.feet > 0 else "later", min(NEAR_FT, 0.5 * abs(want.feet))
        return _Aim(-want.feet - near, -want.feet + near, True, f"{words.halves(want.feet)} ft {way}")
    if isinstance(want, More):
        if not math.isfinite(want.boards) or not 0.0 < abs(want.boards) <= MOST_BOARDS:
            raise KnownError("Say how many boards stronger or weaker, up to 40.")
        said = words.counted(want.boards) + (" stronger" if want.boards > 0 else " weaker")
        near = min(NEAR_BOARDS, 0.5 * abs(want.boards))
        return _Aim(want.boards - near, want.boards + near, False, said)
    return _between(want, context, ball, now_boards)


def _between(want: Between, context: Order, ball: Ball, now_boards: float) -> _Aim:
    rows = {r.ball.id: r for r in context.rows}
    if want.one_id not in rows or want.other_id not in rows:
        raise NotFound("A ball between two others needs both of them in the order.")
    if want.one_id == want.other_id or ball.id in (want.one_id, want.other_id):
        raise KnownError("A ball stands between two others: name two that are not it.")
    pair = sorted((rows[want.one_id], rows[want.other_id]), key=lambda r: r.boards)
    low, high = pair[0].boards, pair[1].boards
    keep = min(OVERLAP_BOARDS, max(0.5 * (high - low) - 0.25, 0.0))
    said = f"between {pair[1].ball.name} and {pair[0].ball.name}, clear of both"
    return _Aim(low + keep - now_boards, high - keep - now_boards, False, said)


def _run(shot: shots.Shot, ball: Ball, states: Sequence[SurfaceState]) -> tuple[Floats, Floats, Sequence[bool]]:
    """Landing in boards, first read in feet and whether it rolls out, all states of the ball in one batch."""
    grips = [shot.grip(ball, s) for s in states]
    bodies = [motion.body_of(ball, s) for s in states]
    runs = motion.batch(shot.bed, bodies, shot.style.on(shot.line), motion.Grip.join(grips))
    reads = runs.first_read_m.copy()
    reads[reads != reads] = LANE_LENGTH_M  # noqa: PLR0124 -- one that never reads counts as reading at the pins
    return runs.landing_m / BOARD_M, reads / FOOT_M, [bool(out) for out in runs.rolls_out]


def _tried(
    aim: _Aim, run: tuple[Floats, Floats, Sequence[bool]], recipes: Sequence[Recipe], cover_m: Sequence[float]
) -> list[_Tried]:  # fmt: skip
    boards, feet, out = run
    marks = feet if aim.by_read else boards
    made = []
    for i, recipe in enumerate(recipes, 1):
        change = float(marks[i] - marks[0])
        rolls_out = out[i] and not out[0]
        made.append(_Tried(recipe, aim.off(change), abs(change - aim.middle), rolls_out, max(cover_m[i - 1], 0.0)))
    return made


def _by(aim: _Aim, result: PadResult) -> Estimate:
    if not aim.by_read:
        return result.boards_change
    read = result.first_read_change_m
    return Estimate(read.mean / FOOT_M, read.sd / FOOT_M)


def _amount(aim: _Aim, result: PadResult) -> str:
    by = _by(aim, result)
    if aim.by_read:
        way = "earlier" if by.mean < 0.0 else "later"
        return f"{words.amount(by.mean, by.sd)} ± {words.doubt(by.sd)} ft {way}"
    way = "stronger" if by.mean >= 0.0 else "weaker"
    return f"{words.amount(by.mean, by.sd)} ± {words.doubt(by.sd)} boards {way}"


def _unsure(aim: _Aim, result: PadResult) -> str:
    by = _by(aim, result)
    return " The doubt is as large as the change." if abs(by.mean) <= by.sd else ""


def _does(aim: _Aim, ball: Ball, found: PadResult) -> str:
    return (
        f"{found.recipe.name} on {ball.name} does it, the gentlest of those in stock: {aim.said} was asked, "
        f"it gives {_amount(aim, found)}.{_unsure(aim, found)}"
    )


def _none(aim: _Aim, ball: Ball, found: PadResult | None, *, over: bool) -> str:
    said = f"Nothing in stock makes {ball.name} stand {aim.said}." if aim.said.startswith("between") else (
        f"Nothing in stock makes {ball.name} {aim.said}."
    )  # fmt: skip
    if found is None:
        return said
    if over:
        said += " What would reach it rolls out too early."
    return f"{said} {found.recipe.name} comes nearest: {_amount(aim, found)}.{_unsure(aim, found)}"
