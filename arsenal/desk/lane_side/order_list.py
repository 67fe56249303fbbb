"""The order as a list: what each ball is, how it reads, and its boards against the benchmark's line."""

from __future__ import annotations

import html
from typing import Any

from PySide6.QtCore import QModelIndex, QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk import icons
from arsenal.desk.lane_side import rows, words
from arsenal.desk.lane_side.columns import Columns
from arsenal.desk.lane_side.rows import BallRow, GapRow, Reach
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.theme import look
from arsenal.desk.tokens import SERIES

GAP_HEIGHT = 26.0
FLAG_TOKEN = {"leaves lane": "bad", "rolls out": "bad", "wipe": "warn", "refresh": "warn", "same as above": "ink2"}
ICONS = (*FLAG_TOKEN, "as above")
"""Marks with an icon before the word."""


class OrderModel(RowsModel):
    """Balls and the gap lines between them; only balls can be taken in hand."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(rows.spoken, lambda row: isinstance(row, BallRow), parent)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """As of every list, and the hover as plain text."""
        if role == Qt.ItemDataRole.ToolTipRole:
            row = self.row(index.row())
            return f"<qt>{html.escape(row.hover)}</qt>" if isinstance(row, BallRow) and row.hover else None
        return super().data(index, role)


class OrderPainter(RowPainter):
    """Draws a ball's row or a gap line."""

    def __init__(self) -> None:
        super().__init__()
        self.compact = False
        self.reach = Reach(-1.0, 1.0)

    def columns(self, width: int) -> Columns:
        """Where everything stands at that width."""
        return Columns.of(width, self.reach, compact=self.compact)

    def row_height(self, row: Any) -> float:
        """Of a ball or a gap."""
        return GAP_HEIGHT if isinstance(row, GapRow) else self.height

    def line_below(self, row: Any) -> bool:
        """A gap line is a line itself."""
        return isinstance(row, BallRow)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw the row."""
        at = self.columns(box.width())
        self.line_from, self.line_to = at.name / look().scale, at.margin / look().scale
        if isinstance(row, GapRow):
            _paint_gap(painter, box, at, row.text)
            return
        if row.first_spare:
            paint.hairline(painter, box.left(), box.right() + 1, box.top(), "edge")
        _paint_place(painter, box, at, row)
        _paint_drawn(painter, box, at, row)
        _paint_name(painter, box, at, row, short=self.compact)
        if not row.spare:
            zero = round(box.left() + at.zero)
            paint_zero_line(painter, zero, box)
            _paint_read(painter, box, at, row)
            _paint_boards(painter, box, at, row, "sel" if chosen else "sheet")


def paint_zero_line(painter: QPainter, x: int, box: QRect) -> None:
    """The benchmark's line."""
    painter.fillRect(QRect(x, box.top(), 1, box.height()), look().color("edge"))


def _paint_gap(painter: QPainter, box: QRect, at: Columns, text: str) -> None:
    now = look()
    left = box.left() + at.name
    wide = write(painter, QRect(left, box.top(), at.right - at.name, box.height()), text, now.font(12, 600), "warn")
    pen = now.pen("warn", 1.0, (1.5, 3.0))
    painter.setPen(pen)
    y = box.center().y() + 1
    painter.drawLine(QPoint(round(left + wide + now.px(8)), y), QPoint(box.left() + at.right, y))


def _paint_place(painter: QPainter, box: QRect, at: Columns, row: BallRow) -> None:
    now, middle = look(), box.center().y()
    token = SERIES[row.series].token if row.series == 0 else "edge"
    for piece in row.brackets:
        x = box.left() + at.bracket + piece.lane * now.px(3)
        top = middle if piece.part == "first" else box.top()
        end = middle if piece.part == "last" else box.bottom()
        painter.fillRect(QRect(x, top, now.line(1), end - top + 1), now.color("edge"))
        if piece.part != "middle":
            painter.fillRect(QRect(x, middle, now.px(6), now.line(1)), now.color("edge"))
    if row.row.place:
        painter.setFont(now.font(15, 600))
        painter.setPen(now.color("ink2"))
        where = QRect(box.left() + at.place - now.px(14), box.top(), now.px(28), box.height())
        painter.drawText(where, Qt.AlignmentFlag.AlignCenter, str(row.row.place))
    state = row.row.state
    high = now.px(min(34, box.height() / now.scale - 12))
    glyph = QRectF(box.left() + at.fall, middle - high / 2.0, at.fall_wide, high)
    paint.fall(painter, glyph, state.finish_set_grit, state.grit, token="hand" if token == "hand" else "ink2")


def _paint_drawn(painter: QPainter, box: QRect, at: Columns, row: BallRow) -> None:
    """How the ball is drawn on the right; two lines where the ball in hand goes on being drawn without it."""
    now = look()
    left, y = box.left() + at.place - now.px(10), box.center().y() + now.px(14)
    for series in (row.series, row.stays):
        if series is not None:
            style = SERIES[series]
            painter.setPen(now.pen(style.token, style.width, style.dash))
            painter.drawLine(QPoint(left, y), QPoint(left + now.px(20), y))
            y += now.px(5)


def _paint_name(painter: QPainter, box: QRect, at: Columns, row: BallRow, *, short: bool) -> None:
    now = look()
    half = now.px(19)
    top = box.center().y() - half + now.px(1)
    upper = QRect(box.left() + at.name, top, at.name_wide, half)
    lower = QRect(box.left() + at.name, top + half, at.name_wide, half)
    if row.spare:
        upper.setRight(box.left() + at.right)
        lower.setRight(box.left() + at.right)
    mark = row.flag or ("benchmark" if row.row.benchmark else "")
    mark = "spare ball, not in the order" if row.spare and not row.flag else mark
    if short and mark == "same as above":
        mark = "as above"
    icon = now.px(18) if mark in ICONS else 0
    mark_wide = QFontMetricsF(now.font(12, 500)).horizontalAdvance(mark) + now.px(10) + icon if mark else 0
    name_box = QRect(upper.left(), upper.top(), max(now.px(40), upper.width() - round(mark_wide)), half)
    wide = write(painter, name_box, row.row.ball.name, now.font(15, 600), "ink")
    if mark:
        _paint_mark(painter, QRect(round(upper.left() + wide + now.px(9)), upper.top(), upper.width(), half), mark)
    state, bold = row.row.state, now.font(12, 600)
    strong = words.finish(state)
    wide = write(painter, lower, strong, bold, "ink")
    lower.setLeft(round(lower.left() + wide))
    metrics, rests = QFontMetricsF(now.font(12)), words.rests_of_finish(state)[1 if short else 0 :]
    told = next((rest for rest in rests if metrics.horizontalAdvance(rest) <= lower.width()), rests[-1])
    write(painter, lower, told, now.font(12), "ink2")


def _paint_mark(painter: QPainter, box: QRect, mark: str) -> None:
    now = look()
    token = FLAG_TOKEN.get(mark, "ink2")
    side = now.px(13)
    icon = QRectF(box.left(), box.center().y() - side / 2.0 + 1, side, side)
    shift = now.px(18)
    if mark in ("leaves lane", "rolls out"):
        paint.due_mark(painter, icon, "over")
    elif mark == "refresh":
        paint.due_mark(painter, icon.adjusted(1, 1, -1, -1), "due")
    elif mark == "wipe":
        ratio = painter.device().devicePixelRatioF()
        painter.drawPixmap(icon.topLeft(), icons.pixmap("drop", side, "warn", ratio))
    elif mark in ("same as above", "as above"):
        for dy in (-2, 2):
            y = round(icon.center().y() + dy * now.scale)
            painter.fillRect(QRect(round(icon.left()), y, side, now.line(1)), now.color("ink2"))
    else:
        shift = 0
    box.setLeft(box.left() + shift)
    write(painter, box, mark, now.font(12, 500), token, elide=False)


def _paint_read(painter: QPainter, box: QRect, at: Columns, row: BallRow) -> None:
    now = look()
    half = now.px(19)
    top = box.center().y() - half + now.px(1)
    upper = QRect(box.left() + at.read, top, at.read_wide, half)
    write(painter, upper, row.row.read_word or "never", now.font(13, 500), "ink")
    write(painter, upper.translated(0, half), row.row.shape_word, now.font(12), "ink2")


def _paint_boards(painter: QPainter, box: QRect, at: Columns, row: BallRow, ground: str) -> None:
    now, order = look(), row.row
    zero = box.left() + at.zero
    if order.benchmark:
        paint.benchmark_block(painter, box, zero)
    else:
        token = SERIES[row.series].token if row.series is not None else "edge"
        paint.diverging_bar(
            painter, box, zero, at.per_board, order.boards, order.boards_low, order.boards_high, token=token,
            ground=ground,
        )  # fmt: skip
    painter.setFont(now.font(18, 600))
    painter.setPen(now.color("ink"))
    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    painter.drawText(QRect(box.left(), box.top(), at.boards, box.height()), right, words.boards(order))
    painter.setFont(now.font(12))
    painter.setPen(now.color("ink2"))
    painter.drawText(QRect(box.left(), box.top() + now.px(2), at.right, box.height()), right, words.doubt(order))


class OrderView(RowsView):
    """The list. ↑ ↓ take a ball in hand, ← → step the pads, Space compares, Esc as it is, Enter opens the ball."""

    stepped = Signal(int)
    compared = Signal(int)
    as_it_is = Signal()
    menu_wanted = Signal(QPoint)

    def __init__(self) -> None:
        self.painter = OrderPainter()
        super().__init__("Balls from strongest to weakest", OrderModel(), self.painter)
        self.setAccessibleDescription("Up and down take a ball in hand, left and right step the pads, Space compares")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys of the room that work from the list."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.stepped.emit(1 if key == Qt.Key.Key_Right else -1)
        elif key == Qt.Key.Key_Space:
            ball = rows.ball_id(self.in_hand())
            if ball is not None:
                self.compared.emit(ball)
        elif key == Qt.Key.Key_Escape:
            self.as_it_is.emit()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click takes a ball in hand; with Ctrl it compares the ball instead."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier and event.button() is Qt.MouseButton.LeftButton:
            ball = rows.ball_id(self.rows_model.row(self.indexAt(event.position().toPoint()).row()))
            if ball is not None:
                self.compared.emit(ball)
            return
        super().mousePressEvent(event)

    def moveCursor(self, action: Any, modifiers: Any) -> QModelIndex:
        """Gap lines are stepped over."""
        index = super().moveCursor(action, modifiers)
        if index.isValid() and not index.flags() & Qt.ItemFlag.ItemIsSelectable:
            by = 1 if index.row() > self.currentIndex().row() else -1
            beyond = self.rows_model.index(index.row() + by)
            return beyond if beyond.isValid() else self.currentIndex()
        return index

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """By mouse or by the menu key."""
        where = event.globalPos()
        if event.reason() is QContextMenuEvent.Reason.Keyboard and self.currentIndex().isValid():
            where = self.viewport().mapToGlobal(self.visualRect(self.currentIndex()).bottomLeft())
        self.menu_wanted.emit(where)


class Heading(QWidget):
    """The words over the columns."""

    def __init__(self, painter: OrderPainter) -> None:
        super().__init__()
        self._columns = painter
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self._dress()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the words and the rule."""
        painter, now = QPainter(self), look()
        at, high = self._columns.columns(self.width()), self.height() - 1
        font, gap = now.font(12, 500), now.px(7)
        write(painter, QRect(at.name, 0, at.name_wide, high), "Ball and what it is now", font, "ink2")
        write(painter, QRect(at.read, 0, at.read_wide, high), "Read", font, "ink2")
        metrics = QFontMetricsF(font)
        boards = metrics.horizontalAdvance("Boards")
        write(painter, QRect(0, 0, at.right, high), "Boards", font, "ink2", right=True)
        if at.zero - metrics.horizontalAdvance("weaker") - gap > at.read + now.px(32):
            write(painter, QRect(0, 0, round(at.zero) - gap, high), "weaker", font, "ink2", right=True)
        if at.zero + metrics.horizontalAdvance("stronger") + 2 * gap < at.right - boards:
            write(painter, QRect(round(at.zero) + gap, 0, now.px(80), high), "stronger", font, "ink2")
        paint.hairline(painter, 0, self.width(), high, "edge")
        painter.end()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(26 if self._columns.compact else 30))
        self.update()
