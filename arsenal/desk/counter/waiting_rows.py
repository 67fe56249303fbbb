"""What stands under the finds: parked tickets with the keys that bring them back, the bench by promise and grain, or
the list of a count on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QFontMetricsF, QPainter

from arsenal.desk.counter import words
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import cap_width
from arsenal.desk.parts.lists import RowPainter, write
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.bench_queue import Waiting
    from arsenal.acts.counter_views import CounterView, Counts, TicketRow

FIRST_KEY, LAST_KEY = 3, 9
"""F3 to F9 bring parked tickets back; F1, F2, F6 and F10 are taken."""
SHOWN_NEXT = 60
LISTS = {
    "in": ("In the shop, not begun", "taken_in"), "bench": ("On the bench", "bench"), "ready": ("Ready", "ready"),
    "late": ("Late", "late"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Heading:
    """A title and what stands at its right."""

    title: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Parked:
    """A half-written ticket."""

    row: TicketRow
    key: str


@dataclass(frozen=True, slots=True)
class Next:
    """A job of the bench."""

    row: Waiting
    said: str


@dataclass(frozen=True, slots=True)
class Listed:
    """A ticket of a count’s list."""

    row: TicketRow
    said: str


@dataclass(frozen=True, slots=True)
class Quiet:
    """A sentence where nothing is."""

    said: str


Row = Heading | Parked | Next | Listed | Quiet


def parked_keys() -> list[str]:
    """F3 F4 F5 F7 F8 F9: F6 goes from pane to pane."""
    return [f"F{n}" for n in range(FIRST_KEY, LAST_KEY + 1) if n != 6]


def parked(counts: Counts, but: int = 0) -> list[Parked]:
    """Parked tickets but the one being written, oldest first, with their keys."""
    rows = [row for row in counts.parked if row.number != but]
    keys = [*parked_keys(), *("" for _ in rows)]
    return [Parked(row, key) for row, key in zip(rows, keys, strict=False)]


def rows_of(view: CounterView, now: datetime, but: int = 0) -> list[Row]:
    """Parked tickets, then the bench."""
    rows: list[Row] = []
    halves = parked(view.counts, but)
    if halves:
        rows += [Heading("Parked tickets", "half written, kept"), *halves]
    rows.append(Heading("Bench next", "by promise, then grain"))
    waits = view.bench_next[:SHOWN_NEXT]
    rows += [Next(row, words.promise(row.promised_at, now, late=row.late)) for row in waits]
    if not waits:
        rows.append(Quiet("Nothing waits. A ticket that is taken in stands here until it is done."))
    return rows


def list_of(view: CounterView, which: str, now: datetime) -> list[Row]:
    """The tickets behind a count."""
    title, field = LISTS[which]
    found = getattr(view.counts, field)
    rows: list[Row] = [Heading(title, "Esc goes back")]
    rows += [Listed(row, words.promise(row.promised_at, now, late=row.late)) for row in found]
    return rows if found else [*rows, Quiet("None.")]


def number_of(row: Row) -> int | None:
    """The ticket a row stands for."""
    if isinstance(row, Parked | Listed):
        return row.row.number
    return row.row.ticket if isinstance(row, Next) else None


def spoken(row: Row, now: datetime) -> str:
    """A row for a screen reader."""
    if isinstance(row, Heading):
        return f"{row.title}, {row.detail}".rstrip(", ")
    if isinstance(row, Quiet):
        return row.said
    if isinstance(row, Next):
        return words.spoken_waiting(row.row, now)
    key = f", key {row.key}" if isinstance(row, Parked) and row.key else ""
    return words.spoken_ticket(row.row, now) + key


class WaitingPainter(RowPainter):
    """Headings 40, parked and listed 46, jobs 34."""

    height = 34
    line_from = 44
    line_to = 20

    def row_height(self, row: Any) -> float:
        """By what it is."""
        return {Heading: 40, Parked: 47, Listed: 47, Quiet: 44}.get(type(row), self.height)

    def line_below(self, row: Any) -> bool:
        """A heading draws its own."""
        return not isinstance(row, Heading | Quiet)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        inner = box.adjusted(look().px(20), 0, -look().px(20), 0)
        if isinstance(row, Heading):
            self._heading(painter, inner, row)
        elif isinstance(row, Parked):
            self._two(painter, self._key(painter, inner, row.key), row.row.number, row.row.who, _below(row.row), "ink2")
        elif isinstance(row, Listed):
            token = "bad" if row.row.late else "ink2"
            self._mark(painter, inner, "over" if row.row.late else "")
            self._two(painter, inner, row.row.number, row.row.who, f"{row.row.balls}, {row.said}", token)
        elif isinstance(row, Next):
            self._next(painter, inner, row)
        else:
            write(painter, inner, row.said, look().font(13), "ink2")

    def _heading(self, painter: QPainter, box: QRect, row: Heading) -> None:
        px = look().px
        line = box.adjusted(0, px(8), 0, 0)
        wide = write(painter, line, row.title, look().font(15, 600), "ink")
        write(painter, line.adjusted(round(wide) + px(12), 0, 0, 0), row.detail, look().font(13), "ink2", right=True)
        paint.hairline(painter, box.left(), box.right() + 1, box.bottom(), "edge")

    def _key(self, painter: QPainter, box: QRect, key: str) -> QRect:
        if not key:
            return box
        wide, high = cap_width(key), look().px(21)
        cap = QRectF(box.right() - wide, box.center().y() - high / 2.0, wide, high)
        paint.key_cap(painter, cap, key, token="ink2")
        return box.adjusted(0, 0, -wide - look().px(10), 0)

    def _two(self, painter: QPainter, box: QRect, number: int, upper: str, lower: str, token: str) -> None:
        px, font = look().px, look().font(14, 600)
        left = max(px(46), round(QFontMetricsF(font).horizontalAdvance(str(number))) + px(10))
        top = QRect(box.left(), box.top() + px(4), box.width(), px(20))
        write(painter, top, str(number), font, "ink")
        write(painter, top.adjusted(left, 0, 0, 0), upper[:300], font, "ink")
        low = QRect(box.left() + left, box.top() + px(24), box.width() - left, px(18))
        write(painter, low, lower[:300], look().font(12, 500 if token == "bad" else 400), token)

    def _mark(self, painter: QPainter, box: QRect, state: str) -> None:
        if state:
            side = look().px(14)
            top = box.top() + look().px(26)
            paint.due_mark(painter, QRectF(box.left() + look().px(4), top, side, side), state)

    def _next(self, painter: QPainter, box: QRect, row: Next) -> None:
        px, waits = look().px, row.row
        side = px(15)
        state = "over" if waits.late else "soon" if waits.begun else "fine"
        token = "bad" if waits.late else "ink2"
        paint.due_mark(painter, QRectF(box.left(), box.center().y() - side / 2, side, side), state)
        x = px(24) + round(
            write(painter, box.adjusted(px(24), 0, 0, 0), str(waits.ticket), look().font(14, 600), "ink")
        )
        told = words.minutes(waits.minutes)
        least = QFontMetricsF(look().font(13)).horizontalAdvance("888 min")
        took = max(least, write(painter, box, told, look().font(13), "ink2", right=True))
        right = box.adjusted(0, 0, -round(took) - px(12), 0)
        font = look().font(13, 600 if waits.late else 500)
        said = "waits here" if waits.while_you_wait and not waits.late else row.said
        by = write(painter, right, said, font, token, right=True)
        middle = right.adjusted(x + px(10), 0, -round(by) - px(10), 0)
        name = write(painter, middle, waits.what[:200], look().font(14), "ink")
        rest = middle.adjusted(round(name) + px(8), 0, 0, 0)
        if rest.width() > px(40):
            write(painter, rest, waits.service[:200], look().font(12), "ink3")


def _below(row: TicketRow) -> str:
    return ", ".join(part for part in (row.balls, row.waits_for) if part)
