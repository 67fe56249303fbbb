"""What one more would buy, and what the ball in hand is taken for: a short list under the table."""

from __future__ import annotations

import html
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QVBoxLayout, QWidget

from arsenal.acts.event_views import BallLine, EventPlan
from arsenal.desk.parts.lists import Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

ROW_HIGH = 32.0
LEFT = "Left at home"
"""How a plan begins to say what leaving a ball would cost; here the row says it."""


@dataclass(frozen=True, slots=True)
class Buy:
    """One line: what, what it would do, what it costs."""

    kind: str
    what: str
    effect: str
    cost: str
    hover: str = ""


def spoken(row: Buy) -> str:
    """For a screen reader."""
    return ", ".join(part for part in (row.kind, row.what, row.effect, row.cost) if part)


class BuysModel(RowsModel):
    """Lines that can be read, not chosen for anything."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(spoken, parent=parent)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """With the hover."""
        row = self.row(index.row())
        if role == Qt.ItemDataRole.ToolTipRole and isinstance(row, Buy):
            told = f"{spoken(row)}. {row.hover}".strip()
            return f"<qt>{html.escape(told)}</qt>"
        return super().data(index, role)


class BuysPainter(RowPainter):
    """Kind, what, effect, cost in four columns."""

    height = ROW_HIGH
    line_from = line_to = 20

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one line; the cost and what are kept whole longest."""
        if not isinstance(row, Buy):
            return
        px, now = look().px, look()
        left, right = box.left() + px(20), box.right() + 1 - px(20)
        room = right - left
        cost = round(QFontMetricsF(now.font(13)).horizontalAdvance(row.cost)) + px(4)
        kind = min(px(152), round(room * 0.20))
        what = min(px(300), round(room * 0.30))
        narrow = room < px(560)
        at = left + (0 if narrow else kind)
        if not narrow:
            write(painter, QRect(left, box.top(), kind - px(10), box.height()), row.kind, now.font(13, 500), "ink2")
        write(painter, QRect(at, box.top(), what - px(10), box.height()), row.what, now.font(13, 600), "ink")
        effect = QRect(at + what, box.top(), right - cost - px(12) - at - what, box.height())
        write(painter, effect, row.effect, now.font(13), "ink")
        write(painter, QRect(right - cost, box.top(), cost, box.height()), row.cost, now.font(13), "ink2", right=True)


class Buys(QWidget):
    """The heading, the lines, and why the bag is as it is."""

    def __init__(self) -> None:
        super().__init__()
        self._plan: EventPlan | None = None
        self.title = Plain("What one more would buy", px=14, weight=600)
        self.view = RowsView("What one more would buy", BuysModel(), BuysPainter())
        self.view.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.why = Plain("", px=12, token="ink2", wrap=True)
        self.why.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._column = QVBoxLayout(self)
        self.why_short = Plain("", px=12, token="ink2", elide=True)
        self._whole = True
        self._why = QVBoxLayout()
        for label in (self.why, self.why_short):
            self._why.addWidget(label)
        self._column.addWidget(self.title)
        self._column.addWidget(self.view)
        self._column.addLayout(self._why)
        look().changed.connect(self._dress)
        self._dress()

    def show_plan(self, plan: EventPlan | None, line: BallLine | None) -> None:
        """Another plan or another ball in hand."""
        self._plan = plan
        found = [Buy(m.kind, m.what, m.effect, m.cost, m.hover) for m in plan.more] if plan else []
        if line is not None and line.given_up:
            told = line.given_up.removeprefix(LEFT).lstrip(":, ").rstrip(".")
            found.append(Buy("Without", line.name, told, "", line.given_up))
        self.view.rows_model.set_rows(found)
        told = " ".join((*plan.sentences, *plan.notes)) if plan else ""
        self.why.setText(told)
        self.why_short.setText(told)
        self.whole(self._whole)
        self.view.setFixedHeight(look().px(ROW_HIGH) * len(found))
        self.setVisible(bool(found) or bool(told))

    def whole(self, on: bool) -> None:
        """Why the bag is as it is in as many lines as it takes, or the beginning in one line with the rest on hover."""
        self._whole = on
        told = bool(self.why.whole())
        self.why.setVisible(on and told)
        self.why_short.setVisible(not on and told)

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(0, px(8), 0, px(8))
        self._column.setSpacing(px(6))
        self.title.setContentsMargins(px(20), 0, px(20), 0)
        self._why.setContentsMargins(px(20), px(2), px(20), 0)
        self.view.setFixedHeight(px(ROW_HIGH) * self.view.rows_model.rowCount())
