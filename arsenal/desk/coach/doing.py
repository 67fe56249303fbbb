"""What the keys and menus of the coach's view do: log, take in hand, print, groups."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu

from arsenal.desk.coach import asking
from arsenal.desk.parts.text import caption
from arsenal.trade.entries import Seen

if TYPE_CHECKING:
    from arsenal.acts.views import BagCard, Changes
    from arsenal.desk.coach.room import CoachRoom


class Doing(QObject):
    """Acts of the room."""

    def __init__(self, room: CoachRoom) -> None:
        super().__init__(room)
        self._room = room
        self._does = {
            "new group": self._new_group, "change group": self._change_group, "drop group": self._drop_group,
            "add lane": self._add_lane, "edit lane": self._edit_lane, "add bowler": self._add_bowler,
        }  # fmt: skip

    def do(self, what: str) -> None:
        """Do it; where what it needs is not there, nothing happens."""
        self._does[what]()

    def first(self) -> None:
        """What an empty view wants first: a bowler, else a condition."""
        frame = self._room.frame
        self.do("add lane" if frame is not None and frame.bowlers else "add bowler")

    def saw(self, bowler_id: int, seen: Seen) -> None:
        """Log a shot with the ball in hand."""
        line, lane = self._room.line(bowler_id), self._room.lane_id()
        if line is not None and line.row is not None and line.row.hand is not None and lane is not None:
            self._room.shared.keep(asking.saw(bowler_id, seen, line.row.hand.ball.id, lane))

    def all_threw(self) -> None:
        """Log the games of the ticked."""
        hands, lane, foot = self._room.ticked_hands(), self._room.lane_id(), self._room.foot
        if hands and lane is not None:
            run = asking.all_threw(hands, foot.games, foot.wiped, cleaned=foot.cleaned, lane_id=lane)
            self._room.shared.keep(run)

    def ball_down(self) -> None:
        """Take the next weaker ball of the chosen bowler in hand."""
        line = self._room.chosen()
        if line is not None and line.row is not None and line.row.down is not None:
            self._room.take_in_hand(line.bowler.id, line.row.down.ball.id)

    def cards(self) -> None:
        """Write one bag card a bowler and show them."""
        lane = self._room.lane_id()
        lines = [line for line in self._room.lines() if line.ready]
        if lane is None or not lines:
            return
        hands = {line.bowler.id: line.row.hand.ball.id for line in lines if line.row and line.row.hand}

        def show(made: tuple[BagCard, ...]) -> None:
            from arsenal.desk.dialogs.card import open_card  # noqa: PLC0415 - when first asked for

            open_card(self._room.shared, self._room, made)

        run = asking.bag_cards(tuple(hands), lane, hands)
        self._room.shared.worker.act(run, show, title="Writing the cards", progress=True)

    def menu(self, where: QPoint) -> None:
        """Of the chosen row: its own Lane-side, another ball in hand, left out or not."""
        line = self._room.chosen()
        if line is None:
            return
        menu = QMenu(self._room)
        own = menu.addAction(caption(f"{line.bowler.name} alone"))
        own.triggered.connect(lambda: self._room.alone_wanted.emit(line.bowler.id))
        tick = menu.addAction("Leave out of “All threw”" if line.ticked else "Tick again")
        tick.triggered.connect(lambda: self._room.toggle(line.bowler.id))
        row = line.row
        if row is not None and row.side is not None:
            menu.addSeparator()
            for one in row.side.order.rows:
                act = menu.addAction(caption(f"{one.ball.name} in hand"))
                act.setCheckable(True)
                act.setChecked(row.hand is not None and one.ball.id == row.hand.ball.id)
                act.triggered.connect(lambda _=False, b=one.ball.id: self._room.take_in_hand(line.bowler.id, b))
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(where)

    def _new_group(self) -> None:
        from arsenal.desk.coach.groups import open_group  # noqa: PLC0415 - when first asked for

        frame = self._room.frame
        if frame is not None:
            ticked = [line.bowler.id for line in self._room.lines() if line.ticked]
            open_group(self._room.shared, self._room, frame.everybody, ticked, done=self._show_newest)

    def _change_group(self) -> None:
        from arsenal.desk.coach.groups import open_group  # noqa: PLC0415 - when first asked for

        frame = self._room.frame
        if frame is not None and frame.group is not None:
            group = frame.group
            open_group(
                self._room.shared, self._room, frame.everybody, group.bowler_ids, group.name, self._show_newest
            )  # fmt: skip

    def _show_newest(self, changes: Changes) -> None:
        """The group just named comes to the front; its sentence begins with the name."""
        if changes.changed:
            self._room.show_group(changes.sentence.rpartition(":")[0])

    def _drop_group(self) -> None:
        frame = self._room.frame
        if frame is not None and frame.group is not None:
            name = frame.group.name
            self._room.shared.keep(asking.drop_group(name), lambda _changes: self._room.show_group(""))

    def _add_bowler(self) -> None:
        from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first asked for

        open_bowler(self._room.shared, self._room, None)

    def _add_lane(self) -> None:
        from arsenal.desk.dialogs.lane import open_lane  # noqa: PLC0415 - when first asked for

        open_lane(self._room.shared, self._room, None, self._hold_new_lane)

    def _hold_new_lane(self, changes: Changes) -> None:
        if changes.changed:
            self._room.hold_lane(changes.changed[0].id)

    def _edit_lane(self) -> None:
        from arsenal.desk.dialogs.lane import open_lane  # noqa: PLC0415 - when first asked for

        frame = self._room.frame
        if frame is not None and frame.lane is not None:
            open_lane(self._room.shared, self._room, frame.lane)
