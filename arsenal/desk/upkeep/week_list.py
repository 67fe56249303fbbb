"""The week as it is painted: day rows with what is done before play, what is played, and what follows."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.theme import look
from arsenal.desk.upkeep.following import Following
from arsenal.desk.upkeep.week_rows import WeekLine, spoken, work_words

DAY_WIDTH = 62
SHARES = (0.38, 0.28, 0.34)
"""Of what the day's name leaves: before play, play, after."""
NO_PLAY = (1.0, 0.0, 0.0)
NARROW = (0.5, 0.5, 0.0)
"""What follows play stands with it."""
NARROW_FITS = 480
HEADS = {
    SHARES: ("", "Before play", "Play", "After"), NO_PLAY: ("", "Work", "", ""),
    NARROW: ("", "Before play", "Play, and after", ""),
}  # fmt: skip


def columns(box: QRect, shares: tuple[float, float, float] = SHARES) -> tuple[QRect, QRect, QRect, QRect]:
    """Day, before play, play, after."""
    px = look().px
    left, right = box.left() + px(20), box.right() - px(16)
    room = max(0, right - left - px(DAY_WIDTH))
    x = left + px(DAY_WIDTH)
    cells = [QRect(left, box.top(), px(DAY_WIDTH) - px(8), box.height())]
    for share in shares:
        wide = round(room * share)
        cells.append(QRect(x, box.top(), max(0, wide - px(12)), box.height()))
        x += wide
    return cells[0], cells[1], cells[2], cells[3]


def shares_for(width: int, wanted: tuple[float, float, float]) -> tuple[float, float, float]:
    """The columns of a pane so wide in pixels."""
    return NARROW if wanted is SHARES and look().logical(width) < NARROW_FITS else wanted


class WeekPainter(RowPainter):
    """Lines of days; a hairline closes each day, today stands on the lighter plane."""

    line_from = 20
    line_to = 20

    def __init__(self) -> None:
        super().__init__()
        self.owners = False
        """Several bowlers are shown: the owner stands with the ball."""
        self.shares = SHARES

    def row_height(self, row: Any) -> float:
        """Lower where nothing stands on the day."""
        if not isinstance(row, WeekLine):
            return 40
        return 22 if row.low else 34 if row.quiet and not row.day.today else 40

    def line_below(self, row: Any) -> bool:
        """Only under a day."""
        return isinstance(row, WeekLine) and row.last

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one line."""
        if not isinstance(row, WeekLine):
            return
        if row.day.today and not chosen:
            painter.fillRect(box, look().color("sheet"))
            painter.fillRect(QRect(box.left(), box.top(), look().px(4), box.height()), look().color("hand"))
        shares = shares_for(box.width(), self.shares)
        day, before, play, after = columns(box, shares)
        together = shares is NARROW
        if row.number == 0:
            self._day(painter, day, row)
        if row.before is not None:
            alone = row.play is None and row.after_work is None and not row.after
            room = before.adjusted(0, 0, after.right() - before.right(), 0) if alone else before
            self._work(painter, room, row.before, same_pad=row.same_pad)
        if row.aside:
            wide = box.right() - look().px(20) - before.left()
            high = box.height() - look().px(2) if row.number else look().px(26)
            line = QRect(before.left(), box.top(), wide, high)
            write(painter, line, row.aside, look().font(12), "ink2")
        if row.play is not None:
            bar = QRect(play.left(), play.top() + look().px(5), look().px(3), play.height() - look().px(10))
            painter.fillRect(bar, look().color("warn" if row.play.kind == "event" else "edge"))
            words = f"{row.play.words}, clean after" if together and row.after else row.play.words
            self._two(painter, play.adjusted(look().px(12), 0, 0, 0), row.play.name, words, "ink")
        if row.after_work is not None:
            self._work(painter, play if together else after, row.after_work)
        elif row.after and not together:
            head, _, rest = row.after.partition(" ")
            self._two(painter, after, head, rest, "ink")

    def _day(self, painter: QPainter, cell: QRect, row: WeekLine) -> None:
        px, day = look().px, row.day
        top = QRect(cell.left(), cell.top() + px(3), cell.width(), cell.height() // 2 - px(2))
        token = "ink3" if row.quiet and row.last and not day.today else "ink"
        wide = write(painter, top, day.short, look().font(13, 600 if day.today else 500), token)
        write(painter, top.adjusted(round(wide) + px(6), 0, 0, 0), str(day.on.day), look().font(13, 500), token)
        if day.today:
            below = QRect(cell.left(), cell.top() + cell.height() // 2, cell.width(), cell.height() // 2 - px(3))
            write(painter, below, "today", look().font(12, 500), "hand")

    def _work(self, painter: QPainter, cell: QRect, item: Any, *, same_pad: bool = False) -> None:
        px = look().px
        side = px(12)
        paint.due_mark(painter, QRectF(cell.left(), cell.top() + px(7), side, side), item.mark)
        words = work_words(item, same_pad=same_pad)
        if self.owners and item.owner:
            words = f"{words}, {item.owner}"
        self._two(painter, cell.adjusted(px(20), 0, 0, 0), item.ball, words, "ink")

    @staticmethod
    def _two(painter: QPainter, cell: QRect, upper: str, lower: str, token: str) -> None:
        px = look().px
        half = cell.height() // 2
        top = QRect(cell.left(), cell.top() + px(3), cell.width(), half - px(2))
        below = QRect(cell.left(), cell.top() + half, cell.width(), half - px(3))
        if upper:
            write(painter, top, upper, look().font(14, 600), token)
        write(painter, below if upper else cell, lower, look().font(12), "ink2")


class WeekList(RowsView):
    """The week's lines; ← → ask for another week."""

    stepped = Signal(int)

    def __init__(self) -> None:
        self._painter = WeekPainter()
        super().__init__("The week", RowsModel(spoken), self._painter)

    def show_as(self, *, owners: bool, play: bool) -> None:
        """Whether the owner stands with each ball, and whether anything is played at all."""
        self._painter.owners, self._painter.shares = owners, SHARES if play else NO_PLAY

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Another week, or as a list does."""
        by = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if by is None or event.modifiers() & Qt.KeyboardModifier.AltModifier:
            super().keyPressEvent(event)
        else:
            self.stepped.emit(by)


class WeekHeads(Following):
    """The column heads over the week."""

    def __init__(self, rows: WeekList) -> None:
        super().__init__(rows)
        self._shares = SHARES
        look().changed.connect(self._dress)
        self._dress()
        self.show_as(play=True)

    def show_as(self, *, play: bool) -> None:
        """Without play there is one column for the work."""
        self._shares = SHARES if play else NO_PLAY
        self.setAccessibleName("Columns: day, before play, play, after" if play else "Columns: day, work")
        self.update()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(26))
        self.update()

    def sizeHint(self) -> QSize:
        """One line of captions."""
        return look().size(300, 26)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Captions and the line under them."""
        painter = QPainter(self)
        row = self.row()
        shares = shares_for(row.width(), self._shares)
        names = HEADS[shares]
        for cell, name in zip(columns(row, shares), names, strict=True):
            write(painter, cell, name, look().font(12, 500), "ink2")
        paint.hairline(painter, look().px(20), self.width() - look().px(20), self.height() - 1)
        painter.end()
