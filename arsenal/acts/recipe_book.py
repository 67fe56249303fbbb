"""Recipes kept: add, edit, remove, use on a ball with one action, print; and the usual opener of each cover."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from arsenal.acts import checks, logging, meaning, recipes, words, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, Meaning
from arsenal.order.sequence import full_sequence
from arsenal.surface import after_work, minutes
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Abrasive, Draft, Kind, Step, SurfaceWork, Tool
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import OPENERS, Recipe, bare, label

MOST_KEPT = 200


@dataclass(frozen=True, slots=True)
class RecipeSheet:
    """A recipe ready to print or to show: one line a step, and what it leaves on a ball where one is named."""

    title: str
    whose: str
    """“the shop’s”, or the bowler's name."""
    steps: tuple[str, ...]
    """“1. 500, by machine, wet, 4 sides of 30 s”."""
    minutes: float
    cautions: tuple[str, ...]
    note: str = ""
    ball: str = ""
    leaves: str = ""
    """“would play about 1700 ± 300”."""
    learned: str = ""
    """What the finish goes by: the model alone, or readings of this ball."""


@dataclass(frozen=True, slots=True)
class SideBySide:
    """A jump against the full sequence that ends with the same pad, on one ball."""

    jump: Recipe
    full: Recipe | None
    """None where no common grit is left out."""
    jump_leaves: SurfaceState
    full_leaves: SurfaceState | None
    jump_minutes: float
    full_minutes: float | None
    jump_cover_off_m: Estimate
    full_cover_off_m: Estimate | None


def add_recipe(shop: Shop, recipe: Recipe, initiator: str = "desk") -> Changes:
    """Keep a recipe (id 0). The new id is `changed[0].id`. Raises OutOfRange, KnownError for an empty or taken name or
    no steps, NotFound for an unknown owner.
    """
    kept = _ready(shop, replace(recipe, id=0))
    if len(shop.recipes()) >= MOST_KEPT:
        raise KnownError(f"There are {MOST_KEPT} recipes already.", next_step="Remove some that nobody uses.")
    return writing.put(shop, kept, f"Added the recipe {kept.name}, {label(kept.steps)}", initiator)


def edit_recipe(shop: Shop, recipe: Recipe, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange, KnownError."""
    shop.recipe(recipe.id)
    kept = _ready(shop, recipe)
    return writing.put(shop, kept, f"Changed the recipe {kept.name}, {label(kept.steps)}", initiator)


def remove_recipe(shop: Shop, recipe_id: int, initiator: str = "desk") -> Changes:
    """Take a recipe out of the book; what was done with it stays in the log. Raises NotFound."""
    old = shop.recipe(recipe_id)
    with writing.one_act(shop, f"Removed the recipe {old.name}", initiator) as (act, outcome):
        act.remove("recipe", recipe_id)
    return outcome.changes


def opener(cover: Cover) -> Recipe:
    """How a new ball of this cover is usually opened: common practice, no source."""
    return OPENERS[cover]


def meaning_of_recipe(shop: Shop, ball_id: int, recipe: Recipe, day: date | None = None) -> Meaning:
    """What `apply` would log, in words, before it is kept: the pads chosen, what the ball would play, cautions."""
    return logging.meaning_of(shop, (_draft(shop, ball_id, recipe, day),))


def apply_recipe(
    shop: Shop, ball_id: int, recipe: Recipe | int, day: date | None = None, initiator: str = "desk"
) -> Changes:  # fmt: skip
    """Log a recipe (a kept one by its id) as done on the whole ball, today unless said: the newest pads of its grains
    are taken and their uses counted. Raises NotFound, OutOfRange, KnownError.
    """
    chosen = shop.recipe(recipe) if isinstance(recipe, int) else recipe
    draft = _draft(shop, ball_id, chosen, day)
    said = words.done((draft,), {ball_id: shop.ball(ball_id)})
    if chosen.name != label(chosen.steps):
        said = f"{said} ({chosen.name})"
    return logging.keep(shop, (draft,), initiator, sentence=said)


def _draft(shop: Shop, ball_id: int, recipe: Recipe, day: date | None) -> Draft:
    steps = recipes.with_pads(shop, shop.ball(ball_id).owner_id, recipe.steps)
    shine = all(step.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for step in steps)
    return Draft(ball_id, Kind.POLISHED if shine else Kind.SANDED, day or shop.today(), SurfaceWork(steps))


def _ready(shop: Shop, recipe: Recipe) -> Recipe:
    kept = replace(recipe, name=checks.name(recipe.name, "recipe"), steps=bare(recipe.steps))
    if not kept.steps:
        raise KnownError("A recipe needs one step at least.")
    checks.steps(kept.steps)
    checks.note(kept.note)
    if kept.owner_id is not None:
        shop.person(kept.owner_id)
    for other in shop.recipes():
        same = (other.name.casefold(), other.owner_id) == (kept.name.casefold(), kept.owner_id)
        if same and other.id != kept.id:
            raise KnownError(f"There is a recipe {other.name} already.", next_step="Give this one another name.")
    return kept


# ---- what it leaves


def leaves(shop: Shop, ball_id: int, recipe: Recipe) -> SurfaceState:
    """What a recipe would leave on a ball with the pads in stock, with its spread."""
    ball = shop.ball(ball_id)
    steps = recipes.with_pads(shop, ball.owner_id, recipe.steps)
    return after_work(ball, shop.state(ball_id), steps, shop.priors, pads=shop.pads_by_id())


def side_by_side(shop: Shop, ball_id: int, recipe: Recipe) -> SideBySide:
    """A recipe against the full sequence from what the ball plays now: finish, minutes and cover off of both."""
    now = shop.state(ball_id)
    steps = full_sequence(recipe.steps, now.grit)
    full = Recipe(label(steps), steps) if steps is not None else None
    jumped = leaves(shop, ball_id, recipe)
    stepped = leaves(shop, ball_id, full) if full else None
    return SideBySide(
        recipe, full, jumped, stepped, minutes(recipe.steps), minutes(full.steps) if full else None, _off(now, jumped),
        _off(now, stepped) if stepped else None,
    )  # fmt: skip


def _off(now: SurfaceState, then: SurfaceState) -> Estimate:
    off, before = then.cover_off_m, now.cover_off_m
    return Estimate(max(off.mean - before.mean, 0.0), max(off.sd - before.sd, 0.0))


# ---- printed


def sheet(shop: Shop, recipe: Recipe, ball_id: int | None = None) -> RecipeSheet:
    """The recipe as it is printed, for any ball or for one."""
    owner_id = shop.ball(ball_id).owner_id if ball_id is not None else recipe.owner_id
    steps = recipes.with_pads(shop, owner_id, recipe.steps) if owner_id is not None else recipe.steps
    told = tuple(f"{i}. {_step(shop, step)}" for i, step in enumerate(steps, 1))
    whose = shop.person(recipe.owner_id).name if recipe.owner_id is not None else "the shop’s"
    made = RecipeSheet(recipe.name, whose, told, minutes(steps), _cautions(steps), recipe.note)
    if ball_id is None:
        return made
    then, ball = leaves(shop, ball_id, recipe), shop.ball(ball_id)
    read = any(str(e.kind) == Kind.READING for e in shop.entries(ball_id))
    by = "by the model and the readings of this ball" if read else "by the model; a reading afterwards teaches better"
    return replace(made, ball=ball.name, leaves=f"would play about {words.grit_words(then)}", learned=by)


_HOW = {Tool.HAND: "by hand", Tool.SPINNER: "on the spinner", Tool.MACHINE: "by machine"}


def _step(shop: Shop, step: Step) -> str:
    what = f"{step.number:g}" if step.number is not None else step.abrasive.value
    if step.number is not None and step.abrasive is not Abrasive.GRIT:
        what = f"{step.abrasive.value} {what}"
    scale = "" if step.number is None or step.scale.value == "plain" else f" ({step.scale.value})"
    parts = [f"{what}{scale}", _HOW[step.tool], "wet" if step.wet else "dry"]
    if step.sides is not None and step.seconds is not None:
        parts.append(f"{words.count(step.sides, 'side')} of {step.seconds:g} s")
    elif step.sides is not None:
        parts.append(words.count(step.sides, "side"))
    elif step.seconds is not None:
        parts.append(f"{step.seconds:g} s")
    elif step.tool is Tool.HAND:
        parts.append("one light pass")
    if step.pad_id is not None:
        pad = shop.pad(step.pad_id)
        uses = pad.uses_hand + pad.uses_spinner
        parts.append(f"pad #{pad.id}, {words.count(round(uses), 'use')} behind it")
    return ", ".join(parts)


def _cautions(steps: tuple[Step, ...]) -> tuple[str, ...]:
    said = ["The whole ball, never only the track. Rule book says, check yours."]
    if any(step.tool is not Tool.HAND for step in steps):
        said.append(meaning.SPINNER)
    if any(not step.wet and step.number is not None for step in steps):
        said.append(meaning.DUST)
    return tuple(said)
