"""Add or change an event, and how the bowler in hand is entered in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.event.blocks import BlocksEditor
from arsenal.desk.event.fields import Conditions, DayField, LongWords, Maybe, TimeField
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError
from arsenal.trade.event import BanFrom, Entered, Event, Reoiled
from arsenal.trade.limits import LIMITS, Limit

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.event.asking import Found

BALLS = Limit("balls allowed", 1, 24, "balls")
MINUTES = Limit("practice", 0, 240, "min")
ON_PAIR = Limit("on the pair", 0, 11)
BAGS = Limit("bags", 1, 12)
WORK = Limit("minutes for work", 0, 1440, "min")
SPINNER = (("hand or spinner", True), ("hand alone", False))
BETWEEN = (("dry towel only", False), ("pads allowed", True))
FIRST_HOUR = 9
WIDE, LABEL = 920.0, 208.0


class EventDialog(FormDialog):
    """The form: what the event says, then how this bowler plays in it."""

    def __init__(
        self, shared: Shared, parent: QWidget, found: Found, event: Event | None, entered: Entered | None, done: Done
    ) -> None:
        super().__init__(
            event.name if event else "Add an event", shared, parent, done, keep="Keep" if event else "Add event",
            width=WIDE,
        )  # fmt: skip
        assert found.person is not None  # noqa: S101 - asked for with a bowler only
        self._person, self._lanes = found.person, found.lanes
        first = event.first_on if event else date.today() + timedelta(days=7)  # noqa: DTZ011 - as on the wall
        self._event = event or Event(0, "", first)
        self._entered = entered or Entered(0, self._event.id, found.person.id)
        self._make_event(self._event)
        self._make_entered(self._entered)
        self._lay_out()
        self.first_on.dateChanged.connect(self._follow)
        self._day = first
        self.name.setFocus()

    def _make_event(self, event: Event) -> None:
        nine = datetime(event.first_on.year, event.first_on.month, event.first_on.day, FIRST_HOUR).astimezone()
        starts = min((b.starts_at for s in event.squads for b in s.blocks), default=nine)
        self.name = Words("Name", event.name, "as it is announced")
        self.first_on = DayField("First day", event.first_on)
        self.place = Words("Place", event.place)
        self.lanes = Conditions(self._lanes, event.lane_ids)
        self.reoiled = Choice("Oiled", [(r.value, r) for r in Reoiled], event.reoiled)
        self.blocks = BlocksEditor(event.squads, self._lanes, starts)
        self.balls = NumberField(BALLS, event.balls_allowed, digits=0, name="balls allowed")
        self.ban = Choice("No pads from", [(b.value, b) for b in BanFrom], event.ban_from)
        self.between = Choice("Between blocks", BETWEEN, event.between_allowed)
        self.registration = _maybe_time("Registration closes", event.registration_by, starts - timedelta(minutes=30))
        self.locked = _maybe_time("Bags are locked", event.bags_locked_at, starts - timedelta(minutes=30))
        self.practice = NumberField(MINUTES, event.practice_min, digits=1, name="practice")
        self.hardness = NumberField(LIMITS["hardness"], event.hardness_at_least_d, digits=1, name="hardness")
        checked = event.list_checked_on
        day = DayField("List checked on", checked or date.today())  # noqa: DTZ011 - as on the wall
        self.checked = Maybe("List of approved balls checked on", day, said=checked is not None)
        self.rule = LongWords(
            "Rule text", event.rule_note, "what the event’s own sheet says of surfaces, word for word"
        )
        self.note = Words("Note", event.note, most=400)

    def _make_entered(self, entered: Entered) -> None:
        names = [squad.name for squad in self._event.squads]
        self.squad = Words("Squad", entered.squad or (names[0] if names else ""), "the first", 40)
        self.right = NumberField(ON_PAIR, entered.right_handers, digits=0, required=True, name="right-handers")
        self.left = NumberField(ON_PAIR, entered.left_handers, digits=0, required=True, name="left-handers")
        self.minutes = NumberField(WORK, entered.minutes, digits=0, name="minutes for work")
        self.spinner = Choice("Spinner", SPINNER, entered.spinner)
        self.bag = Measured("bag weight", self.shared.settings.units, entered.bag_limit_kg)
        self.bags = NumberField(BAGS, entered.bags, digits=0, required=True, name="bags")

    def _lay_out(self) -> None:
        for label, field in (
            ("Name", self.name), ("First day", self.first_on), ("Place", self.place), ("Played on", self.lanes),
            ("Oiled", self.reoiled), ("Blocks", self.blocks), ("Balls allowed, if it says", self.balls),
            ("No pads from", self.ban), ("Between blocks", self.between), ("Registration closes", self.registration),
            ("Bags are locked", self.locked), ("Practice before, if it says", self.practice),
            ("Hardness at least, if asked", self.hardness), ("List of balls checked on", self.checked),
            ("Rule text", self.rule), ("Note", self.note),
        ):  # fmt: skip
            self.rows.field(label, field)
            self.rows.label_of(field).setMinimumWidth(look().px(LABEL))
        self.body.addWidget(Line())
        self.body.addWidget(Plain(f"{self._person.name} in it", px=15, weight=600))
        mine = type(self.rows)()
        for label, field in (
            ("Squad", self.squad), ("Others on the pair, right", self.right), ("Others on the pair, left", self.left),
            ("Time for work before", self.minutes), ("Work by", self.spinner),
            ("A bag may weigh, if it matters", self.bag), ("Bags", self.bags),
        ):  # fmt: skip
            mine.field(label, field)
            mine.label_of(field).setMinimumWidth(look().px(LABEL))
        self.body.addWidget(mine)
        self.body.addWidget(
            Plain("The rule book in force and the tournament director decide; this only reminds.", px=13, token="ink2",
                  wrap=True)
        )  # fmt: skip
        self.blocks.changed.connect(self.fit)

    def _follow(self) -> None:
        """Times stay as far from the first day as they were."""
        day = self.first_on.day()
        moved = (day - self._day).days
        self._day = day
        self.blocks.move_days(moved)
        for maybe in (self.registration, self.locked):
            if isinstance(maybe.field, TimeField):
                maybe.field.move_days(moved)

    def made(self) -> Event:
        """As the fields say. Raises KnownError."""
        name = self.name.words()
        if not name:
            raise KnownError("An event needs a name.", next_step="Write it as it is announced.")
        balls = self.balls.value()
        return replace(
            self._event, name=name, first_on=self.first_on.day(), place=self.place.words(), lane_ids=self.lanes.held,
            reoiled=self.reoiled.value, squads=self.blocks.squads(),
            balls_allowed=None if balls is None else round(balls), ban_from=self.ban.value,
            between_allowed=self.between.value, registration_by=self.registration.at(),
            bags_locked_at=self.locked.at(), practice_min=self.practice.value(),
            hardness_at_least_d=self.hardness.value(), list_checked_on=self.checked.day(),
            rule_note=self.rule.words(), note=self.note.words(),
        )  # fmt: skip

    def entered(self, made: Event) -> Entered:
        """As the fields say. Raises KnownError for a squad the event does not have."""
        squad = self.squad.words()
        names = [s.name for s in made.squads]
        if squad and squad not in names:
            known = ", ".join(name or "without a name" for name in names)
            raise KnownError(f"There is no squad {squad}.", next_step=f"Squads of this event: {known}.")
        return replace(
            self._entered, squad=squad, right_handers=round(self.right.value() or 0),
            left_handers=round(self.left.value() or 0), minutes=self.minutes.value(), spinner=self.spinner.value,
            bag_limit_kg=self.bag.si(), bags=round(self.bags.value() or 1),
        )  # fmt: skip

    def act(self) -> Callable[[Shop], Changes]:
        """Keep both."""
        made = self.made()
        mine = self.entered(made)

        def run(shop: Shop) -> Changes:
            from arsenal.desk.event import asking  # noqa: PLC0415 - the room's own

            return asking.keep_event(shop, made, mine)

        return run


def _maybe_time(name: str, held: datetime | None, offered: datetime) -> Maybe:
    return Maybe(name, TimeField(f"{name}, when", held or offered), said=held is not None)


def open_event(
    shared: Shared, parent: QWidget, found: Found, event: Event | None, entered: Entered | None, done: Done
) -> EventDialog:
    """Add an event, or change `event`; `done` gets the changes."""
    dialog = EventDialog(shared, parent, found, event, entered, done)
    dialog.open_()
    return dialog
