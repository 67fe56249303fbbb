"""The Counter room: the line and what waits, the card of what was found, the ticket being written."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QPaintEvent, QResizeEvent, QShortcut
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from arsenal.desk.counter import asking, card_doings
from arsenal.desk.counter.hit_rows import Offer
from arsenal.desk.counter.left_pane import LeftPane
from arsenal.desk.counter.middle import Middle
from arsenal.desk.counter.printing import show_print
from arsenal.desk.counter.slip import Slip
from arsenal.desk.counter.stages import Stages
from arsenal.desk.counter.strip import Strip
from arsenal.desk.counter.ticket_pane import TicketPane
from arsenal.desk.counter.waiting_rows import parked_keys
from arsenal.desk.parts.panes import Loose, focus_stops, scrolled, side_by_side, stand
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from collections.abc import Sequence

    from arsenal.acts.counter_views import TicketView
    from arsenal.acts.views import Changes, Hit
    from arsenal.desk.counter.asking import Overview

SHARES = (31, 36, 33)
WIDE, HIGH = 1200, 560
"""Logical width, and height of the room (the window then has 680), under which all stands in one column."""
LOW = (420, 620, 560)
"""Logical heights of the three panes in one column."""
AGAIN_MS = 30_000
"""What is late and until when the bench is full changes with the clock alone."""
PRINTS = "counter prints"
LETTERS = {"W": "who", "M": "paid", "Y": "waits", "L": "ball words", "G": "photos", "S": "services"}
"""Keys of the ticket’s words, where no button of the room has the letter."""


class CounterRoom(Room):
    """The room."""

    name, digit = "Counter", 6
    print_wanted = Signal(str, int)
    """A ticket or its labels by number, or the history of a ball."""

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self._front = False
        self._clock = QTimer(self)
        self._clock.setInterval(AGAIN_MS)
        self._clock.timeout.connect(self._ask)
        self._overview: Overview | None = None
        self.strip, self.left, self.middle, self.right = Strip(), LeftPane(shared), Middle(shared), TicketPane()
        self.slip, self.stages = Slip(self), Stages(self)
        self._lay_out()
        self._connect()
        self._order_tabs()
        look().changed.connect(self._fit)

    def _lay_out(self) -> None:
        inside = self._inside = QWidget()
        self._box = side_by_side(inside, 0)
        self._panes = tuple(Loose(pane) for pane in (self.left, self.middle, self.right))
        for pane, share in zip(self._panes, SHARES, strict=True):
            self._box.addWidget(pane, share)
            pane.setMinimumWidth(1)
        self._scroll = scrolled(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._scroll)

    def _connect(self) -> None:
        left, middle, right = self.left, self.middle, self.right
        self.strip.wanted.connect(self._show_list)
        self.strip.hours_wanted.connect(self._hours)
        left.hit_opened.connect(self._open_found)
        left.ticket_opened.connect(lambda number: middle.open("ticket", number))
        left.parked_opened.connect(self.slip.bring_back)
        left.list_closed.connect(lambda: self.strip.show_list(""))
        left.left.connect(self._leave_field)
        middle.usual_wanted.connect(self._usual)
        middle.opened.connect(self._to_card)
        middle.ball.wanted.connect(self._of_ball)
        middle.person.wanted.connect(self._of_person)
        middle.person.ball_opened.connect(lambda ball_id: middle.open("ball", ball_id))
        middle.person.ticket_opened.connect(lambda number: middle.open("ticket", number))
        middle.ticket.wanted.connect(self.stages.do)
        middle.ticket.ticked.connect(self.stages.tick)
        middle.ticket.ball_opened.connect(lambda ball_id: middle.open("ball", ball_id))
        right.wanted.connect(self._of_ticket)
        right.promised.connect(self.slip.promise)
        right.prints.picked.connect(self._set_printed)
        right.show_prints(self._printed())
        right.lines.ticked.connect(self.slip.tick)
        right.lines.ball_wanted.connect(self.slip.edit_ball)
        right.lines.usual_wanted.connect(self._usual)
        self.print_wanted.connect(lambda what, number: show_print(self.shared, self.window(), what, number))
        for keys, call in (
            ("Ctrl+Return", self.slip.take_in), ("Ctrl+Enter", self.slip.take_in), ("F2", self.slip.park),
            ("Ctrl+P", self._print),
            *((key, lambda of=key: self._bring_back(of)) for key in parked_keys()),
        ):  # fmt: skip
            QShortcut(QKeySequence(keys), self).activated.connect(call)  # heard while the room is in front
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._follow)

    def _order_tabs(self) -> None:
        """As they stand on the screen."""
        order = [self.left.field.edit, self.left.waiting, *focus_stops(self.middle), *self.right.stops()]
        for first, second in pairwise(order):
            QWidget.setTabOrder(first, second)

    # what a room is

    def sentence_bar(self) -> QWidget:
        """Counts, hours, load."""
        return self.strip

    def enter(self) -> None:
        """Ask for everything; the line has the keys."""
        self._front = True
        self._clock.start()
        self.middle.reload()  # first: a card that was scanned does not wait for the counts
        self._ask()
        self.slip.settle()
        self.left.field.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave(self) -> None:
        """What is half written is kept first."""
        self._front = False
        self._clock.stop()
        self.slip.keep_half()

    def refresh(self, changes: Changes) -> None:
        """Something was kept."""
        self._ask()
        self.slip.settle()
        self.middle.reload()

    def panes(self) -> Sequence[QWidget]:
        """The line, what waits, the card, the ticket."""
        right = self.right.lines if self.right.view is not None else self.right.empty.button
        return (self.left.field, self.left.waiting, self.middle.lead(), right)

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """For F1."""
        return (
            ("↑ ↓, Enter", "in the line: through what was found; open it"), ("Esc", "back to the line"),
            ("N", "a new ticket with the ball or for the customer shown"), ("Space", "on the ticket: tick a service"),
            ("Ctrl+Enter", "take the ticket in"), ("F2", "park it"),
            ("F3 F4 F5 F7 F8 F9", "a parked ticket comes back"),
            ("F H", "of a ball: fit and drilling; lend, take back or sell"),
            ("J P", "of a ball or a ticket: labels; photographs"),
            ("F R", "of a customer: fit sheets; their records, given out or erased"),
            ("W L Y M G", "of the ticket: whose it is, another ball, while you wait, paid, photographs"),
            ("S", "services and prices"), ("Ctrl+P", "print the ticket or the ball’s history"),
            ("Ctrl+Z", "a step back on the ticket; else the last act"),
        )  # fmt: skip

    def letter(self, key: str) -> bool:
        """Words of the ticket."""
        shown = self.middle.at[0] if self.middle.at is not None else ""
        of_card = card_doings.LETTERS.get((shown, key))
        if of_card is not None:
            {"ball": self._of_ball, "person": self._of_person, "ticket": self.stages.do}[shown](of_card)
            return True
        what = LETTERS.get(key)
        if what is None:
            return False
        self._of_ticket(what)
        return True

    def forget(self) -> bool:
        """A step back on the ticket being written."""
        return self.slip.step_back()

    def take_hit(self, hit: Hit) -> bool:
        """Something found with the window’s own line."""
        if hit.kind not in ("ball", "person", "ticket"):
            return False
        self.middle.open(hit.kind, hit.id)
        return True

    def whose(self) -> int | None:
        """The customer of the ticket being written, else of the card that is up."""
        view = self.right.view
        on_ticket = view.ticket.person_id if view is not None else None
        return on_ticket if on_ticket is not None else self.middle.whose()

    # showing

    def _ask(self) -> None:
        self.shared.ask("counter", asking.overview, self._show)

    def _show(self, found: Overview) -> None:
        if self._overview is None:
            self.shared.ask("counter warm", asking.warm, lambda _done: None)
        self._overview = found
        self.strip.show_view(found.view, found.now)
        self.strip.show_hours(found.hours)
        self.left.show_view(found.view, found.now)
        self.middle.show_overview(found.now, services=found.services)

    def show_paper(self, view: TicketView | None) -> None:
        """The ticket being written, as it stands."""
        from datetime import datetime  # noqa: PLC0415 - beside its one use

        now = self._overview.now if self._overview is not None else datetime.now().astimezone()
        self.right.show_view(view, now)
        person = view.ticket.person_id if view is not None else None
        balls = [taken.ball_id for taken in view.ticket.balls if taken.ball_id is not None] if view is not None else []
        self.left.on_ticket = view is not None
        self.left.writes(view.ticket.id if view is not None else 0)
        written = view is not None and bool(view.ticket.balls or person)
        self.middle.on_ticket(person, frozenset(balls), written=written)

    def taken_in(self, number: int) -> None:
        """A ticket has its number: show it, print it, and be ready for the next customer."""
        self.middle.open("ticket", number, focus=False)
        self.to_field()
        printed = self._printed()
        if printed:
            self.print_wanted.emit(printed, number)

    def _printed(self) -> str:
        """What taking in prints."""
        kept = str(self.shared.settings.kept.get(PRINTS, "label"))
        return kept if kept in ("label", "ticket", "") else "label"

    def _set_printed(self, what: object) -> None:
        self.shared.settings.kept[PRINTS] = str(what)
        self.right.show_prints(self._printed())

    def to_field(self) -> None:
        """The next customer."""
        self.left.clear()
        self.left.field.setFocus(Qt.FocusReason.OtherFocusReason)

    # doing

    def _open_found(self, row: object) -> None:
        if isinstance(row, Offer):
            self._make(row)
        else:
            self.middle.open(row.kind, row.id)  # type: ignore[attr-defined]

    def _make(self, offer: Offer) -> None:
        if offer.does == "customer":
            self._add_customer(offer.text)
        elif offer.does == "words":
            self.slip.add_words(offer.text)
            self.left.clear()
        else:
            self.slip.begin_named(*(("", offer.text) if offer.does == "phone" else (offer.text, "")))
            self.left.clear()

    def _add_customer(self, text: str) -> None:
        from arsenal.desk.counter.customer_dialog import open_customer  # noqa: PLC0415 - when first wanted

        open_customer(self.shared, self.window(), text, self._added)

    def _added(self, person_id: int) -> None:
        self.left.clear()
        self.middle.open("person", person_id)

    def _of_ball(self, what: str) -> None:
        card = self.middle.ball.card
        if card is None:
            return
        if what in ("new", "also"):
            self.slip.put_ball(card.ball.id, anyhow=what == "also")
        elif what == "owner":
            self.middle.open("person", card.owner.id)
        elif what == "ticket" and card.open_ticket is not None:
            self.middle.open("ticket", card.open_ticket)
        elif what == "print":
            self.print_wanted.emit("history", card.ball.id)
        elif what == "bench":
            self.shared.hold_bowler(card.owner.id)
            self.shared.hold_ball(card.ball.id)
            self.shared.open_room(2)
        elif what == "edit":
            from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first wanted

            open_ball(self.shared, self.window(), card.owner.id, card.ball)
        else:
            card_doings.of_ball(self.shared, self.window(), what, card.ball.id)

    def _of_person(self, what: str) -> None:
        card = self.middle.person.card
        if card is None:
            return
        if what == "new":
            self.slip.begin_for(card.person.id)
        elif what == "ball":
            from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first wanted

            open_ball(self.shared, self.window(), card.person.id)
        elif what == "edit":
            from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first wanted

            open_bowler(self.shared, self.window(), card.person, reach_first=True)
        else:
            card_doings.of_person(self.shared, self.window(), what, card.person.id, self._person_gone)

    def _person_gone(self) -> None:
        """Somebody was erased: their card goes too."""
        self.middle.at = None
        self.middle.reload()
        self.to_field()

    def _of_ticket(self, what: str) -> None:
        if what == "services":
            from arsenal.desk.counter.services_dialog import open_services  # noqa: PLC0415 - when first wanted

            open_services(self.shared, self.window())
        else:
            self.slip.do(what)

    def _usual(self) -> None:
        self.shared.keep(asking.begin_with_usual)

    def _hours(self, slot: object) -> None:
        from arsenal.desk.upkeep.slot_form import open_slot  # noqa: PLC0415 - when first wanted

        open_slot(self.shared, self.window(), None, slot)  # type: ignore[arg-type]

    def _print(self) -> None:
        at = self.middle.at
        if at is not None and at[0] in ("ball", "ticket"):
            self.print_wanted.emit("history" if at[0] == "ball" else "ticket", at[1])

    def _bring_back(self, key: str) -> None:
        number = self.left.parked(key)
        if number is not None:
            self.slip.bring_back(number)

    def _show_list(self, which: str) -> None:
        self.left.show_list(which)

    def _leave_field(self) -> None:
        """Esc in an empty line: letters and digits are keys again."""
        lead = self.middle.lead()
        (lead if lead.isVisible() else self.left.waiting).setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc goes back to the line; Enter does what the word in focus says."""
        held = self.window().focusWidget()
        if Qt.Key(event.key()) == Qt.Key.Key_Escape:
            self.left.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
            self.left.field.edit.selectAll()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and isinstance(held, TextButton):
            held.click()
        else:
            super().keyPressEvent(event)

    # size

    def _follow(self, _before: QWidget | None, now: QWidget | None) -> None:
        """In one column what has the focus comes into sight."""
        if self._front and now is not None and self._inside.isAncestorOf(now):
            self._scroll.ensureWidgetVisible(now, 0, look().px(20))

    def _to_card(self) -> None:
        """In one column a card comes into sight with its first line."""
        if (down := self._panes[1].y()) > 0:
            self._scroll.verticalScrollBar().setValue(down)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side, or one under the other."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        logical = look().logical
        narrow = logical(self.width()) < WIDE or logical(self.height()) < HIGH
        stand(self._box, column=narrow)
        for pane, low in zip(self._panes, LOW, strict=True):
            pane.setMinimumHeight(look().px(low) if narrow else 1)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ground."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("paper"))
        painter.end()


def make(shared: Shared) -> CounterRoom:
    """The room."""
    return CounterRoom(shared)
