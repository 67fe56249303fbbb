"""The bag card on paper: 85 × 120 mm, one ink; drawn in millimetres, the same to preview, printer and PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QMarginsF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPen

from arsenal.desk import pdf_file
from arsenal.desk.print_page import INK, Paper
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.views import BagCard, CardRow

WIDTH_MM, HEIGHT_MM, EDGE_MM = 85.0, 120.0, 5.0
NAME_PT, LEAST_PT = 9.2, 5.8
MOST_ROWS = 12
"""More rows could not be read; the foot says how many are left out."""


def signed(boards: float) -> str:
    """+4, 0, −5: whole boards with a true minus."""
    whole = round(boards)
    return "0" if whole == 0 else f"+{whole}" if whole > 0 else f"−{-whole}"


class CardPainter(Paper):
    """Draws one card; the painter's unit is a millimetre, the origin the card's top left corner."""

    def __init__(self, painter: QPainter, card: BagCard) -> None:
        super().__init__(painter, EDGE_MM, WIDTH_MM - EDGE_MM, EDGE_MM)
        self.card = card
        self._rows = max(1, min(MOST_ROWS, len(card.rows)))

    def draw(self) -> None:
        """The whole card."""
        self.p.setPen(INK)
        self._head()
        self._order()
        self._spares()
        self._moves()
        self._tally()
        self._foot()

    def _head(self) -> None:
        card = self.card
        side = self.text(self.right, self.y + 4.0, card.hand, 8.2, side="right")
        self.text(self.left, self.y + 4.0, card.bowler, 12.5, 600, most=self.right - self.left - side - 3.0)
        line = " · ".join(part for part in (card.lane, card.line) if part)
        self.text(self.left, self.y + 8.2, line, 8.0, most=self.right - self.left)
        self.y += 10.3
        self.rule(self.y, 0.45)

    def _order(self) -> None:
        reads = self.left + 0.71 * (self.right - self.left)
        self.text(self.left, self.y + 3.3, "Ball, and what it is", 6.8, 500)
        self.text(reads, self.y + 3.3, "reads", 6.8, 500, side="middle")
        self.text(self.right, self.y + 3.3, "boards", 6.8, 500, side="right")
        self.y += 4.6
        self.rule(self.y, 0.18)
        high = min(7.55, 53.0 / self._rows)
        for row in self.card.rows[:MOST_ROWS]:
            self._row(row, high, reads)

    def _row(self, row: CardRow, high: float, reads: float) -> None:
        tight = min(1.0, high / 7.55)
        first, second = self.y + 0.42 * high, self.y + 0.84 * high
        name = max(LEAST_PT + 0.4, NAME_PT * tight)
        small = max(LEAST_PT, 7.2 * tight)
        if row.in_hand:
            self.p.fillRect(QRectF(self.left, self.y + 0.5, 1.0, high - 1.0), INK)
        start = self.left + 2.2
        room = reads - start - 7.0
        self.text(start, first, row.name, name, 600, most=room)
        wide = self.text(start, second, row.finish, small, 600, most=room)
        flag = row.flag.removeprefix("same ")
        about = f", about {row.grit:.0f}" + (f", {flag}" if flag else "")
        self.text(start + wide, second, about, small, most=room + 1.0 - wide)
        self.text(reads, first, row.read_word, small, side="middle")
        self.text(reads, second, row.shape_word, small, side="middle")
        base = self.y + 0.66 * high
        self.text(self.right - 5.5, base, signed(row.boards), 11.5 * tight, 600, side="right")
        if not row.benchmark:
            self.text(self.right, base, f"± {max(1, round(row.boards_sd))}", small, side="right")
        self.y += high
        self.rule(self.y, 0.12)

    def _spares(self) -> None:
        self.rule(self.y, 0.45)
        for name, finish in self.card.spares[:2]:
            self.text(self.left + 2.2, self.y + 3.6, f"Spare: {name}, {finish}", 7.4, 500, most=70.0)
            self.y += 5.3
        if self.card.spares:
            self.rule(self.y, 0.45)

    def _moves(self) -> None:
        if not self.card.moves:
            return
        columns = (self.left, self.left + 23.0, self.left + 52.0)
        heads = (f"If {self.card.ball_in_hand} is", "with the feet", "then ball")
        for x, words, most in zip(columns, heads, (22.0, 28.0, 23.0), strict=True):
            self.text(x, self.y + 3.6, words, 6.6, 500, most=most)
        self.y += 5.0
        self.rule(self.y, 0.18)
        for move in self.card.moves[:4]:
            cells = ((move.saw, 600), (move.feet, 400), (move.then_ball, 400))
            for x, (words, weight), most in zip(columns, cells, (22.0, 28.0, 23.0), strict=True):
                self.text(x, self.y + 3.2, words, 7.4, weight, most=most)
            self.y += 4.45
            self.rule(self.y, 0.12)

    def _tally(self) -> None:
        self.text(self.left, self.y + 3.6, "Thrown, and what I saw", 6.8, 500)
        self.tally_row(self.y + 4.6, self.card.tally_boxes)
        self.y += 10.2

    def _foot(self) -> None:
        changed = ", ".join(self.card.changes)
        printed = self.card.printed_at
        words = f"Printed {days.day(printed)} {printed:%H:%M}."
        if len(self.card.rows) > MOST_ROWS:
            words += f" {len(self.card.rows) - MOST_ROWS} weaker balls are left out."
        if changed:
            words += f" Since your last card: {changed}"
        base = HEIGHT_MM - EDGE_MM - 0.2
        self.rule(base - 3.6, 0.45)
        self.text(self.left, base, self.card.rule_line, 7.6, 600, most=self.right - self.left)
        self.text(self.left, base + 2.9, words, LEAST_PT, most=self.right - self.left)


def draw(painter: QPainter, card: BagCard, per_mm: float, *, outline: bool = False) -> None:
    """Draw the card at the painter's origin with `per_mm` device units a millimetre."""
    painter.save()
    painter.scale(per_mm, per_mm)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if outline:
        pen = QPen(INK, 0.1)
        pen.setStyle(Qt.PenStyle.DotLine)
        painter.setPen(pen)
        painter.drawRect(QRectF(0.05, 0.05, WIDTH_MM - 0.1, HEIGHT_MM - 0.1))
    CardPainter(painter, card).draw()
    painter.restore()


def page() -> QPageSize:
    """The card as a page."""
    return QPageSize(QSizeF(WIDTH_MM, HEIGHT_MM), QPageSize.Unit.Millimeter, "Bag card")


def layout() -> QPageLayout:
    """The card's page without margins."""
    return QPageLayout(page(), QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))


def write_pdf(path: Path, cards: Sequence[BagCard]) -> Path:
    """One page a card; the file appears whole or not at all. Raises KnownError."""
    pages = [lambda painter, dots, card=card: draw(painter, card, dots) for card in cards]
    return pdf_file.write_pdf(path, "Bag card", layout(), pages)
