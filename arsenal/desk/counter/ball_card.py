"""A ball’s card: what was done last, what is on it now, what is due, what is dangerous, its life."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.counter import card_parts
from arsenal.desk.counter.card_parts import Danger, DuePainter, Fall, FirstLine, HistoryPainter, fit
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade import days
from arsenal.trade.pads import label

if TYPE_CHECKING:
    from arsenal.acts.counter_views import BallCard
    from arsenal.plan.records import Job

LEAST_LINES = 3
HERE, LENT = "in the bag", "lent"
"""Where a ball is: with its owner, or with somebody it was lent to."""


class BallCardPage(QWidget):
    """The page; `wanted` tells what shall be done with the ball: new, add, bench, owner, ticket, print, edit, fit,
    hands.
    """

    wanted = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.card: BallCard | None = None
        self.first = FirstLine()
        self.name = Plain("", px=25, weight=600, elide=True)
        self.serial = Plain("", px=18, weight=600)
        self.spec = Plain("", px=14, token="ink2", elide=True)
        self.serial_word = Plain("serial", px=12, token="ink2")
        self.owner = TextButton("", px=15, token="ink")
        self.phone = Plain("", px=14, token="ink2", elide=True)
        self.consent = Plain("", px=13, token="ink2")
        self.grit, self.doubt = Plain("", px=34, weight=600), Plain("", px=15, token="ink2")
        self.fall = Fall()
        self.lost = Plain("", px=14, weight=600, elide=True)
        self.set = Plain("", px=13, token="ink2", elide=True)
        self.due = card_parts.still("Due", RowsModel(card_parts.spoken_due), DuePainter())
        self.danger = Danger()
        self._painter = HistoryPainter(date.today())  # noqa: DTZ011 - the window's own day, for the year shown
        self.history = RowsView("History", RowsModel(card_parts.spoken_line), self._painter)
        self.print = TextButton("Print   Ctrl+P", px=13)
        self.drilling = TextButton("Drilling   F", px=13)
        self.hands = TextButton("Lend, sell   H", px=13)
        self.label, self.photos = TextButton("Label   J", px=13), TextButton("Photographs   P", px=13)
        self.new = KeyButton("New ticket with it", "N", height=44, primary=True)
        self.also = KeyButton("On this ticket", "G", height=44)
        self.bench = KeyButton("Bench", "B", height=44)
        self.edit = KeyButton("Change", "E", height=44)
        self.open = KeyButton("Open its ticket", "T", height=44)
        self._build()

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.first)
        self._inner = QVBoxLayout()
        self._inner.setSpacing(look().px(5))
        column.addLayout(self._inner, 1)
        for left, right in (
            ((self.name, 1), (self.serial,)), ((self.spec, 1), (self.label, self.serial_word)),
            ((self._who(), 1), (self.photos, self.consent)),
        ):  # fmt: skip
            row = QHBoxLayout()
            row.setSpacing(look().px(16))
            row.addWidget(left[0], left[1])
            for part in right:
                row.addWidget(part, 0, Qt.AlignmentFlag.AlignRight)
            self._inner.addLayout(row)
        self._inner.addWidget(Line())
        self._inner.addLayout(self._now())
        self._inner.addWidget(Line("rule"))
        self._inner.addWidget(self.due)
        self._inner.addWidget(self.danger)
        head = QHBoxLayout()
        head.addWidget(Plain("History", px=15, weight=600), 1)
        head.setSpacing(look().px(16))
        for word in (self.drilling, self.hands, self.print):
            head.addWidget(word)
        self._inner.addLayout(head)
        self._inner.addWidget(Line())
        self._inner.addWidget(self.history, 1)
        self._build_keys()
        look().changed.connect(self._dress)
        self._dress()

    def _build_keys(self) -> None:
        keys = QHBoxLayout()
        keys.setSpacing(look().px(8))
        for key in (self.new, self.open, self.also, self.bench, self.edit):
            keys.addWidget(key, 3 if key is self.new else 2)
        self._inner.addLayout(keys)
        for button, what in (
            (self.new, "new"), (self.also, "also"), (self.open, "ticket"), (self.bench, "bench"), (self.edit, "edit"),
            (self.owner, "owner"), (self.print, "print"), (self.drilling, "fit"), (self.hands, "hands"),
            (self.label, "label"), (self.photos, "photos"),
        ):  # fmt: skip
            button.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))

    def _who(self) -> QWidget:
        made = QWidget()
        row = QHBoxLayout(made)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.owner)
        row.addWidget(self.phone, 1)
        return made

    def _now(self) -> QHBoxLayout:
        row, left, right = QHBoxLayout(), QVBoxLayout(), QVBoxLayout()
        left.setSpacing(0)
        right.setSpacing(2)
        left.addWidget(Plain("Plays about now", px=13, token="ink2"))
        number = QHBoxLayout()
        number.addWidget(self.grit, 0, Qt.AlignmentFlag.AlignBottom)
        number.setSpacing(look().px(8))
        self.doubt.setContentsMargins(0, 0, 0, look().px(7))
        number.addWidget(self.doubt, 0, Qt.AlignmentFlag.AlignBottom)
        number.addWidget(self.fall, 0, Qt.AlignmentFlag.AlignVCenter)
        number.addStretch(1)
        left.addLayout(number)
        right.addWidget(Plain("Lost since it settled in", px=13, token="ink2"))
        right.addWidget(self.lost)
        right.addWidget(self.set)
        row.addLayout(left, 13)
        row.addLayout(right, 11)
        return row

    def show_card(self, card: BallCard, today: date, *, on_ticket: bool, other: bool, here: bool) -> None:
        """A ball. What is due and lost comes later, with `show_reckoned`. `on_ticket` where its owner’s ticket is
        being written already, `other` where somebody else’s is,
        `here` where the ball is on it.
        """
        before = self.card
        self.card, self._painter.today = card, today
        ball, owner, state = card.ball, card.owner, card.state
        self.first.tell(card.last)
        self.name.setText(ball.name[:300])
        self.serial.setText(ball.serial[:24])
        self.serial_word.setText("serial" if ball.serial else "no serial written down")
        self.spec.setText(card.spec[:300])
        self.hands.set_word("Take back   H" if state.holder == LENT else "Lend, sell   H")
        self.owner.set_word(owner.name if len(owner.name) < 40 else f"{owner.name[:39]}…")
        self.owner.setAccessibleName(f"Owner: {owner.name}")
        self.phone.setText(owner.phone or owner.email or "no phone")
        self.consent.setText("reminders: yes" if owner.reminders_consented_on else "reminders: no")
        known = state.finish or state.finish_on
        self.grit.setText(card.grit)
        self.doubt.setText(card.grit_doubt)
        self.fall.show_fall(state.finish_set_grit if known else None, state.grit, state.grit_low, state.grit_high)
        on = f", {days.day(state.finish_on)}" if state.finish_on else ""
        self.set.setText(f"set {label(state.finish)}{on}" if state.finish else "as it came")
        self.danger.tell(*card_parts.hazard_words(card.hazards))
        self.history.rows_model.set_rows(card.history)
        if before is None or before.ball.id != ball.id:
            self.history.scrollToTop()
            self.lost.setText("…")
            self.due.rows_model.set_rows([])
            fit(self.due)
        self.new.rename("On the ticket" if here else "Put it on the ticket" if on_ticket else "New ticket with it")
        self.new.primary = not (on_ticket or other)
        self.new.update()
        self.new.setVisible(card.open_ticket is None)
        self.also.setVisible(card.open_ticket is None and other and not here)
        self.open.setVisible(card.open_ticket is not None)
        self.open.rename(f"Open ticket {card.open_ticket}" if card.open_ticket else "Open its ticket")

    def show_reckoned(self, due: Sequence[Job], lost: str) -> None:
        """What is due and lost."""
        self.due.rows_model.set_rows([])
        self.due.rows_model.set_rows(card_parts.due_rows(due))
        fit(self.due)
        away = self.card is not None and self.card.state.holder != HERE
        self.lost.setText(lost or ("not in the bag" if away else "throw not known"))

    def lead(self) -> QWidget:
        """Where the focus goes when the card comes up."""
        keys = (self.new, self.open, self.bench)
        return next(key for key in keys if key.isVisibleTo(self) and key.isEnabled())

    def _dress(self) -> None:
        px = look().px
        self._inner.setContentsMargins(px(24), px(12), px(24), px(14))
        card_parts.loose(self.history, 29 * LEAST_LINES)
