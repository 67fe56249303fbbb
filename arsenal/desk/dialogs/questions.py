"""The four questions of an empty shop: name, hand, speed and where it was read, benchmark ball."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.ball import COVERS
from arsenal.desk.dialogs.bowler import HANDS, KINDS, READ_AT, style_of
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, New
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Hand, Person, ReadAt, SpeedReading
from arsenal.trade.units import MPH_MPS

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes


class QuestionsDialog(FormDialog):
    """The form."""

    def __init__(self, shared: Shared, parent: QWidget, done: Done | None) -> None:
        super().__init__("Four questions", shared, parent, done, keep="Begin")
        self.name = Words("Who bowls", "", "a name or nickname")
        self.hand = Choice("Hand", HANDS, (Hand.RIGHT, False))
        self.kind = Choice("Most like a", KINDS, KINDS[0][1])
        self.speed = Measured("speed", shared.settings.units, KINDS[0][1][0] * MPH_MPS, required=True)
        self.read_at = Choice("Read", READ_AT, ReadAt.HAND)
        self.ball = Words("Benchmark ball", "", "the ball you trust; may wait")
        self.cover = Choice("Its cover", COVERS, Cover.SOLID)
        self.kind.picked.connect(lambda kind: self.speed.put_si(kind[0] * MPH_MPS))
        for label, field in (
            ("Who bowls", self.name), ("With which hand", self.hand), ("Throws most like a", self.kind),
            ("Ball speed", self.speed), ("Read", self.read_at), ("Benchmark ball", self.ball),
            ("Its cover", self.cover),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.body.addWidget(
            Plain("All of it can be changed later; what nobody knows may stay open.", px=13, token="ink2", wrap=True)
        )
        self.name.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Bowler, ball and benchmark."""
        name = self.name.words()
        if not name:
            raise KnownError("Who bowls needs a name.", next_step="A nickname will do.")
        style = style_of(self.kind.value)
        speed, at = self.speed.si() or style.speed_mps, self.read_at.value
        read = None if at is ReadAt.HAND else SpeedReading(at, speed)
        hand, two = self.hand.value
        person = Person(0, name, hand=hand, two_handed=two, speed_reading=read,
                        style=replace(style, speed_mps=read.at_hand_mps() if read else speed))  # fmt: skip
        ball = Ball(0, self.ball.words(), "", 0, self.cover.value, spec_known=False)
        return lambda shop: _begin(shop, person, ball)


def _begin(shop: Shop, person: Person, ball: Ball) -> Changes:
    from arsenal.acts import balls, people  # noqa: PLC0415 - heavy, on the worker's thread

    added = people.add_bowler(shop, person)
    bowler_id = added.changed[0].id
    if ball.name:
        first = Draft(0, Kind.NEW, shop.today(), New(history_known=False))
        kept = balls.add_ball(shop, replace(ball, owner_id=bowler_id), [first])
        people.set_benchmark(shop, bowler_id, kept.changed[0].id)
    return added


def open_questions(shared: Shared, parent: QWidget, done: Done | None = None) -> QuestionsDialog:
    """Ask; `done` gets the bowler's changes."""
    dialog = QuestionsDialog(shared, parent, done)
    dialog.open_()
    return dialog
