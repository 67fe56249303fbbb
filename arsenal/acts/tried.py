"""A ball not owned yet takes its place in the order before anybody pays; nothing is written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

from arsenal.acts import checks, lane_side, recipes
from arsenal.acts.shop import Shop
from arsenal.motion.records import BestLine
from arsenal.order import order
from arsenal.order import words as say
from arsenal.order.compare import Reaction, overlap
from arsenal.order.records import Order, OrderRow
from arsenal.surface import after_work, fold
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Kind, New, Step
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import OPENERS, Recipe, label
from arsenal.trade.units import FOOT_M

TRIED_ID = -1
"""No kept ball has a number under 1."""


@dataclass(frozen=True, slots=True)
class TriedBall:
    """A ball that is only being tried, against the set: its row, the whole order with it, and what it would be like."""

    row: OrderRow
    order: Order
    finish: str
    alike: tuple[str, ...]
    """Names of the bowler's own balls that it overlaps."""
    sentence: str

    @property
    def state(self) -> SurfaceState:
        """Its surface as it is taken to be."""
        return self.row.state


def try_ball(
    shop: Shop, bowler_id: int, lane_id: int | None, ball: Ball, recipe: Recipe | None = None, *,
    box: tuple[Step, ...] = (), rooms: bool = True,
) -> TriedBall:  # fmt: skip
    """`ball` (its id and owner are not looked at) as if the bowler had it new: with its `box` finish as stated, then
    with `recipe` done to it; without either the usual opener of its cover. Raises OutOfRange, KnownError for what no
    ball or step can be and without a throw, NotFound.
    """
    new = replace(ball, id=TRIED_ID, owner_id=bowler_id, name=checks.name(ball.name, "ball"))
    checks.ball(new)
    if new.spare:
        raise KnownError("A spare ball has no place in the order.", next_step="Try it as a strike ball.")
    done = recipe if recipe is not None or box else OPENERS[new.cover]
    state = _state(shop, new, box, done)
    side = lane_side.lane_side(shop, bowler_id, lane_id, rooms=False)
    had = tuple((r.ball, r.state) for r in (*side.order.rows, *side.order.spares))
    lane, priors = lane_side.lane_and_priors(shop, side)
    stamp, line, known = side.order.stamp, side.order.line, lane_side.known_of(shop, side)
    benchmark = side.bowler.benchmark_ball_id or side.order.benchmark_ball_id
    bowler = replace(known.bowler, benchmark_ball_id=benchmark)

    def make() -> Order:
        return order(
            bowler, lane, (*had, (new, state)), priors, line=line, seed=stamp.seed, draws=stamp.draws, rooms=rooms,
            taught=known.taught,
        )  # fmt: skip

    found = shop.remembered(("tried", had, new, state, known.key, bowler, lane, line, stamp, rooms), make)
    row = next(r for r in found.rows if r.ball.id == TRIED_ID)
    own = _reaction(row)
    alike = tuple(r.ball.name for r in found.rows if r is not row and overlap(own, _reaction(r)))
    finish = label((*box, *(done.steps if done else ())))
    return TriedBall(row, found, finish, alike, _sentence(row, finish, alike, opener=recipe is None and not box))


def _state(shop: Shop, ball: Ball, box: tuple[Step, ...], done: Recipe | None) -> SurfaceState:
    checks.steps(box)
    today, at = shop.today(), datetime(2000, 1, 1, tzinfo=UTC)
    came = Entry(1, TRIED_ID, Kind.NEW, today, New(box), at, 0)
    state = fold(ball, (came,), shop.priors, until=today)
    if done is None:
        return state
    checks.steps(done.steps)
    steps = recipes.with_pads(shop, ball.owner_id, done.steps)
    return after_work(ball, state, steps, shop.priors, pads=shop.pads_by_id())


def _reaction(row: OrderRow) -> Reaction:
    return Reaction(row.ball.id, row.boards, row.first_read_m, row.trace.shape_m)


def _sentence(row: OrderRow, finish: str, alike: tuple[str, ...], *, opener: bool) -> str:
    how = f"opened the usual way, {finish}" if opener else f"at {finish}"
    boards = f"{say.signed(row.boards, row.boards_sd)} ± {say.doubt(row.boards_sd)} boards"
    said = [f"{row.ball.name}, {how}, would take place {row.place}, {boards} against the benchmark"]
    if row.first_read_m is not None:
        said.append(f"first read {say.feet(row.first_read_m)} ± {say.doubt(row.first_read_sd_m / FOOT_M)} ft")
    said.append(row.shape_word)
    if isinstance(row.best, BestLine):
        room = say.halves(row.best.room_in_boards), say.halves(row.best.room_out_boards)
        said.append(f"room {room[0]} in, {room[1]} out")
    text = ", ".join(said) + "."
    return f"{text} It overlaps {say.names(alike)}." if alike else text
