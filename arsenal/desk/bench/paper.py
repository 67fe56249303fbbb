"""A recipe as it is printed, shown before it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk import print_recipe
from arsenal.desk.dialogs import paper
from arsenal.desk.dialogs.paper import Page, Paper
from arsenal.desk.rooms import Shared
from arsenal.trade.pads import Recipe

if TYPE_CHECKING:
    from arsenal.acts.recipe_book import RecipeSheet
    from arsenal.acts.shop import Shop


def paper_of(sheet: RecipeSheet) -> Paper:
    """The recipe's one page, half a sheet."""
    spoken = ". ".join(text for text, _, _ in print_recipe.lines(sheet) if text)
    page = Page(sheet.title, spoken, lambda painter, dots: print_recipe.draw(painter, sheet, dots))
    return Paper(
        sheet.title, f"the recipe {sheet.title}", "recipe.pdf", "", print_recipe.layout(), (page,),
        lambda path: print_recipe.write_pdf(path, sheet),
    )  # fmt: skip


def open_paper(shared: Shared, parent: QWidget, ball_id: int, recipe: Recipe) -> None:
    """Show a recipe as it is printed for that ball, once it is made."""

    def run(shop: Shop) -> RecipeSheet:
        from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy, on the worker's thread

        return recipe_book.sheet(shop, recipe, ball_id)

    def show(sheet: RecipeSheet) -> None:
        paper.open_paper(shared, parent, paper_of(sheet))

    shared.ask("recipe paper", run, show, failed=shared.trouble)
