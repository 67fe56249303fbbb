"""From a tracked shot: speed and angle at both ends give revs and rotation, shown with their doubt before keeping."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person, ReadAt, SpeedReading
from arsenal.trade.units import DEGREE_RAD, KMH_MPS, MPH_MPS, RPM_RADPS

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.tracked import SeenShot
    from arsenal.acts.views import Changes
    from arsenal.motion.tracked import TrackedRelease

READ_AT = (
    ("off the hand", ReadAt.HAND), ("on the house display", ReadAt.DISPLAY),
    ("as an average to the pins", ReadAt.AVERAGE),
)  # fmt: skip
ROLLED = (("yes", True), ("no, still sliding", False))
HINT = (
    "Angles count toward the side the ball hooks to: a launch toward the channel is negative. The oil does not matter, "
    "as long as the ball rolled by the pins."
)


class TrackedDialog(FormDialog):
    """The form: shots are added one by one, and the release they give is shown each time."""

    def __init__(self, shared: Shared, parent: QWidget, person: Person, done: Done | None) -> None:
        super().__init__(f"{person.name}: from a tracked shot", shared, parent, done, keep="Keep release")
        system = shared.settings.units
        self._person, self._system = person, system
        self._shots: list[SeenShot] = []
        self._asked: list[SeenShot] = []
        self.found: TrackedRelease | None = None
        self.speed = Measured("speed", system, required=True)
        self.read_at = Choice("Speed was read", READ_AT, ReadAt.HAND)
        self.house = Words("House of the display", "", "its name, as on its conditions")
        self.launch = Measured("launch", system, required=True)
        self.entry_speed = Measured("speed at the pins", system, required=True)
        self.entry = Measured("entry angle", system, required=True)
        self.rolled = Choice("Rolled by the pins", ROLLED, True)
        for label, field in (
            ("Speed", self.speed), ("Speed was read", self.read_at), ("… in the house", self.house),
            ("Launch angle", self.launch), ("Speed at the pins", self.entry_speed), ("Entry angle", self.entry),
            ("Rolled by the pins", self.rolled),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.add = TextButton("Add this shot", px=15, token="ink")
        self.told = Plain("No shot yet.", px=15, token="ink", wrap=True)
        self.body.addWidget(self.add, alignment=Qt.AlignmentFlag.AlignLeft)
        self.body.addWidget(self.told)
        self.body.addWidget(Plain(HINT, px=13, token="ink2", wrap=True))
        self.add.clicked.connect(self.add_shot)
        self.read_at.picked.connect(self._show_house)
        self._show_house(ReadAt.HAND)
        self.keep_button.setEnabled(False)
        self.speed.setFocus()

    def _show_house(self, at: ReadAt) -> None:
        self.house.setVisible(at is ReadAt.DISPLAY)
        self.rows.label_of(self.house).setVisible(at is ReadAt.DISPLAY)
        self.fit()

    def add_shot(self) -> None:
        """Take the fields as one shot more and reckon anew."""
        wrong = [n for n in self.findChildren(NumberField) if n.isVisible() and not n.check()]
        if wrong:
            wrong[0].setFocus()
            self.fit()
            return
        from arsenal.acts.tracked import SeenShot, release_from_shots  # noqa: PLC0415 - heavy, once it is needed

        house = self.house.words() if self.read_at.value is ReadAt.DISPLAY else ""
        shot = SeenShot(
            SpeedReading(self.read_at.value, self.speed.si() or 0.0, house), (self.launch.si() or 0.0) * DEGREE_RAD,
            self.entry_speed.si() or 0.0, (self.entry.si() or 0.0) * DEGREE_RAD, bool(self.rolled.value),
        )  # fmt: skip
        shots, person_id = [*self._shots, shot], self._person.id
        self._asked = shots
        self.shared.ask(
            "tracked", lambda shop: release_from_shots(shop, person_id, shots), self._arrived, failed=self._wrong
        )

    def _arrived(self, found: TrackedRelease) -> None:
        self._shots, self.found = self._asked, found
        self.keep_button.setEnabled(not found.at_least)
        self.told.setText(said(found, len(self._shots), self._system))
        self.complain("")
        self.fit()

    def _wrong(self, error: KnownError) -> None:
        self.complain(str(error))
        self.fit()

    def act(self) -> Callable[[Shop], Changes]:
        """The bowler throws so from now on."""
        found, person_id = self.found, self._person.id
        if found is None:
            raise KnownError("No shot was added yet.", next_step="Type one and add it.")

        def run(shop: Shop) -> Changes:
            from arsenal.acts.tracked import keep_release  # noqa: PLC0415 - heavy, on the worker's thread

            return keep_release(shop, person_id, found)

        return run


def said(found: TrackedRelease, shots: int, system: str) -> str:
    """“1 shot: 352 ± 27 rpm, 50 ± 4° of rotation at 17.0 mph. …”."""
    unit, size = ("km/h", KMH_MPS) if system == "metric" else ("mph", MPH_MPS)
    revs, turned = found.rev_rate_radps, found.axis_rotation_rad
    start = f"{shots} shot{'s' if shots > 1 else ''}: "
    if found.at_least:
        told = f"{start}at least {turned.mean / DEGREE_RAD:.0f}° of rotation."
    else:
        told = (
            f"{start}{revs.mean / RPM_RADPS:.0f} ± {revs.sd / RPM_RADPS:.0f} rpm, "
            f"{turned.mean / DEGREE_RAD:.0f} ± {max(turned.sd / DEGREE_RAD, 1.0):.0f}° of rotation "
            f"at {found.speed_mps.mean / size:.1f} {unit}."
        )
    return " ".join([told, *(f.sentence for f in found.findings)]).replace("-", "−")


def open_tracked(shared: Shared, parent: QWidget, person: Person, done: Done | None = None) -> TrackedDialog:
    """Ask for tracked shots of `person`; `done` gets the changes once the release is kept."""
    dialog = TrackedDialog(shared, parent, person, done)
    dialog.open_()
    return dialog
