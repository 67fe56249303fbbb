"""Time for work on balls: the day, how long, where, and what is there to work with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.fields import ClockField, Several
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep import repeats
from arsenal.trade.calendar import Place, Slot
from arsenal.trade.limits import Limit

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

MINUTES = Limit("minutes", 5.0, 720.0, "min")
PLACES = (("at home, by hand", Place.HOME), ("at the shop’s bench", Place.BENCH))
HEATED = Limit("balls heated at once", 1.0, 20.0, "balls")
TOOLS = (("a spinner", "spinner"), ("a heat cabinet", "heat"))


class SlotDialog(FormDialog):
    """The form."""

    def __init__(self, shared: Shared, parent: QWidget, slot: Slot, today: date, done: Done | None) -> None:
        old = slot.id != 0
        super().__init__("Time for work on balls", shared, parent, done, keep="Keep" if old else "Add it", width=560)
        self._slot = slot
        self.minutes = NumberField(MINUTES, slot.minutes or None, digits=0, required=True, name="minutes of work")
        self.starts = ClockField("Starts at", slot.starts)
        self.place = Choice("Where", PLACES, slot.place)
        tools = [name for name, there in (("spinner", slot.spinner), ("heat", slot.heat)) if there]
        self.tools = Several("There is", "pads and a towel only", tools)
        self.tools.offer(TOOLS)
        self.heated = NumberField(HEATED, float(slot.heat_places), digits=0, required=True, name="balls heated at once")
        self.note = Words("Note", slot.note, "what else to know")
        self.when = repeats.Repeating(slot, today)
        self.rows.field("Minutes", self.minutes)
        self.when.put_in(self.rows, "Not on")
        for label, field in (
            ("Starts at", self.starts), ("Where", self.place), ("There is", self.tools),
            ("Balls heated at once", self.heated), ("Note", self.note),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.body.addWidget(
            Plain(
                "Jobs are put into this time when the weeks are planned. A spinner and heat are for those who know "
                "them; the maker’s sheet comes first.",
                px=13, token="ink2", wrap=True,
            )
        )  # fmt: skip
        self.tools.changed.connect(self._show_heat)
        self._show_heat()
        if slot.bowler_id is None:
            self.place.setEnabled(False)
        if old:
            repeats.before_the_rest(self, self.offer("No longer", "X", self._remove, destructive=True))
        self.minutes.setFocus()

    def _show_heat(self) -> None:
        heat = "heat" in self.tools.values()
        self.heated.setVisible(heat)
        self.rows.label_of(self.heated).setVisible(heat)
        self.fit()

    def slot(self) -> Slot:
        """The record the fields say."""
        when, tools = self.when, self.tools.values()
        return replace(
            self._slot, minutes=self.minutes.value() or 0.0, starts=self.starts.at(), place=Place(self.place.value),
            spinner="spinner" in tools, heat="heat" in tools,
            heat_places=round(self.heated.value() or 1.0), note=self.note.words(), first_on=when.first(),
            last_on=when.last(), repeats=when.how(), skipped=when.skipped(),
        )  # fmt: skip

    def keep(self) -> None:
        """Every field first, the topmost wrong one gets the focus."""
        if repeats.all_well(self, self.minutes, self.when, self.starts):
            super().keep()

    def act(self) -> Callable[[Shop], Changes]:
        """Add it, or put it in the place of the old one."""
        slot = self.slot()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import calendar_records  # noqa: PLC0415 - heavy, on the worker's thread

            return calendar_records.keep_slot(shop, slot)

        return run

    def _remove(self) -> None:
        gone = self._slot.id

        def run(shop: Shop) -> Changes:
            from arsenal.acts import calendar_records  # noqa: PLC0415 - heavy, on the worker's thread

            return calendar_records.remove_slot(shop, gone)

        self.shared.keep(run, self._finish, failed=self._failed)


def open_slot(
    shared: Shared, parent: QWidget, bowler_id: int | None, slot: Slot | None = None, done: Done | None = None
) -> None:
    """Add time for work, or change it. `bowler_id` None is the shop's bench."""

    def show(today: date) -> None:
        place = Place.HOME if bowler_id is not None else Place.BENCH
        bench = bowler_id is None
        made = slot or Slot(0, bowler_id, today, 60.0, place=place, spinner=bench, heat=bench)
        SlotDialog(shared, parent, made, today, done).open_()

    shared.ask("slot form", lambda shop: shop.today(), show, failed=shared.trouble)
