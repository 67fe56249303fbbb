"""Small questions of the ticket being written: whose it is, a ball in words, money, a line of text, another time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, time
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.dialogs.fields import ClockField, DayEdit
from arsenal.desk.dialogs.form import Words
from arsenal.desk.dialogs.serial import scanned_into
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Caution, Dialog, Facts
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.trade.ticket import TakenIn

Took = Callable[[str], None]
LONG = 400
MOST_KNOWN = 9


class Asking(Dialog):
    """Fields, Not now, and one key that takes them; what is wrong is said above the keys and nothing is lost."""

    def __init__(self, title: str, parent: QWidget, does: str = "Keep", *, width: float = 500) -> None:
        super().__init__(title, parent, width=width)
        self.rows = Facts()
        self.body.addWidget(self.rows)
        self.offer("Not now", "Esc", self.reject)
        self.take_key = self.offer(does, "↵", self._try, primary=True)

    def field(self, caption: str, name: str, text: str = "", hint: str = "", most: int = LONG) -> Words:
        """One line of text."""
        made = Words(name, text[:most], hint, most)
        self.rows.field(caption, made)
        return made

    def take(self) -> None:
        """Use what is written. Raises KnownError."""
        raise NotImplementedError

    def _try(self) -> None:
        try:
            self.take()
        except KnownError as error:
            self.complain(str(error))
            self.fit()
        else:
            self.accept()


class WhoDialog(Asking):
    """A name, a phone, or both."""

    def __init__(self, parent: QWidget, name: str, phone: str, took: Callable[[str, str], None]) -> None:
        super().__init__("Whose balls", parent, "Write it down")
        self._took = took
        self.name = self.field("Name", "Name of the customer", name, "as they say it")
        self.phone = self.field("Phone", "Phone of the customer", phone, "may stay empty")
        told = "A name or a phone number is enough. To take a customer of the file, find them and press N."
        self.body.addWidget(Plain(told, px=13, token="ink2", wrap=True))
        self.name.setFocus()
        self.name.selectAll()

    def take(self) -> None:
        """Name and phone."""
        if not (self.name.words() or self.phone.words()):
            raise KnownError("Whose balls are these?", next_step="Write a name or a phone number.")
        self._took(self.name.words(), self.phone.words())


class SameDialog(Dialog):
    """Customers of the file with just the name that was said: one of them, or somebody else."""

    def __init__(
        self, parent: QWidget, name: str, known: Sequence[tuple[str, int]], took: Callable[[int], None]
    ) -> None:  # fmt: skip
        super().__init__(f"Which {name[:60]}?", parent, width=480)
        self._took = took
        self.body.addWidget(Plain("In the file already. One of these, or another of that name?", px=14, wrap=True))
        for number, (said, person_id) in enumerate(known[:MOST_KNOWN], 1):
            button = KeyButton(said[:80], str(number), height=44)
            button.clicked.connect(lambda _=False, of=person_id: self._choose(of))
            self.body.addWidget(button)
            self._buttons.append(button)
        self.offer("Somebody else", "Esc", self.reject).take_keys()

    def _choose(self, person_id: int) -> None:
        self._took(person_id)
        self.accept()


class WhichBallDialog(Dialog):
    """A customer’s balls in the file: one of them, or another in words."""

    def __init__(
        self, parent: QWidget, who: str, theirs: Sequence[tuple[str, str, int]], took: Callable[[int], None],
        in_words: Callable[[], None],
    ) -> None:  # fmt: skip
        super().__init__(f"Which ball of {who[:60]}?", parent, width=520)
        first: KeyButton | None = None
        for number, (name, apart, ball_id) in enumerate(theirs[:MOST_KNOWN], 1):
            button = KeyButton(", ".join(part for part in (name, apart) if part)[:80], str(number), height=44)
            button.clicked.connect(lambda _=False, of=ball_id: self._choose(lambda: took(of)))
            self.body.addWidget(button)
            self._buttons.append(button)
            first = first or button
        if len(theirs) > MOST_KNOWN:
            told = f"{len(theirs) - MOST_KNOWN} more: find one by its name, then press N."
            self.body.addWidget(Plain(told, px=13, token="ink2", wrap=True))
        self.offer("Not now", "Esc", self.reject)
        self.offer("In words", "L", lambda: self._choose(in_words))
        if first is not None:
            first.take_keys()

    def _choose(self, call: Callable[[], None]) -> None:
        self.accept()
        call()


class TakenDialog(Asking):
    """What is written of one ball: words, serial or why none, finish and reading as found, what is dangerous."""

    def __init__(
        self, parent: QWidget, title: str, taken: TakenIn, took: Callable[[TakenIn | None], None], *, new: bool
    ) -> None:  # fmt: skip
        super().__init__(title, parent, "Put it on" if new else "Keep", width=560)
        self._taken, self._took = taken, took
        self.words = None
        if taken.ball_id is None:
            self.words = self.field("What it looks like", "What the ball looks like", taken.words, "blue one, 15 lb")
        self.serial = self.field("Serial", "Serial", taken.serial, "as engraved")
        self.missing = self.field(
            "… or why not", "Why there is no serial", taken.serial_missing, "worn, unreadable, later"
        )
        self.found = self.field("Finish as found", "Finish as found", taken.found, "1000 h, polish")
        self.reading = self.field("Reading", "Reading as found", taken.reading, "r 2400, ra 21; may stay empty")
        self.hazards = self.field(
            "Dangerous", "What is dangerous", "; ".join(taken.hazards), "crack by the thumb; plugged"
        )
        self.note = self.field("Note", "Note", taken.note, "for the bench")
        self.body.addWidget(Caution("A crack or a plug: no heat before the owner was asked.", ""))
        if not new:
            off = TextButton("Take it off the ticket", px=14, token="bad")
            off.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
            off.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
            off.clicked.connect(lambda _=False: self._off())
            self.body.addWidget(off)
        (self.words or self.serial).setFocus()

    def scanned(self, text: str) -> None:
        """A maker's code is the serial."""
        scanned_into(self, self.serial, text)

    def take(self) -> None:
        """As the fields say."""
        words = self.words.words() if self.words is not None else self._taken.words
        if self._taken.ball_id is None and not words:
            raise KnownError("What does the ball look like?", next_step="A few words are enough: “blue one”.")
        hazards = tuple(part.strip() for part in self.hazards.words().split(";") if part.strip())
        self._took(replace(
            self._taken, words=words, serial=self.serial.words(), serial_missing=self.missing.words(),
            found=self.found.words(), reading=self.reading.words(), hazards=hazards, note=self.note.words(),
        ))  # fmt: skip

    def _off(self) -> None:
        self._took(None)
        self.accept()


class LineDialog(Asking):
    """One line of text."""

    def __init__(self, parent: QWidget, title: str, text: str, hint: str, took: Took, *, needed: str = "") -> None:
        super().__init__(title, parent)
        self._took, self._needed = took, needed
        self.line = self.field(title, title, text, hint)
        self.line.setFocus()
        self.line.selectAll()

    def take(self) -> None:
        """The line."""
        if self._needed and not self.line.words():
            raise KnownError(self._needed)
        self._took(self.line.words())


class MoneyDialog(Asking):
    """An amount."""

    def __init__(self, parent: QWidget, title: str, cents: int | None, took: Callable[[int], None]) -> None:
        super().__init__(title, parent)
        self._took = took
        text = "" if cents is None else f"{cents // 100}.{cents % 100:02d}"
        self.amount = self.field("Amount", title, text, "24 or 24.50", 20)
        self.amount.setFocus()
        self.amount.selectAll()

    def take(self) -> None:
        """The amount in cents."""
        from arsenal.acts import services  # noqa: PLC0415 - loaded with the rooms

        self._took(services.cents(self.amount.words()))


class PromiseDialog(Asking):
    """Another day and time."""

    def __init__(self, parent: QWidget, at: datetime, now: datetime, took: Callable[[datetime], None]) -> None:
        super().__init__("Promised for", parent, "Promise it")
        self._took, self._now = took, now
        local = at.astimezone(now.tzinfo)
        self.day = DayEdit("Day", local.date())
        self.clock = ClockField("Time", time(local.hour, local.minute))
        self.rows.field("Day", self.day)
        self.rows.field("Time", self.clock)
        self.day.setFocus()

    def take(self) -> None:
        """Day and time, not in the past."""
        at = self.clock.at()
        if at is None:
            raise KnownError("At what time?", next_step="Write it as 18:00.")
        wanted = datetime.combine(self.day.day(), at).astimezone()
        if wanted <= self._now:
            raise KnownError("That time has passed.", next_step="Choose a later one.")
        self._took(wanted)
