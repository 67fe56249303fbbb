"""One bowler who practises: what is in hand, what was read of the file, and how a shot is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from arsenal.acts.practice_views import AsSeen, ShotRow
from arsenal.desk.practice import asking
from arsenal.desk.practice.asking import Found
from arsenal.desk.practice.throw_pane import ThrowPane
from arsenal.trade.entries import Wiped

if TYPE_CHECKING:
    from arsenal.acts.practice_views import PracticeSession, TaughtRow
    from arsenal.acts.views import Changes
    from arsenal.desk.rooms import Shared
    from arsenal.trade.errors import KnownError


SLOTS = ("practice", "practice beside", "practice next", "practice plan")
"""Everything the room reads on the worker."""


class Thrower(QObject):
    """Reads a session into a pane and logs what is pressed there. `slot` keeps two of them apart on the worker."""

    read = Signal()
    """`found` is new."""
    failed = Signal(object)
    logged = Signal(object)
    """Changes: a shot was kept."""

    def __init__(self, shared: Shared, pane: ThrowPane, slot: str) -> None:
        super().__init__(pane)
        self.shared, self.pane, self._slot = shared, pane, slot
        self.found: Found | None = None
        self.bowler_id: int | None = None
        self.lane_id: int | None = None
        self.ball_id: int | None = None
        self._next_wiped: bool | None = None
        self._made: tuple[ShotRow, ...] = ()
        pane.seen.connect(self._seen)

    @property
    def session(self) -> PracticeSession | None:
        """What was read, where there is something."""
        return self.found.session if self.found else None

    def load(self) -> None:
        """Read again."""
        job = asking.look_at(self.bowler_id, self.lane_id, self.ball_id)
        failed, title = self.failed.emit, "Setting shots against paths"
        self.shared.worker.ask(self._slot, job, self._show, failed=failed, title=title, progress=True)

    def forget(self) -> None:
        """Another bowler: what waits is kept first, what is asked for is dropped."""
        self.pane.waiting.finish()
        self.shared.worker.drop(self._slot)
        self.found, self._made = None, ()

    def balls(self) -> tuple[TaughtRow, ...]:
        """Every ball of the bag."""
        return self.session.balls if self.session else ()

    def wiped(self) -> bool | None:
        """Whether the next shot’s ball is wiped before it."""
        if self.session is None or self.session.wiping is None:
            return None
        if self.session.wiping is Wiped.SOMETIMES:
            return self._next_wiped
        return self.session.wiping is Wiped.EACH

    def toggle_wiped(self) -> bool:
        """Say of the next shot that it is wiped, not wiped, or nothing. False where the sentence says it for all."""
        if self.session is None or self.session.wiping is not Wiped.SOMETIMES:
            return False
        self._next_wiped = {None: True, True: False, False: None}[self._next_wiped]
        self._show_wiped()
        return True

    def hold(self, ball_id: int) -> None:
        """Another ball in hand; a shot that still waits belongs to the ball before."""
        if ball_id != self.ball_id:
            self.pane.waiting.finish()
            self.ball_id = ball_id
            self.show_wanted()
            self.load()

    def show_wanted(self) -> None:
        """Name the ball taken in hand at once; what is on it follows."""
        row = next((row for row in self.balls() if row.ball_id == self.ball_id), None)
        hand = self.session.in_hand if self.session else None
        if row is not None and (hand is None or hand.ball.id != row.ball_id):
            self.pane.hand.show_name(row.name)

    def step(self, by: int) -> int | None:
        """The ball above or below in the bag; None at the end."""
        ids = [row.ball_id for row in self.balls()]
        at = ids.index(self.ball_id) + by if self.ball_id in ids else 0
        return ids[at] if 0 <= at < len(ids) else None

    def log(self, seen: AsSeen, *, speed_mps: float | None = None, wiped: bool | None = None) -> None:
        """Keep a shot with the ball in hand; it stands in the list at once, its forecast follows."""
        session = self.session
        held = next((row for row in self.balls() if row.ball_id == self.ball_id), None)
        if session is None or session.in_hand is None or held is None:
            return
        self._put(_row_of(seen, session, self._made or session.shots, held))
        for slot in SLOTS:
            self.shared.worker.drop(slot)  # the shot is kept before anything is reckoned on; all of it is asked again
        run = asking.log(session, held.ball_id, seen, self.wiped() if wiped is None else wiped, speed_mps)
        self._next_wiped = None
        self._show_wiped()
        self.shared.keep(run, self.logged.emit, failed=self._not_kept)

    def keep(self, run: Callable[..., Changes]) -> None:
        """Another act of this bowler."""
        self.shared.keep(run)

    def _seen(self, word: str, board: object) -> None:
        self.log(AsSeen(word, board if isinstance(board, float) else None))

    def _put(self, row: ShotRow) -> None:
        session = self.session
        if session is not None:
            self._made = (row, *(self._made or session.shots))
            self.pane.show_shots(self._made, session)

    def _not_kept(self, error: KnownError) -> None:
        self._made = ()
        if self.session is not None:
            self.pane.show_shots(self.session.shots, self.session)
        self.shared.trouble(error)
        self.load()

    def _show(self, found: Found) -> None:
        self.found, self._made = found, ()
        if found.person is not None:
            self.bowler_id = found.person.id
        if found.session is not None:
            hand = found.session.in_hand
            self.ball_id = hand.ball.id if hand is not None else None
            self._show_wiped()
        self.read.emit()

    def _show_wiped(self) -> None:
        session = self.session
        if session is None or session.wiping is not Wiped.SOMETIMES:
            self.pane.show_wiped("")
            return
        said = {True: "the next one is wiped", False: "the next one is not wiped", None: "wiped? W says"}
        self.pane.show_wiped(said[self._next_wiped])


def _row_of(seen: AsSeen, session: PracticeSession, before: tuple[ShotRow, ...], held: TaughtRow) -> ShotRow:
    """A shot just pressed, before the file has set it against its forecast."""
    hand = session.in_hand
    finish = hand.finish if hand is not None and hand.ball.id == held.ball_id else ""
    words = seen.word.split(", ") if seen.word else []
    key = next((k for k in session.keys if words and k.word == words[0]), None)
    number = max((row.number for row in before), default=0) + 1
    board = f"{seen.landing_board:g}".replace(".5", "½") if seen.landing_board is not None else ""
    return ShotRow(
        seq=0, number=number, ball_id=held.ball_id, name=held.name, expected_board=None,
        expected_low=None, expected_high=None, seen_board=seen.landing_board,
        seen_low=key.low_board if key and seen.landing_board is None else None,
        seen_high=key.high_board if key and seen.landing_board is None else None,
        seen=", ".join(part for part in (board, seen.word) if part) or "seen", expected="", outside=False, odd=False,
        kept_out="", finish=finish, wiped=None, more=("being set against its forecast",),
    )  # fmt: skip
