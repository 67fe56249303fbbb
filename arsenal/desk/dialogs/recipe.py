"""A recipe of the book: its name, its steps, whose it is, and what it would leave on the ball in hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from arsenal.desk.bench.forms_kinds import DUST
from arsenal.desk.bench.forms_steps import Material, StepsField
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.parts.dialog import Caution
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.entries import Abrasive
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Recipe, label

if TYPE_CHECKING:
    from arsenal.acts.recipe_book import RecipeSheet
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

WITH = (
    ("a pad with a number", Material(Abrasive.GRIT)), ("non-woven", Material(Abrasive.NONWOVEN)),
    ("compound", Material(Abrasive.COMPOUND)), ("polish", Material(Abrasive.POLISH)),
)  # fmt: skip
WAIT_MS = 200


class RecipeDialog(FormDialog):
    """The form. The steps name no pads: the newest of each grain is taken when the recipe is used."""

    def __init__(
        self, shared: Shared, parent: QWidget, owner_id: int, ball_id: int, recipe: Recipe | None, done: Done | None
    ) -> None:
        kept = recipe is not None and recipe.id != 0
        super().__init__("Change a recipe" if kept else "A new recipe", shared, parent, done, width=720)
        self._recipe = recipe or Recipe("", (), owner_id=owner_id)
        self._ball_id = ball_id
        opener = recipe is not None and not kept
        self.name = Words("Name", "" if opener else self._recipe.name, "empty: called by its steps")
        self.steps = StepsField((), choices=WITH)
        self.steps.put(self._recipe.steps)
        whose = self._recipe.owner_id if kept else owner_id
        self.whose = Choice("Whose", (("this bowler’s", owner_id), ("the shop’s", None)), whose)
        self.note = Words("Note", "" if opener else self._recipe.note, "for which ball or lane")
        self.body.insertWidget(0, Caution(*DUST))
        for caption, field in (
            ("Name", self.name), ("Steps", self.steps), ("Whose", self.whose), ("Note", self.note),
        ):  # fmt: skip
            self.rows.field(caption, field)
        self.leaves = Plain("", px=13, token="ink2", wrap=True)
        self.body.addWidget(self.leaves)
        if kept:
            self.offer("Remove it", "X", self._remove, destructive=True)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self._ask)
        self.steps.changed.connect(self._timer.start)
        self._ask()
        self.name.setFocus()

    def recipe(self) -> Recipe:
        """What the fields say. Raises KnownError where a step is not whole."""
        problem = self.steps.problem()
        if problem:
            self.steps.check()
            raise KnownError(problem)
        steps = self.steps.read()
        name = self.name.words() or label(steps)
        return replace(self._recipe, name=name, steps=steps, owner_id=self.whose.value, note=self.note.words())

    def act(self) -> Callable[[Shop], Changes]:
        """Add, or put in place of the old one."""
        recipe = self.recipe()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy, on the worker's thread

            return recipe_book.edit_recipe(shop, recipe) if recipe.id else recipe_book.add_recipe(shop, recipe)

        return run

    def _remove(self) -> None:
        recipe_id = self._recipe.id

        def run(shop: Shop) -> Changes:
            from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy, on the worker's thread

            return recipe_book.remove_recipe(shop, recipe_id)

        self.shared.keep(run, self._finish, failed=self._failed)

    def _ask(self) -> None:
        """What the steps would leave on the ball in hand, once they are whole."""
        if self.steps.problem():
            self.leaves.setText("")
            return
        steps, ball_id = self.steps.read(), self._ball_id

        def run(shop: Shop) -> RecipeSheet:
            from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy, on the worker's thread

            return recipe_book.sheet(shop, Recipe(label(steps), steps), ball_id)

        self.shared.ask("recipe leaves", run, self._told, failed=lambda error: self.leaves.setText(error.sentence))

    def _told(self, sheet: RecipeSheet) -> None:
        self.leaves.setText(f"{sheet.ball} {sheet.leaves}, {sheet.learned}; about {sheet.minutes:.0f} min.")
        if self.isVisible():
            self.fit()


def open_recipe(
    shared: Shared, parent: QWidget, owner_id: int, ball_id: int, recipe: Recipe | None = None,
    done: Done | None = None,
) -> RecipeDialog:  # fmt: skip
    """A new recipe, or a kept one; one with id 0 (a usual opener) is a start for a new one."""
    dialog = RecipeDialog(shared, parent, owner_id, ball_id, recipe, done)
    dialog.open_()
    return dialog
