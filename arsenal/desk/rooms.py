"""What a room is, and what all rooms share: the worker, the settings, and the bowler, lane and ball in hand.

A room's package has a module `room` with `make(shared) -> Room`; the desk shows the rooms whose module is there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from arsenal.acts.settings import Settings
from arsenal.desk.worker import Worker, alive
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Hit

TURN_MS = 1
"""Work that is put off by this long comes after keys and paints; put off by 0, it is done before them."""


class Shared(QObject):
    """The desk's common ground. Rooms read and set what is in hand here, and tell and hear changes here."""

    bowler_changed = Signal(object)
    lane_changed = Signal(object)
    ball_changed = Signal(object)
    """Another bowler, lane condition or ball in hand: the id or None."""
    kept = Signal(object)
    """An act changed something: Changes. Every room's `refresh` is called too."""
    said = Signal(str)
    """A sentence for the last-act line that changes nothing."""
    troubled = Signal(object)
    """A KnownError for the last-act line."""
    wanted = Signal(int)
    """Digit of a room to open."""

    def __init__(self, worker: Worker, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.worker, self.settings = worker, settings
        self.bowler_id: int | None = settings.last_bowler_id
        self.lane_id: int | None = settings.last_lane_id
        """None is the bowler's usual condition."""
        self.ball_id: int | None = settings.last_ball_id
        self.path = Path()
        self.file_name = ""

    def hold_bowler(self, bowler_id: int | None) -> None:
        """Another bowler is in hand; lane and ball are forgotten with the old one."""
        if bowler_id != self.bowler_id:
            self.bowler_id, self.ball_id, self.lane_id = bowler_id, None, None
            self.bowler_changed.emit(bowler_id)

    def hold_lane(self, lane_id: int | None) -> None:
        """Another condition."""
        if lane_id != self.lane_id:
            self.lane_id = lane_id
            self.lane_changed.emit(lane_id)

    def hold_ball(self, ball_id: int | None) -> None:
        """Another ball is in hand."""
        if ball_id != self.ball_id:
            self.ball_id = ball_id
            self.ball_changed.emit(ball_id)

    def keep(
        self,
        run: Callable[..., Changes],
        done: Callable[[Changes], None] | None = None,
        *,
        failed: Callable[[KnownError], None] | None = None,
        title: str = "Keeping it",
        progress: bool = False,
    ) -> None:
        """Run an act on the worker; its sentence goes to the last-act line and every room refreshes. With `progress`
        it is given (shop, progress) and may be stopped on the way.
        """

        def arrived(changes: Changes) -> None:
            self.kept.emit(changes)
            if done is not None and alive(done):
                done(changes)

        self.worker.act(run, arrived, failed=failed, title=title, progress=progress)

    def ask(
        self,
        slot: str,
        run: Callable[[Shop], Any],
        done: Callable[[Any], None],
        *,
        failed: Callable[[KnownError], None] | None = None,
        first: bool = False,
    ) -> None:
        """Read on the worker; see Worker.ask."""
        self.worker.ask(slot, run, done, failed=failed, first=first)

    def say(self, sentence: str) -> None:
        """Show a sentence in the last-act line."""
        self.said.emit(sentence)

    def trouble(self, error: KnownError) -> None:
        """Show a known error in the last-act line, in `bad`."""
        self.troubled.emit(error)

    def open_room(self, digit: int) -> None:
        """Go to a room, where it exists."""
        self.wanted.emit(digit)


class Room(QWidget):
    """A room of the desk. Letters: give a KeyButton its key and it is heard while no field has the focus."""

    name = ""
    digit = 0
    grown = Signal()
    """More of the room was made after it was given to the window: its tab stops have to be put in order again."""

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shared = shared

    def sentence_bar(self) -> QWidget | None:
        """The 46 px bar above the room, made once; None where the room starts at the top (Bench)."""
        return None

    def enter(self) -> None:
        """The room comes to the front: take up what is in hand and ask for what it shows."""

    def leave(self) -> None:
        """Another room comes to the front."""

    def refresh(self, changes: Changes) -> None:
        """Something was kept while this room is in front (`enter` is called later otherwise)."""

    def panes(self) -> Sequence[QWidget]:
        """Where F6 stops, left to right; each can take the focus."""
        return ()

    def holds_digits(self) -> bool:
        """True while the room itself waits for digits."""
        return False

    def button_scope(self, *, shifted: bool) -> QWidget:
        """Within what the button of a letter is looked for; `shifted` where the letter came with Shift."""
        return self

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """What keys do here beyond the buttons, for F1."""
        return ()

    def letter(self, key: str) -> bool:
        """A letter or sign no button of the room answers to (“/” on the Bench). True where the room used it."""
        return False

    def forget(self) -> bool:
        """Undo where something waits that is not kept yet. True where the room had such a thing, and forgot it."""
        return False

    def take_hit(self, hit: Hit) -> bool:
        """Something found with the window’s line while this room is in front. True where the room shows it itself."""
        return False

    def whose(self) -> int | None:
        """Who is served while this room is in front: the likely owner of a ball whose code nobody knows."""
        return self.shared.bowler_id

    def burst(self, text: str) -> bool:
        """Signs that came faster than a hand types, mostly a scan. True where the room takes them for itself."""
        return False
