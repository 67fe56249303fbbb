"""The right pane: the ticket that is being written, and the two keys that keep it."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from arsenal.desk.counter import words
from arsenal.desk.counter.code_mark import CodeMark
from arsenal.desk.counter.line_rows import LinesView
from arsenal.desk.counter.paper import Paper
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import SentenceWord, TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketView

WORDS = (
    ("deposit", "Deposit"),
    ("paid", "Paid"),
    ("waits", "While you wait"),
    ("initials", "Initials"),
    ("note", "Note"),
    ("photos", "Photographs"),
)
PRINTED = {"label": "its labels", "ticket": "the ticket", "": "nothing"}
NO_TICKET = (
    "No ticket is being written",
    "Find a ball or a customer and press N, or begin with a name and a few words for the ball.",
)


class TicketPane(QWidget):
    """`wanted` tells what shall be changed: who, ball words, deposit, paid, waits, initials, note, photos, new; take,
    park.
    """

    wanted = Signal(str)
    promised = Signal(object)
    """Another time; None for what the bench proposes, "other" to type one."""

    def __init__(self) -> None:
        super().__init__()
        self.view: TicketView | None = None
        self.title, self.number = Plain("", px=14, token="ink2"), Plain("", px=20, weight=600)
        self.no_number = Plain("no number yet", px=13, token="ink3")
        self.who, self.phone = TextButton("", px=15), Plain("", px=14, token="ink2", elide=True)
        self.came = Plain("", px=13, token="ink2")
        self.out = SentenceWord("Promised for", "", px=14)
        self.lines = LinesView()
        self.no_ball = Plain("No ball yet. Find one, or add one in words.", px=14, token="ink2", wrap=True)
        self._space = QWidget()
        """Takes the room of the lines while there are none, so that the rows stay together."""
        self.add = TextButton("Add a ball", px=14)
        self.minutes, self.price = Plain("", px=14, token="ink2"), Plain("", px=19, weight=600)
        self.words = {what: TextButton("", px=14) for what, _ in WORDS}
        self.trouble = Told()
        self.stub_number = Plain("", px=20, weight=600)
        self.stub_who, self.stub_out = (
            Plain("", px=14, weight=600, elide=True),
            Plain("", px=14, token="ink2", elide=True),
        )
        self.code = CodeMark()
        self.take = KeyButton("Take in", "Ctrl ↵", primary=True, height=50)
        self.park = KeyButton("Park", "F2", height=50)
        self.empty = Empty(*NO_TICKET, "Write a ticket", "W")
        self.services = TextButton("Services and prices", px=13)
        self.prints = SentenceWord("After taking in", "", px=13)
        self._prints = ""
        self._build()
        self.show_view(None, datetime.now().astimezone())

    def _build(self) -> None:
        self._whole = QWidget()
        column = QVBoxLayout(self._whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look().px(12))
        column.addWidget(Paper(self._upper(), self._stub()), 1)
        column.addWidget(self.trouble)
        keys = QHBoxLayout()
        keys.setSpacing(look().px(12))
        keys.addWidget(self.take, 3)
        keys.addWidget(self.park, 2)
        column.addLayout(keys)
        self._outer = QVBoxLayout(self)
        stack = QWidget()
        self._stack = QStackedLayout(stack)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self._whole)
        self._outer.addWidget(stack, 1)
        low = QHBoxLayout()
        low.setSpacing(look().px(6))
        low.addWidget(self.services)
        low.addStretch(1)
        low.addWidget(Plain("Taking in prints", px=13, token="ink2"))
        low.addWidget(self.prints)
        self._outer.addLayout(low)
        self.empty.wanted.connect(lambda: self.wanted.emit("new"))
        for button, what in (
            (self.who, "who"), (self.add, "ball words"), (self.take, "take"), (self.park, "park"),
            (self.services, "services"), *((word, what) for what, word in self.words.items()),
        ):  # fmt: skip
            button.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
        self.out.picked.connect(self.promised)
        look().changed.connect(self._dress)
        self._dress()

    def _upper(self) -> QWidget:
        upper, px = QWidget(), look().px
        column = QVBoxLayout(upper)
        column.setContentsMargins(0, px(10), 0, px(8))
        column.setSpacing(px(4))
        self._rows: list[QHBoxLayout] = []

        def row(*widgets: QWidget, stretch: int = -1) -> None:
            made = QHBoxLayout()
            made.setContentsMargins(px(19), 0, px(19), 0)
            made.setSpacing(px(8))
            for n, widget in enumerate(widgets):
                made.addWidget(widget, 1 if n == stretch else 0)
            self._rows.append(made)
            column.addLayout(made)

        row(self.title, QWidget(), self.number, self.no_number, stretch=1)
        row(Line("rule"))
        row(self.who, self.phone, stretch=1)
        row(self.came, self.out, QWidget(), stretch=2)
        row(self.no_ball)
        column.addWidget(self.lines, 1)
        column.addWidget(self._space, 1)
        row(Line())
        row(self.add, QWidget(), self.minutes, self.price, stretch=1)
        for some in (WORDS[:3], WORDS[3:]):
            said: list[QWidget] = []
            for what, name in some:
                said += [Plain(name, px=14, token="ink2"), self.words[what]]
            row(*said, QWidget(), stretch=len(said))
        return upper

    def _stub(self) -> QWidget:
        stub, px = QWidget(), look().px
        row = QHBoxLayout(stub)
        row.setContentsMargins(px(19), px(2), px(12), px(8))
        row.setSpacing(px(14))
        row.addWidget(self.stub_number, 0, Qt.AlignmentFlag.AlignTop)
        both = QVBoxLayout()
        both.setSpacing(0)
        both.addWidget(self.stub_who)
        both.addWidget(self.stub_out)
        both.addStretch(1)
        row.addLayout(both, 1)
        row.addWidget(self.code)
        return stub

    def show_view(self, view: TicketView | None, now: datetime) -> None:
        """The ticket as it stands; None where none is written."""
        self.view = view
        self._stack.setCurrentWidget(self._whole if view is not None else self.empty)
        if view is None:
            self.complain("")
            return
        ticket = view.ticket
        number = f"No {ticket.id}" if ticket.id else ""
        balls = words.count(len(ticket.balls), "ball")
        self.title.setText(f"{'Parked ticket' if ticket.id else 'New ticket'}, {balls}")
        self.number.setText(number)
        self.number.setVisible(bool(number))
        self.no_number.setVisible(not number)
        named = ticket.person_id is not None or bool(ticket.name or ticket.phone)
        self.who.set_word(_short(view.who) if named else "Whose balls?")
        self.who.setAccessibleName(f"Customer: {view.who}" if named else "Whose balls are these?")
        self.phone.setText(view.phone if view.phone != view.who else "")
        came = ticket.taken_in_at or ticket.written_at
        self.came.setText(f"In {words.when(came, now)}, out")
        self._show_promise(view, now)
        self.lines.show_view(view)
        some = bool(ticket.balls)
        self.no_ball.setVisible(not some)
        self.lines.setVisible(some)
        self._space.setVisible(not some)
        self.minutes.setText(words.minutes(view.minutes) if some else "")
        self.price.setText(view.price)
        self._show_words(view)
        self.stub_number.setText(str(ticket.id))
        self.stub_number.setVisible(bool(ticket.id))
        self.stub_who.setText(f"{balls}, {view.who}" if named else balls)
        self.code.show_code(view.code)
        self.stub_out.setText(words.when(view.promise, now))
        self._name_take()

    def _show_promise(self, view: TicketView, now: datetime) -> None:
        self.out.set_word(words.when(view.promise, now))
        proposed = view.ticket.promised_at is None
        choices: list[tuple[str, object]] = [("as the bench has time", None)]
        choices += [(words.when(at, now), at) for at in times_after(view.promise, now)]
        self.out.set_choices(
            choices, None if proposed else view.ticket.promised_at,
            more=(("Another time …", lambda: self.promised.emit("other")),),
        )  # fmt: skip
        said = "as the bench has time" if proposed else "as chosen"
        self.out.setAccessibleDescription(said)

    def _show_words(self, view: TicketView) -> None:
        ticket = view.ticket
        told = {
            "deposit": _money(ticket.deposit_cents), "paid": _money(ticket.paid_cents),
            "waits": "yes" if ticket.while_you_wait else "no", "initials": ticket.initials or "–",
            "note": _short(ticket.note, 16) or "–",
            "photos": str(sum(len(taken.photo_ids) for taken in ticket.balls) or "–"),
        }  # fmt: skip
        for what, name in WORDS:
            self.words[what].set_word(told[what])
            spoken = told[what] if told[what] != "–" else "none"
            self.words[what].setAccessibleName(f"{name}: {spoken}")

    def stops(self) -> list[QWidget]:
        """What takes the focus, as it stands on the screen."""
        words = list(self.words.values())
        return [
            self.empty.button, self.who, self.out, self.lines, self.add, *words, self.take, self.park, self.services,
            self.prints,
        ]  # fmt: skip

    def show_prints(self, what: str) -> None:
        """What taking in prints: label, ticket, or nothing."""
        self._prints = what
        self.prints.set_word(PRINTED[what])
        self.prints.set_choices([(said, value) for value, said in PRINTED.items()], what)
        self._name_take()

    def _name_take(self) -> None:
        balls = len(self.view.ticket.balls) if self.view is not None else 0
        printed = {"label": words.count(balls, "label"), "ticket": "it", "": ""}[self._prints]
        self.take.rename(f"Take in, print {printed}" if printed and balls else "Take in")

    def complain(self, sentence: str) -> None:
        """What keeps it from being taken in."""
        self.trouble.setText(sentence)

    def _dress(self) -> None:
        px = look().px
        self._outer.setContentsMargins(px(24), px(16), px(24), px(10))
        self._outer.setSpacing(px(6))
        self.lines.setMinimumHeight(px(120))


def times_after(promise: datetime, now: datetime) -> list[datetime]:
    """Handy times: a few hours of the promised day, noon and six of the days after, and a week on."""
    local = promise.astimezone(now.tzinfo)
    found = [local + timedelta(hours=n) for n in (0, 1, 2)]
    for days in (1, 2, 3):
        day = local + timedelta(days=days)
        found += [day.replace(hour=hour, minute=0, second=0, microsecond=0) for hour in (12, 18)]
    found.append((local + timedelta(days=7)).replace(hour=12, minute=0, second=0, microsecond=0))
    return sorted({at for at in found if at > now})


def _money(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02d}"


def _short(text: str, most: int = 34) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"
