"""The last-act line: what was done and its Undo on the left; saved, backup and file on the right. It is the toast."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.marks import Mark
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain, set_tip
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError

MOST_NAMED = 40
"""Letters of an act's name beside its Undo."""


class LastAct(QWidget):
    """30 px at the foot of the window."""

    undo_wanted = Signal()
    cancel_wanted = Signal()
    backups_wanted = Signal()
    menu_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Last act")
        self.mark, self.sentence = Mark(), Plain("", px=13, weight=500, elide=True)
        self.undo = TextButton("Undo", px=13)
        self.undo.clicked.connect(self.undo_wanted)
        self.undo.hide()
        self.keys = Plain("Ctrl+Z", px=12, token="ink3")
        self.keys.hide()
        self.cancel = TextButton("Cancel", px=13, token="bad")
        self.cancel.clicked.connect(self.cancel_wanted)
        self.cancel.hide()
        self.saved = Plain("", px=12, token="ink3")
        self.file = TextButton("", px=12, token="ink3")
        self.file.quiet = True
        self.file.clicked.connect(self.menu_wanted)
        self.backup = TextButton("", px=12, token="ink3")
        self.backup.quiet = True
        self.backup.clicked.connect(self.backups_wanted)
        self.backup.hide()
        self._row = QHBoxLayout(self)
        for widget in (self.mark, self.sentence, self.undo, self.keys, self.cancel):
            self._row.addWidget(widget)
        self.sentence.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self._row.addStretch(1)
        for widget in (self.saved, self.backup, self.file):
            self._row.addWidget(widget)
        self._now = self._done = ("", "", "ink")
        self._before: tuple[str, str, str] | None = None
        look().changed.connect(self._dress)
        self._dress()

    def done(self, sentence: str, undo_name: str | None) -> None:
        """What was done, and what Undo would take back."""
        self._done = ("done" if sentence else "", sentence, "ink")
        self._show(*self._done)
        self.offer_undo(undo_name)

    def offer_undo(self, name: str | None) -> None:
        """Undo, named on hover and to a screen reader; named at once where another sentence stands beside it."""
        other = bool(name) and name != self._done[1]
        short = name if not name or len(name) <= MOST_NAMED else f"{name[: MOST_NAMED - 1]}…"
        self.undo.set_word(f"Undo: {short}" if other else "Undo")
        self.undo.setVisible(bool(name))
        self.keys.setVisible(bool(name))
        self.undo.setAccessibleName(f"Undo: {name}" if name else "Undo")
        set_tip(self.undo, f"Undo: {name}" if name else "")

    def trouble(self, error: KnownError) -> None:
        """What went wrong, in `bad`: what happened, whether data is safe, what next."""
        self._show("over", str(error), "bad")

    def trouble_over(self) -> None:
        """What was refused has been done meanwhile, and was no act: the last act stands there again."""
        if self._before is not None and self._before[0] == "over":
            self._before = self._done
        elif self._now[0] == "over":
            self._show(*self._done)

    def busy(self, title: str, share: float = -1.0, *, may_cancel: bool = False) -> None:
        """What is still running; empty takes it away and brings the sentence before it back."""
        if title:
            if self._before is None:
                self._before = self._now
            far = f", {round(share * 100)} %" if share >= 0 else ""
            self._show("soon", f"{title} …{far}", "ink2", keep=True)
        elif self._before is not None:
            self._show(*self._before)
        self.cancel.setVisible(bool(title) and may_cancel)

    def said(self, sentence: str) -> None:
        """A sentence with nothing to take back."""
        self.done(sentence, None)

    def slow(self, title: str, share: float) -> None:
        """Still running after a while; may be stopped where it tells how far it is. A slot of its own, so that it goes
        with the line when what tells it stays.
        """
        self.busy(title, share, may_cancel=share >= 0)

    def place(self, saved: str, backup: str, file_name: str) -> None:
        """The right end."""
        self.saved.setText(saved)
        self.backup.set_word(backup)
        self.backup.setVisible(bool(backup))
        self.file.set_word(file_name)
        self.file.setAccessibleName(f"{file_name}: files, add, look")

    def _show(self, state: str, sentence: str, token: str, *, keep: bool = False) -> None:
        self._now = (state, sentence, token)
        if not keep:
            self._before = None
        self.mark.show_state(state)
        self.sentence.recolor(token)
        self.sentence.setText(sentence)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line above."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), 0)
        painter.end()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(30))
        self._row.setContentsMargins(look().px(19), 1, look().px(20), 0)
        self._row.setSpacing(look().px(9))
