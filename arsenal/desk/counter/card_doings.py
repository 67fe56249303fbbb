"""What the cards of a ball and of a customer open besides tickets: fit and drilling, lending and selling, records."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from arsenal.desk.rooms import Shared

# ruff: noqa: PLC0415 - loaded when first wanted

LETTERS = {
    ("ball", "F"): "fit", ("ball", "H"): "hands", ("ball", "J"): "label", ("ball", "P"): "photos",
    ("ticket", "P"): "photos", ("ticket", "J"): "label", ("person", "F"): "fit", ("person", "R"): "records",
}  # fmt: skip
"""Keys of the cards’ words, by what the card is of."""


def of_ball(shared: Shared, parent: QWidget, what: str, ball_id: int) -> None:
    """Its drilling, who it goes to, its label, its photographs."""
    if what == "fit":
        from arsenal.desk.dialogs.fit_list import open_fits

        open_fits(shared, parent, ball_id=ball_id)
    elif what == "hands":
        from arsenal.desk.dialogs.hand_over import open_hand_over

        open_hand_over(shared, parent, ball_id)
    elif what == "label":
        from arsenal.desk.print_label import open_ball_label

        open_ball_label(shared, parent, ball_id)
    elif what == "photos":
        from arsenal.desk.dialogs.photos import open_ball_photos

        open_ball_photos(shared, parent, ball_id)


def of_person(shared: Shared, parent: QWidget, what: str, person_id: int, gone: Callable[[], object]) -> None:
    """Their fit sheets, or everything the file holds of them; `gone` is called once they are erased."""
    if what == "fit":
        from arsenal.desk.dialogs.fit_list import open_fits

        open_fits(shared, parent, person_id=person_id)
    elif what == "records":
        from arsenal.desk.dialogs.records import open_records

        open_records(shared, parent, person_id, gone)
