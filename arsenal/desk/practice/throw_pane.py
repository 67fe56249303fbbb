"""One bowler's half: the ball in hand, the keys a shot is logged by, the shots of this outing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QStackedLayout, QVBoxLayout, QWidget

from arsenal.desk.lane_side.act_key import ActKey
from arsenal.desk.parts import paint
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.text import Plain, set_tip
from arsenal.desk.practice import shot_rows
from arsenal.desk.practice.hand import Hand
from arsenal.desk.practice.scale import Scale
from arsenal.desk.practice.shot_keys import SHOWN, ShotKeys, cap_of
from arsenal.desk.practice.shots import ROW, ROW_TALL, AxisHead, Legend, ShotsView
from arsenal.desk.practice.waiting import Half, Waiting
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.practice_views import PracticeSession, ShotRow

IDLE = "one key logs the shot; a number may follow"
MOST_WHOLE = 12
"""Shots shown at most in one column; the others scroll, so that what was taught is not far below."""
NONE_YET = "No shot logged here today. Throw one, then press the key of what it did."
ACTS = (
    ("more", "More …", "M", "Everything that can be seen of one shot: where it read, broke, crossed the arrows."),
    ("pair", "Two balls …", "I", "One ball ended so many boards stronger than another, thrown back to back."),
    ("sand", "Pad …", "S", "Surface work between shots, logged for the ball in hand."),
    ("lines", "Lines …", "V", "Paste lines written on a phone, or read a sensor’s table."),
)  # fmt: skip


def waits_for(half: Half | None, wiped: str) -> str:
    """What is being waited for, in words."""
    if half is None:
        return f"{IDLE}{f' · {wiped}' if wiped else ''}"
    word = SHOWN.get(half.word, half.word)
    if half.typed:
        said = f"{word}, board {half.typed}" if word else f"board {half.typed}"
        return f"{said}: Enter logs it, Esc forgets it"
    if not word:
        return "Type the board where it ended; Esc forgets it"
    return f"{word}: its board may follow within 2 s; Enter logs it now, Esc forgets it"


class ThrowPane(QWidget):
    """Keys and shots. It knows nothing of the file: it says what was pressed and shows what it is given."""

    seen = Signal(str, object)
    """A shot: its word (empty for none) and its board (None for none)."""
    wanted = Signal(object)
    """more, pair, sand, lines."""

    def __init__(self, name: str = "", *, shifted: bool = False) -> None:
        super().__init__()
        self._wiped, self._whole, self._low = "", False, False
        self.waiting = Waiting(self)
        self.hand, self.keys = Hand(), ShotKeys(f"What did it do? {name}".strip(), shifted=shifted)
        self.title, self.hint = (
            Plain("What did it do?", px=15, weight=600),
            Plain(IDLE, px=12, token="ink2", elide=True),
        )
        self.shots = ShotsView()
        if name:
            self.shots.setAccessibleName(f"Shots of {name}, newest first")
        self.axis, self.legend = AxisHead(self.shots), Legend()
        self.detail = Plain("", px=12, token="ink2", wrap=True)
        self.finding, self.outing = Told("due", "warn"), Plain("", px=13, token="ink2", wrap=True)
        self.none = Plain(NONE_YET, px=14, token="ink2", wrap=True)
        self.acts: dict[str, ActKey] = {}
        self._acts = QHBoxLayout()
        for what, words, key, tip in ACTS:
            button = self.acts[what] = ActKey(words, key, height=32)
            button.cap = cap_of(key, shifted=shifted)
            button.setAccessibleDescription(f"key {'Shift and ' if shifted else ''}{key}")
            button.tight = True
            set_tip(button, tip)
            button.clicked.connect(lambda _=False, w=what: self.wanted.emit(w))
            self._acts.addWidget(button, 1)
        self.none.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._build()
        self._connect()

    def _build(self) -> None:
        self._head = QHBoxLayout()
        self._head.addWidget(self.title)
        self._head.addWidget(self.hint, 1)
        self.hint.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._upper = QVBoxLayout()
        self._upper.addLayout(self._head)
        self._upper.addWidget(self.keys)
        self._upper.addLayout(self._acts)
        self._foot = QStackedLayout()
        for widget in (self.legend, self.detail):
            self._foot.addWidget(widget)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.hand)
        self._column.addLayout(self._upper)
        self._column.addWidget(self.axis)
        self._column.addWidget(self.none, 1)
        self._column.addWidget(self.shots, 1)
        self._said = QVBoxLayout()
        for told in (self.finding, self.outing):
            self._said.addWidget(told)
            told.hide()
        self._column.addLayout(self._said)
        self._column.addLayout(self._foot)
        self.shots.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def _connect(self) -> None:
        self.keys.pressed.connect(self.press)
        self.waiting.changed.connect(self._show_half)
        self.waiting.refused.connect(self._refuse)
        self.waiting.ready.connect(self.seen)
        self.shots.chosen.connect(self._tell)
        self.shots.resized.connect(self.axis.update)
        look().changed.connect(self._dress)
        self._dress()

    def press(self, word: str) -> None:
        """A key of the seven, or with "" the board alone."""
        half = self.waiting.half()
        if half is not None and not word and half.word:
            return
        self.waiting.begin(word)

    def show_session(self, session: PracticeSession) -> None:
        """The ball in hand and what its keys stand for."""
        self.hand.show_hand(session.in_hand)
        self.keys.show_keys(session.keys)
        spare = session.in_hand is None
        self.keys.setEnabled(not spare)
        for what, button in self.acts.items():
            button.setEnabled(not spare or what == "lines")
        self.acts["pair"].setEnabled(len(session.balls) > 1)
        self._show_findings(session)
        self._tell(None)

    def _show_findings(self, session: PracticeSession) -> None:
        """What is odd, most pressing first; else what this outing says of the lane."""
        said = [finding.sentence for finding in session.findings]
        more = f" And {len(said) - 1} more." if len(said) > 1 else ""
        self.finding.setText(said[0] + more if said else "")
        set_tip(self.finding, " ".join(said))
        self.outing.setText("" if said else session.outing_words)
        self.outing.setVisible(bool(self.outing.whole()))

    def show_shots(self, rows: tuple[ShotRow, ...], session: PracticeSession) -> None:
        """The shots of this outing, newest first."""
        painter = self.shots.painter
        painter.rows, painter.hand = list(rows), session.in_hand.ball.id if session.in_hand else 0
        painter.scale = Scale.of(rows, session.keys, mirrored=session.bowler.back_up)
        before = self.shots.rows_model.rowCount()
        self.shots.rows_model.set_rows(rows)
        self.none.setVisible(not rows)
        self.shots.setVisible(bool(rows))
        if len(rows) != before:
            self.shots.scrollToTop()
        self._tell(None)
        self.axis.update()
        self.shots.viewport().update()
        self._fit_shots()

    def show_wiped(self, said: str) -> None:
        """Whether the next shot’s ball is wiped, where it is told shot by shot."""
        self._wiped = said
        self._show_half()

    def set_mode(self, *, low: bool, whole: bool, tall: bool = False) -> None:
        """`low` keys where there is little room, `tall` rows where there is much; `whole` shows a dozen shots, because
        the pane lies in a scroll area.
        """
        self._low, self._whole = low, whole
        self.keys.set_low(low=low)
        self.shots.painter.height = ROW_TALL if tall else ROW
        self.shots.scheduleDelayedItemsLayout()
        self._dress()
        self._fit_shots()

    def _fit_shots(self) -> None:
        wanted = self.shots.wanted_height() + 2
        if self._whole:
            most = look().px(MOST_WHOLE * self.shots.painter.height)
            self.shots.setFixedHeight(max(look().px(40), min(wanted, most)))
        else:
            self.shots.setMinimumHeight(0)
            self.shots.setMaximumHeight(16777215)

    def _show_half(self) -> None:
        half = self.waiting.half()
        self.keys.show_half(half)
        self.hint.recolor("hand" if half is not None else "ink2")
        self.hint.setText(waits_for(half, self._wiped))

    def _refuse(self, sentence: str) -> None:
        self.hint.recolor("bad")
        self.hint.setText(sentence)

    def _tell(self, row: object) -> None:
        """The chosen shot whole, else what the marks mean."""
        self.detail.setText(shot_rows.detail(row) if row is not None else "")  # type: ignore[arg-type]
        self._foot.setCurrentWidget(self.detail if row is not None else self.legend)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rule under the ball in hand, and over the foot."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), self.hand.geometry().bottom(), "edge")
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._upper.setContentsMargins(px(20), px(8), px(20), px(8))
        self._upper.setSpacing(px(6 if self._low else 8))
        self._acts.setSpacing(px(8))
        self._head.setSpacing(px(12))
        self.none.setContentsMargins(px(20), px(14), px(20), px(14))
        self._said.setContentsMargins(px(20), 0, px(20), 0)
        self.detail.setContentsMargins(px(20), px(4), px(20), px(4))
