"""Name a group of bowlers and tick who is in it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QWidget

from arsenal.desk.coach import asking, words
from arsenal.desk.dialogs.form import Done, FormDialog, Words
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

ID = Qt.ItemDataRole.UserRole
SHOWN_ROWS = 9


class Ticks(QListWidget):
    """Everybody with a box: Space ticks."""

    def __init__(self, people: Sequence[Person], ticked: Collection[int]) -> None:
        super().__init__()
        self.setAccessibleName("Who is in it")
        self.setAccessibleDescription("Space ticks a bowler")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for person in people:
            item = QListWidgetItem(f"{person.name}, {words.hand(person)}", self)
            item.setFlags(
                Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable
            )  # fmt: skip
            item.setCheckState(Qt.CheckState.Checked if person.id in ticked else Qt.CheckState.Unchecked)
            item.setData(ID, person.id)
        self.setCurrentRow(0)
        self.setFixedHeight(look().px(26) * max(3, min(SHOWN_ROWS, len(people))))

    def ticked(self) -> list[int]:
        """Who is ticked, in the order of the list."""
        every = (self.item(number) for number in range(self.count()))
        return [item.data(ID) for item in every if item.checkState() is Qt.CheckState.Checked]


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
