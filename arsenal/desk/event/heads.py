"""The heads over the stages: title, shots on the pair, the line; a real header with words for a screen reader."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from arsenal.acts.event_views import StageHead
from arsenal.desk.event.columns import FALL
from arsenal.desk.event.table_painter import TablePainter
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import ROW, write
from arsenal.desk.theme import look

HIGH = 65.0


class Heads(QHeaderView):
    """Painted in the columns of the table."""

    def __init__(self, painter: TablePainter, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._columns = painter
        self.side = ""
        self.setAccessibleName("Stages")
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(1)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setAutoFillBackground(False)
        self.setStyleSheet("QHeaderView { background: transparent; border: none; }")

    def wanted_height(self) -> int:
        """Three lines."""
        return look().px(HIGH)

    def sizeHint(self) -> QSize:
        """Three lines."""
        return QSize(super().sizeHint().width(), self.wanted_height())

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Draw one head and the rule under it."""
        painter.save()
        painter.setClipRect(rect)
        painter.fillRect(rect, look().color("sheet"))
        stage = self.model().headerData(section, Qt.Orientation.Horizontal, ROW)
        if section == 0:
            self._first(painter, rect)
        elif isinstance(stage, StageHead):
            self._stage(painter, rect, section - 1, stage)
        paint.hairline(painter, rect.left(), rect.right() + 1, rect.bottom(), "edge")
        painter.restore()

    def _first(self, painter: QPainter, rect: QRect) -> None:
        px, now = look().px, look()
        line = QRect(rect.left() + px(FALL - 2), rect.top() + px(11), rect.width() - px(FALL), px(20))
        whole = "Room on its own best line"
        fits = QFontMetricsF(now.font(14, 600)).horizontalAdvance(whole) <= line.width()
        write(painter, line, whole if fits else "Room, own line", now.font(14, 600), "ink")
        small = now.font(12, 500)
        short = QFontMetricsF(small).horizontalAdvance(self.side) > line.width()
        write(painter, line.translated(0, px(19)), self.side.partition(",")[0] if short else self.side, small, "ink2")

    def _stage(self, painter: QPainter, rect: QRect, number: int, stage: StageHead) -> None:
        px, now = look().px, look()
        if self._columns.columns.apart[number]:
            painter.fillRect(QRect(rect.left(), rect.top() + px(8), 1, rect.height()), now.color("rule"))
        box = self._columns.columns.stage_box(number, rect)
        line = QRect(box.left(), rect.top() + px(6), box.width(), px(20))
        write(painter, line, stage.title, now.font(14, 600), "ink")
        shots = ", ".join(part for part in (stage.shots, stage.likely) if part)
        if stage.likely and QFontMetricsF(now.font(12)).horizontalAdvance(shots) > line.width():
            shots = f"{stage.shots}, if at all"
        write(painter, line.translated(0, px(18)), shots, now.font(12), "ink2")
        below = line.translated(0, px(35))
        write(painter, below, stage.line or "no line reaches", now.font(13, 500), "ink" if stage.line else "ink2")
