"""Recipes as a table: what each is, and what it would do to the ball in hand."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter

from arsenal.desk.bench import pads
from arsenal.desk.parts.lists import RowPainter, write
from arsenal.desk.theme import look

HEADS = {**pads.HEADS, "pad": "Recipe", "uses": "", "cuts": "Steps"}


def label(row: Any) -> str:
    """“opener, solid” for the usual opener, else its name."""
    return f"usual opener, {row.recipe.name.removeprefix('opener ')}" if row.opener else str(row.recipe.name)


def spoken(row: Any) -> str:
    """A recipe for a screen reader."""
    shop = "the shop’s" if row.recipe.owner_id is None and not row.opener else ""
    told = [label(row), shop, row.steps, *pads.spoken_result(row)]
    return ", ".join(part for part in told if part)


def note(row: Any) -> tuple[str, bool]:
    """What stands below the table for the chosen recipe, and whether it is a warning."""
    warned = pads.warned(row)
    if warned:
        return f"{warned} Enter logs it.", True
    said = row.result.sentence if row.result is not None else ""
    kept = f"Enter logs it: {row.steps}{f' ({row.recipe.note})' if row.recipe.note else ''}."
    return f"{kept} {said}".strip(), False


class RecipePainter(RowPainter):
    """One recipe a row."""

    dim = False
    """Of another day than the one looked at."""

    height = 27
    line_from = 20
    line_to = 20

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        painter.setOpacity(0.5 if self.dim else 1.0)
        px, at = look().px, pads.columns(box)
        name = QRect(at["pad"].left(), box.top(), at["pad"].width() + px(6), box.height())
        write(painter, name, label(row), look().font(13, 600), "ink")
        steps = QRect(name.right() + px(10), box.top(), at["plays"].left() - name.right() - px(22), box.height())
        write(painter, steps, row.steps, look().font(12), "ink2")
        pads.paint_result(painter, box, at, row)
