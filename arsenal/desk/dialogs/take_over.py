"""The file handed over to another machine, a copy taken over from one, and a file taken back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from arsenal.desk import file_dialogs
from arsenal.desk.dialogs.form import Words
from arsenal.desk.parts.dialog import Caution, Dialog, Facts
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.take_over import Outlook

COPIES = "Padbook (*.padbook);;All files (*)"
TakeOver = Callable[[Path, Path, str, bool], object]


class HandOverDialog(Dialog):
    """Where the copy goes and who hands over; or, once that is done, taking it back."""

    changed = Signal()

    def __init__(self, shared: Shared, parent: QWidget) -> None:
        super().__init__("Hand over this file", parent, width=620)
        self.shared = shared
        self.facts = Facts([("The file", str(shared.path))])
        self._standing = self.facts.add("Now", "looking …")
        self.who = Words("Who hands over", "", "name or initials; may stay empty", 40)
        self.facts.field("Who", self.who)
        self.body.addWidget(self.facts)
        self.body.addWidget(Plain(
            "A checked copy is written where you say, on a stick or in a folder. From then on this file is only read, "
            "so that the shop is never written in two places. On the other machine choose “Take over a file”.",
            px=14, token="ink2", wrap=True,
        ))  # fmt: skip
        self.caution = Caution(
            "Take it back only where the copy was not taken over, or is lost.",
            "Two files that were both worked on do not become one again.",
        )
        self.caution.hide()
        self.body.addWidget(self.caution)
        self.offer("Not now", "Esc", self.reject)
        self.back = self.offer("Take it back", "B", self._take_back, destructive=True)
        self.back.hide()
        self.go = self.offer("Choose where …", "↵", self._choose, primary=True)
        self.go.setEnabled(False)
        shared.ask("standing", _standing, self._show, failed=self._failed)

    def _show(self, told: tuple[str, bool, str]) -> None:
        standing, may_take_back, self._name = told
        self._standing.setText(standing or "in charge")
        self.go.setEnabled(not standing)
        self.go.setVisible(not standing)
        self.back.setVisible(may_take_back)
        self.caution.setVisible(may_take_back)
        self.fit()

    def _choose(self) -> None:
        name = file_dialogs.save_file(self, "Hand over to", str(Path.home() / self._name), COPIES)
        if name:
            self.hand_over(Path(name))

    def hand_over(self, onto: Path) -> None:
        """Write the copy there."""
        who = self.who.words()
        self.go.setEnabled(False)
        self.shared.worker.act(
            lambda shop: _hand_over(shop, onto, who), self._done, failed=self._failed, title="Handing the file over"
        )

    def _take_back(self) -> None:
        who = self.who.words()
        self.shared.worker.act(
            lambda shop: _take_back(shop, who), self._done, failed=self._failed, title="Taking the file back"
        )

    def _done(self, sentence: str) -> None:
        self.shared.say(sentence)
        self.accept()
        self.changed.emit()

    def _failed(self, error: KnownError) -> None:
        self.go.setEnabled(True)
        self.complain(str(error))
        self.fit()


class TakeOverDialog(Dialog):
    """What a copy is to the file that is here, and the button that takes it over."""

    wanted = Signal(object, object, str, bool)
    """The copy, where it goes, who, and whether all the same."""

    def __init__(self, shared: Shared, parent: QWidget, copy: Path, onto: Path) -> None:
        super().__init__("Take over a file", parent, width=620)
        self.shared, self._copy, self.onto = shared, copy, onto
        self._anyway = False
        self.facts = Facts([("The copy", str(copy))])
        self._goes = self.facts.add("Becomes", str(onto))
        self.what = self.facts.add("What it is", "looking …")
        self.who = Words("Who takes over", "", "name or initials; may stay empty", 40)
        self.facts.field("Who", self.who)
        self.body.addWidget(self.facts)
        self.body.addWidget(Plain(
            "It is checked first. What is here now is kept beside it under another name.",
            px=14, token="ink2", wrap=True,
        ))  # fmt: skip
        self.offer("Not now", "Esc", self.reject)
        self.other = self.offer("Another place …", "P", self._elsewhere)
        self.anyway = self.offer("Take it over all the same", "", lambda: self._go(anyway=True), destructive=True)
        self.anyway.hide()
        self.go = self.offer("Take over", "↵", lambda: self._go(anyway=False), primary=True)
        self.go.setEnabled(False)
        self._look()

    def _look(self) -> None:
        copy, onto = self._copy, self.onto
        self._goes.setText(str(onto))
        self.go.setEnabled(False)
        self.shared.ask("take over", lambda _shop: _outlook(copy, onto), self._show, failed=self._failed)

    def _show(self, outlook: Outlook) -> None:
        self.what.setText(outlook.sentence)
        self.go.setEnabled(not outlook.against)
        self.anyway.setVisible(bool(outlook.against) and outlook.possible)
        self.complain(outlook.against)
        self.fit()

    def _elsewhere(self) -> None:
        name = file_dialogs.save_file(self, "Take over as", str(self.onto.parent / self._copy.name), COPIES)
        if name:
            self.onto = Path(name)
            self._look()

    def _go(self, *, anyway: bool) -> None:
        who = self.who.words()
        self.accept()
        self.wanted.emit(self._copy, self.onto, who, anyway)

    def _failed(self, error: KnownError) -> None:
        self.what.setText("nothing that can be taken over")
        self.complain(str(error))
        self.fit()


def _standing(shop: Shop) -> tuple[str, bool, str]:
    from arsenal.acts import take_over  # noqa: PLC0415 - heavy

    return take_over.standing(shop), take_over.may_take_back(shop), take_over.suggested_name(shop)


def _hand_over(shop: Shop, onto: Path, who: str) -> str:
    from arsenal.acts import take_over  # noqa: PLC0415 - heavy

    return take_over.said_handed(take_over.hand_over(shop, onto, who))


def _take_back(shop: Shop, who: str) -> str:
    from arsenal.acts import take_over  # noqa: PLC0415 - heavy

    told = take_over.take_back(shop, who)
    return f"Taken back: this file is in charge again. The copy {told.onto} must not be taken over any more."


def _outlook(copy: Path, onto: Path) -> Outlook:
    from arsenal.acts import take_over  # noqa: PLC0415 - heavy

    return take_over.look(copy, onto)


def open_hand_over(shared: Shared, parent: QWidget, done: Callable[[], object] = lambda: None) -> HandOverDialog:
    """Show it; `done` is called when the file is handed over, or is in charge again."""
    dialog = HandOverDialog(shared, parent)
    dialog.changed.connect(done)
    dialog.open_()
    return dialog


def open_take_over(
    shared: Shared, parent: QWidget, done: TakeOver, copy: Path | None = None, onto: Path | None = None
) -> TakeOverDialog | None:
    """Ask which copy, where none is given; `done` gets what is wanted once the dialog is gone. The copy takes the place
    of the file that is open, unless that is the sample shop.
    """
    if copy is None:
        name = file_dialogs.open_file(parent, "Take over a file", str(Path.home()), COPIES)
        copy = Path(name) if name else None
    if copy is None:
        return None
    dialog = TakeOverDialog(shared, parent, copy, onto or _usual_place(shared.path))
    dialog.wanted.connect(done)
    dialog.open_()
    return dialog


def _usual_place(now: Path) -> Path:
    from arsenal.acts import places  # noqa: PLC0415 - when first asked for

    return places.shop_file() if now == places.sample_file() else now
