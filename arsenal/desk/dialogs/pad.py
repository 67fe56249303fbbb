"""Add a pad to the stock, or say what is true of one that is there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog
from arsenal.desk.parts.dialog import Caution
from arsenal.desk.parts.number import NumberField
from arsenal.desk.rooms import Shared
from arsenal.trade.entries import Abrasive, Scale
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import LIMITS, Limit
from arsenal.trade.pads import Pad

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

ABRASIVES = (
    ("grains with a number", Abrasive.GRIT), ("non-woven", Abrasive.NONWOVEN), ("compound", Abrasive.COMPOUND),
    ("polish", Abrasive.POLISH),
)  # fmt: skip
SCALES = (
    ("as sold, by a number alone", Scale.PLAIN), ("P (FEPA)", Scale.P), ("CAMI", Scale.CAMI), ("JIS", Scale.JIS),
    ("micrometres", Scale.MICRON),
)  # fmt: skip
KINDS = ("foam", "film", "cloth", "paper", "sheet", "bottle")
BOUGHT = (("today", True), ("earlier, not said", False))
USED = Limit("uses", 0, 500)
NUMBERED = (Abrasive.GRIT, Abrasive.NONWOVEN)


class PadDialog(FormDialog):
    """The form."""

    def __init__(
        self, shared: Shared, parent: QWidget, owner_id: int | None, pad: Pad | None, done: Done | None
    ) -> None:
        super().__init__(
            "Change a pad" if pad else "Add a pad", shared, parent, done, keep="Keep" if pad else "Add pad"
        )
        self._pad = pad or Pad(0, None, owner_id=owner_id)
        self._new = pad is None
        kinds = [(k, k) for k in dict.fromkeys((*KINDS, self._pad.kind))]
        self.abrasive = Choice("Cuts with", ABRASIVES, self._pad.abrasive)
        self.scale = Choice("Number counts on", SCALES, self._pad.scale)
        micron = self._pad.scale is Scale.MICRON
        number = self._pad.number
        self.number = NumberField(LIMITS["grain number"], None if micron else number, digits=0)
        self.microns = NumberField(LIMITS["grain size"], number if micron else None, digits=1, units={"µm": 1.0})
        self.kind = Choice("Backing", kinds, self._pad.kind)
        self.whose = Choice("Whose", (("this bowler’s", owner_id), ("the shop’s", None)), self._pad.owner_id)
        self.bought = Choice("Bought", BOUGHT, True)
        self.by_hand = NumberField(USED, self._pad.uses_hand or None, digits=0, name="uses by hand")
        self.on_spinner = NumberField(USED, self._pad.uses_spinner or None, digits=0, name="uses on spinner or machine")
        self._lay_out()
        self.abrasive.picked.connect(lambda _value: self._fit_number())
        self.scale.picked.connect(lambda _value: self._fit_number())
        self._fit_number()
        (self.number if self.number.isVisibleTo(self) else self.microns).setFocus()

    def _lay_out(self) -> None:
        for label, field in (
            ("Cuts with", self.abrasive), ("Number counts on", self.scale), ("Number", self.number),
            ("Grain", self.microns), ("Backing", self.kind), ("Whose", self.whose), ("Bought", self.bought),
            ("Uses by hand", self.by_hand), ("On spinner or machine", self.on_spinner),
        ):  # fmt: skip
            self.rows.field(label, field)
        if not self._new:
            self._show(self.bought, shown=False)
        self.body.addWidget(
            Caution("Sanding makes dust: wet or with extraction, mask and glasses on.",
                    "The maker’s sheet and local rules come first.")
        )  # fmt: skip

    def _show(self, field: QWidget, *, shown: bool) -> None:
        field.setVisible(shown)
        self.rows.label_of(field).setVisible(shown)

    def _fit_number(self) -> None:
        """A number where the pad has one, counted in grains or micrometres."""
        numbered, micron = self.abrasive.value in NUMBERED, self.scale.value is Scale.MICRON
        self._show(self.scale, shown=numbered)
        self._show(self.number, shown=numbered and not micron)
        self._show(self.microns, shown=numbered and micron)
        if self.isVisible():
            self.fit()

    def pad(self) -> Pad:
        """The record the fields say. Raises KnownError where grains have no number."""
        abrasive, micron = self.abrasive.value, self.scale.value is Scale.MICRON
        number = (self.microns if micron else self.number).value() if abrasive in NUMBERED else None
        if abrasive is Abrasive.GRIT and number is None:
            raise KnownError("A pad with grains needs its number.", next_step="It is printed on the back.")
        return replace(
            self._pad, number=number, scale=self.scale.value if number is not None else Scale.PLAIN, abrasive=abrasive,
            kind=self.kind.value, owner_id=self.whose.value, uses_hand=_uses(self.by_hand, self._pad.uses_hand),
            uses_spinner=_uses(self.on_spinner, self._pad.uses_spinner),
        )  # fmt: skip

    def act(self) -> Callable[[Shop], Changes]:
        """Add, or put in place of the old one."""
        pad, new, today = self.pad(), self._new, bool(self.bought.value)

        def run(shop: Shop) -> Changes:
            from arsenal.acts import pads  # noqa: PLC0415 - heavy, on the worker's thread

            if not new:
                return pads.edit_pad(shop, pad)
            return pads.add_pad(shop, replace(pad, bought_on=shop.today() if today else None))

        return run


def _uses(field: NumberField, before: float) -> float:
    """What is typed; a part of a use that stood there before stays."""
    value = field.value() or 0.0
    return before if value == round(before) else value


def open_pad(
    shared: Shared, parent: QWidget, owner_id: int | None = None, pad: Pad | None = None, done: Done | None = None
) -> PadDialog:
    """Add a pad of `owner_id`'s, or the shop's; with `pad`, change that one."""
    dialog = PadDialog(shared, parent, owner_id, pad, done)
    dialog.open_()
    return dialog
