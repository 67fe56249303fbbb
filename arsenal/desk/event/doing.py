"""What the keys and menus of the room do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QMenu

from arsenal.acts.event_views import Mark
from arsenal.desk.event import asking, rows
from arsenal.desk.parts.text import caption

if TYPE_CHECKING:
    from collections.abc import Callable

    from arsenal.acts.event_views import BallLine, PrepLine
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.event.room import EventRoom
    from arsenal.trade.errors import KnownError
    from arsenal.trade.event import Entered

BENCH = 2
PLAN = "event plan"
"""The slot the plan is asked for in."""


class Doing:
    """Holds the room; everything it does goes through the room's shared ground."""

    def __init__(self, room: EventRoom) -> None:
        self._room = room

    def _keep(self, run: Callable[[Shop], Changes]) -> None:
        """Keep something at once, whatever is being worked out; the plan is asked for again after it."""
        room = self._room
        room.shared.worker.drop(PLAN)
        room.shared.keep(run, lambda changes: None if changes.changed else room.load(), failed=self._failed)

    def _failed(self, error: KnownError) -> None:
        self._room.shared.trouble(error)
        self._room.load()

    # the bag

    def take(self, line: BallLine, settled: object = ...) -> None:
        """Tick, or set one of the three states outright."""
        plan = self._room.plan
        wanted = rows.next_settled(line) if settled is ... else settled
        if plan is not None:
            ball = line.ball_id
            self._keep(lambda shop: asking.choose(shop, plan, ball, take=wanted))

    def finish(self, ball_id: int, name: object) -> None:
        """Another finish for a ball; None is as the plan says."""
        plan = self._room.plan
        if plan is not None:
            self._keep(lambda shop: asking.choose(shop, plan, ball_id, finish=name))

    def menu(self, line: BallLine, where: QPoint) -> None:
        """The three states of a ball by name, and the ball itself."""
        menu = QMenu(self._room)
        for label, value in (
            ("as the plan says", None), ("take it, whatever the plan says", True), ("leave it at home", False)
        ):  # fmt: skip
            act = menu.addAction(label)
            act.setCheckable(True)
            act.setChecked(line.settled is value)
            act.triggered.connect(lambda _=False, v=value: self.take(line, v))
        menu.addSeparator()
        menu.addAction(caption(f"{line.name} on the Bench")).triggered.connect(lambda: self.open_ball(line))
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(where)

    def open_ball(self, line: BallLine) -> None:
        """The ball on the Bench."""
        self._room.shared.hold_ball(line.ball_id)
        self._room.shared.open_room(BENCH)

    # the prep sheet

    def tick(self, line: PrepLine) -> None:
        """Done, or not after all; a job that is done is written to the log."""
        plan = self._room.plan
        if plan is None or not line.can_tick:
            return
        key, done = line.key, line.mark is not Mark.DONE
        self._keep(lambda shop: asking.tick(shop, plan, key, done=done))

    def print_sheet(self) -> None:
        """Prep and registration sheet, to see, print or keep."""
        from arsenal.desk.event.preview import open_sheets  # noqa: PLC0415 - when first asked for

        if self._room.plan is not None:
            open_sheets(self._room.shared, self._room, self._room.plan)

    def cards(self) -> None:
        """A card for each stage."""
        from arsenal.desk.event.preview import open_cards  # noqa: PLC0415 - when first asked for

        if self._room.plan is not None:
            open_cards(self._room.shared, self._room, self._room.plan)

    def calendar(self) -> None:
        """The deadlines as a calendar file."""
        from arsenal.desk.event.calendar_file import save_calendar  # noqa: PLC0415 - when first asked for

        if self._room.plan is not None:
            save_calendar(self._room.shared, self._room, self._room.plan)

    # at the lanes

    def log_block(self) -> None:
        """Ask for the shots of each ball taken, then log them together."""
        from arsenal.desk.event.block import open_block  # noqa: PLC0415 - when first asked for

        plan = self._room.plan
        if plan is not None:
            open_block(self._room.shared, self._room, plan, self._room.lanes.block_number)

    def clean_used(self) -> None:
        """Every ball used was cleaned."""
        plan = self._room.plan
        if plan is not None:
            self._keep(lambda shop: asking.clean_used(shop, plan))

    # the sentence

    def pick_event(self, event_id: object) -> None:
        """Another event."""
        if isinstance(event_id, int):
            self._room.hold_event(event_id)

    def pick_bowler(self, bowler_id: object) -> None:
        """Another bowler."""
        if isinstance(bowler_id, int):
            self._room.shared.hold_bowler(bowler_id)
            self._room.load()

    def pick_lanes(self, ids: object) -> None:
        """Other conditions; none is unknown."""
        self._change(lane_ids=ids)

    def pick_allowed(self, number: object) -> None:
        """Another number of balls."""
        self._change(balls_allowed=number)

    def _change(self, **fields: object) -> None:
        found = self._room.found
        event = found.event if found else None
        if event is not None:
            self._keep(lambda shop: asking.change_event(shop, event, **fields))

    def ask(self, what: str) -> None:
        """Entries of the sentence's menus."""
        if what == "add lane":
            from arsenal.desk.dialogs.lane import open_lane  # noqa: PLC0415 - when first asked for

            open_lane(self._room.shared, self._room, None, self._add_lane)
        elif what == "remove":
            self._remove()
        else:
            self._open_event(new=what == "new")

    def _add_lane(self, changes: Changes) -> None:
        found = self._room.found
        if found is not None and found.event is not None and changes.changed:
            self.pick_lanes((*found.event.lane_ids, changes.changed[0].id))

    def _remove(self) -> None:
        found = self._room.found
        event = found.event if found else None
        if event is not None:
            self._keep(lambda shop: asking.remove_event(shop, event.id))

    def _open_event(self, *, new: bool) -> None:
        from arsenal.desk.event.dialog import open_event  # noqa: PLC0415 - when first asked for

        found, room = self._room.found, self._room
        if found is None or found.person is None:
            return
        event, person = (None if new else found.event), found.person

        def show(entered: Entered | None) -> None:
            open_event(room.shared, room, found, event, entered, self._event_kept)

        if event is None:
            show(None)
        else:
            event_id = event.id
            room.shared.ask("entered", lambda shop: asking.entered(shop, event_id, person.id), show)

    def _event_kept(self, changes: Changes) -> None:
        made = next((c.id for c in changes.changed if c.what == "event"), None)
        if made is not None:
            self._room.hold_event(made)

    def first(self) -> None:
        """The one action of an empty room."""
        found, room = self._room.found, self._room
        kind = found.missing.kind if found is not None and found.missing else ""
        person = found.person if found else None
        if kind in ("event", "enter"):
            self._open_event(new=kind == "event")
        elif kind == "bowler":
            from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first asked for

            open_bowler(room.shared, room, None, self._hold_bowler)
        elif kind == "throw" and person is not None:
            from arsenal.desk.lane_side.asking import ReleaseDialog  # noqa: PLC0415 - when first asked for

            ReleaseDialog(room.shared, room, person, None).open_()
        elif kind == "balls" and person is not None:
            from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first asked for

            open_ball(room.shared, room, person.id)
        elif found is not None and found.event is not None and person is not None and found.by_hand:
            event_id, bowler_id = found.event.id, person.id
            self._keep(lambda shop: asking.let_go(shop, event_id, bowler_id))
        else:
            room.load()

    def _hold_bowler(self, changes: Changes) -> None:
        if changes.changed:
            self._room.shared.hold_bowler(changes.changed[0].id)
            self._room.load()
