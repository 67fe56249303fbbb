"""Everything that can be seen of one shot; nothing of it is needed but one thing."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from arsenal.acts.practice_views import AsSeen, PracticeSession
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.practice import asking
from arsenal.desk.practice.pins import Pins
from arsenal.desk.practice.shot_keys import LETTERS, SHOWN
from arsenal.desk.practice.waiting import Half
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.entries import Wiped
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import LIMITS, Limit

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

WORDS = (("not said", ""), *((SHOWN.get(word, word), word) for word in LETTERS))
REACTION = ("long", "light", "flush", "high", "over")
STOOD_UP = (("no", ""), ("quit: rolled out, no hit", "rolled out"), ("hung: turned, then stood up", "hung"))
TARGET = (("not said", None), ("on it", 0), ("missed left", -1), ("missed right", 1))
WIPED = (("not said", None), ("yes", True), ("no", False))
OFF = Limit("boards", 0.5, 20, "boards")
SEEN_ON = LIMITS["board seen"]
"""Wider than a lane: what cannot be is kept as it was seen, named, and not learned from."""


class Beside(QWidget):
    """Fields in one row, each after its word."""

    def __init__(self, *fields: tuple[str, QWidget]) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(look().px(12))
        for word, field in fields:
            if word:
                label = Plain(word, token="ink2")
                label.setFixedHeight(look().px(34))
                row.addWidget(label, 0, Qt.AlignmentFlag.AlignTop)
            row.addWidget(field, 0, Qt.AlignmentFlag.AlignTop)
        row.addStretch(1)
        self.setFocusProxy(fields[0][1])


class MoreDialog(FormDialog):
    """One shot in full. `half` is a shot begun by a key, whose word and board are taken over."""

    def __init__(
        self, shared: Shared, parent: QWidget, session: PracticeSession, half: Half | None, wiped: bool | None,
        done: Done | None = None,
    ) -> None:  # fmt: skip
        hand = session.in_hand
        assert hand is not None  # noqa: S101 - opened with a ball in hand only
        super().__init__(f"One shot with {hand.ball.name}", shared, parent, done, keep="Log it", width=560)
        self._session, self._ball = session, hand.ball.id
        word = half.word if half is not None else ""
        self.word = Choice("What it did", [w for w in WORDS if w[1] in ("", *REACTION)],
                           word if word in REACTION else "")  # fmt: skip
        self.stood = Choice("Gave up before the pins", STOOD_UP, word if word in ("rolled out", "hung") else "")
        self.landing = NumberField(SEEN_ON, half.board if half else None, digits=1, name="board at the pins")
        self.first_read = NumberField(LIMITS["seen at"], digits=1, name="first read")
        self.breakpoint = NumberField(LIMITS["seen at"], digits=1, name="breakpoint")
        self.breakpoint_board = NumberField(SEEN_ON, digits=1, name="board at the breakpoint")
        self.arrows = NumberField(SEEN_ON, digits=1, name="board at the arrows")
        self.target = Choice("Target at the arrows", TARGET, None)
        self.off = NumberField(OFF, digits=1, name="missed the target by")
        self.pins = Pins()
        said = session.wiping in (Wiped.EACH, Wiped.NEVER)  # then a shot is wiped or not, never “not said”
        self.wiped = Choice("Ball wiped before it", WIPED[1:] if said else WIPED, wiped)
        self.speed = Measured("speed", shared.settings.units, name="speed off the hand")
        self._by = Beside(("by", self.off))
        for label, field in (
            ("It was", Beside(("", self.word), ("gave up", self.stood))), ("Ended at board", self.landing),
            ("Read at", self.first_read),
            ("Broke at", Beside(("", self.breakpoint), ("on board", self.breakpoint_board))),
            ("Arrows, board", self.arrows), ("Target", Beside(("", self.target), ("", self._by))),
            ("Pins left", self.pins), ("Wiped", self.wiped), ("Speed", self.speed),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.body.addWidget(Plain(
            "Leave empty what nobody saw. Pins are kept as seen; nothing is read into them.", px=13, token="ink2",
            wrap=True,
        ))  # fmt: skip
        self.target.picked.connect(lambda _value: self._show_off())
        self._show_off()
        self.landing.setFocus()

    def _show_off(self) -> None:
        missed = bool(self.target.value)
        self._by.setVisible(missed)

    def seen(self) -> AsSeen:
        """What the fields say. Raises KnownError where they say nothing."""
        words = ", ".join(word for word in (self.word.value, self.stood.value) if word)
        seen = AsSeen(
            words, self.landing.value(), self.first_read.value(), self.breakpoint.value(),
            self.breakpoint_board.value(), self.arrows.value(), self._missed(), self.pins.pins(),
        )  # fmt: skip
        if not seen.says_something:
            raise KnownError("Nothing was seen of this shot.", next_step="One word or one number is enough.")
        return seen

    def _missed(self) -> float | None:
        """Toward the hook side positive; the bowler says left and right."""
        way = self.target.value
        if not way:
            return None if way is None else 0.0
        if self.off.value() is None:
            raise KnownError("By how many boards was the target missed?", next_step="Half a board is enough.")
        toward_hook = -1.0 if self._session.bowler.hooks_to_left else 1.0
        return (self.off.value() or 0.0) * float(way) * toward_hook

    def act(self) -> Callable[[Shop], Changes]:
        """Log it."""
        return asking.log(self._session, self._ball, self.seen(), self.wiped.value, self.speed.si())


class PairDialog(FormDialog):
    """“Quarry Song ended 3 boards stronger than Paper Moth”, thrown back to back."""

    def __init__(
        self, shared: Shared, parent: QWidget, session: PracticeSession, other_id: int | None = None,
        done: Done | None = None,
    ) -> None:  # fmt: skip
        hand = session.in_hand
        assert hand is not None  # noqa: S101 - opened with a ball in hand only
        super().__init__(f"{hand.ball.name} and another, back to back", shared, parent, done, keep="Log it")
        self._session, self._ball = session, hand.ball.id
        others = [(row.name, row.ball_id) for row in session.balls if row.ball_id != hand.ball.id]
        known = [ball for _, ball in others]
        self.boards = NumberField(
            Limit("boards", 0.0, LIMITS["boards"].high, "boards"), digits=1, required=True, name="boards"
        )  # fmt: skip
        self.way = Choice("Stronger or weaker", (("stronger than", 1.0), ("weaker than", -1.0)), 1.0)
        self.other = Choice("Than which ball", others, other_id if other_id in known else known[0])
        self.rows.field("Boards at the pins", self.boards)
        self.rows.field(f"{hand.ball.name} ended", self.way)
        self.rows.field("This ball", self.other)
        self.body.addWidget(Plain(
            "Thrown one after the other on the same line: what the lane and the release have in common cancels.",
            px=13, token="ink2", wrap=True,
        ))  # fmt: skip
        self.boards.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Log it."""
        boards = (self.boards.value() or 0.0) * float(self.way.value)
        return asking.log_pair(self._session, self._ball, int(self.other.value), boards)
