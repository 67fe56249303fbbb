"""Lists: a model of plain records, a view with one choice, and a delegate that lays ground, hairline and focus."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from arsenal.desk.parts import paint
from arsenal.desk.parts.text import unturned
from arsenal.desk.theme import look

ROW = Qt.ItemDataRole.UserRole + 1
Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()


class RowsModel(QAbstractListModel):
    """Rows of any record. `spoken` says a row to a screen reader, with `hover` to the mouse too; `pick` tells which
    rows can be chosen.
    """

    def __init__(
        self, spoken: Callable[[Any], str] = str, pick: Callable[[Any], bool] = lambda _row: True, parent: Any = None,
        *, hover: bool = False,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._spoken, self._pick, self._hover = spoken, pick, hover
        self._rows: list[Any] = []

    def set_rows(self, rows: Sequence[Any]) -> None:
        """Other rows; where their number stays, the view keeps its place."""
        if len(rows) == len(self._rows) and rows:
            self._rows = list(rows)
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self._rows = list(rows)
        self.endResetModel()

    def rows(self) -> list[Any]:
        """The rows, top to bottom."""
        return list(self._rows)

    def row(self, number: int) -> Any:
        """A row, or None outside."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """How many."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The record, or its words."""
        row = self.row(index.row())
        if row is None:
            return None
        if role == ROW:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._spoken(row)
        if role == Qt.ItemDataRole.ToolTipRole and self._hover:
            return f"<qt>{html.escape(self._spoken(row))}</qt>"  # wrapped, and nothing in it is markup
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Headings cannot be chosen."""
        row = self.row(index.row())
        if row is None or not self._pick(row):
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class RowPainter(QStyledItemDelegate):
    """Ground, edge, hairline and focus ring of a row; a subclass draws what is in it.

    `height` at base text size may be changed (52, compact 43, tall 66); `line_from` is where the hairline begins.
    """

    height: float = 52
    line_from: float = 0
    line_to: float = 0

    def row_height(self, row: Any) -> float:
        """Height of one row at base text size."""
        return self.height

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Of the row."""
        return QSize(look().px(120), look().px(self.row_height(index.data(ROW))))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw ground, then the row, then the line below."""
        box: QRect = option.rect
        state: QStyle.StateFlag = option.state
        view = option.widget
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        if chosen:
            paint.chosen_ground(painter, box, focused=view is not None and view.hasFocus())
        elif state & QStyle.StateFlag.State_MouseOver and index.flags() & Qt.ItemFlag.ItemIsSelectable:
            painter.fillRect(box, look().color("well"))
        row = index.data(ROW)
        painter.save()
        self.paint_row(painter, box, row, chosen=chosen)
        painter.restore()
        if not chosen and self.line_below(row):
            paint.hairline(
                painter, box.left() + look().px(self.line_from), box.right() + 1 - look().px(self.line_to), box.bottom()
            )

    def line_below(self, row: Any) -> bool:
        """Whether a hairline closes the row."""
        return True

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw what is in the row; the ground is there already (`sel` when chosen, else the view's)."""


class RowsView(QListView):
    """A list with one choice; it moves with ↑ ↓, Enter opens. Plain letters are left to the room's keys."""

    chosen = Signal(object)
    """The record that is now in hand (also when the program chose it)."""
    opened = Signal(object)

    def __init__(self, name: str, model: RowsModel, painter: RowPainter, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows_model = model
        self.setAccessibleName(name)
        self.setModel(model)
        self.setItemDelegate(painter)
        painter.setParent(self)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setMouseTracking(True)
        self.setUniformItemSizes(False)
        self.selectionModel().currentChanged.connect(lambda now, _before: self._tell(now))
        self.activated.connect(lambda index: self.opened.emit(index.data(ROW)))
        look().changed.connect(self._dress)

    def choose(self, number: int) -> None:
        """Take a row in hand."""
        index = self.rows_model.index(number)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def choose_where(self, test: Callable[[Any], bool]) -> bool:
        """Take the first row that passes `test` in hand. False where none does."""
        for number, row in enumerate(self.rows_model.rows()):
            if test(row):
                self.choose(number)
                return True
        return False

    def in_hand(self) -> Any:
        """The record in hand, or None."""
        return self.rows_model.row(self.currentIndex().row())

    def wanted_height(self) -> int:
        """Height that shows every row."""
        return sum(self.sizeHintForIndex(self.rows_model.index(i)).height() for i in range(self.rows_model.rowCount()))

    def keyboardSearch(self, search: str) -> None:
        """Letters are keys of the room, not a search in the list."""

    def _tell(self, index: QModelIndex) -> None:
        row = index.data(ROW)
        if row is not None:
            self.chosen.emit(row)

    def _dress(self) -> None:
        self.scheduleDelayedItemsLayout()
        self.viewport().update()


def write(
    painter: QPainter,
    box: QRect,
    text: str,
    font: QFont,
    token: str,
    *,
    right: bool = False,
    elide: bool = True,
) -> float:
    """Write one line of plain text in `box`, vertically centred, elided at its end; the width it took."""
    metrics, text = QFontMetricsF(font), unturned(text)
    shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, box.width() + 1) if elide else text
    painter.setFont(font)
    painter.setPen(look().color(token))
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine, shown)
    return metrics.horizontalAdvance(shown)
