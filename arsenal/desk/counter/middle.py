"""The middle pane: the card of the ball, customer or ticket that was opened, asked for by itself."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QStackedLayout, QVBoxLayout, QWidget

from arsenal.desk.bench.planes import Sheet, scroll
from arsenal.desk.counter import asking
from arsenal.desk.counter.ball_card import BallCardPage
from arsenal.desk.counter.person_card import PersonCardPage
from arsenal.desk.counter.ticket_card import TicketCardPage
from arsenal.desk.parts.empty import Empty

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from arsenal.acts.counter_views import BallCard, PersonCard
    from arsenal.acts.shop import Shop
    from arsenal.desk.counter.asking import TicketCard
    from arsenal.desk.rooms import Shared
    from arsenal.plan.records import Job
    from arsenal.trade.errors import KnownError

NOBODY = (
    "Who stands there?",
    "Type a name, part of a name, a phone number, a serial or a ticket. Enter opens the first.",
)
NO_SERVICES = (
    "What does the shop do?",
    "Services with their prices and minutes are ticked on a ticket. Begin with the usual ones and set your prices.",
)


Page = BallCardPage | PersonCardPage | TicketCardPage


class Middle(QWidget):
    """`at` is what it shows: (“ball”, id), (“person”, id), (“ticket”, number) or None."""

    opened = Signal()
    """A card is up and has the keys."""
    usual_wanted = Signal()

    def __init__(self, shared: Shared) -> None:
        super().__init__()
        self.shared = shared
        self.at: tuple[str, int] | None = None
        self._focus = False
        self._writing: tuple[int | None, frozenset[int], bool] = (None, frozenset(), False)
        self.ball, self.person, self.ticket = BallCardPage(), PersonCardPage(), TicketCardPage()
        self.empty = Empty(*NOBODY)
        plane = Sheet()
        stack = self._stack = QStackedLayout(plane)
        stack.setContentsMargins(1, 0, 1, 0)
        self._area = {page: scroll(page) for page in (self.ball, self.person, self.ticket)}
        stack.addWidget(self.empty)
        for area in self._area.values():
            stack.addWidget(area)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(plane)
        self.empty.wanted.connect(self.usual_wanted)
        self._now = datetime.now().astimezone()

    def show_overview(self, now: datetime, *, services: bool) -> None:
        """What stands there while nothing is opened."""
        self._now = now
        if services:
            self.empty.tell(*NOBODY)
            self.empty.button.hide()
        else:
            self.empty.tell(*NO_SERVICES, "Begin with the usual ones")

    def open(self, kind: str, record_id: int, *, focus: bool = True) -> None:
        """Show a card; with `focus` the keys go to it."""
        self.at, self._focus = (kind, record_id), focus
        self.reload()

    def reload(self) -> None:
        """Ask again for what is shown."""
        if self.at is None:
            self._stack.setCurrentWidget(self.empty)
            return
        kind, number = self.at
        if kind == "ball":
            self._ask(lambda shop: asking.ball(shop, number), self._ball)
        elif kind == "person":
            self._ask(lambda shop: asking.person(shop, number), self._person)
        else:
            self._ask(lambda shop: asking.ticket(shop, number), self._ticket)

    def _ask(self, run: Callable[[Shop], Any], done: Callable[[Any], None]) -> None:
        self.shared.ask("counter card", run, done, failed=self._gone, first=True)

    def close_card(self) -> None:
        """Nothing is opened."""
        self.at = None
        self.shared.worker.drop("counter card")
        self.reload()

    def on_ticket(self, person_id: int | None, balls: frozenset[int], *, written: bool) -> None:
        """Whose ticket is being written, which balls are on it, and whether there is anything on it."""
        if (person_id, balls, written) != self._writing:
            self._writing = (person_id, balls, written)
            if self.at is not None and self.at[0] == "ball":
                self.reload()

    def _ball(self, card: BallCard) -> None:
        person_id, balls, written = self._writing
        same = written and person_id == card.owner.id
        self.ball.show_card(
            card, self._now.date(), on_ticket=same, other=written and not same, here=card.ball.id in balls
        )
        self._up(self.ball, self.ball.lead())
        ball_id = card.ball.id
        self.shared.ask(
            "counter reckoned", lambda shop: asking.ball_reckoned(shop, ball_id), self._reckoned, failed=lambda _e: None
        )  # fmt: skip

    def _reckoned(self, found: tuple[int, Sequence[Job], str]) -> None:
        ball_id, due, lost = found
        if self.at == ("ball", ball_id):
            self.ball.show_reckoned(due, lost)

    def _person(self, card: PersonCard) -> None:
        self.person.show_card(card, self._now)
        self._up(self.person, self.person.lead())
        if self.person.lead() is self.person.balls and self.person.balls.in_hand() is None:
            self.person.balls.choose(0)

    def _ticket(self, card: TicketCard) -> None:
        self.ticket.show_card(card, self._now)
        self._up(self.ticket, self.ticket.lead())

    def _up(self, page: Page, lead: QWidget) -> None:
        self._stack.setCurrentWidget(self._area[page])
        self._lay_again(page)
        if self._focus:
            self._focus = False
            lead.setFocus(Qt.FocusReason.OtherFocusReason)
            self.opened.emit()

    @staticmethod
    def _lay_again(page: QWidget) -> None:
        """A page that is shown for the first time was laid out by its own hint, and Qt holds on to that."""
        layout = page.layout()
        if layout is not None and layout.geometry().size() != page.size():
            layout.invalidate()
            layout.activate()

    def _gone(self, error: KnownError) -> None:
        self.shared.trouble(error)
        self.close_card()

    def page(self) -> QWidget | None:
        """The card that is up."""
        current = self._stack.currentWidget()
        return next((page for page, area in self._area.items() if area is current), None)

    def whose(self) -> int | None:
        """The customer that is shown, or the owner of the ball that is."""
        shown = self.at[0] if self.at is not None else ""
        if shown == "person" and self.person.card is not None:
            return self.person.card.person.id
        return self.ball.card.owner.id if shown == "ball" and self.ball.card is not None else None

    def lead(self) -> QWidget:
        """Where F6 stops."""
        page = self.page()
        if isinstance(page, BallCardPage | PersonCardPage | TicketCardPage):
            return page.lead()
        return self.empty.button
