"""A kept ticket: where it stands, what is done, the keys of its stages, the two ticks before heat, the text to send."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.acts import hazards
from arsenal.desk.counter import card_parts, job_rows, words
from arsenal.desk.counter.card_parts import Danger
from arsenal.desk.counter.job_rows import BallRow, JobPainter, JobRow
from arsenal.desk.counter.tick_key import TickKey
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain, Run, Runs
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.desk.counter.asking import TicketCard

STAGES = (
    ("begin", "Begin", "B"), ("done", "Done", "D"), ("ready", "Ready", "R"), ("over", "Hand over", "H"),
    ("off", "Call off", "O"),
)  # fmt: skip
WORKING = ("in", "on the bench")


class TicketCardPage(QWidget):
    """The page; `wanted` tells what shall be done: begin, done, ready, over, off, change, copy, print, label,
    photos, who.
    """

    wanted = Signal(str)
    ticked = Signal(str, bool)
    """inserts or cracks, of the ball in hand."""
    ball_opened = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.card: TicketCard | None = None
        self.number = Plain("", px=25, weight=600)
        self.standing = Plain("", px=16, weight=600)
        self.who = TextButton("", px=16, token="ink")
        self.phone = Plain("", px=14, token="ink2", elide=True)
        self.times = Runs((), px=14)
        self.note = Plain("", px=14, token="ink2", wrap=True)
        self.danger = Danger()
        self.rows = RowsView("Balls and jobs", RowsModel(job_rows.spoken), JobPainter())
        self.inserts = TickKey("Inserts and slugs are out", "I")
        self.cracks = TickKey("Plugs and cracks checked", "K")
        self.message = Plain("", px=14, wrap=True)
        self.copy = KeyButton("Copy the text", "T", height=40)
        self.sums = Runs((), px=14, wrap=True)
        self.keys = {what: KeyButton(name, key, height=48) for what, name, key in STAGES}
        self.change = KeyButton("Change", "E", height=40)
        self.print = TextButton("Print   Ctrl+P", px=13)
        self.label, self.photos = TextButton("Labels   J", px=13), TextButton("Photographs   P", px=13)
        self._build()

    def _build(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setSpacing(look().px(6))
        head = QHBoxLayout()
        head.addWidget(self.number)
        head.addStretch(1)
        head.addWidget(self.standing)
        who = QHBoxLayout()
        who.addWidget(self.who)
        who.addWidget(self.phone, 1)
        who.addWidget(self.photos)
        for part in (head, who):
            self._column.addLayout(part)
        for widget in (self.times, self.note, self.danger, Line()):
            self._column.addWidget(widget)
        self._column.addWidget(self.rows, 1)
        self._heat = QWidget()
        heat = QVBoxLayout(self._heat)
        heat.setContentsMargins(0, 0, 0, 0)
        heat.setSpacing(look().px(8))
        for tick in (self.inserts, self.cracks):
            heat.addWidget(tick, 1)
        self._column.addWidget(self._heat)
        self._send = QWidget()
        send = QHBoxLayout(self._send)
        send.setContentsMargins(0, 0, 0, 0)
        send.addWidget(self.message, 1)
        send.addWidget(self.copy)
        self._column.addWidget(self._send)
        self._build_foot()
        self._connect()
        look().changed.connect(self._dress)
        self._dress()

    def _build_foot(self) -> None:
        foot = QHBoxLayout()
        foot.setSpacing(look().px(14))
        foot.addWidget(self.sums, 1)
        for small in (self.print, self.label, self.change):
            foot.addWidget(small)
        self._column.addLayout(foot)
        keys = QHBoxLayout()
        keys.setSpacing(look().px(8))
        for what, key in self.keys.items():
            keys.addWidget(key, 1)
            key.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
        self._column.addLayout(keys)

    def _connect(self) -> None:
        for button, what in (
            (self.change, "change"), (self.copy, "copy"), (self.print, "print"), (self.label, "label"),
            (self.who, "who"), (self.photos, "photos"),
        ):  # fmt: skip
            button.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
        self.inserts.toggled_by_hand.connect(lambda on: self.ticked.emit("inserts", on))
        self.cracks.toggled_by_hand.connect(lambda on: self.ticked.emit("cracks", on))
        self.rows.chosen.connect(lambda _row: self._show_hand())
        self.rows.opened.connect(self._open)

    def show_card(self, card: TicketCard, now: datetime) -> None:
        """A ticket; the job in hand stays, else the first that is not done."""
        held, same = self.rows.in_hand(), self.card is not None and self.card.ticket.id == card.ticket.id
        self.card = card
        ticket, standing = card.ticket, card.ticket.standing.value
        self.number.setText(f"No {ticket.id}")
        self.standing.setText("late" if card.late else words.STANDINGS[standing])
        self.standing.recolor("bad" if card.late else "ink")
        self.who.set_word(card.who[:60])
        self.who.setAccessibleName(f"Customer: {card.who}")
        self.phone.setText("" if card.phone == card.who else card.phone or "no phone")
        self.times.set_runs(self._times(card, now))
        self.note.setText(ticket.note)
        self.note.setVisible(bool(ticket.note))
        here = ticket.out_at is None
        told = [said for taken in ticket.balls for said in hazards.of(taken)] if here else []
        self.danger.tell(*card_parts.hazard_words(told))
        rows = job_rows.rows_of(card)
        self.rows.rows_model.set_rows([])
        self.rows.rows_model.set_rows(rows)
        self._hold(held if same and standing in WORKING else None)
        self.message.setText(card.message)
        self._send.setVisible(bool(card.message))
        self.sums.set_runs(_sums(card))
        self._show_keys(standing)
        self._show_hand()

    def _times(self, card: TicketCard, now: datetime) -> list[Run]:
        ticket = card.ticket
        runs = []
        if ticket.taken_in_at is not None:
            runs += [Run("In "), Run(words.when(ticket.taken_in_at, now), strong=True)]
        if ticket.promised_at is not None:
            told = words.promise(ticket.promised_at, now, late=card.late)
            runs += [Run(", promised "), Run(told, strong=True, token="bad" if card.late else "")]
        if ticket.out_at is not None:
            to = f" to {ticket.handed_to}" if ticket.handed_to else ""
            word = "called off" if ticket.standing.value == "called off" else "handed over"
            runs += [Run(f", {word} "), Run(words.when(ticket.out_at, now), strong=True), Run(to)]
        if ticket.while_you_wait and ticket.out_at is None:
            runs.append(Run(", the customer waits"))
        if ticket.initials:
            runs.append(Run(f", taken in by {ticket.initials}" if ticket.out_at is None else f", {ticket.initials}"))
        return runs

    def _hold(self, held: object) -> None:
        """The job that was in hand while it is not done, else the first that is not done."""
        if isinstance(held, JobRow):
            same = [r for r in self.rows.rows_model.rows() if isinstance(r, JobRow) and _same(r, held)]
            if same and same[0].of.done_at is None:
                self.rows.choose_where(lambda row: row is same[0])
                return
        if not self.rows.choose_where(lambda row: isinstance(row, JobRow) and row.of.done_at is None):
            self.rows.choose(0)

    def _show_keys(self, standing: str) -> None:
        working = standing in WORKING
        if self.window().focusWidget() in (*self.keys.values(), self.change, self.copy):
            self.rows.setFocus(Qt.FocusReason.OtherFocusReason)  # a key that goes would hand the focus to just anything
        for what in ("begin", "done", "ready"):
            self.keys[what].setVisible(working)
        self.keys["over"].setVisible(standing == "ready")
        self.keys["off"].setVisible(working or standing in ("ready", "half written"))
        self.change.setVisible(working or standing in ("ready", "half written"))
        every = self.card is not None and all(job.done_at for taken in self.card.ticket.balls for job in taken.jobs)
        for what, key in self.keys.items():
            key.primary = what == "over" or (what == "ready" and every) or (what == "begin" and not every)
            key.update()

    def job(self) -> tuple[int, int] | None:
        """Ball and place of the job in hand."""
        row = self.rows.in_hand()
        return (row.ball, row.job) if isinstance(row, JobRow) else None

    def ball(self) -> int:
        """Place of the ball in hand."""
        row = self.rows.in_hand()
        return row.ball if row is not None else 0

    def _show_hand(self) -> None:
        """Keys and ticks of the job in hand."""
        row, card = self.rows.in_hand(), self.card
        if card is None:
            return
        working = card.ticket.standing.value in WORKING
        job = row.of if isinstance(row, JobRow) else None
        self.keys["begin"].setEnabled(job is not None and job.begun_at is None and job.done_at is None)
        self.keys["done"].setEnabled(job is not None and job.done_at is None)
        taken = card.ticket.balls[row.ball] if row is not None else None
        warm = working and taken is not None and any(j.work.warm and j.done_at is None for j in taken.jobs)
        self._heat.setVisible(warm)
        if taken is not None:
            self.inserts.put(taken.inserts_out)
            self.cracks.put(taken.cracks_checked)

    def _open(self, row: object) -> None:
        """Enter on a ball opens its card; on a job it begins it, or says it is done."""
        if isinstance(row, BallRow) and row.taken.ball_id is not None:
            self.ball_opened.emit(row.taken.ball_id)
        elif isinstance(row, JobRow):
            what = "begin" if row.state == "waits" else "done"
            if self.keys[what].isEnabled() and self.keys[what].isVisible():
                self.wanted.emit(what)

    def lead(self) -> QWidget:
        """Where the focus goes when the card comes up."""
        return self.rows

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(24), px(14), px(24), px(14))
        card_parts.loose(self.rows, 150)


def _sums(card: TicketCard) -> list[Run]:
    """What it costs and what is still to be paid; of one that is called off, what was taken."""
    ticket = card.ticket
    if ticket.standing.value == "called off":
        taken = ticket.deposit_cents + ticket.paid_cents
        return [Run(f"{taken // 100}.{taken % 100:02d} was taken for it", token="ink2")] if taken else []
    if not ticket.price_cents:
        return []
    owed = ticket.owed_cents
    told = "Paid" if not owed else "To\u00a0pay\u00a0" if owed > 0 else "To\u00a0give\u00a0back\u00a0"
    open_ = [Run(card.owed.removeprefix("−"), strong=True)] if owed else []
    return [Run(f"{card.price} in all.  ", token="ink2"), Run(told, token="ink2"), *open_]


def _same(one: JobRow, other: JobRow) -> bool:
    return (one.ball, one.job) == (other.ball, other.job)
