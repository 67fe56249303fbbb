"""Who is on the pair: what a forecast of the lane counts on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.coach.groups import Ticks
from arsenal.desk.dialogs.form import Choice, Done, FormDialog
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

ALIKE, ALONE, NAMED = "alike", "alone", "named"
BESIDE = (("three more who throw alike", ALIKE), ("nobody", ALONE), ("those ticked below", NAMED))
ROUGH = (
    "Every shot takes oil off its track and carries a little down the lane. How fast is a rough guess: believe "
    "which way a forecast goes before how far."
)


class PairDialog(FormDialog):
    """Who bowls on the same lanes as this bowler. Kept on this machine."""

    def __init__(
        self, shared: Shared, parent: QWidget, person: Person, people: Sequence[Person], said: Sequence[int],
        done: Done | None,
    ) -> None:  # fmt: skip
        super().__init__(f"On the pair with {person.name}", shared, parent, done)
        self._person = person
        others = [one for one in people if one.id != person.id and one.style is not None]
        named = [i for i in said if i != person.id]
        self.beside = Choice("Beside", BESIDE if others else BESIDE[:2], NAMED if named else ALONE if said else ALIKE)
        self.rows.field("Beside", self.beside)
        self.ticks = Ticks(others, named) if others else None
        if self.ticks is not None:
            self.ticks.rows_model.dataChanged.connect(lambda *_: self.beside.put(NAMED))
            self.rows.field("Who", self.ticks)
        self.body.addWidget(Plain(ROUGH, px=13, token="ink2", wrap=True))
        self.beside.setFocus()

    def named(self) -> tuple[int, ...]:
        """Who is on the pair: nobody at all where nobody was said, the bowler himself where he bowls alone. Raises
        KnownError where somebody should be ticked.
        """
        if self.beside.value == ALIKE:
            return ()
        if self.beside.value == ALONE or self.ticks is None:
            return (self._person.id,)
        if not self.ticks.ticked():
            raise KnownError("Nobody is ticked.", next_step="Tick who bowls on the pair, or say nobody.")
        return tuple(self.ticks.ticked())

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it."""
        bowler, named = self._person.id, self.named()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import later, views  # noqa: PLC0415 - heavy, on the worker's thread

            later.say_who(shop, bowler, named)
            return views.Changes(None, "")

        return run
