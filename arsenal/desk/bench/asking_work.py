"""What the table under the timeline asks of the shop, on the worker's thread: recipes, and one of them in full."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from arsenal.trade.entries import Abrasive, Step, Tool
from arsenal.trade.pads import Recipe
from arsenal.trade.units import FOOT_M

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Meaning
    from arsenal.order.records import PadResult
    from arsenal.surface.state import SurfaceState

BY = {Tool.HAND: "by hand", Tool.SPINNER: "on the spinner", Tool.MACHINE: "by machine"}


@dataclass(frozen=True, slots=True)
class RecipeOnBall:
    """A recipe as the Bench lists it, for one ball."""

    recipe: Recipe
    steps: str
    """“500, 1000, 2000 by machine, wet”."""
    opener: bool
    """The usual opener of this cover, which nobody has kept."""
    grit: float
    grit_sd: float
    minutes: float
    result: PadResult | None
    """None where throw or usual lane are not known, and for a spare ball."""

    @property
    def boards_back(self) -> float:
        """NaN where it is not known."""
        return self.result.boards_change.mean if self.result else math.nan

    @property
    def boards_back_sd(self) -> float:
        """One spread."""
        return self.result.boards_change.sd if self.result else math.nan

    @property
    def first_read_change_ft(self) -> float:
        """Negative is earlier; NaN where it is not known."""
        return self.result.first_read_change_m.mean / FOOT_M if self.result else math.nan

    @property
    def rolls_out(self) -> bool:
        """Too much of it."""
        return bool(self.result and self.result.rolls_out)

    @property
    def used_up(self) -> bool:
        """A pad of it no longer cuts."""
        return bool(self.result and self.result.pad_done)


@dataclass(frozen=True, slots=True)
class Column:
    """One way of doing it."""

    recipe: Recipe
    state: SurfaceState
    minutes: float
    cover_off_m: tuple[float, float]
    """Mean and spread."""
    result: PadResult | None


@dataclass(frozen=True, slots=True)
class InFull:
    """One pad or recipe on the ball in hand beside the full sequence that ends with the same pad."""

    ball: str
    plays_about: float
    jump: Column
    full: Column | None
    """None where no common grit is left out."""
    place_now: int
    room_now: tuple[float | None, float | None]
    """Boards in and out on its own line as it is."""


def steps_words(steps: Sequence[Step]) -> str:
    """“500, 1000, 2000 by machine, wet; polish on the spinner, wet”."""
    told: list[str] = []
    way: tuple[Tool, bool] | None = None
    for step in steps:
        name = f"{step.number:g}" if step.number is not None else step.abrasive.value
        if step.number is not None and step.abrasive is not Abrasive.GRIT:
            name = f"{step.abrasive.value} {name}"
        if (step.tool, step.wet) == way:
            told[-1] = f"{told[-1]}, {name}"
        else:
            told += [_way(*way), name] if way else [name]
            way = (step.tool, step.wet)
    pieces = [*told, _way(*way)] if way else told
    return "; ".join(f"{names} {by}" for names, by in zip(pieces[::2], pieces[1::2], strict=True))


def _way(tool: Tool, wet: bool) -> str:
    return f"{BY[tool]}, {'wet' if wet else 'dry'}"


def book(shop: Shop, ball_id: int) -> tuple[RecipeOnBall, ...]:
    """The recipes of the ball's owner and of the shop on this ball, and the usual opener of its cover last."""
    from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy

    ball = shop.ball(ball_id)
    kept = sorted(shop.recipes(ball.owner_id), key=lambda r: (r.owner_id is None, r.name.casefold()))
    every = [*kept, recipe_book.opener(ball.cover)]
    results = _results(shop, ball_id, every)
    return tuple(_row(shop, ball_id, recipe, results) for recipe in every)


def _row(shop: Shop, ball_id: int, recipe: Recipe, results: dict[Recipe, PadResult]) -> RecipeOnBall:
    from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy
    from arsenal.acts.words import grit_sd  # noqa: PLC0415
    from arsenal.surface import minutes  # noqa: PLC0415

    result = results.get(recipe)
    then = result.state if result else recipe_book.leaves(shop, ball_id, recipe)
    doubt = grit_sd(then.grit_low, then.grit_high)
    return RecipeOnBall(
        recipe, steps_words(recipe.steps), recipe.id == 0, then.grit, doubt, minutes(recipe.steps), result
    )  # fmt: skip


def _results(shop: Shop, ball_id: int, every: Sequence[Recipe]) -> dict[Recipe, PadResult]:
    """What each would do on the owner's usual lane, the pads of its grains taken; empty where that is not known."""
    from arsenal.acts import lane_side, recipes  # noqa: PLC0415 - heavy
    from arsenal.trade.errors import KnownError  # noqa: PLC0415

    ball = shop.ball(ball_id)
    if ball.spare or not every:
        return {}
    ready = [replace(r, steps=recipes.with_pads(shop, ball.owner_id, r.steps)) for r in every]
    try:
        side = lane_side.lane_side(shop, ball.owner_id, rooms=False)
        found = lane_side.pad_keys(shop, ball.owner_id, side.lane.id, ball_id, side, recipes=ready)
    except KnownError:
        return {}
    return dict(zip(every, found, strict=True))


def in_full(ball_id: int, recipe: Recipe) -> Callable[[Shop], InFull]:
    """A pad or recipe in full, beside the full sequence."""

    def run(shop: Shop) -> InFull:
        from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy

        both = recipe_book.side_by_side(shop, ball_id, recipe)
        results = _results(shop, ball_id, [r for r in (both.jump, both.full) if r is not None])
        jump, off = results.get(both.jump), both.jump_cover_off_m
        first = Column(both.jump, both.jump_leaves, both.jump_minutes, (off.mean, off.sd), jump)
        second = None
        if both.full and both.full_leaves and both.full_cover_off_m and both.full_minutes is not None:
            off = both.full_cover_off_m
            taken = (off.mean, off.sd)
            second = Column(both.full, both.full_leaves, both.full_minutes, taken, results.get(both.full))
        room = (jump.room_in_boards_before, jump.room_out_boards_before) if jump else (None, None)
        now = shop.state(ball_id)
        return InFull(shop.ball(ball_id).name, now.grit, first, second, jump.place_before if jump else 0, room)

    return run


def meaning(ball_id: int, recipe: Recipe) -> Callable[[Shop], Meaning]:
    """What doing it would log."""

    def run(shop: Shop) -> Meaning:
        from arsenal.acts import logging  # noqa: PLC0415 - heavy
        from arsenal.acts.recipe_book import meaning_of_recipe  # noqa: PLC0415
        from arsenal.trade.entries import Draft, Kind, SurfaceWork  # noqa: PLC0415

        if any(step.pad_id is not None for step in recipe.steps):
            shiny = all(step.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for step in recipe.steps)
            kind = Kind.POLISHED if shiny else Kind.SANDED
            return logging.meaning_of(shop, (Draft(ball_id, kind, shop.today(), SurfaceWork(recipe.steps)),))
        return meaning_of_recipe(shop, ball_id, recipe)

    return run


def apply(ball_id: int, recipe: Recipe) -> Callable[[Shop], Changes]:
    """Log it as done today."""

    def run(shop: Shop) -> Changes:
        from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy

        return recipe_book.apply_recipe(shop, ball_id, recipe)

    return run
