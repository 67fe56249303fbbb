"""Lane-side as one bowler or as a coach sees it: one room, two views, and the bar of the view in front."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedLayout, QWidget

from arsenal.desk.coach.kept import VIEW
from arsenal.desk.coach.room import CoachRoom
from arsenal.desk.lane_side.room import LaneSideRoom
from arsenal.desk.parts.bars import Bars
from arsenal.desk.rooms import Room, Shared

if TYPE_CHECKING:
    from arsenal.acts.views import Changes

COACH, BOWLER = "coach", "bowler"


class FrontRoom(Room):
    """Room 1. What the desk asks of it, it asks of the view in front."""

    name, digit = "Lane-side", 1

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self.alone, self.coach = LaneSideRoom(shared), CoachRoom(shared)
        self._views: tuple[Room, ...] = (self.alone, self.coach)
        self._stack = QStackedLayout(self)
        for view in self._views:
            self._stack.addWidget(view)
        self.bars = Bars([view.sentence_bar() or QWidget() for view in self._views])
        self._front = False
        self._put(shared.settings.kept.get(VIEW) == COACH)
        for word in (self.alone.bar.seen_as, self.coach.bar.seen_as):
            word.picked.connect(self.see_as)
        self.coach.alone_wanted.connect(self.see_alone)
        shared.bowler_changed.connect(self._bowler_changed)

    def view(self) -> Room:
        """The view in front."""
        return self._views[self._stack.currentIndex()]

    def _put(self, coach: bool) -> None:
        self._stack.setCurrentIndex(1 if coach else 0)
        self.bars.show_bar(1 if coach else 0)

    def see_as(self, whom: object) -> None:
        """As a bowler or as a coach; the word just used keeps the focus."""
        coach = whom == COACH
        if coach == (self.view() is self.coach):
            return
        self.shared.settings.kept[VIEW] = COACH if coach else BOWLER
        self.view().leave()
        self._put(coach)
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
        if self.view() is not self.coach or self.coach.holding:
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
