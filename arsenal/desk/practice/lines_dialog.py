"""Lines written on a phone, pasted: what each would log stands beside it before anything is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, QSize, QTimer
from PySide6.QtGui import QKeySequence, QPainter, QShortcut
from PySide6.QtWidgets import QPlainTextEdit, QStyleOptionViewItem, QWidget

from arsenal.desk.bench.confirm import must_confirm, open_confirm
from arsenal.desk.bench.history_rows import wrapped
from arsenal.desk.parts import paint
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.lists import ROW, Index, RowPainter, RowsModel, RowsView
from arsenal.desk.parts.text import Plain
from arsenal.desk.practice import asking
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.pasted import PastedLine
    from arsenal.acts.practice_views import PracticeSession
    from arsenal.acts.views import Changes
    from arsenal.trade.errors import KnownError

PAUSE_MS = 150
MOST = 400
"""Lines taken at once."""
HINT = "quarry 2 high\nrook flush; light 15.5\nrook > paper 3"


def spoken(row: PastedLine) -> str:
    """A line for a screen reader."""
    return f"Line {row.number}, {row.typed}: {said(row)}"


def said(row: PastedLine) -> str:
    """What it would log with what is to be minded, or why it is not clear."""
    words = "".join(part for part, _strong in row.meaning.parts)
    return row.meaning.problem or ". ".join(part.rstrip(".") for part in (words, *row.meaning.cautions) if part)


class LinePainter(RowPainter):
    """What was typed, small; below it what it would log, or what is unclear."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as its words."""
        row, view = index.data(ROW), option.widget
        wide = (view.viewport().width() if view is not None else 500) - look().px(28)  # type: ignore[attr-defined]
        return QSize(look().px(120), wrapped(said(row), look().font(14), wide)[1] + look().px(30))

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw both."""
        now = look()
        left, wide = box.left() + now.px(28), box.width() - now.px(28)
        mark = QRect(box.left() + now.px(6), box.top() + now.px(7), now.px(13), now.px(13))
        paint.due_mark(painter, mark.toRectF(), "over" if row.meaning.problem else "done")
        painter.setFont(now.font(12))
        painter.setPen(now.color("ink2"))
        typed, _ = wrapped(row.typed, now.font(12), wide)
        painter.save()
        painter.setClipRect(QRect(left, box.top(), wide, now.px(23)))
        typed.draw(painter, QRect(left, box.top() + now.px(5), 0, 0).topLeft().toPointF())
        painter.restore()
        painter.setPen(now.color("bad" if row.meaning.problem else "ink"))
        words, _ = wrapped(said(row), now.font(14), wide)
        words.draw(painter, QRect(left, box.top() + now.px(23), 0, 0).topLeft().toPointF())


class LinesDialog(Dialog):
    """Text above, its meaning below. Lines that are unclear are named and stay out until they are put right."""

    def __init__(
        self, shared: Shared, parent: QWidget, session: PracticeSession, sensor: Callable[[], object] | None = None
    ) -> None:
        super().__init__("Lines from a phone", parent, width=680)
        self.shared, self._session = shared, session
        self._read: tuple[PastedLine, ...] = ()
        self._for = ""
        self.body.addWidget(Plain(
            "One line a shot, or any other line of the Bench. A line without a ball means the ball of the line above, "
            "the first one the ball in hand.", px=13, token="ink2", wrap=True,
        ))  # fmt: skip
        self.text = QPlainTextEdit()
        self.text.setAccessibleName("Lines to be logged")
        self.text.setPlaceholderText(HINT)
        self.text.setTabChangesFocus(True)
        self.text.setFixedHeight(look().px(120))
        self.model = RowsModel(spoken)
        self.list = RowsView("What the lines would log", self.model, LinePainter())
        self.list.setMinimumHeight(look().px(210))
        self.body.addWidget(self.text)
        self.body.addWidget(self.list)
        self.offer("Not now", "Esc", self.reject)
        if sensor is not None:
            self.offer("A sensor’s table …", "", lambda: self._instead(sensor))
        self.keep_button = self.offer("Log them", "Ctrl+↵", self.keep, primary=True)
        self.keep_button.setEnabled(False)
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self).activated.connect(self.keep)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._ask)
        self.text.textChanged.connect(self._typed)
        self.text.setFocus()

    def _instead(self, call: Callable[[], object]) -> None:
        self.reject()
        call()

    def good(self) -> list[PastedLine]:
        """Lines that can be kept."""
        return [row for row in self._read if not row.meaning.problem]

    def _typed(self) -> None:
        self.keep_button.setEnabled(False)
        self._timer.start()

    def _ask(self) -> None:
        text = self.text.toPlainText()
        job = asking.read_lines(self._session, text.splitlines()[:MOST])
        self.shared.ask("practice lines", job, lambda rows: self._show(text, rows), failed=self._failed)

    def _show(self, text: str, rows: tuple[PastedLine, ...]) -> None:
        if text != self.text.toPlainText():
            return
        self._read, self._for = rows, text
        self.model.set_rows(rows)
        good, wrong = len(self.good()), sum(1 for row in rows if row.meaning.problem)
        lines = "1 line" if good == 1 else f"{good} lines"
        self.keep_button.rename(f"Log {lines}" if good else "Log them")
        self.keep_button.setEnabled(good > 0)
        more = len(text.splitlines()) - MOST
        told = (
            f"{wrong} of {len(rows)} lines are not clear; they are left out unless you put them right." if wrong else ""
        )
        if more > 0:
            told = f"{told} The last {more} lines are too many at once: paste them after these.".strip()
        self.complain(told)

    def keep(self) -> None:
        """Log the clear ones in one act."""
        if not self.keep_button.isEnabled() or self.text.toPlainText() != self._for:
            return
        good = self.good()
        asks = next((row.meaning for row in good if must_confirm(row.meaning)), None)
        if asks is not None:
            open_confirm(self, asks, lambda: self._log(good, confirmed=True))
        else:
            self._log(good, confirmed=False)

    def _log(self, good: list[PastedLine], *, confirmed: bool) -> None:
        self.keep_button.setEnabled(False)
        self.shared.keep(asking.keep_lines(good, confirmed=confirmed), self._kept, failed=self._failed)

    def _kept(self, _changes: Changes) -> None:
        self.accept()

    def _failed(self, error: KnownError) -> None:
        self.complain(str(error))
        self.keep_button.setEnabled(bool(self.good()))
