"""Questions of a kept ticket’s stages: what was read after the work, who takes the balls and what is paid, why it is
called off.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.counter import line_asked
from arsenal.desk.counter.slip_dialogs import Asking
from arsenal.desk.dialogs.form import Words
from arsenal.desk.parts.text import Plain
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.desk.counter.asking import TicketCard

Finishes = dict[tuple[int, int], str]
"""As typed, by ball and place of the job."""


class Staged(Asking):
    """Takes what is written through an act, and stays open with its sentence where the act refuses."""

    def __init__(self, title: str, parent: QWidget, does: str) -> None:
        super().__init__(title, parent, does, width=540)

    def _try(self) -> None:
        try:
            self.take()
        except KnownError as error:
            self.refuse(error)
        else:
            self.take_key.setEnabled(False)

    def refuse(self, error: KnownError) -> None:
        """Say why not."""
        self.take_key.setEnabled(True)
        self.complain(str(error))
        self.fit()


class ReadyDialog(Staged):
    """What was put on where nobody has said it, and what was read afterwards, by ball."""

    def __init__(self, parent: QWidget, card: TicketCard, took: Callable[[list[str], Finishes], None]) -> None:
        super().__init__(f"Ticket {card.ticket.id} is ready", parent, "Ready")
        self._took = took
        open_jobs = sum(job.done_at is None for taken in card.ticket.balls for job in taken.jobs)
        if open_jobs:
            told = f"{open_jobs} of its jobs were not ticked as done; they count as done now."
            self.body.insertWidget(0, Plain(told, px=14, wrap=True))
        self.finishes = {where: self._finish(card, *where) for where in card.ticket.unsaid}
        self.fields = [
            self.field(
                name[:40] or "a ball",
                f"Reading of {name} after the work",
                taken.reading_after,
                "r 1900, ra 15; may stay empty",
            )
            for name, taken in zip(card.balls, card.ticket.balls, strict=True)
        ]
        first = next(iter((*self.finishes.values(), *self.fields)), None)
        if first is not None:
            first.setFocus()

    def _finish(self, card: TicketCard, ball: int, place: int) -> Words:
        name, job = card.balls[ball], card.ticket.balls[ball].jobs[place].name
        return self.field(f"Put on {name}"[:40], f"What was put on {name}, {job}"[:120], "", line_asked.HINT, 80)

    def take(self) -> None:
        """Readings in the order of the balls, finishes by ball and job."""
        finishes = {where: field.words() for where, field in self.finishes.items()}
        self._took([field.words() for field in self.fields], finishes)


class OverDialog(Staged):
    """Who takes them, what is paid now, by whom it was handed over."""

    def __init__(
        self, parent: QWidget, card: TicketCard, took: Callable[[str, int, str], None]
    ) -> None:  # fmt: skip
        super().__init__(f"Hand over ticket {card.ticket.id}", parent, "Hand over")
        self._took = took
        self.confirmed = False
        """Whether the log’s caution was seen and the key pressed again."""
        ticket = card.ticket
        left = max(0, ticket.owed_cents + ticket.paid_cents)
        if ticket.price_cents:
            told = f"{card.price} in all"
            told += (
                f", deposit {ticket.deposit_cents // 100}.{ticket.deposit_cents % 100:02d}"
                if ticket.deposit_cents
                else ""
            )
            back = ticket.deposit_cents - ticket.price_cents
            told += f", to give back {back // 100}.{back % 100:02d}" if back > 0 else ""
            self.body.insertWidget(0, Plain(f"{told}. Balls: {', '.join(card.balls)}.", px=14, wrap=True))
        self.paid = self.field("Paid", "Paid", f"{left // 100}.{left % 100:02d}", "24 or 24.50", 20)
        self.to = self.field("To", "Handed to", "", card.who[:80])
        self.initials = self.field("Initials", "Initials", ticket.initials, "yours", 12)
        self.paid.setFocus()
        self.paid.selectAll()

    def take(self) -> None:
        """Amount, name, initials."""
        from arsenal.acts import services  # noqa: PLC0415 - loaded with the rooms

        self._took(self.to.words(), services.cents(self.paid.words() or "0"), self.initials.words())

    def refuse(self, error: KnownError) -> None:
        """What the log keeps only when it is confirmed is asked for once more, with its caution."""
        if "confirm" in error.sentence and not self.confirmed:
            self.confirmed = True
            self.take_key.rename("Log it all the same")
        super().refuse(error)


class OffDialog(Staged):
    """Why it is called off; its number is never used again, and Undo brings it back."""

    def __init__(self, parent: QWidget, card: TicketCard, took: Callable[[str], None]) -> None:
        super().__init__(f"Call off ticket {card.ticket.id}", parent, "Call it off")
        self._took = took
        self.why = self.field("Why", "Why it is called off", "", "went elsewhere, written twice")
        told = "The balls go back as they came and nothing goes into their logs. Undo brings the ticket back."
        self.body.addWidget(Plain(told, px=13, token="ink2", wrap=True))
        self.why.setFocus()

    def take(self) -> None:
        """The reason."""
        if not self.why.words():
            raise KnownError("Why is it called off?", next_step="A word or two are enough.")
        self._took(self.why.words())
