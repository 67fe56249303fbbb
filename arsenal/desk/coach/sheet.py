"""The sheet: one row a bowler, painted from the model, with its four log keys as real buttons."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.acts.coach import CoachRow
from arsenal.desk.coach import words
from arsenal.desk.coach.columns import Columns
from arsenal.desk.coach.log_keys import LogKeys
from arsenal.desk.lane_side import words as of_order
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.theme import look
from arsenal.trade.person import Person

ROW, ROW_LEAST, ROW_TALL = 63.0, 58.0, 72.0
"""A row, a little lower where that shows every bowler, higher in a high window."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the sheet; `row` is None until it has been read."""

    bowler: Person
    row: CoachRow | None
    ticked: bool = True

    @property
    def ready(self) -> bool:
        """Whether a shot can be logged for it."""
        return self.row is not None and self.row.hand is not None

    def looks_like(self, other: Line) -> bool:
        """Whether it would be drawn and said the same; orders are the same object while nothing moved them."""
        one, two = self.row, other.row
        if (self.bowler, self.ticked) != (other.bowler, other.ticked) or one is None or two is None:
            return self == other if one is None and two is None else False
        alike = (one.rule, one.due, one.missing, words.when(one)) == (two.rule, two.due, two.missing, words.when(two))
        seen = (one.saw and words.seen(one.saw)) == (two.saw and words.seen(two.saw))
        return alike and seen and one.hand is two.hand and one.down is two.down


def spoken(line: Line) -> str:
    """A row for a screen reader."""
    return words.spoken(line.bowler, line.row, ticked=line.ticked)


class SheetModel(RowsModel):
    """Bowlers; each can be ticked."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(spoken, parent=parent)

    def set_rows(self, rows: Sequence[Line]) -> None:
        """Other rows; where their number stays, only those that look different are drawn again."""
        if len(rows) != len(self._rows):
            super().set_rows(rows)
            return
        before, self._rows = self._rows, list(rows)
        for number, (old, new) in enumerate(zip(before, rows, strict=True)):
            if not new.looks_like(old):
                self.dataChanged.emit(self.index(number), self.index(number))

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """As of every list, with the tick and the hover."""
        line = self.row(index.row())
        if isinstance(line, Line) and role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if line.ticked else Qt.CheckState.Unchecked
        if isinstance(line, Line) and role == Qt.ItemDataRole.ToolTipRole:
            told = words.hover(line.row) if line.row else ""
            return f"<qt>{html.escape(told)}</qt>" if told else None
        return super().data(index, role)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """The tick is the user's."""
        return super().flags(index) | Qt.ItemFlag.ItemIsUserCheckable


class SheetPainter(RowPainter):
    """Draws a bowler's row; the keys at its right end are widgets."""

    height = ROW
    line_from, line_to = 52, 20

    def __init__(self) -> None:
        super().__init__()
        self.number, self.doubt = "−8", "± 1"

    def measure(self, lines: Sequence[Line]) -> bool:
        """Make room for the widest boards there are; True where the columns moved."""
        before = self.number, self.doubt
        held = [line.row.hand for line in lines if line.row is not None and line.row.hand is not None]
        self.number = max([of_order.boards(row) for row in held] + ["−8"], key=len)
        self.doubt = max([of_order.doubt(row) for row in held] + ["± 1"], key=len)
        return before != (self.number, self.doubt)

    def columns(self, box: QRect) -> Columns:
        """Where everything stands."""
        return Columns.of(box, self.number, self.doubt)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw the row."""
        if not isinstance(row, Line):
            return
        at = self.columns(box)
        paint_tick(painter, at.tick, ticked=row.ticked, token="hand" if chosen else "ink2")
        found = row.row
        below = words.hand(row.bowler)
        if at.narrow and found is not None and found.hand is not None:
            below = words.narrow(found)
        two(painter, at.name, row.bowler.name, below)
        if found is None:
            write(painter, at.hand.united(at.boards), "being read …", look().font(13), "ink3")
        elif found.hand is None:
            two(painter, at.hand.united(at.due if at.due.width() else at.doubt), "No order yet", found.missing)
        else:
            _paint_found(painter, at, found, "hand" if chosen else "ink2")


def two(
    painter: QPainter, box: QRect, upper: str, lower: str, *, token: str = "ink", weight: int = 600, px: float = 15
) -> None:
    """Two lines in the middle of a column."""
    half = look().px(20)
    top = QRect(box.left(), box.center().y() - half + look().px(1), box.width(), half)
    write(painter, top, upper, look().font(px, weight), token)
    write(painter, top.translated(0, half - look().px(1)), lower, look().font(12), "ink2")


def paint_tick(painter: QPainter, box: QRect, *, ticked: bool, token: str) -> None:
    """The box of a row: filled with a tick, or empty."""
    side = look().px(17)
    square = QRectF(box.left() + 0.5, box.center().y() - side / 2.0 + 0.5, side, side)
    with paint.kept(painter):
        painter.setPen(QPen(look().color(token if ticked else "edge"), 1.4))
        painter.setBrush(look().color(token) if ticked else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(square, 3, 3)
        if ticked:
            pen = QPen(look().color("sheet"), 2.0 * max(1.0, look().scale))
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            x, y = square.left(), square.top()
            painter.drawPolyline(
                [QPoint(round(x + 0.24 * side), round(y + 0.52 * side)),
                 QPoint(round(x + 0.43 * side), round(y + 0.70 * side)),
                 QPoint(round(x + 0.77 * side), round(y + 0.32 * side))]
            )  # fmt: skip


def _paint_found(painter: QPainter, at: Columns, row: CoachRow, token: str) -> None:
    now, hand = look(), row.hand
    assert hand is not None  # noqa: S101 - looked at before
    high = now.px(34)
    if at.fall.width():
        glyph = QRectF(at.fall.left(), at.fall.center().y() - high / 2.0, at.fall.width(), high)
        paint.fall(painter, glyph, hand.state.finish_set_grit, hand.state.grit, token=token)
    _paint_hand(painter, at, row)
    painter.setFont(now.font(18, 600))
    painter.setPen(now.color("ink"))
    painter.drawText(at.boards, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, of_order.boards(hand))
    write(painter, at.doubt.translated(0, now.px(2)), of_order.doubt(hand), now.font(12), "ink2", elide=False)
    if at.down.width():
        if row.down is not None:
            two(painter, at.down, row.down.ball.name, words.boards_of(row.down), weight=500, px=14)
        else:
            write(painter, at.down, "none weaker", now.font(12), "ink2")
    if at.seen.width():
        if row.saw is not None:
            two(painter, at.seen, words.seen(row.saw), words.when(row))
        else:
            write(painter, at.seen, "not yet", now.font(12), "ink2")
    if at.due.width():
        _paint_due(painter, at.due, row)


def _paint_hand(painter: QPainter, at: Columns, row: CoachRow) -> None:
    hand, now = row.hand, look()
    assert hand is not None  # noqa: S101 - looked at before
    half = now.px(20)
    top = QRect(at.hand.left(), at.hand.center().y() - half + now.px(1), at.hand.width(), half)
    write(painter, top, hand.ball.name, now.font(15, 600), "ink")
    lower = top.translated(0, half - now.px(1))
    wide = write(painter, lower, of_order.finish(hand.state), now.font(12, 600), "ink")
    lower.setLeft(round(lower.left() + wide))
    told = of_order.rest_of_finish(hand.state)
    if painter.fontMetrics().horizontalAdvance(told) > lower.width():
        told = of_order.rest_of_finish(hand.state, short=True)
    write(painter, lower, told, now.font(12), "ink2")


def _paint_due(painter: QPainter, box: QRect, row: CoachRow) -> None:
    now = look()
    state = row.due.due.value if row.due is not None else "fine"
    side = now.px(13)
    paint.due_mark(painter, QRectF(box.left(), box.center().y() - side / 2.0 + 1, side, side), state)
    token = {"fine": "ink2", "soon": "warn", "due": "warn", "over": "bad"}[state]
    text = QRect(box.left() + now.px(22), box.top(), box.width() - now.px(22), box.height())
    write(painter, text, words.due(row.due), now.font(13, 400 if row.due is None else 500), token)


class SheetView(RowsView):
    """The list of bowlers. ↑ ↓ another bowler, Space ticks, Enter opens the bowler's own Lane-side."""

    ticked = Signal(int)
    """The bowler whose tick was changed."""
    logged = Signal(int, object)
    """A bowler and the word of the shot."""
    menu_wanted = Signal(QPoint)
    resized = Signal()
    """The columns moved."""

    def __init__(self) -> None:
        self.painter = SheetPainter()
        self._keys: list[LogKeys] = []
        super().__init__("Bowlers", SheetModel(), self.painter)
        self.setAccessibleDescription("Up and down choose a bowler, Space ticks, L, F and H log light, flush and high")
        self.selectionModel().currentChanged.connect(lambda _now, _before: self._rove())

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Other rows; the bowler in hand stays."""
        held = self.in_hand()
        if self.painter.measure(lines):
            self.viewport().update()
            self.resized.emit()
        before = self.rows_model.rowCount()
        self.rows_model.set_rows(lines)
        if len(lines) != before:
            self._keys = [LogKeys(self) for _ in lines]
            for number, keys in enumerate(self._keys):
                keys.chosen.connect(lambda word, n=number: self._log(n, word))
                self.setIndexWidget(self.rows_model.index(number), keys)
        for keys, line in zip(self._keys, lines, strict=True):
            keys.show_line(line.bowler.name, line.row.hand.ball.name if line.row and line.row.hand else "")
        if isinstance(held, Line):
            self.choose_where(lambda line: line.bowler.id == held.bowler.id)
        self._rove()

    def _log(self, number: int, word: object) -> None:
        self.choose(number)
        line = self.rows_model.row(number)
        if isinstance(line, Line):
            self.logged.emit(line.bowler.id, word)

    def _rove(self) -> None:
        here = self.currentIndex().row()
        for number, keys in enumerate(self._keys):
            keys.set_reachable(number == here)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space ticks."""
        line = self.in_hand()
        if event.key() == Qt.Key.Key_Space and isinstance(line, Line):
            self.ticked.emit(line.bowler.id)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on the box ticks."""
        super().mousePressEvent(event)
        where = event.position().toPoint()
        index = self.indexAt(where)
        line = self.rows_model.row(index.row())
        if isinstance(line, Line) and event.button() is Qt.MouseButton.LeftButton:
            box = self.painter.columns(self.visualRect(index)).tick.adjusted(-look().px(12), 0, look().px(10), 0)
            if box.contains(where):
                self.ticked.emit(line.bowler.id)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Rows may be made to fit."""
        super().resizeEvent(event)
        self.resized.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """By mouse or by the menu key."""
        where = event.globalPos()
        if event.reason() is QContextMenuEvent.Reason.Keyboard and self.currentIndex().isValid():
            where = self.viewport().mapToGlobal(self.visualRect(self.currentIndex()).center())
        self.menu_wanted.emit(where)


class Heads(QWidget):
    """The words over the columns."""

    def __init__(self, view: SheetView) -> None:
        super().__init__()
        self._view = view
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self._dress()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the words and the rule."""
        painter, font = QPainter(self), look().font(12, 500)
        at = self._view.painter.columns(QRect(0, 0, self._view.viewport().width(), self.height() - 1))
        write(painter, at.name, "Bowler", font, "ink2")
        write(painter, at.hand, "In hand", font, "ink2")
        for box, name in ((at.down, "Next ball down"), (at.seen, "Last seen"), (at.due, "Due")):
            if box.width():
                write(painter, box, name, font, "ink2")
        write(painter, QRect(0, 0, at.boards.right() + 1, self.height() - 1), "Boards", font, "ink2", right=True)
        write(painter, at.keys, "Log a shot", font, "ink2")
        paint.hairline(painter, 0, self.width(), self.height() - 1, "edge")
        painter.end()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(31))
        self.update()
