"""What a line of a ticket asks when it is ticked, or done: the finish, and the price where the shop has none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.counter.slip_dialogs import Asking
from arsenal.desk.parts.text import Plain
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketLine
    from arsenal.desk.rooms import Shared

ASK = "ask"
HINT = "500/2000 m, 1000 s, polish"
LATER = "Left empty, the bench says it when the ball is done."
Took = Callable[[int | None, str], None]


class LineAsked(Asking):
    """The finish wanted, and the price."""

    def __init__(self, parent: QWidget, line: TicketLine, known: Sequence[str], took: Took) -> None:
        super().__init__(line.name[:80], parent, "Put it on")
        self._took = took
        self.finish = self.price = None
        if line.asks_finish:
            self.finish = self.field("Finish wanted", "Finish wanted", "", HINT, 80)
            had = f"It has had {', '.join(known)}. " if known else ""
            self.body.addWidget(Plain(f"{had}{LATER}", px=13, token="ink2", wrap=True))
        if line.price == ASK:
            self.price = self.field("Price", f"Price of {line.name}"[:80], "", "24 or 24.50", 20)
        first = self.finish or self.price
        assert first is not None  # noqa: S101 - asked only where something is
        first.setFocus()

    def take(self) -> None:
        """What is written, once it can be read."""
        from arsenal.acts import services, ticket_finish  # noqa: PLC0415 - loaded with the rooms

        finish = self.finish.words() if self.finish is not None else ""
        ticket_finish.read(finish)
        self._took(services.cents(self.price.words()) if self.price is not None else None, finish)


class FinishDone(Asking):
    """What was put on, where nobody had said it before the work was done."""

    def __init__(self, parent: QWidget, ball: str, job: str, took: Callable[[str], None]) -> None:
        super().__init__(f"{job[:60]} done", parent, "Done")
        self._took = took
        self.finish = self.field("Put on", f"What was put on {ball}"[:80], "", HINT, 80)
        self.finish.setFocus()

    def take(self) -> None:
        """The finish, once it can be read."""
        from arsenal.acts import ticket_finish  # noqa: PLC0415 - loaded with the rooms

        if not ticket_finish.read(self.finish.words()):
            raise KnownError("What was put on?", next_step=ticket_finish.WRITE_SO)
        self._took(self.finish.words())


def ask_line(shared: Shared, parent: QWidget, line: TicketLine, ball_id: int | None, took: Took) -> None:
    """Call `took` with the price and the finish of a line that is to be ticked, asking only for what is not known."""
    if line.ticked or line.refused or not (line.asks_finish or line.price == ASK):
        took(None, "")
        return

    def ask(known: tuple[str, ...]) -> None:
        LineAsked(parent, line, known, took).open_()

    if line.asks_finish and ball_id is not None:
        from arsenal.acts import ticket_finish  # noqa: PLC0415 - loaded with the rooms

        shared.ask("finishes it had", lambda shop: ticket_finish.known(shop, ball_id), ask)
    else:
        ask(())
