"""Labels that can be bought: one at a time from a roll, or a sheet of many. Sizes are common ones, from memory [M]."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLocale, QMarginsF, QPointF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize

A4, LETTER = QSizeF(210.0, 297.0), QSizeF(215.9, 279.4)


@dataclass(frozen=True, slots=True)
class Stock:
    """One size in mm; a sheet has columns and rows, a roll one of each."""

    name: str
    wide: float
    high: float
    sheet: QSizeF | None = None
    columns: int = 1
    rows: int = 1
    left: float = 0.0
    top: float = 0.0
    step_x: float = 0.0
    step_y: float = 0.0

    @property
    def many(self) -> int:
        """Labels on a page."""
        return self.columns * self.rows

    @property
    def page(self) -> QSizeF:
        """The page in mm."""
        return self.sheet or QSizeF(self.wide, self.high)

    def place(self, at: int) -> QPointF:
        """Where label `at` of a page stands, row by row."""
        row, column = divmod(at, self.columns)
        return QPointF(self.left + column * self.step_x, self.top + row * self.step_y)

    def layout(self) -> QPageLayout:
        """The page without margins of its own."""
        size = QPageSize(self.page, QPageSize.Unit.Millimeter, self.name, QPageSize.SizeMatchPolicy.ExactMatch)
        across = QPageLayout.Orientation.Portrait
        return QPageLayout(size, across, QMarginsF(0, 0, 0, 0))

    def pages(self, labels: int, first: int) -> int:
        """Pages for so many labels, the first of them at place `first`."""
        return max(1, -(-(first + labels) // self.many))


STOCKS = (
    Stock("57 × 32 mm", 57.0, 32.0), Stock("62 × 29 mm", 62.0, 29.0), Stock("89 × 36 mm", 89.0, 36.0),
    Stock("102 × 51 mm", 102.0, 51.0),
    Stock("A4, 3 × 8 of 70 × 37", 70.0, 37.0, A4, 3, 8, 0.0, 0.5, 70.0, 37.0),
    Stock("A4, 3 × 7 of 63.5 × 38.1", 63.5, 38.1, A4, 3, 7, 7.25, 15.15, 66.0, 38.1),
    Stock("letter, 3 × 10 of 2⅝ × 1 in", 66.675, 25.4, LETTER, 3, 10, 4.7625, 12.7, 69.85, 25.4),
    Stock("letter, 2 × 5 of 4 × 2 in", 101.6, 50.8, LETTER, 2, 5, 3.96875, 12.7, 106.3625, 50.8),
)  # fmt: skip
BY_NAME = {stock.name: stock for stock in STOCKS}


def usual() -> Stock:
    """A roll that most label printers take."""
    inches = QLocale().measurementSystem() is QLocale.MeasurementSystem.ImperialUSSystem
    return BY_NAME["57 × 32 mm" if inches else "62 × 29 mm"]
