"""Log a block in one action: the games of each ball that went, and how they were wiped."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog
from arsenal.desk.event import asking
from arsenal.desk.lane_side.asking import WIPES
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.entries import Wiped
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import Limit
from arsenal.trade.units import SHOTS_A_GAME

if TYPE_CHECKING:
    from arsenal.acts.event_views import EventPlan
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

GAMES = Limit("games", 0.05, 60, "games")
OTHERS = {"g": 1.0, "game": 1.0, "shots": 1.0 / SHOTS_A_GAME, "s": 1.0 / SHOTS_A_GAME}


class BlockDialog(FormDialog):
    """Games for each ball taken; empty is a ball that was not thrown."""

    last_wiped: Wiped | None = Wiped.EACH

    def __init__(
        self, shared: Shared, parent: QWidget, plan: EventPlan, number: int | None, games: int, done: Done | None
    ) -> None:
        said = f"Block {number}" if number else "The block"
        super().__init__(f"{said} of {plan.event.name}", shared, parent, done, keep="Log it")
        self._plan, self._number = plan, number or 1
        self.games: dict[int, NumberField] = {}
        for line in plan.rows:
            if line.taken:
                field = NumberField(GAMES, digits=2, units=OTHERS, name=f"games with {line.name}")
                self.rows.field(line.name, field)
                self.games[line.ball_id] = field
        self.wiped = Choice("Wiped", WIPES, type(self).last_wiped)
        self.rows.field("Wiped", self.wiped)
        whole = f"The block has {games} games. " if games else ""
        told = f"{whole}Leave a ball empty that was not thrown; ½ a game is 0.5, or write 6 shots."
        self.body.addWidget(Plain(told, px=13, token="ink2", wrap=True))
        if self.games:
            next(iter(self.games.values())).setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Log it. Raises KnownError where nothing was thrown."""
        thrown = {ball: field.value() or 0.0 for ball, field in self.games.items() if field.text().strip()}
        if not thrown:
            raise KnownError("No ball has any games.", next_step="Write the games of one at least.")
        type(self).last_wiped = self.wiped.value
        plan, number, wiped = self._plan, self._number, self.wiped.value
        return lambda shop: asking.log_block(shop, plan, number, thrown, wiped)


def games_of(plan: EventPlan, number: int | None) -> int:
    """Games of a block of the event, from 1; 0 where it is not known."""
    squad = next((s for s in plan.event.squads if s.name == plan.registration.squad), None)
    squad = squad or next(iter(plan.event.squads), None)
    blocks = squad.blocks if squad else ()
    return blocks[number - 1].games if number and number <= len(blocks) else 0


def open_block(
    shared: Shared, parent: QWidget, plan: EventPlan, number: int | None, done: Done | None = None
) -> BlockDialog:
    """Ask and log."""
    dialog = BlockDialog(shared, parent, plan, number, games_of(plan, number), done)
    dialog.open_()
    return dialog
