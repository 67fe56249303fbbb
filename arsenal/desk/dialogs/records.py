"""Everything the file holds of one person: given to them as files, or erased for good."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QWidget

from arsenal.acts.words import count
from arsenal.desk import file_dialogs
from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.parts.dialog import Caution, Dialog, Facts
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade import days
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.person_records import Erasure
    from arsenal.acts.shop import Shop
    from arsenal.trade.person import Person

EARLIER = (("removed, a new one is made", True), ("kept; they still hold the person", False))
MOST_NAMED = 12
ERASING = "Erasing: the file is written anew and its new backup gone over. In a large shop that takes a minute."


@dataclass(frozen=True, slots=True)
class Held:
    """What the file holds of a person, counted; and what erasing does."""

    person: Person
    counts: tuple[str, ...]
    today: date
    policy: str


def read(person_id: int) -> Callable[[Shop], Held]:
    """Count it."""

    def run(shop: Shop) -> Held:
        from arsenal.acts import person_records  # noqa: PLC0415 - heavy, on the worker's thread

        found = person_records.held(shop, person_id)
        told = tuple(count(number, what) for what, number in found if number)
        return Held(shop.person(person_id), told, shop.today(), person_records.POLICY)

    return run


class RecordsDialog(Dialog):
    """What there is, and the two things one may ask for."""

    def __init__(self, shared: Shared, parent: QWidget, held: Held, gone: Callable[[], object] | None = None) -> None:
        super().__init__(f"Records of {held.person.name[:80]}", parent, width=600)
        self.shared, self._held, self._gone = shared, held, gone
        person = held.person
        on = person.reminders_consented_on
        facts = [
            ("Phone", person.phone or "none"), ("E-mail", person.email or "none"),
            ("Reminders", f"agreed to on {days.day_and_year(on)}" if on else "not agreed to"),
            ("The file holds", ", ".join(held.counts) or "nothing else"),
        ]  # fmt: skip
        if person.minor:
            facts.insert(3, ("A minor; guardian", person.guardian or "not named"))
        self.body.addWidget(Facts([(name, value[:400]) for name, value in facts]))
        self.told = Plain(
            "Given out: one JSON file with everything, CSV tables, photographs. What others may ask for, and what has "
            "to be kept, local privacy law says.", px=13, token="ink2", wrap=True,
        )  # fmt: skip
        self.body.addWidget(self.told)
        self.close_button = self.offer("Close", "Esc", self.reject)
        self.erase = self.offer("Erase for good…", "X", self._erase, destructive=True)
        self.give = self.offer("Give out their records", "G", self._choose, primary=True)
        self.give.setFocus()

    def _choose(self) -> None:
        name = file_dialogs.folder(self, "Folder for the records", str(Path.home()))
        if name:
            self.give_out(Path(name))

    def give_out(self, folder: Path) -> None:
        """Write them into a folder of their own in `folder`, and name them."""
        person_id = self._held.person.id
        own = folder / f"records-{person_id}-{self._held.today.isoformat()}"

        def run(shop: Shop) -> tuple[Path, ...]:
            from arsenal.acts import person_records  # noqa: PLC0415 - heavy, on the worker's thread

            return person_records.export(shop, person_id, own)

        self.give.setEnabled(False)
        self.shared.worker.act(run, self._given, failed=self._failed, title="Writing their records")

    def _given(self, written: tuple[Path, ...]) -> None:
        self.give.setEnabled(True)
        names = [path.name for path in written[:MOST_NAMED]]
        more = len(written) - len(names)
        listed = ", ".join(names) + (f" and {more} more" if more > 0 else "")
        self.told.setText(f"Wrote into {written[0].parent}: {listed}.")
        self.shared.say(f"Gave out the records of {self._held.person.name}: {count(len(written), 'file')}")
        self.complain("")
        self.fit()

    def _failed(self, error: KnownError) -> None:
        self.give.setEnabled(True)
        self.complain(str(error))
        self.fit()

    def _erase(self) -> None:
        EraseDialog(self.shared, self, self._held, self._erased).open_()

    def _erased(self) -> None:
        self.accept()
        if self._gone is not None:
            self._gone()


class EraseDialog(Dialog):
    """What is erased and what is not; only the typed name lets it go on."""

    def __init__(self, shared: Shared, parent: QWidget, held: Held, erased: Callable[[], object]) -> None:
        super().__init__(f"Erase {held.person.name[:80]} for good?", parent, width=600)
        self.shared, self._held, self._erased = shared, held, erased
        self.body.addWidget(Caution("This cannot be taken back.", held.policy))
        rows = Facts()
        self.typed = Words("The name, to be sure", "", most=10_000)
        self.earlier = Choice("Earlier backups of this file", EARLIER, True)
        rows.field("Type the name", self.typed)
        rows.field("Earlier backups", self.earlier)
        self.body.addWidget(rows)
        self.busy = Plain("", px=14, weight=600, wrap=True)
        self.body.addWidget(self.busy)
        self.busy.hide()
        self.typed.textChanged.connect(lambda _text: self._show())
        self.keep_it = self.offer("Keep the person", "Esc", self.reject, primary=True)
        self.go = self.offer("Erase for good", "E", self.erase, destructive=True)
        self._show()
        self.typed.setFocus()

    def _show(self) -> None:
        self.go.setEnabled(_folded(self.typed.words()) == _folded(self._held.person.name))

    def erase(self) -> None:
        """Erase, where the name is typed."""
        if not self.go.isEnabled():
            return
        person_id, earlier = self._held.person.id, bool(self.earlier.value)

        def run(shop: Shop) -> Erasure:
            from arsenal.acts import person_records  # noqa: PLC0415 - heavy, on the worker's thread

            return person_records.erase(shop, person_id, earlier=earlier)

        self._work(busy=True)
        self.shared.worker.act(run, self._done, failed=self._failed, title="Erasing")

    def _work(self, *, busy: bool) -> None:
        """While it is being erased nothing can be kept any more; it goes on with the dialog shut."""
        self.busy.setText(ERASING if busy else "")
        self.busy.setVisible(busy)
        for part in (self.typed, self.earlier, self.keep_it, self.go):
            part.setEnabled(not busy)
        self.fit()

    def reject(self) -> None:
        """Esc keeps the person; not once it has begun."""
        if self.busy.isHidden():
            super().reject()

    def _done(self, found: Erasure) -> None:
        from arsenal.acts.views import Change, Changes  # noqa: PLC0415 - heavy

        shared, gone = self.shared, Change("person", self._held.person.id, ("name",))
        if shared.bowler_id == self._held.person.id:
            shared.hold_bowler(None)
        self.accept()
        self._erased()
        shared.kept.emit(Changes(None, "", (gone,), "desk"))
        shared.say(found.sentence)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Nor does the window's own cross."""
        if self.busy.isHidden():
            super().closeEvent(event)
        else:
            event.ignore()

    def _failed(self, error: KnownError) -> None:
        self._work(busy=False)
        self._show()
        self.complain(str(error))
        self.fit()


def _folded(name: str) -> str:
    """A name as one can type it: no marks that nobody sees, one blank between words, small letters."""
    seen = "".join(sign for sign in name if unicodedata.category(sign) != "Cf")
    return " ".join(seen.split()).casefold()


def open_records(
    shared: Shared, parent: QWidget, person_id: int, gone: Callable[[], object] | None = None
) -> None:  # fmt: skip
    """Show what the file holds of a person; `gone` is called once they are erased."""

    def show(held: Held) -> None:
        RecordsDialog(shared, parent, held, gone).open_()

    shared.ask("records", read(person_id), show, failed=shared.trouble)


__all__ = ["EraseDialog", "Held", "RecordsDialog", "open_records", "read"]
