"""Lane-side as one bowler or as a coach sees it: one room, two views, and the bar of the view in front."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QStackedLayout, QWidget

from arsenal.desk.coach.kept import VIEW
from arsenal.desk.coach.room import CoachRoom
from arsenal.desk.lane_side.room import LaneSideRoom
from arsenal.desk.parts.bars import Bars
from arsenal.desk.rooms import Room, Shared

if TYPE_CHECKING:
    from arsenal.acts.views import Changes

COACH, BOWLER = "coach", "bowler"
LATER_MS = 400
"""The view behind is made after the rooms and the first order, unless it is wanted sooner."""


class FrontRoom(Room):
    """Room 1. What the desk asks of it, it asks of the view in front."""

    name, digit = "Lane-side", 1

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self._stack = QStackedLayout(self)
        self._alone: LaneSideRoom | None = None
        self._coach: CoachRoom | None = None
        first = self.coach if shared.settings.kept.get(VIEW) == COACH else self.alone
        self.bars = Bars([first.sentence_bar() or QWidget()])
        self._front = False
        shared.bowler_changed.connect(self._bowler_changed)
        QTimer.singleShot(LATER_MS, self, self._make_other)

    @property
    def alone(self) -> LaneSideRoom:
        """As a bowler sees it; made when first needed."""
        if self._alone is None:
            self._alone = LaneSideRoom(self.shared)
            self._alone.bar.seen_as.picked.connect(self.see_as)
            self._take(self._alone)
        return self._alone

    @property
    def coach(self) -> CoachRoom:
        """As a coach sees it; made when first needed."""
        if self._coach is None:
            self._coach = CoachRoom(self.shared)
            self._coach.bar.seen_as.picked.connect(self.see_as)
            self._coach.alone_wanted.connect(self.see_alone)
            self._take(self._coach)
        return self._coach

    def _take(self, view: Room) -> None:
        self._stack.addWidget(view)
        if self._stack.count() > 1:
            self.bars.add(view.sentence_bar() or QWidget())
            self.grown.emit()

    def _make_other(self) -> None:
        """The view behind, so that it is there at once when it is wanted."""
        _ = self.alone, self.coach

    def view(self) -> Room:
        """The view in front."""
        front = self._stack.currentWidget()
        return self.coach if front is self._coach else self.alone

    def _put(self, view: Room) -> None:
        self._stack.setCurrentWidget(view)
        self.bars.show_bar(self._stack.currentIndex())

    def see_as(self, whom: object) -> None:
        """As a bowler or as a coach; the word just used keeps the focus."""
        coach = whom == COACH
        if coach == (self.view() is self._coach):
            return
        self.shared.settings.kept[VIEW] = COACH if coach else BOWLER
        self.view().leave()
        self._put(self.coach if coach else self.alone)
        if self._front:
            self.view().enter()
            self.view().panes()[1].setFocus(Qt.FocusReason.OtherFocusReason)

    def see_alone(self, bowler_id: int) -> None:
        """One bowler's own view, with what the row had in hand."""
        line = self.coach.line(bowler_id)
        if line is not None:
            self.coach.hold(line)
        self.see_as(BOWLER)

    def _bowler_changed(self, bowler_id: object) -> None:
        """Somebody looked for who has no row here is shown alone."""
        if self.view() is not self._coach or self.coach.holding:
            return
        if isinstance(bowler_id, int) and self.coach.line(bowler_id) is not None:
            self.coach.choose(bowler_id)
        elif self.coach.frame is not None:
            self.see_as(BOWLER)

    # what a room is

    def sentence_bar(self) -> QWidget:
        """Of the view in front."""
        return self.bars

    def enter(self) -> None:
        """The room comes to the front."""
        self._front = True
        self.view().enter()

    def leave(self) -> None:
        """Another room comes to the front."""
        self._front = False
        self.view().leave()

    def refresh(self, changes: Changes) -> None:
        """Something was kept."""
        self.view().refresh(changes)

    def panes(self) -> Sequence[QWidget]:
        """Where F6 stops."""
        return self.view().panes()

    def holds_digits(self) -> bool:
        """As the view in front."""
        return self.view().holds_digits()

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """As the view in front."""
        return self.view().keys_help()

    def letter(self, key: str) -> bool:
        """As the view in front."""
        return self.view().letter(key)


def make(shared: Shared) -> FrontRoom:
    """The room, as the desk asks for it."""
    return FrontRoom(shared)
