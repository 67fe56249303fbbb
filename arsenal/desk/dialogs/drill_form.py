"""A drilling of one ball: its holes, pin and mark from the axis point, statics, weight after; the rule rows advise."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QDate, Qt, QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.dialogs.fields import DayEdit
from arsenal.desk.dialogs.fit_form import PALM, WIDE
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.dialogs.holes import NARROW, HolesTable
from arsenal.desk.dialogs.length import LengthField
from arsenal.desk.parts.dialog import Facts
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.fit import APART, MASS_AFTER, PIN, STATIC, DrillRecord
from arsenal.trade.limits import Limit
from arsenal.trade.units import OUNCE_KG, POUND_KG

if TYPE_CHECKING:
    from arsenal.acts.fits import Drilling
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

LOOK_AFTER_MS, MOST_TOLD = 250, 4
LIKE = "Ctrl+L"
MARKS = {Weight.NOTE: ("fine", "ink2"), Weight.WARN: ("due", "warn"), Weight.BAD: ("over", "bad")}
SAFE = "Dust and a turning bit: mask, eye protection, no loose sleeve. The maker’s sheet and local codes come first."
RULES = "By the rule rows; the rule book in force decides. Nothing here is blocked."


class DrillDialog(FormDialog):
    """The form. What the rule book says of it is told below as it is typed."""

    def __init__(
        self, shared: Shared, parent: QWidget, ball: str, drill: DrillRecord, today: date, done: Done | None = None
    ) -> None:
        super().__init__(f"Drilling of {ball}", shared, parent, done, keep="Keep drilling", width=WIDE)
        self._drill = drill
        self._make(drill, today)
        self._lay_out()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(LOOK_AFTER_MS)
        self._timer.timeout.connect(self.look_again)
        self._watch()
        self.pin.edit.setFocus()
        self.look_again()

    def open_(self) -> None:
        """Where the pin is asked for, which no earlier sheet says."""
        super().open_()
        self.into_sight(self.pin)

    def _make(self, drill: DrillRecord, today: date) -> None:
        system = self.shared.settings.units
        metric = system == "metric"
        self.on = DayEdit("Drilled on", drill.drilled_on)
        self.on.setMaximumDate(QDate(today.year, today.month, today.day))
        self.like = TextButton(f"Drill like my last one   {LIKE}", px=15, token="ink")
        self.like.clicked.connect(self.take_last)
        QShortcut(QKeySequence(LIKE), self).activated.connect(self.take_last)
        self.copied = Plain("", px=13, token="ink2", wrap=True)
        self.holes = HolesTable(drill.holes, system)
        self.pin = LengthField(PIN, system, drill.pin_to_axis_m, name="pin to axis point")
        self.grip = LengthField(APART, system, drill.pin_to_grip_m, name="pin to grip centre")
        self.mark = LengthField(APART, system, drill.mark_to_axis_m, name="mass bias mark to axis point")
        self.palm = Choice("Palm mark", PALM, drill.palm_mark)
        units = {"oz": 1.0, "g": 0.001 / OUNCE_KG}
        self.side, self.top, self.thumb = (
            NumberField(replace(STATIC, field=name), oz, digits=2, units=units, name=name)
            for name, oz in (
                ("side weight", drill.side_oz), ("top weight", drill.top_oz), ("finger weight", drill.thumb_oz),
            )
        )  # fmt: skip
        self._mass_kg = 1.0 if metric else POUND_KG
        limit = Limit("weight after", round(MASS_AFTER.low * POUND_KG, 2), round(MASS_AFTER.high * POUND_KG, 2), "kg")
        after = None if drill.mass_after_kg is None else drill.mass_after_kg / self._mass_kg
        typed = {"lb": POUND_KG / self._mass_kg, "kg": 1.0 / self._mass_kg, "g": 0.001 / self._mass_kg}
        self.mass = NumberField(limit if metric else MASS_AFTER, after, digits=3, units=typed, name="weight after")
        self.driller = Words("Drilled by", drill.driller, "initials or name")
        self.note = Words("Note", drill.note, most=400)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        self.rows.field("Drilled on", self.on)
        top.addWidget(self.rows)
        top.addWidget(self.like, 0, Qt.AlignmentFlag.AlignVCenter)
        top.addStretch(1)
        self.body.insertLayout(0, top)
        self.body.addWidget(self.copied)
        self.copied.hide()
        self.body.addWidget(self.holes)
        wide = look().logical(self._room().width()) >= NARROW
        both = QBoxLayout(QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom)
        both.setSpacing(look().px(28 if wide else 6))
        for column in (
            (("Pin to axis point", self.pin), ("Pin to grip centre", self.grip), ("Mass bias mark to axis", self.mark),
             ("Palm marked", self.palm)),
            (("Side weight, axis side +", self.side), ("Top weight", self.top),
             ("Finger weight, thumb −", self.thumb), ("Weight after", self.mass)),
        ):  # fmt: skip
            half = Facts()
            for label, field in column:
                half.field(label, field)
            both.addWidget(half, 1)
        self.body.addLayout(both)
        last = Facts()
        last.field("Drilled by", self.driller)
        last.field("Note", self.note)
        self.body.addWidget(last)
        self._make_advice()
        self.body.addWidget(Plain(f"{SAFE} {RULES}", px=12, token="ink2", wrap=True))
        self.holes.grown.connect(self.fit)
        self.holes.order_tabs()
        QWidget.setTabOrder(self.like, self.holes.rows[0].span.edit)
        QWidget.setTabOrder(self.holes.more, self.pin.edit)

    def _make_advice(self) -> None:
        """Above the buttons, where it is seen while anything is typed."""
        self.advice = QWidget()
        self.advice.setAccessibleName("What the rule rows say")
        self._advice = QVBoxLayout(self.advice)
        self._advice.setContentsMargins(0, 0, 0, 0)
        self._advice.setSpacing(look().px(4))
        outer = self.layout()
        assert isinstance(outer, QVBoxLayout)  # noqa: S101 - as every dialog is made
        outer.insertWidget(outer.indexOf(self.trouble), self.advice)

    def _watch(self) -> None:
        start = lambda *_: self._timer.start()  # noqa: E731 - one word for many signals
        for field in (self.pin, self.grip, self.mark, self.side, self.top, self.thumb, self.mass):
            field.changed.connect(start)
        self.holes.changed.connect(start)
        self.palm.picked.connect(start)
        self.on.dateChanged.connect(start)

    def record(self) -> DrillRecord:
        """As the fields say."""
        mass = self.mass.value()
        unchanged = mass is not None and self._drill.mass_after_kg is not None
        if unchanged and abs((mass or 0.0) * self._mass_kg - (self._drill.mass_after_kg or 0.0)) < 0.001 * POUND_KG:
            kept = self._drill.mass_after_kg
        else:
            kept = None if mass is None else mass * self._mass_kg
        return replace(
            self._drill, drilled_on=self.on.day(), holes=self.holes.holes(), pin_to_axis_m=self.pin.si(),
            pin_to_grip_m=self.grip.si(), mark_to_axis_m=self.mark.si(), palm_mark=bool(self.palm.value),
            side_oz=self.side.value(), top_oz=self.top.value(), thumb_oz=self.thumb.value(), mass_after_kg=kept,
            driller=self.driller.words(), note=self.note.words(),
        )  # fmt: skip

    def take_last(self) -> None:
        """Fill the form like the owner's last drilling."""
        ball_id = self._drill.ball_id

        def read(shop: Shop) -> Drilling:
            from arsenal.acts import fits  # noqa: PLC0415 - heavy, on the worker's thread

            return fits.like_the_last(shop, ball_id)

        self.shared.ask("like the last", read, self.fill, failed=self._cannot)

    def _cannot(self, error: KnownError) -> None:
        self.complain(f"{error.sentence} {error.next_step}".strip())
        self.fit()

    def fill(self, found: Drilling) -> None:
        """Fill the form; nothing is kept yet."""
        made = found.record
        self._drill = replace(made, id=self._drill.id, ball_id=self._drill.ball_id)
        self.holes.put(made.holes)
        self.holes.order_tabs()
        for field, si in ((self.pin, made.pin_to_axis_m), (self.grip, made.pin_to_grip_m),
                          (self.mark, made.mark_to_axis_m)):  # fmt: skip
            field.put_si(si)
        for number in (self.side, self.top, self.thumb, self.mass):
            number.set_value(None)
        self.palm.put(made.palm_mark)
        self.driller.setText(made.driller)
        told = "holes by the fit in force" if made.fit_id is not None else "holes as they were then"
        self.copied.setText(
            f"{found.copied_from[:1].upper()}{found.copied_from[1:]}; {told}. Weigh it when it is done."
        )
        self.copied.show()
        self.complain("")
        self.show_advice(found.advice)

    def look_again(self) -> None:
        """Ask what the rule rows say, where everything typed can be read."""
        numbers = (self.pin, self.grip, self.mark, self.side, self.top, self.thumb, self.mass)
        if not self.holes.fine() or any(number.problem() for number in numbers):
            return
        record = self.record()

        def read(shop: Shop) -> Sequence[Finding]:
            from arsenal.acts import fits  # noqa: PLC0415 - heavy, on the worker's thread

            return fits.advice(shop, record)

        self.shared.ask("drill advice", read, self.show_advice, failed=lambda _error: None)

    def show_advice(self, found: Sequence[Finding]) -> None:
        """One sentence a row."""
        while (item := self._advice.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        order = (Weight.BAD, Weight.WARN, Weight.NOTE)
        for finding in sorted(found, key=lambda f: order.index(f.weight)):
            if self._advice.count() == MOST_TOLD:
                break
            told = Told(*MARKS[finding.weight])
            told.setText(finding.sentence)
            self._advice.addWidget(told)
        self.advice.setVisible(bool(found))
        self.advice.setAccessibleDescription(" ".join(finding.sentence for finding in found))
        if self.isVisible():
            self.fit()

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it; a new one goes into the ball's log too."""
        record = self.record()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import fits  # noqa: PLC0415 - heavy, on the worker's thread

            return fits.keep_drill(shop, record)

        return run
