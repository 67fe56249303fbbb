"""A customer’s card: how to reach them, what they agreed to, their balls and their tickets."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.counter import words
from arsenal.desk.counter.card_parts import loose
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.counter_views import PersonCard


@dataclass(frozen=True, slots=True)
class Line2:
    """One ball or ticket of a customer: id, name, what stands beside it, what stands right."""

    id: int
    name: str
    beside: str
    right: str


class LinePainter(RowPainter):
    """Name, beside, right; 40 high."""

    height = 40
    line_from = 8
    line_to = 8

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px = look().px
        inner = box.adjusted(px(8), 0, -px(8), 0)
        right = write(painter, inner, row.right[:80], look().font(13), "ink2", right=True)
        left = inner.adjusted(0, 0, -round(right) - px(12), 0)
        name = write(painter, left, row.name[:200], look().font(15, 600), "ink")
        rest = left.adjusted(round(name) + px(10), 0, 0, 0)
        if rest.width() > px(40):
            write(painter, rest, row.beside[:200], look().font(13), "ink2")


def _spoken(row: Line2) -> str:
    return ", ".join(part for part in (row.name, row.beside, row.right) if part)


class PersonCardPage(QWidget):
    """The page; `wanted` tells what shall be done: new, edit, ball, fit, records."""

    wanted = Signal(str)
    ball_opened = Signal(int)
    ticket_opened = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.card: PersonCard | None = None
        self.name = Plain("", px=25, weight=600, elide=True)
        self.reach = Plain("", px=15, token="ink2", elide=True)
        self.consent = Plain("", px=14, token="ink2", wrap=True)
        self.balls = RowsView("Their balls", RowsModel(_spoken), LinePainter())
        self.tickets = RowsView("Their tickets", RowsModel(_spoken), LinePainter())
        self.no_balls = Plain(
            "No ball in the file yet. A ticket needs only words for one.", px=14, token="ink2", wrap=True
        )
        self.no_tickets = Plain("No ticket yet.", px=14, token="ink2")
        self.new = KeyButton("New ticket", "N", height=44, primary=True)
        self.add = KeyButton("Add a ball", "A", height=44)
        self.edit = KeyButton("Change", "E", height=44)
        self.fit, self.records = TextButton("Fit   F", px=13), TextButton("Records   R", px=13)
        self._build()

    def _build(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setSpacing(look().px(6))
        for widget in (self.name, self.reach, self.consent, Line()):
            self._column.addWidget(widget)
        head = QHBoxLayout()
        head.setSpacing(look().px(16))
        head.addWidget(Plain("Balls", px=15, weight=600), 1)
        for word, what in ((self.fit, "fit"), (self.records, "records")):
            head.addWidget(word)
            word.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
        self._column.addLayout(head)
        self._column.addWidget(self.no_balls)
        self._column.addWidget(self.balls, 3)
        for widget in (Plain("Tickets", px=15, weight=600), Line(), self.no_tickets):
            self._column.addWidget(widget)
        self._column.addWidget(self.tickets, 2)
        self._column.addStretch(0)
        keys = QHBoxLayout()
        keys.setSpacing(look().px(8))
        for key, what in ((self.new, "new"), (self.add, "ball"), (self.edit, "edit")):
            keys.addWidget(key, 3 if key is self.new else 2)
            key.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
        self._column.addLayout(keys)
        self.balls.opened.connect(lambda row: self.ball_opened.emit(row.id))
        self.balls.clicked.connect(lambda index: self.ball_opened.emit(self.balls.rows_model.row(index.row()).id))
        self.tickets.opened.connect(lambda row: self.ticket_opened.emit(row.id))
        self.tickets.clicked.connect(lambda i: self.ticket_opened.emit(self.tickets.rows_model.row(i.row()).id))
        look().changed.connect(self._dress)
        self._dress()

    def show_card(self, card: PersonCard, now: datetime) -> None:
        """A customer."""
        self.card = card
        person = card.person
        self.name.setText(person.name[:300])
        reach = [part for part in (person.phone, person.email) if part]
        self.reach.setText(", ".join(reach) or "no phone, no e-mail")
        on = person.reminders_consented_on
        said = f"Agreed to reminders on {days.day_and_year(on)}." if on else "No reminders agreed to."
        if person.minor:
            said += f" A minor; guardian: {person.guardian or 'not named'}."
        self.consent.setText(said)
        self.balls.rows_model.set_rows(
            [Line2(ball.id, ball.name, ball.cover.value, ball.serial or "no serial") for ball in card.balls]
        )
        self.tickets.rows_model.set_rows(
            [
                Line2(row.number, f"No {row.number}", row.balls, f"{words.STANDINGS[row.standing]}{_late(row.late)}")
                for row in card.tickets
            ]
        )
        for view, none in ((self.balls, self.no_balls), (self.tickets, self.no_tickets)):
            some = view.rows_model.rowCount() > 0
            view.setVisible(some)
            none.setVisible(not some)
            view.clearSelection()

    def lead(self) -> QWidget:
        """Where the focus goes when the card comes up."""
        return self.balls if self.balls.isVisibleTo(self) else self.new

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(24), px(16), px(24), px(14))
        for view in (self.balls, self.tickets):
            loose(view, 88)


def _late(late: bool) -> str:
    return ", late" if late else ""
