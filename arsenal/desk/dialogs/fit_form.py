"""A fit sheet: a hand's spans, pitches and hole sizes on one day, the axis point, the palm mark."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QDate
from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.fields import DayEdit
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.dialogs.holes import HolesTable
from arsenal.desk.dialogs.length import LengthField
from arsenal.desk.parts.dialog import Facts
from arsenal.desk.rooms import Shared
from arsenal.exchange import lengths
from arsenal.trade.fit import AXIS_OVER, AXIS_UP, FitSheet

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

PALM = (("no", False), ("yes, at the palm’s centre", True))
WIDE = 860.0
UP_OR_DOWN = ("up", "down", lengths.UP)


class FitDialog(FormDialog):
    """The form."""

    def __init__(
        self, shared: Shared, parent: QWidget, who: str, fit: FitSheet, today: date, done: Done | None = None
    ) -> None:
        super().__init__(f"Fit of {who}", shared, parent, done, keep="Keep fit", width=WIDE)
        self._fit, system = fit, shared.settings.units
        self.on = DayEdit("Measured on", fit.measured_on)
        self.on.setMaximumDate(QDate(today.year, today.month, today.day))
        self.holes = HolesTable(fit.holes, system)
        self.over = LengthField(AXIS_OVER, system, fit.axis_over_m, name="axis point over")
        self.up = LengthField(AXIS_UP, system, fit.axis_up_m, name="axis point up or down", ways=UP_OR_DOWN)
        self.palm = Choice("Palm mark", PALM, fit.palm_mark)
        self.by = Words("Measured by", fit.measured_by, "initials or name")
        self.note = Words("Note", fit.note, "swelling, tape, anything else", most=400)
        self.rows.field("Measured on", self.on)
        self.body.addWidget(self.holes)
        more = Facts()
        for label, field in (
            ("Axis point, over from the grip", self.over), ("… and up or down", self.up), ("Palm marked", self.palm),
            ("Measured by", self.by), ("Note", self.note),
        ):  # fmt: skip
            more.field(label, field)
        self.body.addWidget(more)
        self.holes.grown.connect(self.fit)
        self.holes.order_tabs()
        QWidget.setTabOrder(self.holes.more, self.over.edit)
        self.holes.rows[0].forward.edit.setFocus()

    def sheet(self) -> FitSheet:
        """As the fields say."""
        return replace(
            self._fit, measured_on=self.on.day(), holes=self.holes.holes(), axis_over_m=self.over.si(),
            axis_up_m=self.up.si(), palm_mark=bool(self.palm.value), measured_by=self.by.words(),
            note=self.note.words(),
        )  # fmt: skip

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it."""
        sheet = self.sheet()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import fits  # noqa: PLC0415 - heavy, on the worker's thread

            return fits.keep_fit(shop, sheet)

        return run
