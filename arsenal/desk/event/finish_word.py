"""The finish of a ball in its row: a sentence word with the finishes it can have by then, and the note beside it."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from arsenal.acts.event_views import BallLine
from arsenal.desk.event import rows
from arsenal.desk.event.columns import NAME
from arsenal.desk.parts.lists import write
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import caption
from arsenal.desk.theme import look

AS_PLANNED = "as the plan says"


class FinishWord(SentenceWord):
    """Opens a menu that is written when it is wanted; what cannot be reached says why and cannot be picked."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__("Finish", "", px=13, parent=parent)
        self._line: BallLine | None = None
        menu = QMenu(self)
        menu.aboutToShow.connect(self._fill)
        self.setMenu(menu)

    def show_line(self, line: BallLine) -> None:
        """Whose finish it is."""
        self._line = line
        self.set_word(line.finish)
        self.setAccessibleName(f"Finish of {line.name}: {line.finish}")

    def _fill(self) -> None:
        menu, line = self.menu(), self._line
        menu.clear()
        if line is None:
            return
        for offer in line.finishes:
            note = f"   {offer.note}" if offer.note and offer.note != offer.label else ""
            act = menu.addAction(caption(f"{offer.label}{note}"))
            act.setCheckable(True)
            act.setChecked(offer.name == line.finish_name)
            act.setEnabled(offer.possible)
            act.triggered.connect(lambda _=False, name=offer.name: self.picked.emit(name))
        if line.finish_settled:
            menu.addSeparator()
            menu.addAction(AS_PLANNED).triggered.connect(lambda _=False: self.picked.emit(None))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """↑ ↓ and Esc go back to the table; Enter opens."""
        key = Qt.Key(event.key())
        controls = self.parentWidget()
        table = controls.view if isinstance(controls, RowControls) else None
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Escape) and table is not None:
            table.setFocus(Qt.FocusReason.OtherFocusReason)
            if key != Qt.Key.Key_Escape:
                QApplication.sendEvent(table, event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.showMenu()
        else:
            super().keyPressEvent(event)


class RowControls(QWidget):
    """Laid over the first cell of a row: the finish and its note; all else belongs to the row."""

    finish_picked = Signal(int, object)

    def __init__(self, view: QWidget) -> None:
        super().__init__(view)
        self.view = view
        self.setAutoFillBackground(False)
        self.word = FinishWord(self)
        self._note = QRect()
        self._line: BallLine | None = None
        self._left = NAME
        self.word.picked.connect(self._picked)
        look().changed.connect(self._place)

    def show_line(self, line: BallLine | None) -> None:
        """Another ball, or the divider, which has none."""
        self._line = line
        self.word.setVisible(line is not None and bool(line.finishes))
        if line is not None:
            self.word.show_line(line)
            self._place()
        self.update()

    def set_reachable(self, here: bool) -> None:
        """A Tab stop only in the row in hand."""
        self.word.setFocusPolicy(Qt.FocusPolicy.TabFocus if here else Qt.FocusPolicy.NoFocus)

    def _picked(self, name: object) -> None:
        if self._line is not None:
            self.finish_picked.emit(self._line.ball_id, name)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place them."""
        super().resizeEvent(event)
        self._place()

    def set_name_at(self, left: float) -> None:
        """Where the name of the ball begins, at base text size."""
        if left != self._left:
            self._left = left
            self._place()

    def _place(self) -> None:
        if self._line is None:
            return
        px, low = look().px, rows.compact(self._line)
        left = px(self._left)
        middle = self.height() // 2
        room = self.width() - left - px(6)
        wide = min(self.word.sizeHint().width(), room) if self._line.finishes else 0
        top = middle + px(-3 if low else 0)
        self.word.setGeometry(left, top, wide, px(24))
        gap = px(10) if wide else 0
        self._note = QRect(left + wide + gap, top, max(0, room - wide - gap), px(24))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The note beside the finish; the hover of the row has the whole of it."""
        if self._line is not None:
            painter = QPainter(self)
            token = "warn" if self._line.note.startswith("was ") else "ink2"
            write(painter, self._note, rows.note_words(self._line), look().font(12), token)
            painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """The row's."""
        event.ignore()
