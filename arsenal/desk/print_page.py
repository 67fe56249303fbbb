"""Paper drawn in millimetres: text on a base line, wrapped text, rules, boxes to tick; and the page of this place."""

from __future__ import annotations

from PySide6.QtCore import QLocale, QMarginsF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPageLayout, QPageSize, QPainter, QPen, QTextLayout, QTextOption

from arsenal.desk import fonts

PT_MM = 25.4 / 72.0
INK = QColor("#000000")


class Paper:
    """A painter whose unit is a millimetre, between a left and a right edge."""

    def __init__(self, painter: QPainter, left: float, right: float, top: float) -> None:
        self.p, self.left, self.right, self.y = painter, left, right, top

    def text(
        self,
        x: float,
        base: float,
        words: str,
        pt: float,
        weight: int = 400,
        *,
        side: str = "left",
        most: float = 200.0,
    ) -> float:
        """One line of plain text on its base line, shortened to `most` mm; how wide it came, in mm."""
        font = fonts.make(100, weight)
        metrics = QFontMetricsF(font)
        scale = pt * PT_MM / 100.0
        shown = metrics.elidedText(words, Qt.TextElideMode.ElideRight, most / scale)
        wide = metrics.horizontalAdvance(shown) * scale
        start = x - (wide if side == "right" else wide / 2.0 if side == "middle" else 0.0)
        self.p.save()
        self.p.translate(start, base)
        self.p.scale(scale, scale)
        self.p.setFont(font)
        self.p.drawText(QPointF(0.0, 0.0), shown)
        self.p.restore()
        return wide

    def width(self, words: str, pt: float, weight: int = 400) -> float:
        """How wide a line of text is, in mm."""
        return QFontMetricsF(fonts.make(100, weight)).horizontalAdvance(words) * pt * PT_MM / 100.0

    def wrapped(self, x: float, top: float, words: str, pt: float, weight: int = 400, *, most: float) -> float:
        """Plain text in lines of `most` mm from `top` on; its height in mm."""
        scale = pt * PT_MM / 100.0
        layout = QTextLayout(words, fonts.make(100, weight))
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        layout.setTextOption(option)
        layout.beginLayout()
        high = 0.0
        while (line := layout.createLine()).isValid():
            line.setLineWidth(most / scale)
            line.setPosition(QPointF(0.0, high))
            high += line.height()
        layout.endLayout()
        self.p.save()
        self.p.translate(x, top)
        self.p.scale(scale, scale)
        layout.draw(self.p, QPointF(0.0, 0.0))
        self.p.restore()
        return high * scale

    def rule(self, y: float, thick: float, left: float | None = None) -> None:
        """A line across."""
        start = self.left if left is None else left
        self.p.fillRect(QRectF(start, y - thick / 2.0, self.right - start, thick), INK)

    def tally_row(self, top: float, boxes: int) -> None:
        """Boxes for strokes, one a shot, as wide as the page lets them be."""
        many, gap = max(1, boxes), 0.6
        side = min(4.8, (self.right - self.left - gap * (many - 1)) / many)
        self.p.setPen(QPen(INK, 0.15))
        self.p.setBrush(Qt.BrushStyle.NoBrush)
        for number in range(many):
            self.p.drawRect(QRectF(self.left + number * (side + gap), top, side, min(side, 4.2)))

    def box(self, x: float, base: float, side: float, *, ticked: bool = False) -> None:
        """A box to tick, standing on the base line."""
        self.p.save()
        self.p.setPen(QPen(INK, 0.2))
        self.p.setBrush(Qt.BrushStyle.NoBrush)
        top = base - side + 0.3
        self.p.drawRect(QRectF(x, top, side, side))
        if ticked:
            self.p.setPen(QPen(INK, 0.4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
            middle = QPointF(x + 0.42 * side, top + 0.74 * side)
            self.p.drawLine(QPointF(x + 0.2 * side, top + 0.5 * side), middle)
            self.p.drawLine(middle, QPointF(x + 0.82 * side, top + 0.22 * side))
        self.p.restore()


def sheet_size() -> QPageSize:
    """A4, or letter where inches are usual."""
    letter = QLocale().measurementSystem() is QLocale.MeasurementSystem.ImperialUSSystem
    return QPageSize(QPageSize.PageSizeId.Letter if letter else QPageSize.PageSizeId.A4)


def sheet_layout() -> QPageLayout:
    """The upright page of this place without margins of its own."""
    return QPageLayout(sheet_size(), QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))
