"""Name a group of bowlers and tick who is in it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.coach import asking, words
from arsenal.desk.coach.sheet import paint_tick
from arsenal.desk.dialogs.form import Done, FormDialog, Words
from arsenal.desk.parts.lists import Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

ROW, SHOWN_ROWS = 30.0, 9


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody who may be in the group."""

    person: Person
    ticked: bool


class _Painter(RowPainter):
    """A box and a name."""

    height, line_from = ROW, 34

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        px = look().px
        tick = QRect(box.left() + px(8), box.top(), px(18), box.height())
        paint_tick(painter, tick, ticked=row.ticked, token="hand" if chosen else "ink2")
        line = box.adjusted(px(36), 0, -px(8), 0)
        wide = write(painter, line, row.person.name, look().font(14, 500), "ink")
        write(painter, line.adjusted(round(wide) + px(10), 0, 0, 0), words.hand(row.person), look().font(12), "ink2")


class _Model(RowsModel):
    """People with their tick."""

    def __init__(self) -> None:
        super().__init__(lambda one: f"{one.person.name}, {words.hand(one.person)}, {'in' if one.ticked else 'not in'}")

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """As of every list, with the tick."""
        one = self.row(index.row())
        if isinstance(one, Member) and role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if one.ticked else Qt.CheckState.Unchecked
        return super().data(index, role)


class Ticks(RowsView):
    """Everybody with a box: Space or a press ticks."""

    def __init__(self, people: Sequence[Person], ticked: Collection[int]) -> None:
        super().__init__("Who is in it", _Model(), _Painter())
        self.setAccessibleDescription("Space ticks a bowler")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.rows_model.set_rows([Member(person, person.id in ticked) for person in people])
        self.choose(0)
        self.setFixedHeight(look().px(ROW) * max(2, min(SHOWN_ROWS, len(people))) + 2)

    def toggle(self, number: int) -> None:
        """Tick a row, or take the tick away."""
        rows = self.rows_model.rows()
        rows[number] = replace(rows[number], ticked=not rows[number].ticked)
        self.rows_model.set_rows(rows)

    def ticked(self) -> list[int]:
        """Who is ticked, in the order of the list."""
        return [one.person.id for one in self.rows_model.rows() if one.ticked]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space ticks."""
        if event.key() == Qt.Key.Key_Space and self.currentIndex().isValid():
            self.toggle(self.currentIndex().row())
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press ticks."""
        super().mousePressEvent(event)
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() is Qt.MouseButton.LeftButton:
            self.toggle(index.row())


class GroupDialog(FormDialog):
    """The form. `was` is the name of the group that is changed; empty makes a new one."""

    def __init__(
        self, shared: Shared, parent: QWidget, people: Sequence[Person], ticked: Collection[int], was: str,
        done: Done | None,
    ) -> None:  # fmt: skip
        super().__init__(f"Change {was}" if was else "A group of bowlers", shared, parent, done)
        self._was = was
        self.called = Words("Name of the group", was, "Thursday juniors", most=60)
        self.ticks = Ticks(people, ticked)
        self.rows.field("Name", self.called)
        self.rows.field("Who is in it", self.ticks)
        self.called.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it. Raises KnownError where it has no name."""
        if not self.called.words():
            raise KnownError("A group needs a name.", next_step="Write what you call them.")
        return asking.keep_group(self.called.words(), self.ticks.ticked(), self._was)


def open_group(
    shared: Shared, parent: QWidget, people: Sequence[Person], ticked: Collection[int], was: str = "",
    done: Done | None = None,
) -> GroupDialog:  # fmt: skip
    """Make a group, or change the one called `was`."""
    dialog = GroupDialog(shared, parent, people, ticked, was, done)
    dialog.open_()
    return dialog
