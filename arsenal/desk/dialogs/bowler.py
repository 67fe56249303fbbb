"""Add or edit a bowler: name, hand, and how the ball leaves the hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.contact import Contact
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.dialogs.other_name import OtherName
from arsenal.desk.dialogs.tracked import open_tracked
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Hand, Person, ReadAt, SpeedReading
from arsenal.trade.release import Style
from arsenal.trade.units import DEGREE_RAD, MPH_MPS, RPM_RADPS

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

HANDS = (
    ("right-handed", (Hand.RIGHT, False)), ("left-handed", (Hand.LEFT, False)),
    ("two-handed, right", (Hand.RIGHT, True)), ("two-handed, left", (Hand.LEFT, True)),
)  # fmt: skip
KINDS = (
    ("league man", (16.5, 275, 45, 15)), ("league woman", (14.5, 190, 40, 15)), ("senior", (14.0, 170, 40, 15)),
    ("junior", (14.0, 180, 40, 12)), ("club two-hander", (16.0, 370, 45, 8)),
    ("touring two-hander", (19.0, 500, 50, 10)),
)  # fmt: skip
"""Starting points (common practice, no source): mph off the hand, rpm, degrees of rotation and tilt."""
READ_AT = (
    ("off the hand", ReadAt.HAND), ("on the house display", ReadAt.DISPLAY),
    ("as an average to the pins", ReadAt.AVERAGE), ("at the pins", ReadAt.PINS),
)  # fmt: skip


def style_of(kind: tuple[float, float, float, float]) -> Style:
    """A style from mph, rpm and degrees."""
    speed, revs, rotation, tilt = kind
    return Style(speed * MPH_MPS, revs * RPM_RADPS, rotation * DEGREE_RAD, tilt * DEGREE_RAD)


class BowlerDialog(FormDialog):
    """The form."""

    def __init__(
        self, shared: Shared, parent: QWidget, person: Person | None, done: Done | None, *, reach_first: bool = False
    ) -> None:
        title = f"{person.name}" if person else "Add a bowler"
        super().__init__(title, shared, parent, done, keep="Keep" if person else "Add bowler")
        self._person = person or Person(0, "")
        style = self._person.style or style_of(KINDS[0][1])
        self._asked = person is None or person.style is not None
        """Whether the throw is known or told now; of a customer nobody asked about it, empty fields leave it so."""
        system = shared.settings.units
        self.name = Words("Name", self._person.name)
        self.nickname = Words("Called", self._person.nickname, "short name for typed lines")
        self.hand = Choice("Hand", HANDS, (self._person.hand, self._person.two_handed))
        self.back_up = Choice(
            "Ball curves", (("the usual way", False), ("as a back-up ball", True)), self._person.back_up
        )
        self.kind = Choice("Start from", KINDS, None)
        self.kind.picked.connect(self._seed)
        read = self._person.speed_reading
        speed = read.speed_mps if read else style.speed_mps
        self.speed = self._throw("speed", system, speed)
        self.read_at = Choice("Speed was read", READ_AT, read.at if read else ReadAt.HAND)
        self.house = Words("House of the display", read.house if read else "", "its name, as on its conditions")
        self.below = Measured("display below the hand", system, name="display reads under the hand")
        self.revs = self._throw("revs", system, style.rev_rate_radps / RPM_RADPS)
        self.rotation = self._throw("rotation", system, style.axis_rotation_rad / DEGREE_RAD)
        self.tilt = self._throw("tilt", system, style.axis_tilt_rad / DEGREE_RAD)
        self.drift = Measured("feet to laydown", system, self._person.stance_to_laydown_boards)
        self.games = Measured("games a week", system, self._person.games_a_week, required=True)
        self.contact = Contact(self._person, datetime.now().astimezone().date())
        self.contact.setParent(self)
        self._style = style
        self._reach_first = reach_first
        self._lay_out(tracked=person is not None)
        self.other = OtherName(self, self.name)
        self.read_at.picked.connect(self._show_display)
        self._show_display(self.read_at.value)
        self.name.setFocus()

    def _throw(self, field: str, system: str, value: float) -> Measured:
        return Measured(field, system, value if self._asked else None, required=self._asked)

    def _lay_out(self, *, tracked: bool) -> None:
        self.rows.field("Name", self.name)
        if self._reach_first:
            self.contact.put_in(self.rows)
        for label, field in (
            ("Called", self.nickname), ("Hand", self.hand), ("Ball curves", self.back_up),
            ("Start from", self.kind), ("Speed", self.speed), ("Speed was read", self.read_at),
            ("… in the house", self.house), ("… reads low by", self.below), ("Revs", self.revs),
            ("Axis rotation", self.rotation), ("Axis tilt", self.tilt),
            ("Feet to laydown", self.drift), ("Games a week", self.games),
        ):  # fmt: skip
            self.rows.field(label, field)
        if not self._reach_first:
            self.contact.put_in(self.rows)
        self.contact.grown.connect(self.fit)
        nearest = "Start from the nearest kind of bowler; two or three shots put it right later."
        said = f"Not measured? {nearest}" if self._asked else f"How they throw is not known and may stay so. {nearest}"
        self.body.addWidget(Plain(said, px=13, token="ink2", wrap=True))
        if tracked:
            self._offer_tracked()

    def _offer_tracked(self) -> None:
        tracked = TextButton("From a tracked shot…", px=15, token="ink")
        tracked.clicked.connect(self._from_tracked)
        self.body.addWidget(tracked, alignment=Qt.AlignmentFlag.AlignLeft)
        self.tracked_button = tracked

    def _failed(self, error: KnownError) -> None:
        super()._failed(error)
        self.other.heard(error)

    def _from_tracked(self) -> None:
        """Another dialog keeps the release; this one would write the old one over it, so it goes."""
        parent, person = self.parentWidget(), self._person
        self.reject()
        if parent is not None:
            open_tracked(self.shared, parent, person, self._kept)

    def _show_display(self, at: ReadAt) -> None:
        for field in (self.house, self.below):
            field.setVisible(at is ReadAt.DISPLAY)
            self.rows.label_of(field).setVisible(at is ReadAt.DISPLAY)
        self.fit()

    def _seed(self, kind: tuple[float, float, float, float]) -> None:
        style = style_of(kind)
        self.speed.put_si(style.speed_mps)
        self.revs.set_value(kind[1])
        self.rotation.set_value(kind[2])
        self.tilt.set_value(kind[3])

    def person(self) -> Person:
        """The record the fields say. Raises KnownError without a name."""
        if not self.name.words():
            raise KnownError("A bowler needs a name.", next_step="Type one, a nickname will do.")
        speed, read = self.speed.si() or self._style.speed_mps, self._reading()
        at_hand = speed if read is None else read.at_hand_mps()
        hand, two = self.hand.value
        style = replace(
            self._style,
            speed_mps=self._style.speed_mps if read and read == self._person.speed_reading else at_hand,
            rev_rate_radps=_kept(self.revs, self._style.rev_rate_radps, RPM_RADPS),
            axis_rotation_rad=_kept(self.rotation, self._style.axis_rotation_rad, DEGREE_RAD),
            axis_tilt_rad=_kept(self.tilt, self._style.axis_tilt_rad, DEGREE_RAD),
        )
        known = self.contact.onto(self._person)
        told = self._asked or any(field.text() for field in (self.speed, self.revs, self.rotation, self.tilt))
        return replace(
            known, name=self.name.words(), nickname=self.nickname.words(), hand=hand, two_handed=two,
            back_up=bool(self.back_up.value), style=style if told else None, games_a_week=self.games.si() or 0.0,
            stance_to_laydown_boards=self.drift.si(), speed_reading=read if told else None,
        )  # fmt: skip

    def _reading(self) -> SpeedReading | None:
        at = self.read_at.value
        if at is ReadAt.HAND or (not self._asked and not self.speed.text()):
            return None
        return SpeedReading(at, self.speed.si() or 0.0, self.house.words() if at is ReadAt.DISPLAY else "")

    def act(self) -> Callable[[Shop], Changes]:
        """Add or edit; what the house's display reads less is kept for the house first, where it is typed."""
        person, below = self.person(), self.below.si()
        read, before = person.speed_reading, self._person.speed_reading
        if below is not None and read is not None and read.at is ReadAt.DISPLAY and not read.house:
            raise KnownError("The display belongs to a house.", next_step="Type its name.")

        def run(shop: Shop) -> Changes:
            from arsenal.acts import people, speeds  # noqa: PLC0415 - heavy, on the worker's thread

            if below is not None and read is not None and read.at is ReadAt.DISPLAY:
                speeds.set_below_hand(shop, read.house, below)
            new = below is not None or read != before
            kept = speeds.at_hand(shop, person) if new else person
            return people.edit_bowler(shop, kept) if kept.id else people.add_bowler(shop, kept)

        return run


def _kept(field: Measured, before: float, factor: float) -> float:
    value = field.si()
    return before if value is None or abs(value * factor - before) < 1e-12 else value * factor


def open_bowler(
    shared: Shared, parent: QWidget, person: Person | None = None, done: Done | None = None, *,
    reach_first: bool = False,
) -> BowlerDialog:  # fmt: skip
    """Add a bowler, or edit `person`; `done` gets the changes once kept (the new id is `changed[0].id`). At a counter
    how to reach them comes first.
    """
    dialog = BowlerDialog(shared, parent, person, done, reach_first=reach_first)
    dialog.open_()
    return dialog
