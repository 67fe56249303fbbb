"""How a cell of the room's table is painted: the ball with tick, fall and name, a stage with bar and words."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTableView, QWidget

from arsenal.acts.event_views import BallLine, RoomCell
from arsenal.desk.event import rows
from arsenal.desk.event.columns import FALL, FALL_WIDE, HOME_NAME, TICK, Columns
from arsenal.desk.event.room_bar import REACH, bar, cell_words
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import ROW, Index, write
from arsenal.desk.theme import look

CELL = ROW + 1
SIDE = 18.0


class TablePainter(QStyledItemDelegate):
    """Grounds, lines, balls and cells; `columns` and `reach` are the view's."""

    def __init__(self, parent: object = None) -> None:
        super().__init__(parent)  # type: ignore[arg-type]
        self.columns = Columns(1, (), ())
        self.reach = REACH

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """The view sets the sizes."""
        return QSize(option.rect.size())

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """A control laid over a cell has the whole of it."""
        editor.setGeometry(option.rect)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one cell."""
        box: QRect = option.rect
        row, state = index.data(ROW), option.state
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        view = option.widget
        painter.save()
        painter.setClipRect(box)
        if chosen:
            painter.fillRect(box, look().color("sel"))
        if isinstance(row, rows.Divider):
            self._divider(painter, box, row, index.column())
        elif isinstance(row, BallLine):
            self._ball_or_cell(painter, box, row, index, chosen=chosen)
        if index.column() and self.columns.apart[index.column() - 1]:
            painter.fillRect(QRect(box.left(), box.top(), 1, box.height()), look().color("rule"))
        here = isinstance(view, QTableView) and view.hasFocus() and view.currentIndex() == index
        if chosen and here:
            paint.focus_ring(painter, box)
        painter.restore()

    def _ball_or_cell(self, painter: QPainter, box: QRect, row: BallLine, index: Index, *, chosen: bool) -> None:
        left = box.left()
        if index.column() == 0:
            left += look().px(self.columns.name_at(compact=rows.compact(row)))
        right = box.right() + 1 - (look().px(20) if index.column() == len(self.columns.stages) else 0)
        if not chosen:
            paint.hairline(painter, left, right, box.bottom())
        if index.column() == 0:
            self._ball(painter, box, row, chosen=chosen)
        elif isinstance(index.data(CELL), RoomCell):
            self._cell(painter, self.columns.stage_box(index.column() - 1, box), row, index.data(CELL), chosen)

    def _divider(self, painter: QPainter, box: QRect, row: rows.Divider, column: int) -> None:
        paint.hairline(painter, box.left(), box.right() + 1, box.top(), "edge")
        if column == 0:
            text = box.adjusted(look().px(HOME_NAME), 0, 0, 0)
            write(painter, text, row.title, look().font(12, 500), "ink2")
            paint.hairline(painter, text.left(), box.right() + 1, box.bottom())
        else:
            paint.hairline(painter, box.left(), box.right() + 1, box.bottom())

    # the ball

    def tick_box(self, box: QRect) -> QRect:
        """The square to tick in a ball's cell."""
        side = look().px(SIDE)
        return QRect(box.left() + look().px(TICK) - 1, box.center().y() - side // 2, side, side)

    def _ball(self, painter: QPainter, box: QRect, row: BallLine, *, chosen: bool) -> None:
        if chosen:
            painter.fillRect(QRect(box.left(), box.top(), 4, box.height()), look().color("hand"))
        token = "hand" if chosen else "ink2"
        tick(painter, self.tick_box(box), row, token)
        px, now = look().px, look()
        if rows.compact(row):
            self._low(painter, box, row)
            return
        at = px(self.columns.name_at(compact=False))
        if at > px(FALL):
            glyph = QRectF(box.left() + px(FALL), box.center().y() - px(17), px(FALL_WIDE), px(34))
            paint.fall(painter, glyph, row.set_grit, row.grit, token=token)
        name = QRect(box.left() + at, box.center().y() - px(21), box.width() - at - px(8), px(22))
        write(painter, name, row.name, now.font(15, 600), "ink")

    def _low(self, painter: QPainter, box: QRect, row: BallLine) -> None:
        """The name alone; finish and note stand under it."""
        px, now = look().px, look()
        left = box.left() + px(self.columns.name_at(compact=True))
        name = QRect(left, box.center().y() - px(20), box.right() - left - px(8), px(20))
        write(painter, name, row.name, now.font(13, 500), "ink2")

    # a stage

    def _cell(self, painter: QPainter, box: QRect, row: BallLine, cell: RoomCell, chosen: bool) -> None:
        px, ground = look().px, "sel" if chosen else "sheet"
        two = self.columns.narrow
        middle = box.center().y() - (px(8) if two else 0)
        bar(painter, QRect(box.left(), middle - px(18), box.width(), px(18)), cell, self.reach, ground)
        words = QRect(box.left(), middle + px(1 if row.taken else 0), box.width(), px(36 if two else 20))
        cell_words(painter, words, cell, px=13 if row.taken else 12, two_lines=two)


def tick(painter: QPainter, box: QRect, row: BallLine, token: str) -> None:
    """Filled with a tick for a ball that goes; pinned by hand has a bar below, left by hand a stroke through."""
    square, side, now = QRectF(box).adjusted(0.5, 0.5, -0.5, -0.5), float(box.width()), look()
    with paint.kept(painter):
        painter.setPen(QPen(now.color(token if row.taken else "edge"), 1.4))
        painter.setBrush(now.color(token) if row.taken else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(square, 3, 3)
        pen = QPen(now.color("sheet" if row.taken else "ink2"), 2.0 * max(1.0, now.scale))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        x, y = square.left(), square.top()
        if row.taken:
            shape = ((0.24, 0.52), (0.43, 0.70), (0.77, 0.32))
            painter.drawPolyline(QPolygonF([QPointF(x + a * side, y + b * side) for a, b in shape]))
        elif row.settled is False:
            painter.drawLine(QPointF(x + 0.28 * side, y + 0.5 * side), QPointF(x + 0.70 * side, y + 0.5 * side))
    if row.settled is True:
        painter.fillRect(QRect(box.left(), box.bottom() + now.px(3), box.width(), now.line(2)), now.color(token))
