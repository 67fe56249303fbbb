"""The table: balls down, stages across, a real model with words in every cell; the finish is a control in its row."""

from __future__ import annotations

import html
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QTableView, QWidget

from arsenal.acts.event_views import BallLine, EventPlan, RoomCell
from arsenal.desk.event import rows
from arsenal.desk.event.columns import Columns
from arsenal.desk.event.finish_word import RowControls
from arsenal.desk.event.heads import Heads
from arsenal.desk.event.room_bar import REACH
from arsenal.desk.event.rows import Row
from arsenal.desk.event.table_painter import TablePainter
from arsenal.desk.parts.lists import NOWHERE, ROW, Index
from arsenal.desk.theme import look

CELL = ROW + 1
BALL_ROW, BALL_LEAST, BALL_TALL, HOME_ROW, DIVIDER = 62.0, 52.0, 112.0, 42.0, 26.0
NARROW_MORE = 16.0
"""What a row grows by where a cell's words go in two lines."""


class TableModel(QAbstractTableModel):
    """Column 0 is the ball, then one a stage."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self.plan: EventPlan | None = None
        self._rows: list[Row] = []

    def show_plan(self, plan: EventPlan | None) -> None:
        """Another plan; where rows and columns stay, only what they say changes."""
        fresh = rows.table_rows(plan) if plan is not None else []
        before = [stage.key for stage in self.plan.stages] if self.plan else []
        same = plan is not None and before == [s.key for s in plan.stages]
        alike = [_who(row) for row in fresh] == [_who(row) for row in self._rows]
        if same and alike and fresh:
            self.plan, self._rows = plan, fresh
            last = self.columnCount() - 1
            self.dataChanged.emit(self.index(0, 0), self.index(len(fresh) - 1, last))
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, last)
            return
        self.beginResetModel()
        self.plan, self._rows = plan, fresh
        self.endResetModel()

    def rows(self) -> list[Row]:
        """Top to bottom."""
        return list(self._rows)

    def row(self, number: int) -> Row | None:
        """One, or None outside."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """Balls and the divider."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        """The ball and the stages."""
        return 0 if parent.isValid() or self.plan is None else 1 + len(self.plan.stages)

    def cell(self, index: Index) -> RoomCell | None:
        """A ball at a stage."""
        row = self.row(index.row())
        at = index.column() - 1
        return row.cells[at] if isinstance(row, BallLine) and 0 <= at < len(row.cells) else None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The record, its words, its tick, its hover."""
        row = self.row(index.row())
        if row is None:
            return None
        if role in (ROW, CELL):
            return row if role == ROW else self.cell(index)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._said(index, row)
        if role == Qt.ItemDataRole.CheckStateRole and index.column() == 0 and isinstance(row, BallLine):
            return Qt.CheckState.Checked if row.taken else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.ToolTipRole:
            told = self._hover(index, row)
            return f"<qt>{html.escape(told)}</qt>" if told else None
        return None

    def _said(self, index: Index, row: Row) -> str:
        if not isinstance(row, BallLine):
            return row.title if index.column() == 0 else ""
        if index.column() == 0:
            return rows.spoken_line(row)
        cell = self.cell(index)
        return rows.spoken_cell(self.plan.stages[index.column() - 1], cell) if cell and self.plan else ""

    def _hover(self, index: Index, row: Row) -> str:
        if not isinstance(row, BallLine):
            return ""
        if index.column() == 0:
            return " ".join(part for part in (f"{rows.spoken_line(row)}.", row.given_up) if part)
        cell = self.cell(index)
        if cell is None:
            return ""
        on = f"On {cell.line}: " if cell.line else ""
        return f"{on}{cell.words}. {cell.hover}".strip()

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:  # fmt: skip
        """Stages across, balls down, in words."""
        wanted = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
        if orientation is Qt.Orientation.Vertical:
            row = self.row(section)
            return getattr(row, "name", "") if role in wanted else None
        if self.plan is None or not 0 <= section <= len(self.plan.stages):
            return None
        if section == 0:
            said = f"Room on its own best line: {self.plan.side}"
            tip = f"<qt>{html.escape(said)}</qt>" if role == Qt.ItemDataRole.ToolTipRole else None
            return said if role in wanted else tip
        stage = self.plan.stages[section - 1]
        if role == ROW:
            return stage
        if role == Qt.ItemDataRole.ToolTipRole:
            told = " ".join(part for part in (stage.hover, f"{stage.likely}." if stage.likely else "") if part)
            return f"<qt>{html.escape(told)}</qt>" if told else None
        return rows.spoken_stage(stage) if role in wanted else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """The divider cannot be taken in hand; the tick is the user's."""
        if not isinstance(self.row(index.row()), BallLine):
            return Qt.ItemFlag.ItemIsEnabled
        both = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return both | Qt.ItemFlag.ItemIsUserCheckable if index.column() == 0 else both


def _who(row: Row) -> tuple[str, object]:
    return ("ball", row.ball_id) if isinstance(row, BallLine) else ("divider", row.title)


class EventTable(QTableView):
    """↑ ↓ another ball, ← → another stage, Space ticks, Enter opens the finishes of the ball in hand."""

    chosen = Signal(object)
    """The ball in hand: a BallLine."""
    ticked = Signal(object)
    """A BallLine whose tick was pressed."""
    finish_picked = Signal(int, object)
    """Ball, and the finish's name (None: as the plan says)."""
    menu_wanted = Signal(object, QPoint)
    opened = Signal(object)
    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.table = TableModel(self)
        self.setModel(self.table)
        self.painter = TablePainter(self)
        self.setItemDelegate(self.painter)
        self.heads = Heads(self.painter, self)
        self.setHorizontalHeader(self.heads)
        self._controls: list[RowControls] = []
        self._high = BALL_ROW
        self.setAccessibleName("Balls and stages")
        self.setAccessibleDescription("Up and down take a ball in hand, left and right another stage, Space takes it")
        self._behave()
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(1)
        self.selectionModel().currentChanged.connect(lambda now, _before: self._current(now))
        look().changed.connect(self.lay_out)

    def _behave(self) -> None:
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setFrameShape(QFrame.Shape.NoFrame)
        for off in (self.setShowGrid, self.setWordWrap, self.setTabKeyNavigation, self.setCornerButtonEnabled):
            off(False)
        self.setMouseTracking(True)

    # what is shown

    def show_plan(self, plan: EventPlan | None) -> None:
        """Another plan; the ball in hand stays."""
        held = self.in_hand()
        column = max(0, self.currentIndex().column())
        self.table.show_plan(plan)
        cells = [c for line in plan.rows for c in line.cells] if plan else []
        sizes = [v for c in cells for v in (c.in_boards, c.out_boards) if v is not None]
        self.painter.reach = max([REACH, *sizes])
        self._furnish()
        self.lay_out()
        if held is not None:
            self.choose(held.ball_id, column)
        self._rove()

    def _furnish(self) -> None:
        """A finish control in each ball's row."""
        here = self.table.rows()
        if len(self._controls) != len(here) or any(self.indexWidget(self.table.index(i, 0)) is not c
                                                   for i, c in enumerate(self._controls)):  # fmt: skip
            self._controls = [RowControls(self) for _ in here]
            for number, control in enumerate(self._controls):
                self.setIndexWidget(self.table.index(number, 0), control)
                control.finish_picked.connect(self.finish_picked)
        for control, row in zip(self._controls, here, strict=True):
            control.show_line(row if isinstance(row, BallLine) else None)

    def in_hand(self) -> BallLine | None:
        """The ball in hand."""
        row = self.table.row(self.currentIndex().row())
        return row if isinstance(row, BallLine) else None

    def choose(self, ball_id: int, column: int = 0) -> bool:
        """Take a ball in hand. False where it has no row."""
        for number, row in enumerate(self.table.rows()):
            if isinstance(row, BallLine) and row.ball_id == ball_id:
                self.setCurrentIndex(self.table.index(number, column))
                return True
        return False

    def control_of(self, ball_id: int) -> RowControls | None:
        """The finish control of a ball."""
        pairs = zip(self.table.rows(), self._controls, strict=True)
        return next((c for row, c in pairs if isinstance(row, BallLine) and row.ball_id == ball_id), None)

    # where everything stands

    def columns(self) -> Columns:
        """Widths at the present width."""
        plan = self.table.plan
        return Columns.of(self.viewport().width(), tuple(s.variant for s in plan.stages) if plan else ())

    def row_height(self, row: Row, high: float) -> int:
        """Of one row, where the balls taken get `high` at base text size."""
        more = NARROW_MORE if self.columns().narrow else 0.0
        if not isinstance(row, BallLine):
            return look().px(DIVIDER)
        return look().px((HOME_ROW if rows.compact(row) else high) + more)

    def wanted_height(self, high: float = BALL_ROW) -> int:
        """Heads and rows."""
        at = self.columns()
        across = at.ball + sum(at.stages) > self.viewport().width()
        below = self.horizontalScrollBar().sizeHint().height() if across else 0
        return self.heads.wanted_height() + below + sum(self.row_height(row, high) for row in self.table.rows())

    def lay_out(self, high: float | None = None) -> None:
        """Columns by the width, rows by what they are; `high` is kept for the next time."""
        if isinstance(high, float):
            self._high = high
        before, at = self.painter.columns, self.columns()
        self.painter.columns = at
        self.heads.setMinimumHeight(self.heads.wanted_height())
        for column, wide in enumerate((at.ball, *at.stages)):
            if column < self.table.columnCount() and self.columnWidth(column) != wide:
                self.setColumnWidth(column, wide)
        for control, row in zip(self._controls, self.table.rows(), strict=False):
            control.set_name_at(at.name_at(compact=isinstance(row, BallLine) and rows.compact(row)))
        for number, row in enumerate(self.table.rows()):
            tall = self.row_height(row, self._high)
            if self.rowHeight(number) != tall:
                self.setRowHeight(number, tall)
        if at != before:
            self.viewport().update()
            self.heads.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Columns follow."""
        super().resizeEvent(event)
        self.lay_out()
        self.resized.emit()

    # what is pressed

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space, Enter; ↑ ↓ step over the divider."""
        line, key = self.in_hand(), Qt.Key(event.key())
        if line is not None and key == Qt.Key.Key_Space:
            self.ticked.emit(line)
        elif line is not None and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2):
            control = self.control_of(line.ball_id)
            if control is not None:
                control.word.showMenu()
        elif event.text() and event.text().isprintable():
            event.ignore()
        else:
            super().keyPressEvent(event)

    def moveCursor(self, action: Any, modifiers: Any) -> QModelIndex:
        """The divider is stepped over."""
        index = super().moveCursor(action, modifiers)
        if index.isValid() and not index.flags() & Qt.ItemFlag.ItemIsSelectable:
            by = 1 if index.row() > self.currentIndex().row() else -1
            beyond = self.table.index(index.row() + by, index.column())
            return beyond if beyond.isValid() else self.currentIndex()
        return index

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on the box ticks."""
        super().mousePressEvent(event)
        where = event.position().toPoint()
        index = self.indexAt(where)
        row = self.table.row(index.row())
        if isinstance(row, BallLine) and event.button() is Qt.MouseButton.LeftButton and index.column() == 0:
            box: QRect = self.painter.tick_box(self.visualRect(index))
            if box.adjusted(-look().px(14), -look().px(14), look().px(10), look().px(14)).contains(where):
                self.ticked.emit(row)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Opens the ball."""
        row = self.table.row(self.indexAt(event.position().toPoint()).row())
        if isinstance(row, BallLine):
            self.opened.emit(row)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """By mouse or by the menu key."""
        where, line = event.globalPos(), self.in_hand()
        if event.reason() is QContextMenuEvent.Reason.Keyboard and self.currentIndex().isValid():
            where = self.viewport().mapToGlobal(self.visualRect(self.currentIndex()).center())
        if line is not None:
            self.menu_wanted.emit(line, where)

    def _current(self, now: QModelIndex) -> None:
        self._rove()
        row = self.table.row(now.row())
        if isinstance(row, BallLine):
            self.chosen.emit(row)

    def _rove(self) -> None:
        here = self.currentIndex().row()
        for number, control in enumerate(self._controls):
            control.set_reachable(number == here)
