"""What the room's keys, menus and sentence do: open the dialog or run the act that is meant."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from arsenal.desk.lane_side import asking
from arsenal.order.records import OrderRow

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BagCard, Changes
    from arsenal.desk.lane_side.room import LaneSideRoom


class Doing(QObject):
    """Acts of one room, by name."""

    def __init__(self, room: LaneSideRoom) -> None:
        super().__init__(room)
        self._room = room
        self._does: dict[str, Callable[[], None]] = {
            "thrown": self._thrown, "saw": self._saw, "card": self._card, "release": self._release,
            "own line": self._own_line, "best line": self._best_line, "competition": self._competition,
            "add bowler": self._add_bowler, "edit bowler": self._edit_bowler, "add lane": self._add_lane,
            "edit lane": self._edit_lane, "usual lane": self._usual_lane, "add ball": self._add_ball,
            "edit ball": self._edit_ball, "benchmark": self._benchmark, "compare": self._compare,
            "on the pair": self._on_pair, "open": lambda: self._room.shared.open_room(2),
        }  # fmt: skip

    def do(self, what: str) -> None:
        """Do it; where what it needs is not there, nothing happens."""
        self._does[what]()

    def of_ball(self, row: OrderRow) -> list[tuple[str, str]]:
        """(label, name) of what the menu of a ball offers."""
        name = row.ball.name
        offers = [("Open on the Bench", "open"), ("Compare, or no longer", "compare")]
        if not row.ball.spare and not row.benchmark:
            offers.append((f"Count boards from {name}", "benchmark"))
        return [*offers, (f"Change {name} …", "edit ball"), ("Add a ball …", "add ball")]

    def _thrown(self) -> None:
        row, seen = self._room.in_hand(), self._room.seen
        if row is not None and seen is not None:
            asking.ThrownDialog(self._room.shared, self._room, row.ball, seen.lane, None).open_()

    def _saw(self) -> None:
        row, seen = self._room.in_hand(), self._room.seen
        if row is None or seen is None or seen.side is None:
            return
        others = [r.ball for r in seen.side.order.rows if r.ball.id != row.ball.id]
        others.sort(key=lambda ball: ball.id != seen.side.order.benchmark_ball_id)  # type: ignore[union-attr]
        if others:
            asking.SawDialog(self._room.shared, self._room, row.ball, others, seen.lane, None).open_()

    def _card(self) -> None:
        seen, ball = self._room.seen, self._room.shared.ball_id
        if seen is None or seen.side is None:
            return
        side = seen.side

        def run(shop: Shop) -> BagCard:
            from arsenal.acts import cards  # noqa: PLC0415 - heavy, on the worker's thread

            return cards.bag_card(shop, side, in_hand=ball)

        def show(card: BagCard) -> None:
            from arsenal.desk.dialogs.card import open_card  # noqa: PLC0415 - when first asked for

            open_card(self._room.shared, self._room, [card])

        self._room.shared.worker.act(run, show, title="Writing the card")

    def _release(self) -> None:
        seen = self._room.seen
        if seen is not None and seen.person is not None:
            asking.ReleaseDialog(self._room.shared, self._room, seen.person, None).open_()

    def _own_line(self) -> None:
        seen = self._room.seen
        if seen is not None and seen.side is not None:
            side = seen.side
            asking.LineDialog(
                self._room.shared, self._room, side.bowler, side.lane, side.order.line, None
            ).open_()  # fmt: skip

    def _best_line(self) -> None:
        seen = self._room.seen
        if seen is not None and seen.side is not None:
            bowler, lane = seen.side.bowler.id, seen.side.lane.id
            self._room.shared.keep(lambda shop: asking.set_line(shop, bowler, lane, None))

    def _competition(self) -> None:
        from arsenal.desk.dialogs.competition import open_competition  # noqa: PLC0415 - when first asked for

        seen = self._room.seen
        if seen is not None and seen.person is not None:
            open_competition(self._room.shared, self._room, seen.person.id)

    def _add_bowler(self) -> None:
        from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first asked for

        open_bowler(self._room.shared, self._room, None, self._hold_new_bowler)

    def _hold_new_bowler(self, changes: Changes) -> None:
        if changes.changed:
            self._room.shared.hold_bowler(changes.changed[0].id)

    def _edit_bowler(self) -> None:
        from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first asked for

        seen = self._room.seen
        if seen is not None and seen.person is not None:
            open_bowler(self._room.shared, self._room, seen.person)

    def _add_lane(self) -> None:
        from arsenal.desk.dialogs.lane import open_lane  # noqa: PLC0415 - when first asked for

        open_lane(self._room.shared, self._room, None, self._hold_new_lane)

    def _hold_new_lane(self, changes: Changes) -> None:
        if changes.changed:
            self._room.shared.hold_lane(changes.changed[0].id)

    def _edit_lane(self) -> None:
        from arsenal.desk.dialogs.lane import open_lane  # noqa: PLC0415 - when first asked for

        seen = self._room.seen
        if seen is not None and seen.lane is not None:
            open_lane(self._room.shared, self._room, seen.lane)

    def _usual_lane(self) -> None:
        seen = self._room.seen
        if seen is not None and seen.person is not None and seen.lane is not None:
            bowler, lane = seen.person.id, seen.lane.id
            self._room.shared.keep(lambda shop: _usual(shop, bowler, lane))

    def _on_pair(self) -> None:
        from arsenal.desk.lane_side.on_pair import PairDialog  # noqa: PLC0415 - when first asked for

        seen, room = self._room.seen, self._room
        if seen is not None and seen.person is not None:
            person, people = seen.person, seen.people

            def show(said: tuple[int, ...]) -> None:
                PairDialog(room.shared, room, person, people, said, lambda _changes: room.load()).open_()

            room.shared.ask("on the pair", lambda shop: _on_pair(shop, person.id), show)

    def _add_ball(self) -> None:
        from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first asked for

        seen = self._room.seen
        if seen is not None and seen.person is not None:
            open_ball(self._room.shared, self._room, seen.person.id)

    def _edit_ball(self) -> None:
        from arsenal.desk.dialogs.ball import open_ball  # noqa: PLC0415 - when first asked for

        row = self._room.in_hand()
        if row is not None:
            open_ball(self._room.shared, self._room, row.ball.owner_id, row.ball)

    def _benchmark(self) -> None:
        row = self._room.in_hand()
        if row is not None:
            bowler, ball = row.ball.owner_id, row.ball.id
            self._room.shared.keep(lambda shop: _count_from(shop, bowler, ball))

    def _compare(self) -> None:
        row = self._room.in_hand()
        if row is not None:
            self._room.compare(row.ball.id)


def _usual(shop: Shop, bowler_id: int, lane_id: int) -> Changes:
    from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread

    return people.set_usual_lane(shop, bowler_id, lane_id)


def _count_from(shop: Shop, bowler_id: int, ball_id: int) -> Changes:
    from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread

    return people.set_benchmark(shop, bowler_id, ball_id)


def _on_pair(shop: Shop, bowler_id: int) -> tuple[int, ...]:
    from arsenal.acts import later  # noqa: PLC0415 - heavy, on the worker's thread

    return later.who(shop, bowler_id)
