"""The next shot worth throwing: what, why, what it would narrow, and the question it is judged by."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, SignalInstance
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QSizePolicy, QVBoxLayout, QWidget

from arsenal.acts.practice_views import NextShots, NextView
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Plain, caption
from arsenal.desk.theme import look
from arsenal.practice.asked_of import Asks

WORKING = "Working out which shot would teach most …"


class NextPane(QWidget):
    """Title, sentence, three keys."""

    taken = Signal(object)
    """The NextView whose ball shall be in hand."""
    asked_why = Signal(object)
    question_picked = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._found: NextShots | None = None
        self._at = 0
        self.lead = Plain("Next shot worth throwing", px=12, weight=600, token="ink2")
        self.question = SentenceWord("What it is judged by", px=13)
        self.title, self.sentence = Plain("", px=20, weight=600, elide=True), Plain("", px=14, token="ink2", wrap=True)
        self.take = KeyButton("Take it in hand", "↵", primary=True, height=42)
        self.another, self.why = KeyButton("Another", "P", height=42), KeyButton("Why", "?", height=42)
        for key in (self.take, self.another, self.why):
            key.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        top, self._keys = QHBoxLayout(), QHBoxLayout()
        top.addWidget(self.lead)
        top.addStretch(1)
        top.addWidget(self.question)
        self._keys.addWidget(self.take, 3)
        self._keys.addWidget(self.another, 2)
        self._keys.addWidget(self.why, 2)
        self._column = QVBoxLayout(self)
        self._column.addLayout(top)
        self._column.addWidget(self.title)
        self._column.addWidget(self.sentence)
        self._column.addStretch(1)
        self._column.addLayout(self._keys)
        self.question.picked.connect(self.question_picked)
        self.take.clicked.connect(lambda: self._tell(self.taken))
        self.why.clicked.connect(lambda: self._tell(self.asked_why))
        self.another.clicked.connect(self.step)
        look().changed.connect(self._dress)
        self._dress()
        self.show_working()

    def _tell(self, signal: SignalInstance) -> None:
        if self.now() is not None:
            signal.emit(self.now())

    def now(self) -> NextView | None:
        """The test shown."""
        shots = self._found.shots if self._found is not None else ()
        return shots[self._at] if self._at < len(shots) else None

    def show_working(self) -> None:
        """Nothing is known yet: the shot before has just been logged."""
        if self._found is None:
            self._say("", WORKING)
        else:
            self.sentence.setText(WORKING)
        for key in (self.take, self.another, self.why):
            key.setEnabled(False)

    def show_next(self, found: NextShots) -> None:
        """What was found, the best first."""
        self._found, self._at = found, 0
        self.question.set_word(found.question.words)
        self._offer(found)
        self._show()

    def _offer(self, found: NextShots) -> None:
        """A menu of the questions: order and lane at once, two balls and pads one step down, since they are many."""
        menu = QMenu(self.question)
        below = {Asks.TWO_BALLS: "Are two balls one ball?", Asks.PAD: "What does a pad do?"}
        menus: dict[Asks, QMenu] = {}
        for choice in found.choices:
            asks, into = choice.question.asks, menu
            if asks in below:
                if asks not in menus:
                    menus[asks] = menu.addMenu(caption(below[asks]))
                into = menus[asks]
            act = into.addAction(caption(choice.words))
            act.setCheckable(True)
            act.setChecked(choice.question == found.question.question)
            act.triggered.connect(lambda _=False, c=choice: self.question_picked.emit(c))
        old = self.question.menu()
        self.question.setMenu(menu)
        if old is not None:
            old.deleteLater()

    def fail(self, sentence: str) -> None:
        """Why nothing can be said."""
        self._found, self._at = None, 0
        self._say("", sentence)
        for key in (self.take, self.another, self.why):
            key.setEnabled(False)

    def step(self) -> None:
        """The test after this one; after the last the best again."""
        if self._found is not None and self._found.shots:
            self._at = (self._at + 1) % len(self._found.shots)
            self._show()

    def _show(self) -> None:
        found, one = self._found, self.now()
        self.take.setVisible(one is not None)
        for key in (self.take, self.another, self.why):
            key.setEnabled(one is not None)
        if found is None or one is None:
            self._say("", found.sentence if found is not None else "")
            self.another.hide()
            self.why.hide()
            return
        count = len(found.shots)
        self.another.setVisible(count > 1)
        self.why.setVisible(bool(one.why))
        self.another.rename("Another pair" if len(one.ball_ids) > 1 else "Another")
        self._say(one.title, one.sentence)

    def name_take(self, ball: str, *, held: bool) -> None:
        """“Take Bramble Vow in hand”, or that it is."""
        one = self.now()
        works = one is not None and one.recipe is not None
        take = f"{ball} is in hand" if held else f"Take {ball} in hand"
        self.take.rename(f"The pad on {ball} …" if works else take)
        self.take.setEnabled(works or not held)

    def _say(self, title: str, sentence: str) -> None:
        self.title.setText(title)
        self.title.setVisible(bool(title))
        self.sentence.setText(sentence)
        self.setAccessibleName(f"Next shot worth throwing. {title}. {sentence}")
        self.question.setVisible(self._found is not None)
        self.updateGeometry()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The sentence may need another line."""
        super().resizeEvent(event)
        self.sentence.setMinimumHeight(0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The full rules above and below."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), 0, "edge")
        paint.hairline(painter, 0, self.width(), self.height() - 1, "edge")
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(20), px(8), px(20), px(14))
        self._column.setSpacing(px(5))
        self._keys.setContentsMargins(0, px(6), 0, 0)
        self._keys.setSpacing(px(10))
        self.sentence.setAlignment(Qt.AlignmentFlag.AlignTop)
