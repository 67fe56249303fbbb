"""The question asked the other way round: what a ball should do, and the gentlest recipe that makes it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from arsenal.trade.pads import Recipe

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.order.asked import Want
    from arsenal.order.records import PadResult

EARLIER, MORE, BETWEEN = "earlier", "more", "between"


@dataclass(frozen=True, slots=True)
class Wish:
    """So many feet earlier (negative: later), so many boards more (negative: less), or between two balls."""

    kind: str
    amount: float = 0.0
    between: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class Answer:
    """What does it, in a short and a whole sentence; no recipe where none does and none comes near."""

    sentence: str
    whole: str
    recipe: Recipe | None
    does: bool


FIRST = Wish(EARLIER, 2.0)
ALWAYS: tuple[tuple[str, Wish], ...] = (
    ("1 ft earlier", Wish(EARLIER, 1.0)), ("2 ft earlier", FIRST), ("3 ft earlier", Wish(EARLIER, 3.0)),
    ("1 ft later", Wish(EARLIER, -1.0)), ("2 ft later", Wish(EARLIER, -2.0)),
    ("1 board stronger", Wish(MORE, 1.0)), ("2 boards stronger", Wish(MORE, 2.0)),
    ("3 boards stronger", Wish(MORE, 3.0)), ("1 board weaker", Wish(MORE, -1.0)),
    ("2 boards weaker", Wish(MORE, -2.0)),
)  # fmt: skip


def wishes(order: Sequence[tuple[int, str]], ball_id: int) -> tuple[tuple[str, Wish], ...]:
    """Everything that may be asked of a ball: the usual amounts, and every place between two others of the order,
    given strongest first.
    """
    others = [(own_id, name) for own_id, name in order if own_id != ball_id]
    places = tuple(
        (f"between {one} and {other}", Wish(BETWEEN, between=(one_id, other_id)))
        for (one_id, one), (other_id, other) in pairwise(others)
    )
    return (*ALWAYS, *places)


def answer(ball_id: int, wish: Wish) -> Callable[[Shop], Answer]:
    """The gentlest recipe from stock that makes the ball do it on its owner's usual condition."""

    def run(shop: Shop) -> Answer:
        from arsenal.acts import whatif  # noqa: PLC0415 - heavy
        from arsenal.trade.errors import KnownError  # noqa: PLC0415

        ball = shop.ball(ball_id)
        if ball.spare:
            said = "a spare ball goes straight: nothing is asked of it"
            return Answer(said, said, None, does=False)
        try:
            found = whatif.ask(shop, ball.owner_id, ball_id, _want(wish))
        except KnownError as error:
            return Answer(error.sentence, str(error), None, does=False)
        told = found.does or found.nearest
        if told is None:
            return Answer(found.sentence, found.sentence, None, does=False)
        said = _short(told, earlier=wish.kind == EARLIER)
        if found.does is None:
            said = f"comes nearest, nothing does it: {said}"
        return Answer(said, found.sentence, told.recipe, does=found.does is not None)

    return run


def _want(wish: Wish) -> Want:
    from arsenal.order.asked import Between, Earlier, More  # noqa: PLC0415 - heavy

    if wish.kind == BETWEEN:
        return Between(*wish.between)
    return Earlier(wish.amount) if wish.kind == EARLIER else More(wish.amount)


def _short(told: PadResult, *, earlier: bool) -> str:
    """“2 ± 1 ft earlier”: what the recipe beside it gives."""
    from arsenal.order import words as say  # noqa: PLC0415 - heavy
    from arsenal.trade.units import FOOT_M  # noqa: PLC0415

    if earlier:
        feet, sd = told.first_read_change_m.mean / FOOT_M, told.first_read_change_m.sd / FOOT_M
        way = "earlier" if feet < 0.0 else "later"
        return f"{say.amount(feet, sd)} ± {say.doubt(sd)} ft {way}{_unsure(feet, sd)}"
    boards = told.boards_change
    way = "stronger" if boards.mean >= 0.0 else "weaker"
    unsure = _unsure(boards.mean, boards.sd)
    return f"{say.amount(boards.mean, boards.sd)} ± {say.doubt(boards.sd)} boards {way}{unsure}"


def _unsure(mean: float, sd: float) -> str:
    return ", its doubt is as large" if abs(mean) <= sd else ""
