"""One label: the ticket's number large, ball, owner, promise, serial, and the QR code; black only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import tzinfo
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QSizeF
from PySide6.QtGui import QPainter

from arsenal.desk.counter_prints import ink, ticket_rows
from arsenal.desk.counter_prints.ink import CounterPaper
from arsenal.desk.print_page import INK, PT_MM

if TYPE_CHECKING:
    from arsenal.acts.labels import Label

LEAST_PT, MOST_PT = 6.0, 34.0
SYMBOL_MM, SYMBOL_SHARE = 36.0, 0.45
"""Largest side of the code with its quiet zone, and its largest share of the width."""
FILLS = 0.74
"""Of a line's height that a font's size takes, so that lines do not touch."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line and its height beside the others'; a number is made smaller but never shortened."""

    words: str
    share: float
    weight: int
    number: bool = False
    beside: str = ""


def lines(label: Label, zone: tzinfo | None, *, initials: bool) -> list[Line]:
    """What a label says, top to bottom, the most dispensable last."""
    owner = label.initials if initials else label.owner
    if not label.number:
        return [Line(label.ball, 1.8, 600), Line(owner, 1.2, 500), Line(label.serial, 1.1, 500, number=True)]
    part = f"{label.part}/{label.parts}" if label.parts > 1 else ""
    promise = ticket_rows.when(label.promised_at, zone) if label.promised_at is not None else ""
    return [
        Line(str(label.number), 2.3, 600, number=True, beside=part), Line(label.ball, 1.35, 600),
        Line(promise, 1.1, 600, number=True), Line(owner, 1.0, 400), Line(label.serial, 0.95, 400, number=True),
    ]  # fmt: skip


class LabelPaper(CounterPaper):
    """Draws one label; the painter's unit is a millimetre, the origin its top left corner."""

    def __init__(self, painter: QPainter, size: QSizeF) -> None:
        self.wide, self.high = size.width(), size.height()
        self.edge = max(1.5, min(3.0, 0.07 * self.high))
        super().__init__(painter, self.edge, self.wide - self.edge, self.edge)

    def draw(self, label: Label, zone: tzinfo | None, *, initials: bool) -> None:
        """The whole label."""
        self.p.setPen(INK)
        side = min(self.high, SYMBOL_SHARE * self.wide, SYMBOL_MM)
        self.symbol(label.code, self.wide - side, (self.high - side) / 2.0, side)
        room = self.wide - side - self.edge
        shown = self._fitting([line for line in lines(label, zone, initials=initials) if ink.plain(line.words)])
        step = (self.high - 2.0 * self.edge) / max(4.6, sum(line.share for line in shown))
        free = self.high - 2.0 * self.edge - step * sum(line.share for line in shown)
        self.y += free / 2.0
        for line in shown:
            self._line(line, step, room)

    def _fitting(self, shown: list[Line]) -> list[Line]:
        """As many lines as can be read; the last go first."""
        while len(shown) > 1:
            step = (self.high - 2.0 * self.edge) / sum(line.share for line in shown)
            if FILLS * step * min(line.share for line in shown) / PT_MM >= LEAST_PT:
                break
            shown = shown[:-1]
        return shown

    def _line(self, line: Line, step: float, room: float) -> None:
        high = step * line.share
        pt = min(MOST_PT, FILLS * high / PT_MM)
        base = self.y + 0.5 * high + 0.36 * pt * PT_MM
        beside = ink.width(line.beside, LEAST_PT + 3.0, 500) + 1.5 if line.beside else 0.0
        if line.number:
            wide = self.number(self.left, base, line.words, pt, line.weight, most=room - beside)
        else:
            wide = self.name(self.left, base, line.words, pt, line.weight, least=LEAST_PT, most=room)
        if line.beside:
            self.text(self.left + wide + 1.5, base, line.beside, LEAST_PT + 3.0, 500)
        self.y += high


def draw(
    painter: QPainter, label: Label, size: QSizeF, at: QPointF, zone: tzinfo | None, dots: float, *, initials: bool
) -> None:  # fmt: skip
    """One label at `at` mm of a page, `dots` device units a millimetre."""
    painter.save()
    painter.scale(dots, dots)
    painter.translate(at)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    LabelPaper(painter, size).draw(label, zone, initials=initials)
    painter.restore()
