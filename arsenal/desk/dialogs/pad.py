"""Add a pad to the stock."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured
from arsenal.desk.parts.dialog import Caution
from arsenal.desk.rooms import Shared
from arsenal.trade.entries import Abrasive, Scale
from arsenal.trade.errors import KnownError
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
KINDS = tuple((k, k) for k in ("foam", "film", "cloth", "paper", "bottle"))


class PadDialog(FormDialog):
    """The form."""

    def __init__(self, shared: Shared, parent: QWidget, owner_id: int | None, done: Done | None) -> None:
        super().__init__("Add a pad", shared, parent, done, keep="Add pad")
        self._owner = owner_id
        self.abrasive = Choice("Cuts with", ABRASIVES, Abrasive.GRIT)
        self.number = Measured("grain number", shared.settings.units)
        self.scale = Choice("Number counts on", SCALES, Scale.PLAIN)
        self.kind = Choice("Backing", KINDS, "foam")
        self.whose = Choice("Whose", (("this bowler’s", owner_id), ("the shop’s", None)), owner_id)
        for label, field in (
            ("Cuts with", self.abrasive), ("Number", self.number), ("Number counts on", self.scale),
            ("Backing", self.kind), ("Whose", self.whose),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.body.addWidget(
            Caution("Sanding makes dust: wet or with extraction, mask and glasses on.",
                    "The maker’s sheet and local rules come first.")
        )  # fmt: skip
        self.number.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Add."""
        number, abrasive = self.number.si(), self.abrasive.value
        if abrasive is Abrasive.GRIT and number is None:
            raise KnownError("A pad with grains needs its number.", next_step="It is printed on the back.")
        pad = Pad(0, number, self.scale.value, abrasive, self.kind.value, self.whose.value)

        def run(shop: Shop) -> Changes:
            from arsenal.acts import pads  # noqa: PLC0415 - heavy, on the worker's thread

            return pads.add_pad(shop, pad)

        return run


def open_pad(shared: Shared, parent: QWidget, owner_id: int | None = None, done: Done | None = None) -> PadDialog:
    """Add a pad of `owner_id`'s, or the shop's."""
    dialog = PadDialog(shared, parent, owner_id, done)
    dialog.open_()
    return dialog
