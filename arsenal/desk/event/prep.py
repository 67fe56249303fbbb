"""The right side: the prep sheet by deadline with ticks, the rules in short, and the keys that print."""

from __future__ import annotations

import html
from datetime import timedelta
from typing import Any

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QStyleOptionViewItem, QVBoxLayout, QWidget

from arsenal.acts.event_views import EventPlan, Mark, PrepLine
from arsenal.desk.event import rows
from arsenal.desk.event.clock import Clock, ban_words
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.lists import ROW, Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

LINE_HIGH, LINE_TALL, HEAD_HIGH, TALL = 34.0, 44.0, 36.0, 880.0
MARK_AT, WHO_AT, FACT_AT = 21.0, 44.0, 92.0
NEAR = timedelta(hours=12)
LINE_LOW, MANY = 30.0, 14
"""Height of a line where there are many."""
WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop


class PrepModel(RowsModel):
    """Headings and lines; lines can be ticked where there is something to do."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(rows.spoken_prep, lambda row: isinstance(row, PrepLine), parent)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """With tick and hover."""
        row = self.row(index.row())
        if isinstance(row, PrepLine) and role == Qt.ItemDataRole.CheckStateRole and row.can_tick:
            return Qt.CheckState.Checked if row.mark is Mark.DONE else Qt.CheckState.Unchecked
        if isinstance(row, PrepLine) and role == Qt.ItemDataRole.ToolTipRole:
            told = f"{rows.spoken_prep(row)}. {row.hover}".strip()
            return f"<qt>{html.escape(told)}</qt>"
        return super().data(index, role)


class PrepPainter(RowPainter):
    """Mark, time or ball, what, minutes; the ban in `warn` with the time left."""

    height = LINE_HIGH
    line_from, line_to = WHO_AT, 20

    def __init__(self, clock: Clock) -> None:
        super().__init__()
        self._clock = clock

    def row_height(self, row: Any) -> float:
        """Headings are a little higher."""
        return HEAD_HIGH if isinstance(row, rows.PrepHead) else self.height

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """What is to be minded is as high as its words are long."""
        row, view = index.data(ROW), option.widget
        if isinstance(row, rows.PrepFact) and isinstance(view, RowsView):
            room = self._fact_words(QRect(0, 0, view.viewport().width(), 4000))
            told = QFontMetricsF(look().font(13)).boundingRect(QRectF(room), WRAPPED, row.words)
            return QSize(look().px(120), round(told.height()) + look().px(10))
        return super().sizeHint(option, index)

    @staticmethod
    def _fact_words(box: QRect) -> QRect:
        px = look().px
        return QRect(box.left() + px(WHO_AT + FACT_AT), box.top() + px(4), box.width() - px(WHO_AT + FACT_AT + 20),
                     box.height() - px(4))  # fmt: skip

    def line_below(self, row: Any) -> bool:
        """A heading draws its own."""
        return not isinstance(row, rows.PrepHead)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px, now = look().px, look()
        left, right = box.left() + px(20), box.right() + 1 - px(20)
        if isinstance(row, rows.PrepHead):
            line = QRect(left, box.top() + px(4), right - left, box.height() - px(4))
            write(painter, line, row.title, now.font(14, 600), "ink")
            paint.hairline(painter, left, right, box.bottom(), "edge")
            return
        if isinstance(row, rows.PrepFact):
            self._fact(painter, box, row)
            return
        side = px(13)
        mark = QRectF(box.left() + px(MARK_AT), box.center().y() - side / 2 + 1, side, side)
        paint.due_mark(painter, mark, rows.MARKS[row.mark])
        self._words(
            painter, QRect(box.left() + px(WHO_AT), box.top(), right - box.left() - px(WHO_AT), box.height()), row
        )

    def _fact(self, painter: QPainter, box: QRect, row: rows.PrepFact) -> None:
        px, now = look().px, look()
        name = QRect(box.left() + px(WHO_AT), box.top() + px(4), px(FACT_AT - 8), px(18))
        write(painter, name, row.name, now.font(12, 500), "ink2")
        painter.setFont(now.font(13))
        painter.setPen(now.color("ink"))
        painter.drawText(self._fact_words(box), WRAPPED, row.words)

    def _words(self, painter: QPainter, box: QRect, row: PrepLine) -> None:
        now, px, ban = look(), look().px, row.mark is Mark.BAN
        token = "warn" if ban else "ink2" if row.mark is Mark.DONE else "ink"
        at_right = ban_words(row.when, self._clock()) if ban else row.minutes
        wide = round(QFontMetricsF(now.font(13, 600)).horizontalAdvance(at_right)) + px(4)
        if at_right:
            font = now.font(13, 600 if ban else 400)
            write(painter, box, at_right, font, "warn" if ban else "ink2", right=True, elide=False)
            box = box.adjusted(0, 0, -wide - px(8), 0)
        first = row.at or row.who
        column = px(52) if row.at else min(px(112), box.width() * 2 // 5)
        took = write(
            painter, QRect(box.left(), box.top(), column - px(6), box.height()), first, now.font(14, 600), token
        )
        column = max(column, min(round(took) + px(10), box.width() * 2 // 5))
        rest = QRect(box.left() + column, box.top(), box.width() - column, box.height())
        what = f"{row.who}: {row.what}" if row.at and row.who else row.what
        done = "ink2" if row.mark is Mark.DONE else "ink"
        write(painter, rest, what, now.font(13, 600 if ban else 400), "warn" if ban or row.warn else done)


class PrepView(RowsView):
    """↑ ↓ another line, Space or Enter ticks."""

    ticked = Signal(object)
    menu_wanted = Signal(object, QPoint)

    def __init__(self, clock: Clock) -> None:
        super().__init__("Prep sheet", PrepModel(), PrepPainter(clock))
        self.setAccessibleDescription("Up and down choose a line, Space ticks it; a ticked job is written to the log")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrapped lines may need another height."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space and Enter tick."""
        row = self.in_hand()
        keys = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if isinstance(row, PrepLine) and Qt.Key(event.key()) in keys:
            self.ticked.emit(row)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on the mark ticks."""
        super().mousePressEvent(event)
        where = event.position().toPoint()
        row = self.rows_model.row(self.indexAt(where).row())
        on_mark = where.x() < look().px(WHO_AT - 2)
        if isinstance(row, PrepLine) and on_mark and event.button() is Qt.MouseButton.LeftButton:
            self.ticked.emit(row)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What the line is about."""
        row = self.in_hand()
        if isinstance(row, PrepLine):
            self.menu_wanted.emit(row, event.globalPos())


class PrepPane(QWidget):
    """Title, sheet, facts, keys."""

    def __init__(self, clock: Clock) -> None:
        super().__init__()
        self._clock = clock
        self.title, self.done = Plain("Prep sheet", px=15, weight=600), Plain("", px=13, token="ink2")
        self.view = PrepView(clock)
        self.facts = QGridLayout()
        self.facts.setColumnStretch(1, 1)
        self.print_key = KeyButton("Print", "P", primary=True, height=42)
        self.cards_key = KeyButton("Bag cards", "B", height=42)
        self.calendar_key = KeyButton("Calendar", "I", height=42)
        self._build()
        look().changed.connect(self._dress)
        self._dress()

    def _build(self) -> None:
        self._top, self._keys, self._foot = QHBoxLayout(), QHBoxLayout(), QVBoxLayout()
        self._top.addWidget(self.title)
        self._top.addStretch(1)
        self._top.addWidget(self.done)
        for key in self.keys():
            self._keys.addWidget(key, 1)
        for part in (self.facts, self._keys):
            self._foot.addLayout(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._top)
        column.addWidget(Line())
        column.addWidget(self.view, 1)
        column.addWidget(Line())
        column.addLayout(self._foot)

    def keys(self) -> tuple[KeyButton, KeyButton, KeyButton]:
        """Print, cards, calendar."""
        return self.print_key, self.cards_key, self.calendar_key

    def show_plan(self, plan: EventPlan | None) -> None:
        """Another plan; the line in hand stays where it is still there."""
        held = self.view.in_hand()
        sheet = plan.prep if plan else None
        self.done.setText(sheet.done if sheet else "")
        self.view.rows_model.set_rows(rows.prep_rows(sheet) if sheet else [])
        if isinstance(held, PrepLine):
            self.view.choose_where(lambda row: isinstance(row, PrepLine) and row.key == held.key)
        if plan is not None:
            self._show_ban(plan)
        while self.facts.count():
            item = self.facts.takeAt(0)
            old = item.widget() if item is not None else None
            if old is not None:
                old.hide()
                old.deleteLater()
        for number, (name, words) in enumerate(sheet.facts[: rows.PINNED] if sheet else ()):
            self.facts.addWidget(Plain(name, px=12, weight=500, token="ink2"), number, 0)
            self.facts.addWidget(Plain(words, px=13, elide=True), number, 1)
        for key in self.keys():
            key.setEnabled(plan is not None)

    def _show_ban(self, plan: EventPlan) -> None:
        """On the day itself the line of the ban is in sight."""
        line = rows.ban_line(plan)
        near = line is not None and line.when is not None and abs(line.when - self._clock()) < NEAR
        for number, row in enumerate(self.view.rows_model.rows()):
            if near and row == line:
                self.view.scrollTo(self.view.rows_model.index(number), PrepView.ScrollHint.PositionAtCenter)

    def show_ball(self, ball_id: int) -> None:
        """The first line of the ball in hand, unless one of its lines is in hand already."""
        held = self.view.in_hand()
        if not (isinstance(held, PrepLine) and held.ball_id == ball_id):
            self.view.choose_where(lambda row: isinstance(row, PrepLine) and row.ball_id == ball_id)

    def grow(self, high: float) -> None:
        """Lines are higher in a high window."""
        delegate = self.view.itemDelegate()
        lines = sum(isinstance(row, PrepLine) for row in self.view.rows_model.rows())
        wanted = LINE_TALL if high >= TALL and lines <= MANY else LINE_LOW if lines > MANY else LINE_HIGH
        if isinstance(delegate, PrepPainter) and delegate.height != wanted:
            delegate.height = wanted
            self.view.scheduleDelayedItemsLayout()

    def _dress(self) -> None:
        px = look().px
        self._top.setContentsMargins(px(20), px(8), px(20), px(7))
        self._foot.setContentsMargins(px(20), px(8), px(20), px(14))
        self._foot.setSpacing(px(8))
        self.facts.setHorizontalSpacing(px(10))
        self.facts.setVerticalSpacing(px(6))
        self._keys.setSpacing(px(10))
