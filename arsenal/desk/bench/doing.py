"""What the table under the timeline does to the ball in hand: write a line, log a recipe, open its dialogs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from arsenal.desk.bench import asking_work, dialogs
from arsenal.desk.bench.confirm import must_confirm, open_confirm
from arsenal.desk.bench.work_table import PADS
from arsenal.trade.pads import Recipe, label

if TYPE_CHECKING:
    from arsenal.acts.views import Meaning
    from arsenal.desk.bench.room import BenchRoom


class Doing:
    """Acts of the room on pads and recipes. Nothing is done while a past day is looked at."""

    def __init__(self, room: BenchRoom) -> None:
        self._room = room

    def offer(self, recipe: Recipe) -> None:
        """Write the line of a pad or an answer; what Enter would log stands below it before it is kept."""
        room, sheet = self._room, self._room.sheet()
        if sheet is not None:
            text = f"{sheet.ball.nickname or sheet.ball.name} {label(recipe.steps)}"
            run = asking_work.meaning(sheet.ball.id, recipe)
            room.shared.ask("bench offer", run, lambda meaning: room.entry.offer(text, meaning))

    def use(self, recipe: Recipe) -> None:
        """Log a recipe on the ball in hand in one action; a cracked ball is asked about first."""
        room, sheet = self._room, self._room.sheet()
        if sheet is None:
            return
        apply = asking_work.apply(sheet.ball.id, recipe)

        def looked(meaning: Meaning) -> None:
            if must_confirm(meaning):
                open_confirm(room, meaning, lambda: room.shared.keep(apply))
            else:
                room.shared.keep(apply)

        room.shared.ask("bench use", asking_work.meaning(sheet.ball.id, recipe), looked)

    def wants(self, what: str) -> None:
        """A word or key of the table: new, change, full, print, answer."""
        room, sheet = self._room, self._room.sheet()
        if sheet is None:
            return
        shared, window, ball = room.shared, room.window(), sheet.ball
        row, of_pads = room.work.view().in_hand(), room.work.shown() == PADS
        answer = room.answered()
        if what == "answer" and answer is not None:
            self.offer(answer)
        elif what == "new" and of_pads:
            dialogs.pad(shared, window, ball.owner_id)
        elif what == "new":
            dialogs.recipe(shared, window, ball.owner_id, ball.id)
        elif row is None:
            return
        elif what == "change" and of_pads:
            dialogs.pad(shared, window, ball.owner_id, row.pad)
        elif what == "change":
            dialogs.recipe(shared, window, ball.owner_id, ball.id, row.recipe)
        elif what == "print" and not of_pads:
            dialogs.paper(shared, window, ball.id, row.recipe)
        elif what == "full":
            dialogs.in_full(shared, window, ball.id, row.recipe, self.offer)
