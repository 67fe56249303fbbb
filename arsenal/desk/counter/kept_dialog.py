"""A ticket that is in the shop already, changed where it stands: services, balls in words, promise, note."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.counter import asking, line_asked, slip_dialogs, words
from arsenal.desk.counter.line_rows import LinesView
from arsenal.desk.counter.ticket_pane import times_after
from arsenal.desk.counter.written import How, OnPaper, Written
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.sentence import SentenceWord, TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketLine, TicketView
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.counter.room import CounterRoom
    from arsenal.trade.errors import KnownError
    from arsenal.trade.ticket import TakenIn, Ticket


class KeptDialog(Dialog):
    """Everything is kept at once, as one act, or not at all."""

    def __init__(self, shared: Shared, parent: QWidget, number: int) -> None:
        super().__init__(f"Change ticket {number}", parent, width=600)
        self.shared, self._number, self._written = shared, number, Written()
        self._view: TicketView | None = None
        self.lines = LinesView()
        self.lines.setMinimumHeight(look().px(330))
        self.out = SentenceWord("Promised for", "", px=15)
        self.note, self.deposit = TextButton("", px=15), TextButton("", px=15)
        for word in (self.out, self.note, self.deposit):
            word.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
            word.setMinimumHeight(look().px(34))
        self.sum = Plain("", px=15, weight=600)
        self.body.addWidget(self.lines, 1)
        rows = Facts()
        for caption, field in (
            ("Promised for", self.out),
            ("Note", self.note),
            ("Deposit", self.deposit),
            ("In all", self.sum),
        ):
            rows.field(caption, field)
        self.body.addWidget(rows)
        self.lines.ticked.connect(self._tick)
        self.lines.ball_wanted.connect(self._edit_ball)
        self.out.picked.connect(self._promise)
        self.note.clicked.connect(lambda _=False: self._ask_note())
        self.deposit.clicked.connect(lambda _=False: self._ask_deposit())
        self.offer("Not now", "Esc", self.reject)
        self.keep_key = self.offer("Keep", "Ctrl ↵", self._keep, primary=True)
        self._run(lambda shop: self._written.begin(shop, _ticket(shop, number)))
        self.lines.setFocus()

    def _run(self, run: Callable[[Shop], OnPaper]) -> None:
        self.shared.worker.act(run, self._show, failed=self._refused, title="Changing the ticket")

    def _change(self, how: How) -> None:
        self._run(lambda shop: self._written.change(shop, how))

    def _show(self, paper: OnPaper) -> None:
        view = self._view = paper.view
        if view is None:
            return
        now = datetime.now().astimezone()
        self.lines.show_view(view)
        if self.lines.in_hand() is None:
            self.lines.choose(0)
        self.out.set_word(words.when(view.promise, now))
        self.out.set_choices(
            [(words.when(at, now), at) for at in times_after(view.promise, now)], view.ticket.promised_at,
            more=(("Another time …", self._ask_time),),
        )  # fmt: skip
        self.note.set_word(view.ticket.note[:40] or "none")
        self.note.setAccessibleName(f"Note: {view.ticket.note or 'none'}")
        cents = view.ticket.deposit_cents
        self.deposit.set_word(f"{cents // 100}.{cents % 100:02d}")
        self.deposit.setAccessibleName(f"Deposit: {self.deposit.word()}")
        self.sum.setText(f"{view.price}, {words.minutes(view.minutes)}")
        self.complain("")

    def _refused(self, error: KnownError) -> None:
        self.keep_key.setEnabled(True)
        self.complain(str(error))

    def _tick(self, line: TicketLine) -> None:
        def with_these(cents: int | None, finish: str) -> None:
            def how(shop: Shop, old: Ticket) -> Ticket:
                from arsenal.acts import counter_lines  # noqa: PLC0415 - heavy, on the worker's thread

                return counter_lines.tick(shop, old, line, cents, finish)

            self._change(how)

        ball_id = self._view.ticket.balls[line.ball].ball_id if self._view is not None else None
        line_asked.ask_line(self.shared, self, line, ball_id, with_these)

    def _edit_ball(self, at: int) -> None:
        """A ball in words may be one of the customer’s by now; else what is written of it."""
        view = self._view
        if view is None:
            return
        ticket = view.ticket
        person_id, on = ticket.person_id, frozenset(taken.ball_id for taken in ticket.balls)
        if ticket.balls[at].ball_id is not None or person_id is None:
            self._edit_words(at)
            return

        def offered(theirs: tuple[tuple[str, str, int], ...]) -> None:
            if theirs:
                slip_dialogs.WhichBallDialog(
                    self, view.who, theirs, lambda ball_id: self._known_as(at, ball_id), lambda: self._edit_words(at)
                ).open_()
            else:
                self._edit_words(at)

        self.shared.ask("counter balls", lambda shop: asking.balls_of(shop, person_id, on), offered)

    def _known_as(self, at: int, ball_id: int) -> None:
        def how(shop: Shop, old: Ticket) -> Ticket:
            from arsenal.acts import counter  # noqa: PLC0415 - heavy, on the worker's thread

            return counter.known_as(shop, old, at, ball_id)

        self._change(how)

    def _edit_words(self, at: int) -> None:
        view = self._view
        if view is None:
            return

        def took(taken: TakenIn | None) -> None:
            def how(_shop: Shop, old: Ticket) -> Ticket:
                from arsenal.acts import counter_lines  # noqa: PLC0415 - heavy, on the worker's thread

                return counter_lines.with_taken(old, at, taken) if taken else counter_lines.without_ball(old, at)

            self._change(how)

        title = view.balls[at][:80] or "A ball"
        slip_dialogs.TakenDialog(self, title, view.ticket.balls[at], took, new=False).open_()

    def _promise(self, at: object) -> None:
        if isinstance(at, datetime):
            self._change(lambda _shop, old: replace(old, promised_at=at))

    def _ask_time(self) -> None:
        if self._view is not None:
            now = datetime.now().astimezone()
            slip_dialogs.PromiseDialog(self, self._view.promise, now, self._promise).open_()

    def _ask_note(self) -> None:
        if self._view is not None:
            slip_dialogs.LineDialog(
                self, "Note", self._view.ticket.note, "for the bench",
                lambda text: self._change(lambda _shop, old: replace(old, note=text)),
            ).open_()  # fmt: skip

    def _ask_deposit(self) -> None:
        if self._view is not None:
            slip_dialogs.MoneyDialog(
                self, "Deposit", self._view.ticket.deposit_cents,
                lambda cents: self._change(lambda _shop, old: replace(old, deposit_cents=cents)),
            ).open_()  # fmt: skip

    def _keep(self) -> None:
        written, number = self._written, self._number
        self.keep_key.setEnabled(False)

        def run(shop: Shop) -> Changes:
            from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

            made = written.draft
            return tickets.change(shop, number, lambda old: made or old, f"Changed ticket {number}")

        self.shared.keep(run, lambda _changes: self.accept(), failed=self._refused)


def _ticket(shop: Shop, number: int) -> Ticket:
    from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

    return tickets.ticket(shop, number)


def open_kept(room: CounterRoom, number: int) -> KeptDialog:
    """Change a kept ticket."""
    dialog = KeptDialog(room.shared, room.window(), number)
    dialog.open_()
    return dialog
