"""The plan of a practice: lines of shots, what has been thrown of them, the clock, and what it was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.sentence import SentenceWord, TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.practice_views import PlanLine, PlanView

ROW, ROW_TALL = 32.0, 40.0
BEGIN, AGAIN = "Begin it", "Begin anew"


def state(line: PlanLine) -> str:
    """“done”, “now”, “to come”; what has been thrown of it where it is begun."""
    if line.done:
        return "done"
    begun = f"{line.done_shots} of {line.shots} thrown" if line.done_shots else ""
    return begun or ("now" if line.current else "to come")


def spoken(line: PlanLine) -> str:
    """A line for a screen reader."""
    shots = "1 shot" if line.shots == 1 else f"{line.shots} shots"
    told = (state(line), shots, line.names, line.finish, "" if line.wiped else "not wiped", line.why)
    return ", ".join(part for part in told if part)


class PlanPainter(RowPainter):
    """One line: mark, shots, balls, finish, why. The line to throw now lies on `sel`."""

    height = ROW

    def paint_row(self, painter: QPainter, box: QRect, row: PlanLine, *, chosen: bool) -> None:
        """Draw it."""
        now = look()
        margin = now.px(20 if now.logical(box.width()) >= 520 else 12)
        self.line_from, self.line_to = margin / now.scale + 22, margin / now.scale
        if row.current and not chosen:
            paint.chosen_ground(painter, box, focused=False)
        side = now.px(13)
        mark = QRectF(margin, box.center().y() - side / 2.0, side, side)
        paint.due_mark(painter, mark, "done" if row.done else "fine")
        left, right = margin + now.px(22), box.right() + 1 - margin
        number = QRect(left, box.top(), now.px(22), box.height())
        token, weight = ("ink2", 400) if row.done else ("ink", 600)
        left_over = max(row.shots - row.done_shots, 0)
        said = str(row.shots if row.done or not left_over else left_over)
        write(painter, number, said, now.font(13, 600), token)
        free = right - number.right()
        names = QRect(number.right(), box.top(), round(free * 0.36) - now.px(8), box.height())
        write(painter, names, row.names, now.font(13, weight), token)
        finish = QRect(names.right() + now.px(8), box.top(), round(free * 0.26) - now.px(8), box.height())
        write(painter, finish, row.finish, now.font(13), "ink2")
        why = QRect(finish.right() + now.px(8), box.top(), right - finish.right() - now.px(8), box.height())
        write(painter, why, row.why, now.font(13), "ink2")


class PlanLines(RowsView):
    """The lines; Enter takes the ball of the one chosen in hand."""

    line_wanted = Signal(object)

    def __init__(self) -> None:
        self.painter = PlanPainter()
        super().__init__("Lines of the plan", RowsModel(spoken, hover=True), self.painter)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter on a chosen line is the list's, everything else as in the other lists."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and self.in_hand() is not None:
            self.line_wanted.emit(self.in_hand())
        elif enter or event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Backspace):
            event.ignore()
        else:
            super().keyPressEvent(event)


class PlanPane(QWidget):
    """Title with its two words, clock, lines, and what is left out."""

    length_wanted = Signal(object)
    """("shots", n), ("minutes", n), or "own" for another number."""
    keep_wanted = Signal()
    """Begin this plan, so that what is thrown of it is ticked."""
    line_wanted = Signal(object)
    exported = Signal(object)
    """csv or json."""

    def __init__(self) -> None:
        super().__init__()
        self.title, self.clock = Plain("Plan", px=15, weight=600, elide=True), Plain("", px=13, token="ink2")
        self.length = SentenceWord("Length of the plan", "ten shots", px=13)
        self.keep = TextButton(BEGIN, px=13)
        self.export = SentenceWord("Write shots and what they taught to a file", "Write out", px=13)
        self.export.set_choices([("as tables, CSV …", "csv"), ("as JSON …", "json")])
        self.told = Plain("", px=12, token="ink2", wrap=True)
        self.changed = Plain("", px=12, weight=500, token="warn", wrap=True)
        self.view = PlanLines()
        self._head, column = QHBoxLayout(), QVBoxLayout(self)
        for widget in (self.title, self.length, self.keep, self.export, self.clock):
            self._head.addWidget(widget, 1 if widget is self.title else 0)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._head)
        for told in (self.changed, self.told):
            column.addWidget(told)
            told.hide()
        column.addWidget(self.view, 1)
        self.length.picked.connect(self.length_wanted)
        self.keep.clicked.connect(self.keep_wanted)
        self.export.picked.connect(self.exported)
        self.view.line_wanted.connect(self.line_wanted)
        self.view.opened.connect(self.line_wanted)
        look().changed.connect(self._dress)
        self._dress()

    def show_plan(self, plan: PlanView, length: str) -> None:
        """The plan; `length` is the word for what was asked for."""
        self.title.setText(plan.title)
        self.clock.setText(plan.left)
        self.length.set_word(length)
        self._choices(length)
        self.keep.set_word(AGAIN if plan.id else BEGIN)
        self.keep.setVisible(bool(plan.lines))
        for told, said in ((self.told, plan.sentence), (self.changed, " ".join(plan.changed))):
            told.setText(said)
            told.setVisible(bool(said))
        self.view.rows_model.set_rows(plan.lines)
        self.view.setVisible(bool(plan.lines))
        here = next((i for i, line in enumerate(plan.lines) if line.current), 0)
        self.view.scrollTo(self.view.rows_model.index(here))

    def set_tall(self, *, tall: bool) -> None:
        """Higher rows, where there is room."""
        self.view.painter.height = ROW_TALL if tall else ROW
        self.view.scheduleDelayedItemsLayout()

    def fail(self, sentence: str) -> None:
        """Why there is no plan."""
        self.view.rows_model.set_rows(())
        self.told.setText(sentence)
        self.told.setVisible(bool(sentence))

    def wanted_height(self) -> int:
        """High enough for every line."""
        told = sum(t.sizeHint().height() for t in (self.told, self.changed) if not t.isHidden())
        return look().px(36) + told + self.view.wanted_height() + 4

    def _choices(self, length: str) -> None:
        offers = [("five shots", ("shots", 5)), ("ten shots", ("shots", 10)), ("twenty shots", ("shots", 20)),
                  ("15 minutes", ("minutes", 15)), ("30 minutes", ("minutes", 30)), ("45 minutes", ("minutes", 45)),
                  ("another number …", "own")]  # fmt: skip
        current = next((value for words, value in offers if words == length), None)
        self.length.set_choices(offers, current)

    def _dress(self) -> None:
        px = look().px
        self._head.setContentsMargins(px(20), px(6), px(20), px(4))
        self._head.setSpacing(px(14))
        for told in (self.told, self.changed):
            told.setContentsMargins(px(20), 0, px(20), px(6))
        metrics = QFontMetricsF(look().font(13))
        self.clock.setMinimumWidth(min(round(metrics.horizontalAdvance("00 min left of it")), px(120)))
        self.clock.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
