"""The Practice room: shots by one key, what they taught, the next one worth throwing; two bowlers side by side."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QStackedLayout, QVBoxLayout, QWidget

from arsenal.desk.lane_side.turns import Turns
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.panes import beside, paint_ground, scrolled, side_by_side, stand
from arsenal.desk.parts.text import Plain
from arsenal.desk.practice.bar import Bar
from arsenal.desk.practice.beside import BESIDE, Beside
from arsenal.desk.practice.doing import Doing
from arsenal.desk.practice.side_pane import SidePane
from arsenal.desk.practice.throw_pane import ThrowPane
from arsenal.desk.practice.thrower import Thrower
from arsenal.desk.practice.waiting import WAIT_MS
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from collections.abc import Sequence

    from arsenal.acts.views import Changes
    from arsenal.trade.errors import KnownError

WIDE, HIGH, TALL = 1200, 680, 1000
"""Logical sizes of the window under which everything stands in one column, and over which rows are higher."""
LEFT_SHARE = 0.49
ENTER_MS = WAIT_MS
"""An Enter that comes just after the board’s time was up still means that shot, and nothing else."""


class PracticeRoom(Room):
    """Left one bowler’s half, right what was taught, the next shot and the plan; or two halves."""

    name, digit = "Practice", 3

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self._front = self._setting = self._fresh = self._asks = False
        self.bar, self.turns = Bar(), Turns(self)
        self.pane, self.side = ThrowPane(), SidePane(shared)
        self.thrower = Thrower(shared, self.pane, "practice")
        self._beside: Beside | None = None
        self.doing = Doing(self)
        self._since = QElapsedTimer()
        self.empty = Empty("Reading the practice", "Every shot is set against what was expected of it.")
        self._build()
        self._connect()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """↑ ↓ change the ball in hand; Qt would go to the next button, or scroll."""
        pressed = event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent)
        if not pressed or Qt.Key(event.key()) not in (Qt.Key.Key_Up, Qt.Key.Key_Down):  # type: ignore[attr-defined]
            return False
        self.keyPressEvent(event)  # type: ignore[arg-type]
        return True

    def _build(self) -> None:
        inside = self._inside = QWidget()
        self._box = side_by_side(inside)
        self.left, self.who = QWidget(), Plain("", px=15, weight=600, elide=True)
        column = QVBoxLayout(self.left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.who)
        column.addWidget(self.pane, 1)
        for pane, stretch in ((self.left, 0), (self.side, 1)):
            self._box.addWidget(pane, stretch)
        self._scroll = scrolled(inside)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self._scroll)
        pane = self.pane
        order = (pane.hand, *pane.keys.buttons, pane.keys.ended, *pane.acts.values(), pane.shots,
                 self.side.taught.view, self.side.next.question, self.side.next.take, self.side.next.another,
                 self.side.next.why, self.side.plan.length, self.side.plan.keep, self.side.plan.export,
                 self.side.plan.view)  # fmt: skip
        for first, second in pairwise(order):
            QWidget.setTabOrder(first, second)
        for widget in (*self.findChildren(KeyButton), self._scroll):
            widget.installEventFilter(self)

    def _connect(self) -> None:
        self.thrower.read.connect(self._show)
        self.thrower.failed.connect(self._failed)
        self.pane.waiting.ready.connect(lambda *_: self._since.start())
        self.pane.wanted.connect(lambda what: self.doing.do(what, self.thrower))
        self.pane.shots.menu_wanted.connect(lambda where: self.doing.show_menu(where, self.thrower))
        self.side.ball_chosen.connect(self.shared.hold_ball)
        self.side.asked_why.connect(self.doing.why)
        self.side.work_wanted.connect(self.doing.work)
        self.side.exported.connect(self.doing.export)
        self.side.number_wanted.connect(self.doing.number)
        self.bar.asked.connect(lambda what: self.doing.do(what, self.thrower))
        self.bar.bowler_picked.connect(self.shared.hold_bowler)
        self.bar.lane_picked.connect(self.shared.hold_lane)
        self.bar.wiping_picked.connect(lambda wiping: self.doing.wiping(wiping, self.thrower))
        self.bar.beside_picked.connect(self.set_beside)
        self.empty.wanted.connect(self._first_action)
        for signal in (self.shared.bowler_changed, self.shared.lane_changed, self.shared.ball_changed):
            signal.connect(self._other)
        look().changed.connect(self._fit)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._follow)

    def _follow(self, _before: QWidget | None, now: QWidget | None) -> None:
        """In one column what has the focus comes into sight."""
        if self._front and now is not None and self._inside.isAncestorOf(now):
            self._scroll.ensureWidgetVisible(now, 0, look().px(20))

    # what a room is

    def sentence_bar(self) -> QWidget:
        """Who practises how, where."""
        return self.bar

    def enter(self) -> None:
        """Read again what is in hand."""
        self._front = self._fresh = True
        self.load()

    def leave(self) -> None:
        """Another room comes to the front: what waits is kept first."""
        self._front = False
        self.pane.waiting.finish()
        if self._beside is not None:
            self._beside.pane.waiting.finish()

    def refresh(self, changes: Changes) -> None:
        """Something was kept."""
        self.load()

    def panes(self) -> Sequence[QWidget]:
        """Sentence, keys, shots, then either what was taught, next and plan, or the other half."""
        left = (self.bar.who, self.pane.hand, self.pane.shots)
        if self.two():
            return (*left, self.beside.bar.who, self.beside.pane.hand, self.beside.pane.shots)
        return (*left, self.side.taught.view, self.side.next.take, self.side.plan.view)

    def holds_digits(self) -> bool:
        """While a shot waits for its board."""
        return self._waits() is not None

    def button_scope(self, *, shifted: bool) -> QWidget:
        """Keys with Shift are those of the second bowler."""
        if self.two():
            return self.beside if shifted else self.pane
        return self

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """For F1."""
        return (
            ("N L F H O Q U", "log a shot: long, light, flush, high, over, quit, hung"),
            ("B, or digits after a letter", "the board where it ended"), ("Enter", "log now; else take the ball asked"),
            ("Esc", "forget the shot that waits"), ("↑ ↓", "another ball in hand"),
            ("W", "the next shot is wiped, not wiped"), ("Shift and a key", "the second bowler, side by side"),
        )  # fmt: skip

    def letter(self, key: str) -> bool:
        """Digits of a board; W."""
        waits = self._waits()
        if waits is not None and waits.waiting.type(key):
            return True
        if key == "W":
            shifted = self.window_shift()
            return (self.beside.thrower if shifted and self.two() else self.thrower).toggle_wiped()
        return False

    def forget(self) -> bool:
        """A shot that still waits."""
        waits = self._waits()
        return waits is not None and waits.waiting.drop() is not None

    def burst(self, text: str) -> bool:
        """A shot typed faster than a hand types: one letter of the seven, then a board."""
        button = next((b for b in self.pane.keys.buttons if b.key == text[:1].upper()), None)
        if button is None or not button.isEnabled() or not 2 <= len(text) <= 4 or not text[1:].isdigit():
            return False
        button.setFocus(Qt.FocusReason.ShortcutFocusReason)
        button.click()
        for digit in text[1:]:
            self.pane.waiting.type(digit)
        return True

    # reading

    def load(self, *, only_hand: bool = False) -> None:
        """Ask for the session, and for that of the second bowler. `only_hand` where another ball came in hand and
        nothing else: next shot and plan stay as they are.
        """
        one = self.thrower
        self._asks = self._asks or not only_hand
        one.bowler_id, one.lane_id, one.ball_id = self.shared.bowler_id, self.shared.lane_id, self.shared.ball_id
        if only_hand:
            one.show_wanted()
        one.load()
        if self.two() and not only_hand:
            self.beside.load(self.shared.lane_id)

    def _other(self, _id: object) -> None:
        if self._setting:
            return
        one = self.thrower
        same = self.shared.bowler_id == one.bowler_id and self.shared.lane_id == one.lane_id
        if not same or self.shared.ball_id != one.ball_id:
            self.pane.waiting.finish()
        if self._front:
            self.load(only_hand=same)

    def _failed(self, error: KnownError) -> None:
        self.shared.trouble(error)
        self.empty.tell(error.sentence, error.next_step)
        self._stack.setCurrentWidget(self.empty)

    def _show(self) -> None:
        found = self.thrower.found
        if found is None:
            return
        self._setting = True
        if found.person is not None:
            self.shared.hold_bowler(found.person.id)
        self.shared.hold_ball(self.thrower.ball_id)
        self._setting = False
        if found.session is None:
            self._show_missing()
            return
        session, had_focus = found.session, self._fresh or self.empty.button.hasFocus() or self.hasFocus()
        self._stack.setCurrentWidget(self._scroll)
        if self._beside is not None or self.shared.settings.kept.get(BESIDE) is not None:
            self.beside.settle(found.people, session.bowler.id)
        person = self._beside.person if self._beside is not None else None
        self._halves()
        self.turns.begin(
            lambda: self.bar.show_found(found, person), lambda: self.pane.show_session(session),
            lambda: self.pane.show_shots(session.shots, session), lambda: self.side.show_balls(session),
            self._fit, self._ask,
        )  # fmt: skip
        focus = QApplication.focusWidget()
        if had_focus and (focus is None or focus is self.bar.who or self.isAncestorOf(focus)):
            self.pane.hand.setFocus(Qt.FocusReason.OtherFocusReason)
        self._fresh = False

    def _ask(self) -> None:
        """Next shot and plan, where something has changed that they depend on."""
        session = self.thrower.session
        if session is not None and self._asks and not self.two():
            self._asks = False
            self.side.ask(session)

    def _show_missing(self) -> None:
        found = self.thrower.found
        self.turns.drop()
        self.bar.show_found(found)
        if found is not None and found.missing is not None:
            self.empty.tell(found.missing.title, found.missing.sentence, found.missing.action)
        self._stack.setCurrentWidget(self.empty)

    def _first_action(self) -> None:
        missing = self.thrower.found.missing if self.thrower.found else None
        does = {"bowler": "add bowler", "throw": "release", "lane": "add lane", "balls": "add ball"}
        if missing is not None and missing.kind in does:
            self.doing.do(does[missing.kind], self.thrower)

    # two bowlers

    @property
    def beside(self) -> Beside:
        """The other half; made when first needed."""
        if self._beside is None:
            made = self._beside = Beside(self.shared)
            made.asked.connect(lambda what: self.doing.do(what, made.thrower))
            made.menu_wanted.connect(lambda where: self.doing.show_menu(where, made.thrower))
            for button in made.findChildren(KeyButton):
                button.installEventFilter(self)
            made.hide()
            self._box.addWidget(made, 1)
            self._fit()
            self.grown.emit()
        return self._beside

    def two(self) -> bool:
        """Whether a second bowler has the other half."""
        return self._beside is not None and self._beside.bowler_id is not None

    def set_beside(self, bowler_id: object) -> None:
        """Another bowler for the other half, or nobody."""
        if self._beside is not None or bowler_id is not None:
            self.beside.choose(bowler_id if isinstance(bowler_id, int) else None)
        self._halves()
        self.load()

    def _halves(self) -> None:
        two = self.two()
        self.side.setVisible(not two)
        if self._beside is not None:
            self._beside.setVisible(two)
        self.who.setVisible(two)
        session = self.thrower.session
        self.who.setText(f"{session.bowler.name}: plain keys. With Shift the other bowler’s" if session else "")

    # keys

    def _waits(self) -> ThrowPane | None:
        panes = (self.beside.pane, self.pane) if self.two() else (self.pane,)
        waiting = [pane for pane in panes if pane.waiting.half() is not None]
        return max(waiting, key=lambda pane: pane.waiting.begun) if waiting else None

    def window_shift(self) -> bool:
        """Whether the key just heard came with Shift."""
        return bool(getattr(getattr(self.window(), "keys", None), "shifted", False))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter, Esc and Backspace for the shot that waits; ↑ ↓ another ball."""
        key, waits = Qt.Key(event.key()), self._waits()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter(waits)
        elif key == Qt.Key.Key_Escape and waits is not None:
            waits.waiting.drop()
        elif key == Qt.Key.Key_Backspace and waits is not None:
            waits.waiting.back()
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._step(1 if key == Qt.Key.Key_Down else -1, event.modifiers())
        else:
            super().keyPressEvent(event)

    def _enter(self, waits: ThrowPane | None) -> None:
        just = self._since.isValid() and self._since.elapsed() < ENTER_MS
        if waits is not None:
            waits.waiting.finish()
            self._since.invalidate()
        elif not just and not self.two():
            self.side.take_next()

    def _step(self, by: int, modifiers: Qt.KeyboardModifier) -> None:
        if self.two() and modifiers & Qt.KeyboardModifier.ShiftModifier:
            self.beside.step(by)
            return
        ball = self.thrower.step(by)
        if ball is not None:
            self.shared.hold_ball(ball)

    # layout

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Two panes, or one column."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        whole = self.window().size() if self.window() is not self else self.size() + QSize(0, look().px(120))
        wide, high = look().logical(whole.width()), look().logical(whole.height())
        column = wide < WIDE or high < HIGH
        stand(self._box, column=column)
        self._inside.setMaximumHeight(16777215 if column else self.height())  # wrapped words would scroll the panes
        for pane in (self.pane, *((self._beside.pane,) if self._beside is not None else ())):
            pane.set_mode(low=self.two() and not column, whole=column, tall=high >= TALL and not column)
        self.side.set_mode(tall=high >= TALL and not column, whole=column)
        self.who.setFixedHeight(look().px(46))
        self.who.setContentsMargins(look().px(20), 0, look().px(20), 0)
        if column:
            self.left.setMinimumWidth(0)
            self.left.setMaximumWidth(16777215)
        else:
            self.left.setFixedWidth(round(self.width() * (0.5 if self.two() else LEFT_SHARE)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet and the line between the panes."""
        shown = self._stack.currentWidget() is self._scroll and beside(self._box)
        paint_ground(self, self.left.width() if shown else None)


def make(shared: Shared) -> PracticeRoom:
    """The room, as the desk asks for it."""
    return PracticeRoom(shared)
