"""What is done to the ticket that is being written. Every change runs on the worker in the order it was made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from arsenal.desk.counter import asking, line_asked, slip_dialogs
from arsenal.desk.counter.line_rows import Head
from arsenal.desk.counter.written import How, OnPaper, Written
from arsenal.trade.errors import KnownError
from arsenal.trade.ticket import TakenIn

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketLine, TicketView
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.counter.room import CounterRoom
    from arsenal.trade.person import Person
    from arsenal.trade.ticket import Ticket

Both = tuple[OnPaper, "Changes | None"]


class Slip:
    """The right pane’s doings."""

    def __init__(self, room: CounterRoom) -> None:
        self._room, self.written = room, Written(lasting=True)
        self.steps = 0

    # running things

    @property
    def view(self) -> TicketView | None:
        """The ticket as it was shown last."""
        return self._room.right.view

    def change(self, how: How, then: Callable[[], None] | None = None) -> None:
        """Change the ticket, then show it."""
        written = self.written
        self._run(lambda shop: (written.change(shop, how), None), then)

    def _run(self, run: Callable[[Shop], Both], then: Callable[[], None] | None = None) -> None:
        def arrived(both: Both) -> None:
            paper, changes = both
            self.show(paper)
            if changes is not None:
                self._room.shared.kept.emit(changes)
            if then is not None:
                then()

        self._room.shared.worker.act(run, arrived, failed=self._refused, title="Writing the ticket")

    def _refused(self, error: KnownError) -> None:
        if self.view is not None:
            self._room.right.complain(str(error))
        else:
            self._room.shared.trouble(error)

    def show(self, paper: OnPaper) -> None:
        """The pane as the ticket stands."""
        self.steps = paper.steps
        self._room.right.complain("")
        self._room.show_paper(paper.view)

    def settle(self) -> None:
        """After anything was kept or taken back."""
        self._run(lambda shop: (self.written.settle(shop), None))

    def step_back(self) -> bool:
        """Undo of what is not kept yet."""
        if not self.steps or self.view is None:
            return False
        self._run(lambda shop: (self.written.step_back(shop), None))
        return True

    def keep_half(self) -> None:
        """Keep what is written, and go on writing: another room comes to the front, or the window closes."""
        if self.view is not None:
            written = self.written
            self._room.shared.keep(lambda shop: _keep_half(written, shop), failed=lambda _error: None)

    # balls and customers

    def put_ball(self, ball_id: int, *, anyhow: bool = False) -> None:
        """A ball of the file on its owner’s ticket; somebody else’s is parked first. `anyhow`: on this one. One that is
        on the ticket already is gone to.
        """
        written, on = self.written, self.view.ticket.balls if self.view is not None else ()
        at = next((place for place, taken in enumerate(on) if taken.ball_id == ball_id), None)
        if at is not None:
            self._to_ball(at)
            return

        def run(shop: Shop) -> Both:
            from arsenal.acts import counter  # noqa: PLC0415 - heavy, on the worker's thread

            owner = shop.person(shop.ball(ball_id).owner_id)
            return _onto(written, shop, owner, lambda old: counter.with_ball(shop, old, ball_id), anyhow=anyhow)

        self._run(run, self._to_last_ball)

    def begin_for(self, person_id: int) -> None:
        """A ticket for a customer of the file."""
        written = self.written

        def run(shop: Shop) -> Both:
            person = shop.person(person_id)
            return _onto(written, shop, person, lambda old: replace(old, person_id=person_id))

        self._run(run, self._to_words)

    def begin_named(self, name: str = "", phone: str = "") -> None:
        """A ticket for somebody who is not in the file."""
        written = self.written

        def run(shop: Shop) -> Both:
            changes = written.park(shop) if written.written_on() else None
            return written.change(shop, lambda _shop, old: replace(old, name=name, phone=phone)), changes

        self._run(run, lambda: self._which(name))

    def _add_ball(self) -> None:
        """Another ball: one of the customer’s where the file has some, else one in words."""
        view = self.view
        if view is None or view.ticket.person_id is None:
            self.add_words()
            return
        person_id, on = view.ticket.person_id, frozenset(taken.ball_id for taken in view.ticket.balls)

        def offered(theirs: tuple[tuple[str, str, int], ...]) -> None:
            if theirs:
                slip_dialogs.WhichBallDialog(
                    self._room.window(), view.who, theirs,
                    lambda ball_id: self.put_ball(ball_id, anyhow=True), self.add_words,
                ).open_()  # fmt: skip
            else:
                self.add_words()

        self._room.shared.ask("counter balls", lambda shop: asking.balls_of(shop, person_id, on), offered)

    def _photos(self) -> None:
        """Photographs lie with a ticket that has its number, so it is kept half written first."""
        written, number = self.written, []

        def run(shop: Shop) -> Changes:
            if not written.written_on():
                raise KnownError("Nothing is written on this ticket yet.", next_step="Say whose ball it is first.")
            changes = written.keep_half(shop)
            number.append(written.draft.id if written.draft is not None else 0)
            return changes

        def kept(_changes: Changes) -> None:
            from arsenal.desk.dialogs.photos import open_ticket_photos  # noqa: PLC0415 - when first wanted

            open_ticket_photos(self._room.shared, self._room.window(), number[0])

        self._room.shared.keep(run, kept, failed=self._refused)

    def add_words(self, words: str = "") -> None:
        """A ball that is only described."""
        if words:
            self.change(lambda _shop, old: replace(old, balls=(*old.balls, TakenIn(words=words))), self._to_last_ball)
            return
        slip_dialogs.TakenDialog(
            self._room.window(), "A ball in words", TakenIn(), lambda taken: self._put(None, taken), new=True
        ).open_()

    def edit_ball(self, at: int, then: Callable[[], None] | None = None) -> None:
        """What is written of a ball."""
        view = self.view
        if view is not None and at < len(view.ticket.balls):
            slip_dialogs.TakenDialog(
                self._room.window(), view.balls[at][:80] or "A ball", view.ticket.balls[at],
                lambda taken: self._put(at, taken, then), new=False,
            ).open_()  # fmt: skip

    def _put(self, at: int | None, taken: TakenIn | None, then: Callable[[], None] | None = None) -> None:
        def how(_shop: Shop, old: Ticket) -> Ticket:
            from arsenal.acts import counter_lines  # noqa: PLC0415 - heavy, on the worker's thread

            if at is None:
                return replace(old, balls=(*old.balls, taken)) if taken is not None else old
            return counter_lines.with_taken(old, at, taken) if taken else counter_lines.without_ball(old, at)

        self.change(how, then or (self._to_last_ball if at is None else None))

    def _to_last_ball(self) -> None:
        if self.view is not None and self.view.ticket.balls:
            self._to_ball(len(self.view.ticket.balls) - 1)

    def _to_ball(self, at: int) -> None:
        lines = self._room.right.lines
        lines.hold_first(at)
        lines.setFocus(Qt.FocusReason.OtherFocusReason)

    def _to_words(self) -> None:
        """A ticket without a ball yet: the next thing said is the ball; a stranger’s is typed into the line."""
        if self.view is None or self.view.ticket.balls:
            return
        if self.view.ticket.person_id is None:
            self._room.to_field()
        else:
            self._room.right.add.setFocus(Qt.FocusReason.OtherFocusReason)

    # lines

    def tick(self, line: TicketLine) -> None:
        """Tick a service, or take it off; its finish or price is asked for where nobody has said it."""
        ball_id = self.view.ticket.balls[line.ball].ball_id if self.view is not None else None
        line_asked.ask_line(
            self._room.shared, self._room.window(), line, ball_id,
            lambda cents, finish: self._tick(line, cents, finish),
        )  # fmt: skip

    def _tick(self, line: TicketLine, cents: int | None, finish: str) -> None:
        def how(shop: Shop, old: Ticket) -> Ticket:
            from arsenal.acts import counter_lines  # noqa: PLC0415 - heavy, on the worker's thread

            return counter_lines.tick(shop, old, line, cents, finish)

        self.change(how)

    # words

    def do(self, what: str) -> None:
        """By the name of the word or key."""
        view, window = self.view, self._room.window()
        if what == "take":
            self.take_in()
        elif what == "park":
            self.park()
        elif what in ("new", "who"):
            self._ask_who()
        elif what == "ball words":
            self._add_ball()
        elif view is None:
            return
        elif what == "waits":
            self.change(lambda _shop, old: replace(old, while_you_wait=not old.while_you_wait))
        elif what == "photos":
            self._photos()
        elif what in ("deposit", "paid"):
            field = f"{what}_cents"
            slip_dialogs.MoneyDialog(
                window, what.capitalize(), getattr(view.ticket, field), lambda cents: self._set(field, cents)
            ).open_()
        else:
            title, hint = {"initials": ("Initials", "yours"), "note": ("Note", "for the bench")}[what]
            slip_dialogs.LineDialog(
                window, title, getattr(view.ticket, what), hint, lambda text: self._set(what, text)
            ).open_()

    def _set(self, field: str, value: object) -> None:
        self.change(lambda _shop, old: replace(old, **{field: value}))  # type: ignore[arg-type]

    def _ask_who(self) -> None:
        ticket = self.view.ticket if self.view is not None else None
        name, phone = (ticket.name, ticket.phone) if ticket is not None else ("", "")
        slip_dialogs.WhoDialog(self._room.window(), name, phone, self._named).open_()

    def _named(self, name: str, phone: str) -> None:
        self.change(
            lambda _shop, old: replace(old, name=name, phone=phone, person_id=None), lambda: self._which(name)
        )  # fmt: skip

    def _which(self, name: str) -> None:
        """A name the file knows is asked about; else the next thing said is the ball."""

        def known(found: tuple[tuple[str, int], ...]) -> None:
            if found:
                slip_dialogs.SameDialog(self._room.window(), name, found, self._same).open_()
            else:
                self._to_words()

        if name:
            self._room.shared.ask("counter namesakes", lambda shop: asking.namesakes(shop, name), known)
        else:
            self._to_words()

    def _same(self, person_id: int) -> None:
        self.change(
            lambda _shop, old: replace(old, name="", phone="", person_id=person_id), self._to_words
        )  # fmt: skip

    def promise(self, at: object) -> None:
        """Another time, or as the bench has time."""
        if at == "other":
            view = self.view
            if view is not None:
                now = datetime.now().astimezone()
                slip_dialogs.PromiseDialog(
                    self._room.window(), view.promise, now, lambda chosen: self._set("promised_at", chosen)
                ).open_()
        else:
            self._set("promised_at", at)

    # keeping

    def take_in(self) -> None:
        """Take it in; a ball without a serial is asked about first."""
        heads = [row for row in self._room.right.lines.rows_model.rows() if isinstance(row, Head)]
        missing = next((head for head in heads if head.missing), None)
        if self.view is None:
            return
        if missing is not None:
            self.edit_ball(missing.ball, self._take_in_now)
        else:
            self._take_in_now()

    def _take_in_now(self) -> None:
        written = self.written
        self._room.shared.keep(written.take_in, self._taken_in, failed=self._refused)

    def _taken_in(self, changes: Changes) -> None:
        self._room.right.complain("")
        if changes.changed:
            number = changes.changed[0].id
            self._room.taken_in(number)

    def park(self) -> None:
        """Keep it half written and clear the pane."""
        if self.view is None:
            return
        written = self.written
        self._room.shared.keep(written.park, self._parked, failed=self._refused)

    def _parked(self, _changes: Changes) -> None:
        self.settle()  # one that has not changed since it was kept changes nothing, and nothing else tells the pane
        self._room.to_field()

    def bring_back(self, number: int) -> None:
        """A parked ticket comes back; the one being written is parked first."""
        written = self.written

        def run(shop: Shop) -> Both:
            from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

            found = tickets.ticket(shop, number)
            changes = written.park(shop) if written.written_on() else None
            return written.begin(shop, found), changes

        self._run(run, lambda: self._room.right.lines.setFocus(Qt.FocusReason.OtherFocusReason))

    def change_kept(self, number: int) -> None:
        """A kept ticket’s promise, note and services are changed where they stand; a parked one comes back."""
        from arsenal.desk.counter.kept_dialog import open_kept  # noqa: PLC0415 - when first wanted
        from arsenal.trade.ticket import Standing  # noqa: PLC0415 - beside it

        card = self._room.middle.ticket.card
        if card is not None and card.ticket.standing is Standing.PARKED:
            self.bring_back(number)
        else:
            open_kept(self._room, number)


def _onto(
    written: Written, shop: Shop, person: Person, how: Callable[[Ticket], Ticket], *, anyhow: bool = False
) -> Both:  # fmt: skip
    """Change the ticket being written where it is that customer’s, else park it and begin theirs."""
    from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

    draft = written.draft
    theirs = draft is not None and (anyhow or written.fits(person.id, person.name))
    made = how(draft if draft is not None and theirs else tickets.blank(shop))
    changes = written.park(shop) if not theirs and written.written_on() else None
    return written.change(shop, lambda _shop, _old: made), changes


def _keep_half(written: Written, shop: Shop) -> Changes:
    from arsenal.acts.views import Changes as Nothing  # noqa: PLC0415 - heavy, on the worker's thread

    return written.keep_half(shop) if written.written_on() else Nothing(None, "")
