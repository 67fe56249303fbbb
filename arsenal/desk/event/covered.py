"""The foot of the table: by which ball each stage is covered, and how well."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.acts.event_views import Covered, EventPlan, Reach
from arsenal.desk.event import rows
from arsenal.desk.event.columns import FALL
from arsenal.desk.event.table import EventTable
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import write
from arsenal.desk.theme import look

HIGH = 58.0
STATES = {Reach.GOOD: "done", Reach.BARELY: "soon", Reach.NONE: "over"}


class CoveredRow(QWidget):
    """Painted in the columns of the table; what it says is its accessible description."""

    def __init__(self, table: EventTable) -> None:
        super().__init__()
        self._table = table
        self._plan: EventPlan | None = None
        self.setAccessibleName("Covered by")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        table.resized.connect(self.update)
        look().changed.connect(self._dress)
        self._dress()

    def show_plan(self, plan: EventPlan | None) -> None:
        """Another plan."""
        self._plan = plan
        self.setAccessibleDescription(rows.spoken_covered(plan.stages, plan.covered) if plan else "")
        self.update()

    def sizeHint(self) -> QSize:
        """Two lines."""
        return look().size(300, HIGH)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the names under their stages."""
        if self._plan is None:
            return
        painter, px, now = QPainter(self), look().px, look()
        at = self._table.columns()
        paint.hairline(painter, 0, self.width(), 0, "edge")
        paint.hairline(painter, 0, self.width(), self.height() - 1, "edge")
        first = QRect(px(FALL - 2), px(9), at.ball - px(FALL), px(20))
        write(painter, first, "Covered by", now.font(13, 600), "ink")
        write(painter, first.translated(0, px(19)), self._plan.at_least, now.font(12), "ink2")
        x = at.ball - self._table.horizontalScrollBar().value()
        feet = {foot.stage: foot for foot in self._plan.covered}
        for number, (wide, stage) in enumerate(zip(at.stages, self._plan.stages, strict=True)):
            cell = QRect(x, 0, wide, self.height())
            foot = feet.get(stage.key)
            if foot is not None and x >= at.ball - px(4):
                self._foot(painter, at.stage_box(number, cell), foot)
            x += wide
        painter.end()

    def _foot(self, painter: QPainter, box: QRect, foot: Covered) -> None:
        px, now = look().px, look()
        side = px(13)
        paint.due_mark(painter, QRectF(box.left(), px(13), side, side), STATES[foot.reach])
        name = QRect(box.left() + px(19), px(9), box.width() - px(19), px(20))
        write(painter, name, foot.name, now.font(13, 600), "ink")
        token = {Reach.GOOD: "ink2", Reach.BARELY: "warn", Reach.NONE: "bad"}[foot.reach]
        write(painter, name.translated(0, px(19)), foot.more, now.font(12), token)

    def _dress(self) -> None:
        self.setFixedHeight(look().px(HIGH))
        self.update()
