"""A ball is lent, taken back or sold: to a person of the file, who then owns it, or to a name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCompleter, QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

LEND, SELL = "lend", "sell"
DOES = (("lent", LEND), ("sold", SELL))
NAMES = 20_000
"""Names offered at most while one is typed."""


@dataclass(frozen=True, slots=True)
class Held:
    """The ball, where it is, and who it could go to: (name, what tells them apart, id)."""

    ball_id: int
    ball: str
    owner: str
    where: str
    """“in the bag”, “lent”, “sold”, “retired”."""
    whom: str
    people: tuple[tuple[str, str, int], ...]


def read(ball_id: int) -> Callable[[Shop], Held]:
    """The ball and the people of the file."""

    def run(shop: Shop) -> Held:
        ball, state = shop.ball(ball_id), shop.state(ball_id)
        people = tuple((p.name, p.phone or p.email, p.id) for p in shop.people() if p.id != ball.owner_id)
        return Held(ball_id, ball.name, shop.person(ball.owner_id).name, state.holder.value, state.holder_name, people)

    return run


class HandOverDialog(FormDialog):
    """The form; a ball that is lent is only taken back."""

    def __init__(self, shared: Shared, parent: QWidget, held: Held, done: Done | None = None) -> None:
        self._held, self._lent = held, held.where == "lent"
        title = f"Take {held.ball[:80]} back" if self._lent else f"Lend or sell {held.ball[:80]}"
        super().__init__(title, shared, parent, done, keep="Take it back" if self._lent else "Lend it", width=540)
        self._by_name: dict[str, list[tuple[str, str, int]]] = {}
        for one in held.people:
            self._by_name.setdefault(one[0].casefold(), []).append(one)
        where = f"lent to {held.whom or 'somebody'}" if self._lent else held.where
        self.rows.add("Owner", held.owner[:200])
        self.rows.add("Now", where[:200])
        self.does = Choice("The ball is", DOES, LEND)
        self.to = Words("To whom", "", "a customer’s name, or any name")
        self.which = Choice("Which", (), None)
        self.told = Plain("", px=13, token="ink2", wrap=True)
        if not self._lent:
            self._ask_whom()
        self.body.addWidget(self.told)
        self.print = self.offer("History for the buyer", "H", self._print)
        self._row.removeWidget(self.print)
        self._row.insertWidget(1, self.print)
        QWidget.setTabOrder(self.print, self.keep_button)
        self._show()
        (self.keep_button if self._lent else self.to).setFocus()

    def _ask_whom(self) -> None:
        for label, field in (("The ball is", self.does), ("To", self.to), ("Which one", self.which)):
            self.rows.field(label, field)
        names = QCompleter([name for name, *_ in self._held.people[:NAMES]], self.to)
        names.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        popup = names.popup()
        if popup is not None:
            popup.setAccessibleName("Names of the file")
        self.to.setCompleter(names)
        self.to.textChanged.connect(lambda _text: self._show())
        self.does.picked.connect(lambda _value: self._show())

    def _known(self) -> list[tuple[str, str, int]]:
        return self._by_name.get(" ".join(self.to.words().split()).casefold(), [])

    def _show(self) -> None:
        sells, known, name = self.does.value == SELL, self._known(), self.to.words()
        if not self._lent:
            self.keep_button.rename("Sell it" if sells else "Lend it")
            many = len(known) > 1
            if many:
                offers = [(f"{n}, {other}" if other else f"{n}, number {i}", i) for n, other, i in known]
                self.which.offer(
                    offers, self.which.value if self.which.value in [i for *_, i in known] else known[0][2]
                )
            self.which.setVisible(many)
            self.rows.label_of(self.which).setVisible(many)
        self.print.setVisible(sells and not self._lent)
        self.told.setText(self._words(sells=sells, known=bool(known), name=name))
        if self.isVisible():
            self.fit()

    def _words(self, *, sells: bool, known: bool, name: str) -> str:
        if self._lent:
            return "It counts among its owner’s balls again."
        if not name:
            return "The ball’s log stays with the ball. Nothing is deleted."
        if known and sells:
            return "The buyer is in the file: the ball becomes theirs, with its log."
        if sells:
            return "Nobody of this name is in the file: the ball leaves the bag, its log is kept."
        stays = "It stays its owner’s, and is left out of the order until it is back."
        return stays if known else f"Nobody of this name is in the file; the name is written down. {stays}"

    def _print(self) -> None:
        from arsenal.desk.print_history import open_history_print  # noqa: PLC0415 - when first wanted

        open_history_print(self.shared, self, self._held.ball_id, buyers=True)

    def act(self) -> Callable[[Shop], Changes]:
        """Lend, take back or sell."""
        ball_id, lent, sells = self._held.ball_id, self._lent, self.does.value == SELL
        known, to = self._known(), self.to.words()
        person_id = None if not known else self.which.value if len(known) > 1 else known[0][2]
        if not lent and not to:
            raise KnownError("To whom?", next_step="Type a name.")

        def run(shop: Shop) -> Changes:
            from arsenal.acts import hands  # noqa: PLC0415 - heavy, on the worker's thread

            if lent:
                return hands.take_back(shop, ball_id)
            return (hands.sell if sells else hands.lend)(shop, ball_id, to, person_id=person_id)

        return run


def open_hand_over(shared: Shared, parent: QWidget, ball_id: int, done: Done | None = None) -> None:
    """Lend, take back or sell a ball; where it is now is read first."""

    def show(held: Held) -> None:
        if held.where in ("sold", "retired"):
            shared.trouble(KnownError(f"{held.ball[:80]} is {held.where}.", next_step="Its log can still be printed."))
            return
        HandOverDialog(shared, parent, held, done).open_()

    shared.ask("hand over", read(ball_id), show, failed=shared.trouble)
