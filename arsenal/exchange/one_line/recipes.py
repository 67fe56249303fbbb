"""A kept recipe by its name: rook recipe early monday."""

from __future__ import annotations

from arsenal.exchange.one_line.finish import with_pads
from arsenal.exchange.one_line.names import exactly, fits
from arsenal.exchange.one_line.sheet import Piece, Sheet
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Kind, Payload, SurfaceWork
from arsenal.trade.errors import NotFound
from arsenal.trade.pads import Recipe

LONGEST_NAME = 8
"""Words of a name that are looked at."""


def recipe_names(recipe: Recipe) -> tuple[str, ...]:
    """What a recipe answers to."""
    return (recipe.name,)


def read_recipe(cursor: Cursor, sheet: Sheet) -> bool:
    """“recipe” and a name: its steps on the whole ball with the pads at hand; the owner’s own before the shop’s."""
    if cursor.low() != "recipe":
        return False
    cursor.at += 1
    found = _named(cursor, sheet)

    def for_ball(ball: Ball) -> tuple[Payload, int | None]:
        recipe = _of(ball, found, sheet)
        return SurfaceWork(with_pads(recipe.steps, frozenset(), ball, sheet)), None

    shine = all(step.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for step in found[0].steps)
    kind = Kind.POLISHED if shine else Kind.SANDED
    sheet.pieces.append(Piece(kind, SurfaceWork(found[0].steps), for_ball=for_ball))
    return True


def _named(cursor: Cursor, sheet: Sheet) -> list[Recipe]:
    """Every recipe of the longest name that stands here, else of the one name a word fits. Raises NotFound."""
    every = sheet.scene.recipes
    names = tuple(dict.fromkeys(recipe.name for recipe in every))
    token = cursor.peek()
    if token is None:
        raise NotFound("Which recipe?", next_step="Name it after the word recipe.", choices=names)
    for length in range(LONGEST_NAME, 0, -1):
        words = [cursor.peek(i) for i in range(length)]
        said = " ".join(word.text for word in words if word)
        if all(words) and (found := exactly(said, every, recipe_names)):
            cursor.at += length
            return found
    found = fits(token.text, every, recipe_names)
    if len({recipe.name.casefold() for recipe in found}) != 1:
        choices = tuple(dict.fromkeys(recipe.name for recipe in found)) or names
        said = f"“{token.text}” fits several recipes" if found else f"There is no recipe “{token.text}”"
        raise NotFound(f"{said}{': ' + ', '.join(choices) if choices else ''}.", next_step="Type more of its name.",
                       word=token.text, choices=choices)  # fmt: skip
    cursor.at += 1
    return found


def _of(ball: Ball, found: list[Recipe], sheet: Sheet) -> Recipe:
    own = [r for r in found if r.owner_id == ball.owner_id] or [r for r in found if r.owner_id is None]
    if own:
        return own[0]
    owner = sheet.scene.owner(ball)
    raise NotFound(
        f"The recipe {found[0].name} is not one of {owner.name if owner else 'this bowler'}’s or the shop’s."
    )
