"""What the room’s keys, menus and sentence do: open the dialog or run the act that is meant."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu

from arsenal.desk import file_dialogs
from arsenal.desk.parts.text import caption
from arsenal.desk.practice import asking

if TYPE_CHECKING:
    from arsenal.acts.practice_views import NextView, ShotRow
    from arsenal.acts.views import Changes
    from arsenal.desk.practice.room import PracticeRoom
    from arsenal.desk.practice.thrower import Thrower
    from arsenal.trade.pads import Recipe

# ruff: noqa: PLC0415 - dialogs are loaded when first wanted


class Doing(QObject):
    """Acts of one room, by name, each for one of two bowlers."""

    def __init__(self, room: PracticeRoom) -> None:
        super().__init__(room)
        self._room, self.shared = room, room.shared
        self._does: dict[str, Callable[[Thrower], None]] = {
            "more": self._more, "pair": self._pair, "sand": self._sand, "lines": self._lines, "line": self._line,
            "best line": self._best_line, "pair words": self._pair_words, "no pair": self._no_pair,
            "competition": self._competition, "add bowler": self._add_bowler, "edit bowler": self._edit_bowler,
            "release": self._release, "add lane": self._add_lane, "edit lane": self._edit_lane,
            "add ball": self._add_ball,
        }  # fmt: skip

    def do(self, what: str, thrower: Thrower) -> None:
        """Do it; where what it needs is not there, nothing happens."""
        self._does[what](thrower)

    def of_shot(self, row: ShotRow) -> list[tuple[str, Callable[[], object]]]:
        """(label, call) of what may be done to a shot."""
        if not row.seq:
            return []
        return [
            ("Take this shot back", lambda: self.shared.keep(asking.take_back(row.seq))),
            ("Its ball on the Bench", lambda: self._open(row.ball_id)),
            (f"The history of {row.name} …", lambda: self._history(row.ball_id)),
        ]

    def show_menu(self, where: QPoint, thrower: Thrower) -> None:
        """What may be done to the shot chosen."""
        row = thrower.pane.shots.in_hand()
        if row is None:
            return
        menu = QMenu(self._room)
        for label, call in self.of_shot(row):
            menu.addAction(caption(label)).triggered.connect(lambda _=False, c=call: c())
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(where)

    def why(self, one: NextView) -> None:
        """Why a shot is worth throwing."""
        from arsenal.desk.practice.small_dialogs import Why

        Why.open_why(self._room.window(), one)

    def work(self, ball_id: int, recipe: Recipe) -> None:
        """The work a test asks for, in words, to be logged once it is done."""
        from arsenal.trade.pads import label

        self._work(self._room.thrower, ball_id, label(recipe.steps))

    def wiping(self, wiping: object, thrower: Thrower) -> None:
        """Say how the ball is wiped."""
        if thrower.session is not None:
            self.shared.keep(asking.set_wiping(thrower.session, wiping))

    def number(self) -> None:
        """Ask for how long the plan shall be."""
        from arsenal.desk.practice.small_dialogs import HowLong

        HowLong(self._room.window(), self._room.side.length, self._room.side.set_length).open_()

    def export(self, kind: str) -> None:
        """Write shots and what they taught to a file."""
        session = self._room.thrower.session
        if session is None:
            return
        window = self._room.window()
        suggested = Path.home() / f"practice-{session.day.isoformat()}.{kind}"
        if kind == "csv":
            name = file_dialogs.folder(window, "Write practice tables to a folder", str(Path.home()))
        else:
            name = file_dialogs.save_file(window, "Write practice as JSON", str(suggested), "JSON (*.json)")
        if name:
            self.write(Path(name), kind)

    def write(self, path: Path, kind: str) -> None:
        """Write there and say so."""
        session = self._room.thrower.session
        if session is not None:
            self.shared.worker.act(asking.export(session, path, kind), self._written, title="Writing practice",
                                   failed=self.shared.trouble)  # fmt: skip

    def _written(self, written: tuple[Path, ...]) -> None:
        what = written[0] if len(written) == 1 else f"{len(written)} files to {written[0].parent}"
        self.shared.say(f"Wrote {what}" if written else "There is no practice shot to write yet")

    def _more(self, thrower: Thrower) -> None:
        from arsenal.desk.practice.more_dialog import MoreDialog

        session = thrower.session
        if session is not None and session.in_hand is not None:
            half = thrower.pane.waiting.drop()
            MoreDialog(self.shared, self._room.window(), session, half, thrower.wiped()).open_()

    def _pair(self, thrower: Thrower) -> None:
        from arsenal.desk.practice.more_dialog import PairDialog

        session = thrower.session
        if session is not None and session.in_hand is not None and len(session.balls) > 1:
            held = session.in_hand.ball.id
            before = next((row.ball_id for row in session.shots if row.ball_id != held and row.number), None)
            PairDialog(self.shared, self._room.window(), session, before).open_()

    def _sand(self, thrower: Thrower) -> None:
        hand = thrower.session.in_hand if thrower.session else None
        if hand is not None:
            thrower.pane.waiting.finish()
            self._work(thrower, hand.ball.id, "")

    def _work(self, thrower: Thrower, ball_id: int, line: str) -> None:
        from arsenal.desk.practice.small_dialogs import WorkDialog

        session = thrower.session
        if session is None:
            return
        rule = "" if session.rule.pads_allowed else f"{session.rule.sentence.capitalize()}."

        def show(ball: object) -> None:
            offers = (f"{ball.nickname or ball.name} {line}",) if line else ()  # type: ignore[attr-defined]
            WorkDialog(self.shared, self._room.window(), ball, rule, offers).open_()  # type: ignore[arg-type]

        self.shared.ask("practice work ball", lambda shop: shop.ball(ball_id), show)

    def _lines(self, thrower: Thrower) -> None:
        from arsenal.desk.practice.lines_dialog import LinesDialog

        if thrower.session is not None:
            thrower.pane.waiting.finish()
            LinesDialog(self.shared, self._room.window(), thrower.session, self.sensor).open_()

    def sensor(self) -> None:
        """Read a sensor’s table."""
        from arsenal.desk.practice.sensor_dialog import open_sensor

        open_sensor(self.shared, self._room.window())

    def _line(self, thrower: Thrower) -> None:
        from arsenal.desk.practice.small_dialogs import LineOfSession

        if thrower.session is not None:
            LineOfSession(self.shared, self._room.window(), thrower.session).open_()

    def _best_line(self, thrower: Thrower) -> None:
        if thrower.session is not None:
            self.shared.keep(asking.set_line(thrower.session, None))

    def _pair_words(self, thrower: Thrower) -> None:
        from arsenal.desk.practice.small_dialogs import PairWords

        if thrower.session is not None:
            PairWords(self.shared, self._room.window(), thrower.session).open_()

    def _no_pair(self, thrower: Thrower) -> None:
        if thrower.session is not None:
            self.shared.keep(asking.set_pair(thrower.session, ""))

    def _competition(self, thrower: Thrower) -> None:
        from arsenal.desk.dialogs.competition import open_competition

        if thrower.bowler_id is not None:
            open_competition(self.shared, self._room, thrower.bowler_id)

    def _add_bowler(self, _thrower: Thrower) -> None:
        from arsenal.desk.dialogs.bowler import open_bowler

        open_bowler(self.shared, self._room, None, self._hold_bowler)

    def _hold_bowler(self, changes: Changes) -> None:
        if changes.changed:
            self.shared.hold_bowler(changes.changed[0].id)

    def _edit_bowler(self, thrower: Thrower) -> None:
        from arsenal.desk.dialogs.bowler import open_bowler

        if thrower.found is not None and thrower.found.person is not None:
            open_bowler(self.shared, self._room, thrower.found.person)

    def _release(self, thrower: Thrower) -> None:
        from arsenal.desk.lane_side.asking import ReleaseDialog

        if thrower.found is not None and thrower.found.person is not None:
            ReleaseDialog(self.shared, self._room, thrower.found.person, None).open_()

    def _add_lane(self, _thrower: Thrower) -> None:
        from arsenal.desk.dialogs.lane import open_lane

        open_lane(self.shared, self._room, None, self._hold_lane)

    def _hold_lane(self, changes: Changes) -> None:
        if changes.changed:
            self.shared.hold_lane(changes.changed[0].id)

    def _edit_lane(self, thrower: Thrower) -> None:
        from arsenal.desk.dialogs.lane import open_lane

        if thrower.found is not None and thrower.found.lane is not None:
            open_lane(self.shared, self._room, thrower.found.lane)

    def _add_ball(self, thrower: Thrower) -> None:
        from arsenal.desk.dialogs.ball import open_ball

        if thrower.bowler_id is not None:
            open_ball(self.shared, self._room, thrower.bowler_id)

    def _open(self, ball_id: int) -> None:
        self.shared.hold_ball(ball_id)
        self.shared.open_room(2)

    def _history(self, ball_id: int) -> None:
        from arsenal.desk.bench.dialogs import history

        history(self.shared, self._room.window(), ball_id)
