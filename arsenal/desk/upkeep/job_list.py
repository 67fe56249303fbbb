"""The list of jobs as it is painted: mark, ball, work, boards lost, why, by, minutes; and its column heads."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect, QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, RowsView, write
from arsenal.desk.theme import look
from arsenal.desk.upkeep.following import Following
from arsenal.desk.upkeep.rows import Heading, JobRow

MOST_SHARE = 2.0
SHARES = {"ball": 0.20, "work": 0.18, "meter": 0.19, "why": 0.30}
"""Shares of the width between the mark and the two columns at the right; ball and why keep their words longest."""


class Columns:
    """Where each column lies in a row of a given width."""

    def __init__(self, box: QRect) -> None:
        px = look().px
        self.left, right = box.left() + px(46), box.right() - px(20)
        numbers = QFontMetricsF(look().font(14, 500))
        self.minutes = self._column(box, right - px(58), right)
        by = round(numbers.horizontalAdvance("Wed 28")) + px(8)
        self.by = self._column(box, self.minutes.left() - px(8) - by, self.minutes.left() - px(8))
        room = self.by.left() - px(8) - self.left
        x, gap = self.left, px(12)
        places: dict[str, QRect] = {}
        total = sum(SHARES.values())
        for name, share in SHARES.items():
            wide = round(room * share / total)
            places[name] = self._column(box, x, x + wide - gap)
            x += wide
        self.ball, self.work, self.meter, self.why = (places[n] for n in SHARES)

    @staticmethod
    def _column(box: QRect, left: int, right: int) -> QRect:
        return QRect(left, box.top(), max(0, right - left), box.height())


class JobPainter(RowPainter):
    """Headings and jobs."""

    height = 46
    line_from = 46
    line_to = 20

    def row_height(self, row: Any) -> float:
        """Headings are lower."""
        return 38 if isinstance(row, Heading) else self.height

    def line_below(self, row: Any) -> bool:
        """A heading draws its own, full and darker."""
        return isinstance(row, JobRow)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        if isinstance(row, Heading):
            self._heading(painter, box, row)
        else:
            self._job(painter, box, row, chosen=chosen)

    def _heading(self, painter: QPainter, box: QRect, row: Heading) -> None:
        px = look().px
        line = QRect(box.left() + px(20), box.top() + px(6), box.width() - px(40), box.height() - px(6))
        wide = write(painter, line, row.title, look().font(15, 600), "ink")
        rest = line.adjusted(round(wide) + px(10), 0, 0, 0)
        more = f"{row.detail}; E shows all" if row.folded else row.detail
        write(painter, rest, more, look().font(13), "ink2")
        paint.hairline(painter, line.left(), line.right() + 1, box.bottom(), "edge")

    def _job(self, painter: QPainter, box: QRect, row: JobRow, *, chosen: bool) -> None:
        px, at = look().px, Columns(box)
        size = px(15)
        paint.due_mark(painter, QRectF(box.left() + px(20), box.center().y() - size / 2, size, size), row.mark)
        quiet = "ink3" if row.left_out else "ink"
        self._two(painter, at.ball, row.ball, row.below, quiet)
        self._two(painter, at.work, row.work, row.job.how, quiet)
        if row.meter and not row.left_out and at.meter.width() > px(60):
            token = "warn" if row.mark in ("due", "over") else "edge"
            job, ground = row.job, "sel" if chosen else "sheet"
            bar = at.meter.adjusted(0, 0, -px(12), 0)
            paint.meter(
                painter, bar, job.share, job.share_low, job.share_high, most=MOST_SHARE, token=token, ground=ground
            )
        told = {"due": "warn", "over": "bad"}.get(row.mark, quiet)
        self._two(painter, at.why, row.why, row.detail, told)
        write(painter, at.by, row.by, look().font(14, 500), quiet, right=True)
        write(painter, at.minutes, row.minutes, look().font(14), "ink2", right=True)

    def _two(self, painter: QPainter, column: QRect, upper: str, lower: str, token: str) -> None:
        px = look().px
        half = column.height() // 2
        top = QRect(column.left(), column.top() + px(3), column.width(), half - px(2))
        write(painter, top, upper, look().font(14, 600), token)
        below = QRect(column.left(), column.top() + half, column.width(), half - px(3))
        write(painter, below, lower, look().font(12), "ink2")


class Heads(Following):
    """The column heads over the list; they follow its columns."""

    def __init__(self, rows: RowsView) -> None:
        super().__init__(rows)
        self.setAccessibleName("Columns: ball, work, boards lost since it settled in, why, by, minutes")
        look().changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(36))
        self.update()

    def sizeHint(self) -> QSize:
        """One line of captions."""
        return look().size(400, 36)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Captions and the line under them."""
        painter = QPainter(self)
        at = Columns(self.row())
        font = look().font(12, 500)
        long = QFontMetricsF(font).horizontalAdvance("Boards lost since it settled in")
        fits = at.meter.width()
        lost = "Boards lost since it settled in" if long <= fits else "How far to due"
        if QFontMetricsF(font).horizontalAdvance(lost) > fits:
            lost = "To due"
        for column, name in ((at.ball, "Ball"), (at.work, "Work"), (at.meter, lost), (at.why, "Why")):
            write(painter, column, name, font, "ink2", elide=False)
        write(painter, at.by, "By", font, "ink2", right=True)
        write(painter, at.minutes, "Minutes", font, "ink2", right=True)
        paint.hairline(painter, 0, self.width(), self.height() - 1, "edge")
        painter.end()
