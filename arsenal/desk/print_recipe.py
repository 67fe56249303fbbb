"""A recipe on paper: one page of plain lines for the wall beside the bench."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QMarginsF, QPointF, QRectF
from PySide6.QtGui import QColor, QPageLayout, QPageSize, QPainter, QTextLayout, QTextOption

from arsenal.desk import fonts, pdf_file

if TYPE_CHECKING:
    from arsenal.acts.recipe_book import RecipeSheet

WIDTH_MM, HEIGHT_MM, EDGE_MM = 148.0, 210.0, 12.0
PT_MM = 25.4 / 72.0
INK = QColor("#000000")
Said = tuple[str, float, int]
"""(text, size in points, weight)."""


def lines(sheet: RecipeSheet) -> list[Said]:
    """What the page says, top to bottom; an empty text is a rule across."""
    told: list[Said] = [(sheet.title, 20.0, 600)]
    on = f"on {sheet.ball}: {sheet.leaves}, {sheet.learned}" if sheet.ball else ""
    told += [(sheet.whose, 10.0, 400), (on, 11.0, 400)] if on else [(sheet.whose, 10.0, 400)]
    told.append(("", 0.0, 0))
    told += [(step, 14.0, 500) for step in sheet.steps]
    told += [("", 0.0, 0), (f"About {sheet.minutes:.0f} minutes. {sheet.note}".strip(), 11.0, 400)]
    return [*told, *((caution, 10.0, 400) for caution in sheet.cautions)]


def layout() -> QPageLayout:
    """A5 upright, no margins of its own."""
    return QPageLayout(QPageSize(QPageSize.PageSizeId.A5), QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))


def draw(painter: QPainter, sheet: RecipeSheet, dots_a_mm: float) -> None:
    """The whole page; the painter's unit becomes a millimetre."""
    painter.save()
    painter.scale(dots_a_mm, dots_a_mm)
    painter.setPen(INK)
    y = EDGE_MM
    for text, points, weight in lines(sheet):
        if not text:
            painter.fillRect(QRectF(EDGE_MM, y + 2.0, WIDTH_MM - 2 * EDGE_MM, 0.3), INK)
            y += 5.0
        else:
            y += _wrapped(painter, text, points * PT_MM / 100.0, weight, y) + 1.6
    painter.restore()


def _wrapped(painter: QPainter, text: str, scale: float, weight: int, y: float) -> float:
    """Write wrapped lines at `y` mm; their height in mm."""
    page = QTextLayout(text, fonts.make(100, weight))
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    page.setTextOption(option)
    page.beginLayout()
    high = 0.0
    while (line := page.createLine()).isValid():
        line.setLineWidth((WIDTH_MM - 2 * EDGE_MM) / scale)
        line.setPosition(QPointF(0.0, high))
        high += line.height()
    page.endLayout()
    painter.save()
    painter.translate(EDGE_MM, y)
    painter.scale(scale, scale)
    page.draw(painter, QPointF(0.0, 0.0))
    painter.restore()
    return high * scale


def write_pdf(path: Path, sheet: RecipeSheet) -> Path:
    """The page as PDF; the file appears whole or not at all. Raises KnownError."""
    return pdf_file.write_pdf(path, sheet.title, layout(), [lambda painter, dots: draw(painter, sheet, dots)])
