"""What the keys of a kept ticket do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from arsenal.desk.counter import asking, line_asked, slip_dialogs, stage_dialogs

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.counter.asking import TicketCard
    from arsenal.desk.counter.room import CounterRoom
    from arsenal.desk.counter.stage_dialogs import Staged
    from arsenal.trade.errors import KnownError
    from arsenal.trade.ticket import Ticket


class Stages:
    """Begin, Done, Ready, Hand over, Call off; the ticks before heat; the text to send."""

    def __init__(self, room: CounterRoom) -> None:
        self._room = room

    @property
    def _card(self) -> TicketCard | None:
        return self._room.middle.ticket.card

    def do(self, what: str) -> None:
        """By the name of its key."""
        does = {
            "begin": self._begin, "done": self._done, "ready": self._ready, "over": self._over, "off": self._off,
            "copy": self._copy, "change": self._change, "who": self._who, "print": self._print, "label": self._labels,
            "photos": self._photos,
        }  # fmt: skip
        if self._card is not None:
            does[what]()

    def _keep(self, run: Callable[[Shop], Changes], failed: Callable[[KnownError], None] | None = None) -> None:
        self._room.shared.keep(run, failed=failed or self._room.shared.trouble)

    def _begin(self) -> None:
        job, number = self._room.middle.ticket.job(), self._number()
        if job is None:
            return
        ball, place = job

        def run(shop: Shop) -> Changes:
            from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

            return tickets.begin(shop, number, ball, place)

        self._keep(run)

    def _done(self) -> None:
        card, job, number = self._card, self._room.middle.ticket.job(), self._number()
        if card is None or job is None:
            return
        ball, place = job

        def took(finish: str) -> None:
            def run(shop: Shop) -> Changes:
                from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

                return tickets.done(shop, number, ball, place, finish)

            self._keep(run)

        if job in card.ticket.unsaid:
            line_asked.FinishDone(
                self._room.window(), card.balls[ball], card.ticket.balls[ball].jobs[place].name, took
            ).open_()
        else:
            took("")

    def tick(self, what: str, on: bool) -> None:
        """Inserts out, or plugs and cracks checked, of the ball in hand."""
        ball, number = self._room.middle.ticket.ball(), self._number()
        inserts = what == "inserts"

        def how(found: Ticket) -> Ticket:
            taken = found.balls[ball]
            taken = replace(taken, inserts_out=on) if inserts else replace(taken, cracks_checked=on)
            return replace(found, balls=(*found.balls[:ball], taken, *found.balls[ball + 1 :]))

        words = "inserts and slugs out" if inserts else "plugs and cracks checked"
        said = f"Ticket {number}: {words}" if on else f"Ticket {number}: not yet {words}"

        def run(shop: Shop) -> Changes:
            from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

            return tickets.change(shop, number, how, said)

        self._keep(run)

    def _ready(self) -> None:
        card, number = self._card, self._number()
        assert card is not None  # noqa: S101 - `do` asked

        def took(readings: list[str], finishes: dict[tuple[int, int], str]) -> None:
            def run(shop: Shop) -> Changes:
                from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

                return tickets.ready(shop, number, readings, finishes=finishes)

            self._through(dialog, run)

        dialog = stage_dialogs.ReadyDialog(self._room.window(), card, took)
        dialog.open_()

    def _over(self) -> None:
        card, number = self._card, self._number()
        assert card is not None  # noqa: S101 - `do` asked

        def took(to: str, paid: int, initials: str) -> None:
            confirmed = dialog.confirmed

            def run(shop: Shop) -> Changes:
                from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

                return tickets.hand_over(
                    shop, number, to=to, paid_cents=paid, initials=initials, confirmed=confirmed
                )  # fmt: skip

            self._through(dialog, run)

        dialog = stage_dialogs.OverDialog(self._room.window(), card, took)
        dialog.open_()

    def _off(self) -> None:
        card, number = self._card, self._number()
        assert card is not None  # noqa: S101 - `do` asked

        def took(why: str) -> None:
            def run(shop: Shop) -> Changes:
                from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

                return tickets.call_off(shop, number, why)

            self._through(dialog, run)

        dialog = stage_dialogs.OffDialog(self._room.window(), card, took)
        dialog.open_()

    def _through(self, dialog: Staged, run: Callable[[Shop], Changes]) -> None:
        """Keep it, and close the dialog once it is kept."""
        self._room.shared.keep(run, lambda _changes: dialog.accept(), failed=dialog.refuse)

    def _change(self) -> None:
        self._room.slip.change_kept(self._number())

    def _who(self) -> None:
        card = self._card
        assert card is not None  # noqa: S101 - `do` asked
        if card.ticket.person_id is not None:
            self._room.middle.open("person", card.ticket.person_id)
        elif card.ticket.standing.value == "half written":
            self._change()  # it is written on in the pane, and nowhere else
        elif card.ticket.out_at is None:
            slip_dialogs.WhoDialog(self._room.window(), card.ticket.name, card.ticket.phone, self._named).open_()

    def _named(self, name: str, phone: str) -> None:
        """Another name or phone on a ticket of nobody in the file; one the file knows is asked about."""
        number = self._number()
        self._whose(number, name=name, phone=phone)

        def known(found: tuple[tuple[str, int], ...]) -> None:
            if found:
                slip_dialogs.SameDialog(
                    self._room.window(), name, found, lambda person_id: self._whose(number, person_id=person_id)
                ).open_()  # fmt: skip

        if name:
            self._room.shared.ask("counter namesakes", lambda shop: asking.namesakes(shop, name), known)

    def _whose(self, number: int, name: str = "", phone: str = "", person_id: int | None = None) -> None:
        def run(shop: Shop) -> Changes:
            from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

            def how(old: Ticket) -> Ticket:
                return replace(old, name=name, phone=phone, person_id=person_id)

            whose = shop.person(person_id).name if person_id is not None else name or phone
            return tickets.change(shop, number, how, f"Ticket {number} is of {whose}")

        self._keep(run)

    def _copy(self) -> None:
        card = self._card
        if card is not None and card.message:
            QApplication.clipboard().setText(card.message)
            self._room.shared.say("The text is on the clipboard. Nothing was sent.")

    def _print(self) -> None:
        self._room.print_wanted.emit("ticket", self._number())

    def _labels(self) -> None:
        self._room.print_wanted.emit("label", self._number())

    def _photos(self) -> None:
        from arsenal.desk.dialogs.photos import open_ticket_photos  # noqa: PLC0415 - when first wanted

        open_ticket_photos(self._room.shared, self._room.window(), self._number())

    def _number(self) -> int:
        card = self._card
        return card.ticket.id if card is not None else 0
