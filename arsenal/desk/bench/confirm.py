"""The second confirmation of what may harm a ball or a person: its words, its caution, then a deliberate key."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.parts.dialog import Caution, Dialog
from arsenal.desk.parts.text import Runs, runs_of

if TYPE_CHECKING:
    from arsenal.acts.views import Meaning


CRACK = "crack is open"
USUAL = ("dust", "Spinner", "wet keeps")
"""Words of the cautions that go with any such work: what is asked about stands before them."""


def must_confirm(meaning: Meaning) -> bool:
    """What the shop asks about, and any work on a ball with an open crack."""
    return meaning.needs_confirmation or any(CRACK in caution for caution in meaning.cautions)


def open_confirm(parent: QWidget, meaning: Meaning, keep: Callable[[], None]) -> Dialog:
    """Show what would be logged with its cautions; `keep` is called when it is confirmed."""
    dialog = Dialog("Log it all the same?", parent.window(), width=520)
    dialog.body.addWidget(Runs(runs_of(meaning.parts)))
    cautions = sorted(meaning.cautions, key=lambda said: any(word in said for word in USUAL))
    strong = cautions[0] if cautions else "This is logged only when you confirm it."
    plain = " ".join(cautions[1:]) or "The maker’s sheet and local rules come first."
    dialog.body.addWidget(Caution(strong, plain))

    def confirmed() -> None:
        dialog.accept()
        keep()

    dialog.offer("Not now", "Esc", dialog.reject, primary=True)
    dialog.offer("It was done, log it", "L", confirmed, destructive=True)
    dialog.open_()
    return dialog
