"""The entry field of the Bench: a line as people type it, and under it what Enter will log, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain, Run, Runs, runs_of
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.views import Meaning

PAUSE_MS = 60
PATTERNS = (
    ("1000 h", "one light pass"), ("14s", "14 shots"), ("~20g", "about 20 games, caught up"),
    ("r 2400", "reading"), ("clean", "same night"),
)  # fmt: skip
MOST_CHOICES = 5


class Field(QLineEdit):
    """The field itself; Esc empties it, a second Esc leaves it."""

    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc; and “/” into the empty field, which the person pressed to get here, is no text."""
        if event.text() == "/" and not self.text():
            return
        if event.key() == Qt.Key.Key_Escape:
            if self.text():
                self.clear()
            else:
                self.left.emit()
            return
        super().keyPressEvent(event)


class EntryLine(QWidget):
    """Field, meaning and patterns. `ask` reads a line on the worker and calls back with its Meaning."""

    kept = Signal(object)
    """The Meaning to keep: clear, and what the person saw."""

    def __init__(self, ask: Callable[[str, Callable[[Meaning], None]], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ask = ask
        self._meaning: Meaning | None = None
        self._read_for = ""
        self._enter_waits = False
        self._nickname = ""
        self.field = Field()
        self.field.setAccessibleName("What happened, as one line")
        self.field.setPlaceholderText("What happened? /")
        self.field.setMaxLength(2000)
        self.field.textChanged.connect(self._typed)
        self.field.returnPressed.connect(self._enter)
        self.meaning = Runs(px=14)
        self.caution = Plain("", px=12, token="warn", wrap=True)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._read)
        self._words = QHBoxLayout()
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.field)
        self._column.addWidget(self.meaning)
        self._column.addWidget(self.caution)
        self._column.addLayout(self._words)
        self.caution.hide()
        look().changed.connect(self._dress)
        self._dress()
        self._show(None)

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(20), px(8), px(20), px(6))
        self._column.setSpacing(px(4))
        self._words.setSpacing(px(14))
        self.field.setFixedHeight(px(40))
        self.field.setFont(look().font(17, 500))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many patterns as there is room for."""
        super().resizeEvent(event)
        self._fit_words()

    def _order_words(self) -> None:
        """Tab goes from the field to them, in their order."""
        before: QWidget = self.field
        for at in range(self._words.count()):
            item = self._words.itemAt(at)
            widget = item.widget() if item is not None else None
            if widget is not None:
                QWidget.setTabOrder(before, widget)
                before = widget

    def _fit_words(self) -> None:
        room = self.width() - 2 * look().px(20)
        for at in range(self._words.count()):
            item = self._words.itemAt(at)
            widget = item.widget() if item is not None else None
            if widget is not None:
                room -= widget.sizeHint().width() + self._words.spacing()
                widget.setVisible(room >= -self._words.spacing())

    def show_ball(self, nickname: str) -> None:
        """Another ball in hand: the patterns name it."""
        if nickname != self._nickname:
            self._nickname = nickname
            self._offer_patterns()

    def put(self, text: str) -> None:
        """Write a line for the person to finish or to keep."""
        self.field.setText(text)
        self.field.setFocus()
        self.field.setCursorPosition(len(text))

    def offer(self, text: str, meaning: Meaning) -> None:
        """Write a line whose meaning is known already: Enter keeps that and nothing else while the line stands."""
        self.put(text)
        self._timer.stop()
        self._arrived(text, meaning)

    def _typed(self) -> None:
        self._enter_waits = False
        if self.field.text().strip():
            self._timer.start()
        else:
            self._timer.stop()
            self._show(None)

    def _read(self) -> None:
        text = self.field.text()
        self._ask(text, lambda meaning: self._arrived(text, meaning))

    def _arrived(self, text: str, meaning: Meaning) -> None:
        if text != self.field.text():
            return
        self._read_for = text
        self._show(meaning)
        if self._enter_waits:
            self._enter_waits = False
            self._enter()

    def _enter(self) -> None:
        """Keep what stands in words; where it has not been read yet, wait for the words first. Never guesses."""
        text = self.field.text()
        if not text.strip():
            return
        if self._read_for != text or self._meaning is None:
            self._timer.stop()
            self._enter_waits = True
            self._read()
        elif self._meaning.drafts and not self._meaning.problem:
            self.kept.emit(self._meaning)

    def done(self) -> None:
        """It was kept: the field is free again."""
        self.field.clear()

    def _show(self, meaning: Meaning | None) -> None:
        self._meaning = meaning
        if meaning is None:
            self._read_for = ""
            self.meaning.set_runs((Run("Type what happened; here stands what Enter will log.", token="ink3"),))
            self.caution.hide()
            self._offer_patterns()
            return
        if meaning.problem:
            self.meaning.set_runs((Run("◆ ", token="bad"), Run(meaning.problem, token="bad")))
            self._offer_choices(meaning)
        else:
            after = f". {meaning.after}" if meaning.after else ""
            self.meaning.set_runs((*runs_of(meaning.parts), Run(after)))
            self._offer_patterns()
        self.caution.setText(" ".join(meaning.cautions))
        self.caution.setVisible(bool(meaning.cautions))

    def _clear_words(self) -> None:
        while (item := self._words.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def _offer_patterns(self) -> None:
        self._clear_words()
        name = self._nickname
        for line, means in PATTERNS:
            text = f"{name} {line}".strip()
            button = TextButton(text, px=12, token="ink2")
            button.setAccessibleName(f"{text}: {means}")
            button.setToolTip(means)
            button.clicked.connect(lambda _=False, t=text: self.put(t))
            self._words.addWidget(button)
        self._words.addStretch(1)
        self._order_words()
        self._fit_words()

    def _offer_choices(self, meaning: Meaning) -> None:
        self._clear_words()
        for choice in meaning.choices[:MOST_CHOICES]:
            button = TextButton(choice, px=13)
            button.setAccessibleName(f"{choice} instead of {meaning.word}")
            button.clicked.connect(lambda _=False, c=choice, w=meaning.word: self._replace(w, c))
            self._words.addWidget(button)
        self._words.addStretch(1)
        self._order_words()
        self._fit_words()

    def _replace(self, word: str, choice: str) -> None:
        text = self.field.text()
        self.put(text.replace(word, choice, 1) if word and word in text else f"{text} {choice}")
