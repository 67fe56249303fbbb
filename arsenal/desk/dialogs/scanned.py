"""What a scan leaves open: which of several balls is meant, or whose ball a code nobody knows belongs to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QObject, QRect, QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Words
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Hit

ROW, SHOWN = 44, 4
NAME_MOST = 120


class HitPainter(RowPainter):
    """A name with what tells it apart."""

    height = ROW

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        px = look().px
        inner = box.adjusted(px(12), 0, -px(12), 0)
        wide = round(write(painter, inner, row.detail, look().font(13), "ink2", right=True))
        write(painter, inner.adjusted(0, 0, -wide - px(12), 0), row.label, look().font(15, 600), "ink")


def _spoken(hit: Hit) -> str:
    return ", ".join(part for part in (hit.label, hit.detail) if part)


class HitList(RowsView):
    """A few finds under one another."""

    def __init__(self, name: str) -> None:
        super().__init__(name, RowsModel(_spoken), HitPainter())
        self.setFixedHeight(look().px(ROW) * SHOWN + 4)

    def show_hits(self, hits: Sequence[Hit]) -> None:
        """Other finds; the first is chosen."""
        self.rows_model.set_rows(list(hits))
        if hits:
            self.setCurrentIndex(self.rows_model.index(0))

    def hit(self) -> Hit | None:
        """The chosen one."""
        found: Hit | None = self.rows_model.row(self.currentIndex().row())
        return found


class WhichDialog(Dialog):
    """Several balls have the serial that was scanned."""

    def __init__(self, parent: QWidget, text: str, hits: Sequence[Hit], took: Callable[[Hit], None]) -> None:
        super().__init__("Which ball?", parent)
        self._took = took
        self.body.addWidget(Plain(f"{len(hits)} balls have the serial {text}.", wrap=True))
        self.list = HitList("Balls with this serial")
        self.list.show_hits(hits)
        self.list.opened.connect(lambda _hit: self.open_chosen())
        self.body.addWidget(self.list)
        self.offer("Not now", "Esc", self.reject)
        self.offer("Open it", "↵", self.open_chosen, primary=True)
        self.list.setFocus()

    def open_chosen(self) -> None:
        """Enter."""
        hit = self.list.hit()
        if hit is not None:
            self.accept()
            self._took(hit)


class UnknownDialog(Dialog):
    """Nothing has the code that was scanned: a ball can be made with it as its serial, once its owner is named."""

    def __init__(
        self, shared: Shared, parent: QWidget, text: str, owner: Hit | None,
        made: Callable[[Changes], None] | None = None,
    ) -> None:  # fmt: skip
        super().__init__("A code nobody knows", parent, width=500)
        self.shared, self._over, self.text, self._made = shared, parent, text, made
        self.body.addWidget(Plain("No ball has this serial. Add the ball it is on? Whose is it?", wrap=True))
        facts = Facts()
        facts.add("Scanned", text)
        self.owner = Words("Owner", owner.label if owner is not None else "", "name or phone", NAME_MOST)
        self.owner.textChanged.connect(self._typed)
        self.owner.installEventFilter(self)
        facts.field("Owner", self.owner)
        self.body.addWidget(facts)
        self.list = HitList("Customers found")
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.list.opened.connect(lambda _hit: self.add())
        self.list.chosen.connect(lambda _hit: self._name())
        self.body.addWidget(self.list)
        self.offer("Not now", "Esc", self.reject)
        self.add_button = self.offer("Add a ball", "↵", self.add, primary=True)
        self._show([owner] if owner is not None else [])
        self.owner.setFocus()
        self.owner.selectAll()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """↑ ↓ go through the names while the focus stays in the field."""
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            by = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()), 0)
            if by:
                row = min(self.list.rows_model.rowCount() - 1, max(0, self.list.currentIndex().row() + by))
                self.list.setCurrentIndex(self.list.rows_model.index(row))
                return True
        return False

    def scanned(self, text: str) -> None:
        """The label of a customer says whose it is."""
        self.shared.ask("scan owner", lambda shop: _owner(shop, text), lambda hit: self._owner_scanned(text, hit))

    def _owner_scanned(self, text: str, hit: Hit | None) -> None:
        if hit is None:
            super().scanned(text)
            return
        self.complain("")
        with QSignalBlocker(self.owner):
            self.owner.setText(hit.label)
        self._show([hit])  # of two customers of one name the one who was scanned

    def _typed(self, text: str) -> None:
        if not text.strip():
            self._show([])
            return
        self.shared.ask("scan owner", lambda shop: _people(shop, text), self._show)

    def _show(self, hits: Sequence[Hit]) -> None:
        self.list.show_hits(hits)
        self._name()

    def _name(self) -> None:
        hit, typed = self.list.hit(), self.owner.words()
        if hit is not None:
            self.add_button.rename("Add a ball of theirs")
        else:
            self.add_button.rename("Add the customer and the ball" if typed else "Add a ball")
        self.add_button.setEnabled(hit is not None or bool(typed))

    def add(self) -> None:
        """The chosen customer's ball, or a new customer of the typed name and their ball."""
        hit, typed = self.list.hit(), self.owner.words()
        if hit is not None:
            self._ball_of(hit.id)
        elif typed:
            self.add_button.setEnabled(False)
            self.shared.keep(
                lambda shop: _add_customer(shop, typed), self._added, failed=lambda e: self._failed(str(e))
            )

    def _failed(self, told: str) -> None:
        self.add_button.setEnabled(True)
        self.complain(told)
        self.fit()

    def _added(self, changes: Changes) -> None:
        self._ball_of(changes.changed[0].id)

    def _ball_of(self, owner_id: int) -> None:
        from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first wanted

        self.accept()
        open_ball(self.shared, self._over, owner_id, done=self._made, serial=self.text)


def _people(shop: Shop, text: str) -> tuple[Hit, ...]:
    from arsenal.acts import reading  # noqa: PLC0415 - heavy, on the worker's thread

    return tuple(hit for hit in reading.find(shop, text, 60) if hit.kind == "person")[: 2 * SHOWN]


def _owner(shop: Shop, text: str) -> Hit | None:
    from arsenal.acts import codes  # noqa: PLC0415 - heavy, on the worker's thread

    hit = codes.typed(shop, text)
    return hit if hit is not None and hit.kind == "person" else None


def _add_customer(shop: Shop, name: str) -> Changes:
    from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread
    from arsenal.trade.person import Person  # noqa: PLC0415 - beside it

    return people.add_bowler(shop, Person(0, name))
