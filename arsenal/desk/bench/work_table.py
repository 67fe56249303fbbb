"""The lower half of the Bench: pads in stock or recipes, the question the other way round, and a line of detail."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.bench import pads, recipes
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.sentence import SentenceWord, TextButton
from arsenal.desk.parts.text import Plain, set_tip
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.views import PadOnBall
    from arsenal.desk.bench.asking_wish import Answer, Wish
    from arsenal.desk.bench.asking_work import RecipeOnBall

PADS, RECIPES = "pads", "recipes"
SHOWS = (("Pads in stock", PADS), ("Recipes", RECIPES))
ROW_HIGH, ROOMY = 27, 640


class WorkTable(QWidget):
    """What could be put on the ball in hand. It asks for nothing itself."""

    turned = Signal(str)
    """pads or recipes is shown now."""
    wished = Signal(object)
    """Another wish was chosen."""
    wanted = Signal(str)
    """new, change, full, print, answer: what a word or key asks for."""
    sand_with = Signal(object)
    use_recipe = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shows = PADS
        self._buy: tuple[str, ...] = ()
        self._rows = 6.3
        self._make_bar()
        self.heads = pads.PadHeads()
        self._pad_model = RowsModel(pads.spoken)
        self._painters = (pads.PadPainter(), recipes.RecipePainter())
        self.pads = RowsView("Pads in stock", self._pad_model, self._painters[0])
        self._recipe_model = RowsModel(recipes.spoken)
        self.recipes = RowsView("Recipes", self._recipe_model, self._painters[1])
        self.note, self.buy = Plain("", px=12, token="ink2", elide=True), Plain("", px=12, token="ink2")
        self.pads.opened.connect(self.sand_with)
        self.recipes.opened.connect(self.use_recipe)
        for view in (self.pads, self.recipes):
            view.chosen.connect(lambda _row: self._tell())
        self._foot = QHBoxLayout()
        self._foot.addWidget(self.note, 1)
        self._foot.addWidget(self.buy)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(Line("edge"))
        column.addLayout(self._bar)
        for widget in (self.heads, self.pads, self.recipes):
            column.addWidget(widget)
        column.addLayout(self._foot)
        self.recipes.hide()
        look().changed.connect(self._dress)
        self._dress()
        self.turn(PADS)

    def _make_bar(self) -> None:
        self.show_word = SentenceWord("Shown", "Pads in stock", px=13)
        self.show_word.picked.connect(self.turn)
        self.wish_word = SentenceWord("What it should do", "", px=13)
        self.wish_word.picked.connect(self.wished)
        self.wish_word.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.wish_says = Plain("To make it", px=13, token="ink2")
        self.answer = Plain("", px=13, token="ink", elide=True)
        self.take = TextButton("", px=13)
        self.take.hide()  # until there is something to take
        self.take.clicked.connect(lambda: self.wanted.emit("answer"))
        self.new = TextButton("New A", px=13)
        self.change = TextButton("Change D", px=13)
        self.full = TextButton("In full J", px=13)
        self.paper = TextButton("Print L", px=13)
        self.paper.setAccessibleName("Print the chosen recipe")
        for button, what in (
            (self.new, "new"), (self.change, "change"), (self.full, "full"), (self.paper, "print"),
        ):  # fmt: skip
            button.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
        self._bar = QHBoxLayout()
        for widget in (self.show_word, self.wish_says, self.wish_word, self.take):
            self._bar.addWidget(widget)
        self._bar.addWidget(self.answer, 1)
        for widget in (self.new, self.change, self.full, self.paper):
            self._bar.addWidget(widget)

    def _dress(self) -> None:
        px = look().px
        self._bar.setContentsMargins(px(20), px(2), px(20), px(2))
        self._bar.setSpacing(px(9))
        self._foot.setContentsMargins(px(20), px(3), px(20), px(5))
        self._foot.setSpacing(px(14))
        self.keep_rows(self._rows)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where there is little room the words that have a key give way."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        room = look().logical(self.width()) >= ROOMY
        for widget in (self.wish_says, self.new, self.change, self.full):
            widget.setVisible(room)
        self.paper.setVisible(room and self._shows == RECIPES)

    def keep_rows(self, rows: float) -> None:
        """So many rows are in sight."""
        self._rows = rows
        for view in (self.pads, self.recipes):
            view.setFixedHeight(look().px(ROW_HIGH * rows))

    def shown(self) -> str:
        """Which list: pads or recipes."""
        return self._shows

    def view(self) -> RowsView:
        """The list that is shown."""
        return self.pads if self._shows == PADS else self.recipes

    def turn(self, shows: str) -> None:
        """Show pads or recipes."""
        other = shows != self._shows
        had_focus = other and self.view().hasFocus()
        self._shows = shows
        self.show_word.set_word(next(name for name, value in SHOWS if value == shows))
        self.show_word.set_choices(SHOWS, shows)
        self.heads.show_heads(pads.HEADS if shows == PADS else recipes.HEADS, recipes=shows == RECIPES)
        self.pads.setVisible(shows == PADS)
        self.recipes.setVisible(shows == RECIPES)
        self._fit()
        what = "pad" if shows == PADS else "recipe"
        self.new.setAccessibleName(f"Another {what}")
        self.change.setAccessibleName(f"Change the chosen {what}")
        self.full.setAccessibleName(f"What the chosen {what} would do in full, beside the full sequence")
        if had_focus:
            self.view().setFocus(Qt.FocusReason.OtherFocusReason)
        self._tell()
        if other:
            self.turned.emit(shows)

    # what is shown

    def empty(self) -> None:
        """Another ball: nothing is known yet."""
        self._pad_model.set_rows(())
        self._recipe_model.set_rows(())
        self.show_answer(None)
        self._tell()

    def show_past(self, *, past: bool) -> None:
        """While a past day is looked at nothing is done: what stands here is today's, and quiet."""
        if self.isEnabled() == past:
            self.setEnabled(not past)
            for painter in self._painters:
                painter.dim = past
            self.view().viewport().update()
            self._tell()

    def show_pads(self, rows: Sequence[PadOnBall], buy: Sequence[str]) -> None:
        """Every pad on the ball in hand."""
        _refill(self.pads, rows)
        self._buy = tuple(buy)
        self._tell()

    def show_recipes(self, rows: Sequence[RecipeOnBall]) -> None:
        """Every recipe on the ball in hand."""
        _refill(self.recipes, rows)
        self._tell()

    def show_wishes(self, choices: Sequence[tuple[str, Wish]], current: Wish) -> None:
        """What may be asked for."""
        self.wish_word.set_word(next(label for label, wish in choices if wish == current))
        self.wish_word.set_choices(choices, current)

    def show_answer(self, answer: Answer | None) -> None:
        """The gentlest recipe that does it; None while it is worked out."""
        recipe = answer.recipe if answer is not None else None
        self.take.setVisible(recipe is not None)
        if recipe is not None:
            self.take.set_word(f"{recipe.name} Y")
            self.take.setAccessibleName(f"{recipe.name}: write its line for a look, Y")
        self.answer.setText("…" if answer is None else answer.sentence)
        set_tip(self.answer, answer.whole if answer is not None else "")
        self.answer.setAccessibleName(answer.whole if answer is not None else "")

    def _tell(self) -> None:
        row = self.view().in_hand()
        words = pads.note if self._shows == PADS else recipes.note
        text, warned = words(row) if row is not None else (_HINTS[self._shows], False)
        if not self.isEnabled():
            text, warned = "What stands here is today’s; Esc on the timeline goes back to it.", False
        self.note.recolor("warn" if warned else "ink2")
        self.note.setText(text)
        back = row.result.way_back if row is not None and row.result is not None else ""
        set_tip(self.note, f"{text} {back}".strip())
        self.buy.setText(f"to buy: {', '.join(self._buy)}" if self._buy and self._shows == PADS else "")


_HINTS = {PADS: "Enter on a pad writes its line for a look.", RECIPES: "Enter on a recipe logs it on this ball today."}


def _refill(view: RowsView, rows: Sequence[Any]) -> None:
    at = view.currentIndex().row()
    view.rows_model.set_rows(rows)
    if 0 <= at < len(rows):
        view.choose(at)
