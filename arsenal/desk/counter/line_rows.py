"""The lines of the ticket being written: each ball, and what can be ticked on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView

from arsenal.acts import hazards
from arsenal.desk.counter import words
from arsenal.desk.counter.tick_key import tick_box
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketLine, TicketView
    from arsenal.trade.ticket import TakenIn


@dataclass(frozen=True, slots=True)
class Head:
    """A ball on the ticket."""

    ball: int
    name: str
    right: str
    """Its serial, or why there is none."""
    missing: bool
    below: str
    danger: bool
    taken: TakenIn


@dataclass(frozen=True, slots=True)
class LineRow:
    """A service on it."""

    line: TicketLine


@dataclass(frozen=True, slots=True)
class NoServices:
    """The shop sells nothing yet."""

    said: str = "No services yet. Write down the usual ones"


Row = Head | LineRow | NoServices


def rows_of(view: TicketView) -> list[Row]:
    """Ball by ball."""
    rows: list[Row] = []
    for at, taken in enumerate(view.ticket.balls):
        serial = view.serials[at]
        worn = bool(taken.serial_missing) and not taken.serial
        missing = taken.ball_id is not None and not serial
        right = f"serial: {serial}" if worn else serial or ("no serial: why?" if missing else "only words")
        parts = [f"found {taken.found}" if taken.found else "", taken.reading, *taken.hazards, taken.note]
        below = ", ".join(part for part in parts if part)
        rows.append(Head(at, view.balls[at] or "a ball", right, missing, below, bool(hazards.of(taken)), taken))
        lines = [line for line in view.lines if line.ball == at]
        rows += [LineRow(line) for line in lines]
        if not any(line.service_id is not None for line in lines):
            rows.append(NoServices())
    return rows


def spoken(row: Row) -> str:
    """A row for a screen reader."""
    if isinstance(row, Head):
        return ", ".join(part for part in (f"ball {row.ball + 1}, {row.name}", row.right, row.below) if part)
    if isinstance(row, NoServices):
        return row.said
    line = row.line
    state = "ticked" if line.ticked else line.refused or "not ticked"
    return f"{line.name}, {state}, {words.minutes(line.minutes)}, {line.price}"


class LinePainter(RowPainter):
    """Balls 33, or 51 with what stands under them; lines 35."""

    line_from = 52
    line_to = 19

    def row_height(self, row: Any) -> float:
        """By what it is."""
        return (50 if row.below else 33) if isinstance(row, Head) else 35

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px = look().px
        inner = box.adjusted(px(19), 0, -px(19), 0)
        if isinstance(row, Head):
            self._head(painter, inner, row)
        elif isinstance(row, NoServices):
            write(painter, inner, row.said, look().font(14, 600), "hand")
        else:
            self._line(painter, inner, row.line)

    def _head(self, painter: QPainter, box: QRect, row: Head) -> None:
        px = look().px
        top = QRect(box.left(), box.top() + px(4), box.width(), px(26)) if row.below else box
        paint.hairline(painter, box.left(), box.right() + 1, box.top(), "edge")
        font = look().font(13, 600 if row.missing else 400)
        token = "warn" if row.missing else "ink2"
        wide = min(QFontMetricsF(font).horizontalAdvance(row.right) + 2, box.width() * 0.55)
        right = top.adjusted(box.width() - round(wide), 0, 0, 0)
        write(painter, right, row.right[:120], font, token, right=True)
        write(painter, top, str(row.ball + 1), look().font(14, 500), "ink2")
        write(painter, top.adjusted(px(20), 0, -round(wide) - px(10), 0), row.name[:200], look().font(15, 600), "ink")
        if row.below:
            low = QRect(box.left() + px(20), box.top() + px(27), box.width() - px(20), px(18))
            write(painter, low, row.below[:300], look().font(13), "bad" if row.danger else "ink2")

    def _line(self, painter: QPainter, box: QRect, line: TicketLine) -> None:
        px, side = look().px, look().px(20)
        may = not line.refused
        tick_box(painter, QRectF(box.left(), box.center().y() - side / 2, side, side), on=line.ticked, may=may)
        price = QFontMetricsF(look().font(14, 600)).horizontalAdvance("8888.88")
        font = look().font(14, 600 if line.ticked else 400)
        token = "ink" if line.ticked else "ink2"
        write(painter, box, line.price, font, token, right=True)
        middle = box.adjusted(px(33), 0, -round(price) - px(8), 0)
        told = line.refused or words.minutes(line.minutes)
        took = write(painter, middle, told, look().font(13), "bad" if line.refused else "ink2", right=True)
        name = middle.adjusted(0, 0, -round(took) - px(10), 0)
        write(painter, name, line.name[:200], look().font(14, 600 if line.ticked else 400), token)

    def line_below(self, row: Any) -> bool:
        """Balls draw theirs above."""
        return isinstance(row, LineRow)


class LinesView(RowsView):
    """Space or Enter ticks; Enter on a ball opens what is written of it. Nothing is taken off by a key alone."""

    ticked = Signal(object)
    """A TicketLine."""
    ball_wanted = Signal(int)
    usual_wanted = Signal()

    def __init__(self) -> None:
        super().__init__("Balls and services on the ticket", RowsModel(spoken), LinePainter())
        self.clicked.connect(lambda index: self._act(self.rows_model.row(index.row())))

    def show_view(self, view: TicketView) -> None:
        """Other rows; the one in hand stays in hand."""
        at, before = self.currentIndex().row(), self.rows_model.rowCount()
        rows = rows_of(view)
        if len(rows) != before:
            self.rows_model.set_rows([])
        self.rows_model.set_rows(rows)
        self.scheduleDelayedItemsLayout()
        if len(rows) == before and at >= 0:
            self.choose(at)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The row in hand stays in sight when a sentence below takes its room."""
        super().resizeEvent(event)
        self.scrollTo(self.currentIndex())

    def hold_first(self, ball: int) -> None:
        """The first line of a ball comes in hand."""
        if self.choose_where(lambda row: isinstance(row, LineRow) and row.line.ball == ball):
            head = self.rows_model.index(self.currentIndex().row() - 1)
            self.scrollTo(head, QAbstractItemView.ScrollHint.PositionAtTop)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space and Enter; Ctrl with Enter is the window’s."""
        key, plain = Qt.Key(event.key()), not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if plain and key in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._act(self.in_hand())
        else:
            super().keyPressEvent(event)

    def _act(self, row: Row | None) -> None:
        if isinstance(row, Head):
            self.ball_wanted.emit(row.ball)
        elif isinstance(row, LineRow):
            self.ticked.emit(row.line)
        elif isinstance(row, NoServices):
            self.usual_wanted.emit()
