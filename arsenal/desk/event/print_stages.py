"""The bag card of one stage on paper, as large as every bag card: the balls best first, what comes then, a tally."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from arsenal.acts.event_views import EventPlan, StageCard, StageCardRow
from arsenal.desk import pdf_file
from arsenal.desk.print_card import EDGE_MM, HEIGHT_MM, LEAST_PT, NAME_PT, WIDTH_MM, layout
from arsenal.desk.print_page import INK, Paper
from arsenal.trade import days

MOST_ROWS, ROWS_MM, ROW_MM = 10, 62.0, 9.4


class StageCardPainter(Paper):
    """Draws one card; the origin is the card's top left corner."""

    def __init__(self, painter: QPainter, plan: EventPlan, card: StageCard) -> None:
        super().__init__(painter, EDGE_MM, WIDTH_MM - EDGE_MM, EDGE_MM)
        self.plan, self.card = plan, card

    def draw(self) -> None:
        """The whole card."""
        wide = self.right - self.left
        self.text(self.left, self.y + 4.0, self.card.title, 12.5, 600, most=wide)
        self.text(self.right, self.y + 4.0, self.plan.bowler, 8.2, side="right", most=wide / 2.0)
        where = " · ".join(part for part in (self.plan.title, self.card.shots) if part)
        self.text(self.left, self.y + 8.2, where, 8.0, most=wide)
        self.y += 10.3
        self.rule(self.y, 0.45)
        self._rows()
        self._then()
        self._tally()
        self._foot()

    def _rows(self) -> None:
        self.text(self.left, self.y + 3.3, "Ball, and its finish", 6.8, 500)
        self.text(self.right, self.y + 3.3, "room, and its line", 6.8, 500, side="right")
        self.y += 4.6
        self.rule(self.y, 0.18)
        high = min(ROW_MM, ROWS_MM / max(1, min(MOST_ROWS, len(self.card.rows))))
        for row in self.card.rows[:MOST_ROWS]:
            self._row(row, high)

    def _row(self, row: StageCardRow, high: float) -> None:
        tight = min(1.0, high / 7.55)
        first, second = self.y + 0.42 * high, self.y + 0.82 * high
        if row.first:
            self.p.fillRect(QRectF(self.left, self.y + 0.5, 1.0, high - 1.0), INK)
        start, weight = self.left + 2.2, 600 if row.first else 400
        small = max(LEAST_PT, 7.2 * tight)
        taken = self.text(self.right, first, row.words, max(LEAST_PT, NAME_PT * tight), weight, side="right")
        room = self.right - start - taken - 3.0
        self.text(start, first, row.name, max(LEAST_PT + 0.4, NAME_PT * tight), 600, most=room)
        taken = self.text(self.right, second, row.line, small, side="right")
        self.text(start, second, row.finish, small, 500, most=self.right - start - taken - 3.0)
        self.y += high
        self.rule(self.y, 0.12)

    def _then(self) -> None:
        self.rule(self.y, 0.45)
        if self.card.then:
            self.y += self.wrapped(self.left, self.y + 1.4, self.card.then, 8.0, 600, most=self.right - self.left) + 2.0

    def _tally(self) -> None:
        self.text(self.left, self.y + 3.8, "Thrown, and what I saw", 6.8, 500)
        self.tally_row(self.y + 5.0, self.card.tally_boxes)

    def _foot(self) -> None:
        made, base = self.plan.made_at, HEIGHT_MM - EDGE_MM - 0.2
        words = f"Planned {days.day(made)} {made:%H:%M}."
        if len(self.card.rows) > MOST_ROWS:
            words += f" {len(self.card.rows) - MOST_ROWS} more balls are left out."
        ban = next((fact for name, fact in self.plan.prep.facts if name.startswith("Rule")), self.plan.rule.sentence)
        ban = ban.split(". ")[0]  # what the event's own sheet says word for word has its place on the prep sheet
        self.rule(base - 3.6, 0.45)
        self.text(self.left, base, ban[:1].upper() + ban[1:], 7.0, 600, most=self.right - self.left)
        self.text(self.left, base + 2.9, words, LEAST_PT, most=self.right - self.left)


def draw(painter: QPainter, plan: EventPlan, card: StageCard, per_mm: float, *, outline: bool = False) -> None:
    """Draw the card at the painter's origin with `per_mm` device units a millimetre."""
    painter.save()
    painter.scale(per_mm, per_mm)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if outline:
        pen = QPen(INK, 0.1)
        pen.setStyle(Qt.PenStyle.DotLine)
        painter.setPen(pen)
        painter.drawRect(QRectF(0.05, 0.05, WIDTH_MM - 0.1, HEIGHT_MM - 0.1))
    StageCardPainter(painter, plan, card).draw()
    painter.restore()


def write_pdf(path: Path, plan: EventPlan, cards: Sequence[StageCard]) -> Path:
    """One page a card; the file appears whole or not at all. Raises KnownError."""
    pages = [lambda painter, dots, card=card: draw(painter, plan, card, dots) for card in cards]
    return pdf_file.write_pdf(path, f"{plan.title}, bag cards", layout(), pages)
