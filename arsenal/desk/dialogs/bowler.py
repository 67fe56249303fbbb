"""Add or edit a bowler: name, hand, and how the ball leaves the hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Hand, Person
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
READ_AT = (("off the hand", 0.0), ("on the house display", 1.0), ("as an average to the pins", 1.0))
"""Where the speed was read, and how much is added to get to the hand (mph; common practice, no source)."""


def style_of(kind: tuple[float, float, float, float]) -> Style:
    """A style from mph, rpm and degrees."""
    speed, revs, rotation, tilt = kind
    return Style(speed * MPH_MPS, revs * RPM_RADPS, rotation * DEGREE_RAD, tilt * DEGREE_RAD)


class BowlerDialog(FormDialog):
    """The form."""

    def __init__(self, shared: Shared, parent: QWidget, person: Person | None, done: Done | None) -> None:
        title = f"{person.name}" if person else "Add a bowler"
        super().__init__(title, shared, parent, done, keep="Keep" if person else "Add bowler")
        self._person = person or Person(0, "")
        style = self._person.style or style_of(KINDS[0][1])
        system = shared.settings.units
        add = self.rows.field
        self.name = Words("Name", self._person.name)
        self.nickname = Words("Called", self._person.nickname, "short name for typed lines")
        self.hand = Choice("Hand", HANDS, (self._person.hand, self._person.two_handed))
        self.back_up = Choice(
            "Ball curves", (("the usual way", False), ("as a back-up ball", True)), self._person.back_up
        )
        self.kind = Choice("Start from", KINDS, None)
        self.kind.picked.connect(self._seed)
        self.speed = Measured("speed", system, style.speed_mps, required=True)
        self.read_at = Choice("Speed was read", READ_AT[:2] if person is None else READ_AT[:1], 0.0)
        self.revs = Measured("revs", system, style.rev_rate_radps / RPM_RADPS, required=True)
        self.rotation = Measured("rotation", system, style.axis_rotation_rad / DEGREE_RAD, required=True)
        self.tilt = Measured("tilt", system, style.axis_tilt_rad / DEGREE_RAD, required=True)
        self.games = Measured("games a week", system, self._person.games_a_week, required=True)
        for label, field in (
            ("Name", self.name), ("Called", self.nickname), ("Hand", self.hand), ("Ball curves", self.back_up),
            ("Start from", self.kind), ("Speed", self.speed), ("Speed was read", self.read_at), ("Revs", self.revs),
            ("Axis rotation", self.rotation), ("Axis tilt", self.tilt), ("Games a week", self.games),
        ):  # fmt: skip
            add(label, field)
        self.body.addWidget(
            Plain("Not measured? Start from the nearest kind of bowler; two or three shots put it right later.",
                  px=13, token="ink2", wrap=True)
        )  # fmt: skip
        self._style = style
        self.name.setFocus()

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
        speed = self.speed.si() or self._style.speed_mps
        hand, two = self.hand.value
        style = replace(
            self._style,
            speed_mps=speed + float(self.read_at.value) * MPH_MPS,
            rev_rate_radps=_kept(self.revs, self._style.rev_rate_radps, RPM_RADPS),
            axis_rotation_rad=_kept(self.rotation, self._style.axis_rotation_rad, DEGREE_RAD),
            axis_tilt_rad=_kept(self.tilt, self._style.axis_tilt_rad, DEGREE_RAD),
        )
        return replace(
            self._person, name=self.name.words(), nickname=self.nickname.words(), hand=hand, two_handed=two,
            back_up=bool(self.back_up.value), style=style, games_a_week=self.games.si() or 0.0,
        )  # fmt: skip

    def act(self) -> Callable[[Shop], Changes]:
        """Add or edit."""
        person = self.person()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread

            return people.edit_bowler(shop, person) if person.id else people.add_bowler(shop, person)

        return run


def _kept(field: Measured, before: float, factor: float) -> float:
    value = field.si()
    return before if value is None or abs(value * factor - before) < 1e-12 else value * factor


def open_bowler(
    shared: Shared, parent: QWidget, person: Person | None = None, done: Done | None = None
) -> BowlerDialog:
    """Add a bowler, or edit `person`; `done` gets the changes once kept (the new id is `changed[0].id`)."""
    dialog = BowlerDialog(shared, parent, person, done)
    dialog.open_()
    return dialog
