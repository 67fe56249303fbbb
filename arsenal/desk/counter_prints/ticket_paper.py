"""A ticket on paper: number, customer, balls and what is done to them, what it costs, the customer’s tear-off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPen

from arsenal.desk.counter_prints import ink, ticket_rows
from arsenal.desk.counter_prints.ink import CounterPaper, plain
from arsenal.desk.counter_prints.ticket_rows import Checks, Hazard, Head, Readings, Remark, Row, Service
from arsenal.desk.print_page import INK

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketView

WIDE_MM = 148.0
"""Everything is drawn for a page of this width, and smaller on a narrower one."""
EDGE, STUB, LEAST_PT = 9.0, 34.0, 5.8
HEAD, SHORT_HEAD, BALL_GAP = 28.0, 12.0, 3.0
HIGH = {Head: 6.6, Service: 5.9, Checks: 6.0, Readings: 5.6}
REMARK_PT, HAZARD_PT = 9.5, 10.5


@dataclass(frozen=True, slots=True)
class Page:
    """The rows of one page; a ball's first row begins it, or it goes on from the page before."""

    rows: tuple[Row, ...]
    last: bool


class TicketPaper(CounterPaper):
    """Draws the pages of one ticket; the painter's unit is a millimetre of a page `WIDE_MM` wide."""

    def __init__(self, painter: QPainter | None, view: TicketView, printed: datetime, page: QSizeF) -> None:
        self.scale = page.width() / WIDE_MM
        self.high = page.height() / self.scale
        super().__init__(painter, EDGE, WIDE_MM - EDGE, EDGE)  # type: ignore[arg-type]
        self.view, self.zone = view, printed.tzinfo
        self.least = LEAST_PT / self.scale
        self.wide = self.right - self.left

    # how it falls into pages

    def pages(self) -> list[Page]:
        """Rows page by page: a ball stays together where a page can hold it, the costs and the tear-off come last."""
        made: list[Page] = []
        rows: list[Row] = []
        free = self._room(first=True)
        for ball in ticket_rows.balls(self.view):
            need = sum(self.row_height(row) for row in ball)
            if rows and need > free and need <= self._room(first=False):
                made.append(Page(tuple(rows), last=False))
                rows, free = [], self._room(first=False)
            for row in ball:
                high = self.row_height(row)
                if rows and high > free:
                    made.append(Page(tuple(rows), last=False))
                    rows, free = [], self._room(first=False)
                rows.append(row)
                free -= high
        if rows and self._foot_height() > free:
            made.append(Page(tuple(rows), last=False))
            rows = []
        return [*made, Page(tuple(rows), last=True)]

    def _room(self, *, first: bool) -> float:
        return self.high - EDGE - (EDGE + (HEAD if first else SHORT_HEAD))

    def row_height(self, row: Row) -> float:
        """How high a row comes, in mm."""
        if isinstance(row, Remark):
            return ink.height(plain(row.words), REMARK_PT, most=self.wide - 7.0) + 0.8
        if isinstance(row, Hazard):
            return ink.height(plain(row.words), HAZARD_PT, 600, most=self.wide - 13.0) + 1.6
        more = BALL_GAP if isinstance(row, Head) else 0.0
        own_line = isinstance(row, Head) and row.known and not self._beside(row.serial)
        return HIGH[type(row)] + more + (5.0 if own_line else 0.0)

    def _beside(self, serial: str) -> bool:
        return ink.width(plain(serial), self.least) <= 0.45 * self.wide

    def _foot_height(self) -> float:
        note = plain(self.view.ticket.note)
        told = ink.height(note, REMARK_PT, most=0.55 * self.wide) if note else 0.0
        return max(9.0 + 5.4 * len(ticket_rows.pay(self.view.ticket)), 12.0 + told) + STUB

    # drawing

    def draw(self, number: int) -> None:
        """One page."""
        made = self.pages()
        page = made[number]
        self.p.setPen(INK)
        self._head() if number == 0 else self._short_head()
        if len(made) > 1:
            self.text(self.right, EDGE - 2.2, f"page {number + 1} of {len(made)}", self.least + 1.0, side="right")
        for at, row in enumerate(page.rows):
            if at and isinstance(row, Head):
                self.rule(self.y + BALL_GAP - 1.6, 0.2)
            self._row(row)
        if page.last:
            self._costs()
            self._stub()

    def _number(self) -> str:
        return f"No {self.view.ticket.id}" if self.view.ticket.id else "No number yet"

    def _head(self) -> None:
        view, ticket, top = self.view, self.view.ticket, self.y
        wide = self.number(self.right, top + 8.5, self._number(), 27.0, 600, side="right", most=0.6 * self.wide)
        room = self.wide - wide - 6.0
        self.name(self.left, top + 6.5, view.who, 17.0, 600, least=11.0, most=room)
        self.number(self.left, top + 13.0, view.phone, 11.5, most=room)
        base = top + 21.5
        taken = ticket.taken_in_at or ticket.written_at
        came = self.text(self.left, base, f"In {ticket_rows.when(taken, self.zone)}", 10.0)
        if ticket.while_you_wait:
            self.text(self.left + came + 4.0, base, "while you wait", 10.0, 600)
        self.text(self.right, base, f"Promised {ticket_rows.when(view.promise, self.zone)}", 14.0, 600, side="right")
        self.y = top + HEAD - 3.0
        self.rule(self.y, 0.6)

    def _short_head(self) -> None:
        wide = self.number(self.right, self.y + 5.0, self._number(), 15.0, 600, side="right", most=0.6 * self.wide)
        self.name(self.left, self.y + 5.0, self.view.who, 12.0, 600, least=9.0, most=self.wide - wide - 6.0)
        self.y += SHORT_HEAD - 3.0
        self.rule(self.y, 0.6)

    def _row(self, row: Row) -> None:
        high = self.row_height(row)
        if isinstance(row, Head):
            self._ball(row)
        elif isinstance(row, Remark):
            self.wrapped(self.left + 7.0, self.y + 0.2, plain(row.words), REMARK_PT, most=self.wide - 7.0)
        elif isinstance(row, Hazard):
            self.p.fillRect(QRectF(self.left + 7.0, self.y + 0.4, 1.6, high - 1.0), INK)
            self.wrapped(self.left + 11.0, self.y + 0.5, plain(row.words), HAZARD_PT, 600, most=self.wide - 13.0)
        elif isinstance(row, Service):
            self._service(row)
        elif isinstance(row, Checks):
            self._checks(row)
        else:
            self._readings(row)
        self.y += high

    def _ball(self, row: Head) -> None:
        base = self.y + BALL_GAP + 4.4
        beside = self._beside(row.serial)
        room = 0.45 * self.wide
        if not row.known:
            wide = self.name(self.right, base, row.serial, 9.5, least=8.0, side="right", most=room)
        elif beside:
            wide = self.number(self.right, base, row.serial, 12.0, 500, side="right", most=room)
        else:
            wide = -3.0
            self.number(self.left + 7.0, base + 5.0, row.serial, 9.5, 500, most=self.wide - 7.0)
        self.text(self.left, base, row.number, 12.0, 500)
        self.name(self.left + 7.0, base, row.name, 13.0, 600, least=9.5, most=self.wide - 7.0 - wide - 4.0)

    def _service(self, row: Service) -> None:
        base = self.y + 4.3
        self.box(self.left + 7.0, base, 3.6, ticked=row.done)
        price = self.text(self.right, base, row.price, 11.5, 600, side="right")
        column = max(18.0, price + 3.0)
        self.text(self.right - column, base, row.minutes, 9.5, side="right")
        self.name(self.left + 13.0, base, row.name, 11.0, 500, least=8.5, most=self.wide - 13.0 - column - 16.0)

    def _checks(self, row: Checks) -> None:
        base = self.y + 4.3
        x = self.left + 13.0 + self.text(self.left + 13.0, base, "Before heat:", 9.0, 600) + 3.0
        for words, ticked in row.boxes:
            self.box(x, base, 3.2, ticked=ticked)
            x += 5.0 + self.text(x + 4.8, base, words, 9.0) + 4.0

    def _readings(self, row: Readings) -> None:
        base, line = self.y + 4.0, 26.0
        if row.after:
            said = f"after {plain(row.after)}"
            wide = self.name(self.right, base, said, 9.5, 500, least=8.5, side="right", most=0.4 * self.wide)
        else:
            self.p.fillRect(QRectF(self.right - line, base + 0.4, line, 0.15), INK)
            wide = line + self.text(self.right - line - 1.5, base, "reading after", 8.5, side="right") + 1.5
        room = self.wide - 7.0 - wide - 4.0
        self.name(self.left + 7.0, base, row.found, REMARK_PT, least=8.2, most=room)

    def _costs(self) -> None:
        from arsenal.acts.services import money  # noqa: PLC0415 - heavy, and only printing needs it

        view, ticket = self.view, self.view.ticket
        top = self.high - EDGE - self._foot_height()
        self.rule(top, 0.6)
        base = top + 6.0
        price = self.text(self.right, base, view.price, 14.0, 600, side="right")
        self.text(self.right - max(22.0, price + 4.0), base, ticket_rows.minutes(view.minutes), 10.0, side="right")
        for name, cents in ticket_rows.pay(ticket):
            base += 5.4
            strong = 600 if name.startswith("To ") else 400
            self.text(self.right, base, money(cents), 10.5, strong, side="right")
            self.text(self.right - 22.0, base, name, 10.5, strong, side="right")
        base = top + 6.0
        wide = self.text(self.left, base, "Initials", 9.5) + 2.0
        if ticket.initials:
            self.name(self.left + wide, base, ticket.initials, 11.0, 600, least=8.0, most=40.0)
        else:
            self.p.fillRect(QRectF(self.left + wide, base + 0.4, 18.0, 0.15), INK)
        if ticket.note:
            self.wrapped(self.left, base + 2.0, plain(ticket.note), REMARK_PT, most=0.55 * self.wide)

    def _stub(self) -> None:
        view, top = self.view, self.high - EDGE - STUB + 5.0
        pen = QPen(INK, 0.25)
        pen.setDashPattern([6.0, 6.0])
        self.p.setPen(pen)
        self.p.drawLine(QRectF(0.0, top, WIDE_MM, 0.0).topLeft(), QRectF(0.0, top, WIDE_MM, 0.0).topRight())
        self.p.setPen(QPen(INK, 0.25))
        self.p.setBrush(Qt.BrushStyle.NoBrush)
        side, left = STUB - 7.0, self.left
        room = self.wide
        if view.code:
            self.symbol(view.code, self.right - side + 3.6, top + 3.0, side)
            room -= side
        self.p.setPen(INK)
        self.number(left, top + 13.0, self._number(), 24.0, 600, most=room)
        base = top + 19.5
        self.text(left, base, f"Promised {ticket_rows.when(view.promise, self.zone)}", 11.5, 600)
        balls = ticket_rows.count(len(view.balls), "ball")
        named = f"{balls}: {', '.join(plain(name) for name in view.balls)}"
        self.name(left, base + 5.3, named, 9.5, least=8.5, most=room)
        self.name(left, base + 10.0, f"{_open(view)}, {plain(view.who)}", 9.5, least=8.5, most=room)


def _open(view: TicketView) -> str:
    """What is open, as it is printed: “To pay 24.00”."""
    from arsenal.acts.services import money  # noqa: PLC0415 - heavy, and only printing needs it

    name, cents = ticket_rows.pay(view.ticket)[-1]
    return f"{name} {money(cents)}"


def pages(view: TicketView, printed: datetime, page: QSizeF) -> int:
    """How many pages a ticket has on this paper."""
    return len(TicketPaper(None, view, printed, page).pages())


def draw(painter: QPainter, view: TicketView, printed: datetime, page: QSizeF, number: int, dots_a_mm: float) -> None:
    """One page; the painter's unit becomes a millimetre."""
    painter.save()
    paper = TicketPaper(painter, view, printed, page)
    painter.scale(dots_a_mm * paper.scale, dots_a_mm * paper.scale)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paper.draw(number)
    painter.restore()
