"""Ink on the Counter's prints: plain words, words made smaller before they are shortened, QR symbols on whole dots."""

from __future__ import annotations

import math
import unicodedata

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QTextLayout, QTextOption

from arsenal.desk import fonts
from arsenal.desk.print_page import INK, PT_MM, Paper
from arsenal.exchange import qr

LONGEST = 400
"""No line of a ticket or label is made of more signs; measuring ten thousand would take as long as printing them."""
TURNS = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""Signs that turn the writing round; a serial beside them would be read backwards."""
LEAST_DOTS = 2.0
"""A module of fewer dots is drawn as it comes, a larger one as whole dots."""


def plain(words: str, most: int = LONGEST) -> str:
    """One line of what was typed: blanks for whatever breaks a line, nothing that turns the writing round."""
    turned = {
        "\u202a",
        "\u202b",
        "\u202c",
        "\u202d",
        "\u202e",
        "\u2066",
        "\u2067",
        "\u2068",
        "\u2069",
        "\u200e",
        "\u200f",
    }
    kept = "".join(
        " " if unicodedata.category(sign) in ("Cc", "Zl", "Zp") else sign
        for sign in words[: 2 * most]
        if sign not in turned
    )
    clean = " ".join(kept.encode("utf-8", "replace").decode().split())
    return clean if len(clean) <= most else clean[: most - 1] + "…"


def width(words: str, pt: float, weight: int = 400) -> float:
    """How wide a line comes, in mm."""
    return QFontMetricsF(fonts.make(100, weight)).horizontalAdvance(words) * pt * PT_MM / 100.0


def size_for(words: str, pt: float, least: float, most: float, weight: int = 400) -> float:
    """The size in points at which a line is at most `most` mm wide, between `least` and `pt`."""
    wide = width(words, pt, weight)
    return pt if wide <= most else max(least, math.floor(20.0 * pt * most / wide) / 20.0)


def height(words: str, pt: float, weight: int = 400, *, most: float) -> float:
    """How high wrapped text comes, in mm."""
    layout = QTextLayout(words, fonts.make(100, weight))
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    scale, high = pt * PT_MM / 100.0, 0.0
    layout.beginLayout()
    while (line := layout.createLine()).isValid():
        line.setLineWidth(most / scale)
        high += line.height()
    layout.endLayout()
    return high * scale


class CounterPaper(Paper):
    """Paper with shrinking lines and QR symbols."""

    def name(self, x: float, base: float, words: str, pt: float, weight: int = 400, *, least: float, side: str = "left",
             most: float) -> float:  # fmt: skip
        """A name: smaller down to `least`, then shortened; how wide it came, in mm."""
        clean = plain(words)
        return self.text(x, base, clean, size_for(clean, pt, least, most, weight), weight, side=side, most=most)

    def number(self, x: float, base: float, words: str, pt: float, weight: int = 400, *, side: str = "left",
               most: float) -> float:  # fmt: skip
        """A number, serial or time: smaller until it fits, never shortened; how wide it came, in mm."""
        clean = plain(words)
        return self.text(x, base, clean, size_for(clean, pt, 1.0, most, weight), weight, side=side, most=most + 1.0)

    def symbol(self, text: str, x: float, y: float, side: float) -> QRectF:
        """The QR symbol of a code, quiet zone and all, within a square; where its dark modules stand, in mm."""
        return symbol(self.p, text, QRectF(x, y, side, side))


def symbol(painter: QPainter, text: str, within: QRectF) -> QRectF:
    """Draw the QR symbol of a code into a square; where its dark modules stand. Modules are whole dots of the device
    where there are enough of them, so that a label printer does not blur them.
    """
    rows = qr.modules(text)
    to_dots = painter.deviceTransform()
    dots = to_dots.m11() * within.width() / len(rows)
    whole = dots >= LEAST_DOTS
    module = (math.floor(dots) if whole else dots) / to_dots.m11()
    free = within.width() - module * len(rows)
    corner = QPointF(within.left() + free / 2.0, within.top() + free / 2.0)
    if whole:
        at = to_dots.map(corner)
        corner = to_dots.inverted()[0].map(QPointF(round(at.x()), round(at.y())))
    path = QPainterPath()
    for down, row in enumerate(rows):
        for start, long in _runs(row):
            path.addRect(QRectF(corner.x() + start * module, corner.y() + down * module, long * module, module))
    path.setFillRule(Qt.FillRule.WindingFill)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, not whole)
    painter.fillPath(path, INK)
    painter.restore()
    return path.boundingRect()


def _runs(row: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Dark modules side by side, as (first, how many)."""
    found: list[tuple[int, int]] = []
    for at, dark in enumerate(row):
        if dark and found and sum(found[-1]) == at:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        elif dark:
            found.append((at, 1))
    return found
