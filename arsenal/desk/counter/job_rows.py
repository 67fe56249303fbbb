"""A kept ticket’s balls and jobs as rows, each job with how far it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from arsenal.acts import hazards
from arsenal.desk.counter import words
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, write
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.desk.counter.asking import TicketCard
    from arsenal.trade.ticket import Job, TakenIn


@dataclass(frozen=True, slots=True)
class BallRow:
    """A ball of the ticket."""

    ball: int
    name: str
    right: str
    below: str
    danger: bool
    taken: TakenIn


@dataclass(frozen=True, slots=True)
class JobRow:
    """One job on it."""

    ball: int
    job: int
    name: str
    of: Job

    @property
    def state(self) -> str:
        """done, begun, waits."""
        return "done" if self.of.done_at else "begun" if self.of.begun_at else "waits"


Row = BallRow | JobRow


def rows_of(card: TicketCard) -> list[Row]:
    """Ball by ball."""
    rows: list[Row] = []
    for at, taken in enumerate(card.ticket.balls):
        name, serial = card.balls[at] or "a ball", card.serials[at]
        parts = [f"found {taken.found}" if taken.found else "", taken.reading, *taken.hazards, taken.note]
        if taken.reading_after:
            parts.append(f"after: {taken.reading_after}")
        below = ", ".join(part for part in parts if part)
        rows.append(BallRow(at, name, serial or "no serial", below, bool(hazards.of(taken)), taken))
        rows += [JobRow(at, place, job.said, job) for place, job in enumerate(taken.jobs)]
    return rows


def spoken(row: Row) -> str:
    """A row for a screen reader."""
    if isinstance(row, BallRow):
        return ", ".join(part for part in (row.name, row.right, row.below) if part)
    return f"{row.name}, {row.state}, {words.minutes(row.of.minutes)}"


class JobPainter(RowPainter):
    """Balls 34 or 52 where there is something to mind, jobs 36."""

    line_from = 30

    def row_height(self, row: Any) -> float:
        """By what it is."""
        return (52 if row.below else 36) if isinstance(row, BallRow) else 36

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px = look().px
        inner = box.adjusted(px(8), 0, -px(8), 0)
        if isinstance(row, BallRow):
            top = QRect(inner.left(), inner.top() + px(4), inner.width(), px(28)) if row.below else inner
            right = write(painter, top, row.right[:60], look().font(13), "ink2", right=True)
            name = top.adjusted(px(24), 0, -round(right) - px(12), 0)
            write(painter, top, str(row.ball + 1), look().font(14, 500), "ink2")
            write(painter, name, row.name[:200], look().font(15, 600), "ink")
            if row.below:
                low = QRect(inner.left() + px(24), inner.top() + px(29), inner.width() - px(24), px(18))
                write(painter, low, row.below[:300], look().font(13), "bad" if row.danger else "ink2")
            return
        side = px(15)
        mark = {"done": "done", "begun": "soon", "waits": "fine"}[row.state]
        paint.due_mark(painter, QRectF(inner.left() + px(24), box.center().y() - side / 2, side, side), mark)
        said = words.minutes(row.of.took_min if row.of.took_min is not None else row.of.minutes)
        told = f"{row.state}, {said}" if row.state != "waits" else said
        right = write(painter, inner, told, look().font(13), "ink2", right=True)
        name = inner.adjusted(px(50), 0, -round(right) - px(12), 0)
        write(painter, name, row.name[:200], look().font(15, 500), "ink2" if row.state == "done" else "ink")
