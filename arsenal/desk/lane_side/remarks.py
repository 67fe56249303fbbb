"""Remarks about the set under the list: a mark, a title and one line each; as many as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.lane_side.words import RELATIVE
from arsenal.desk.parts.marks import Mark
from arsenal.desk.parts.text import Plain, set_tip
from arsenal.desk.theme import look
from arsenal.order.records import Remark

HIGH = 46
MARK = {
    "overlap": "soon", "grown alike": "soon", "fallen": "soon", "lost": "due", "finding": "over", "benchmark": "soon",
    "line": "due", "gap": "soon",
}  # fmt: skip


class OneRemark(QWidget):
    """One remark."""

    def __init__(self, remark: Remark) -> None:
        super().__init__()
        mark = Mark()
        mark.show_state(MARK.get(remark.kind, "fine"))
        title, detail = (
            Plain(remark.title, px=14, weight=500, elide=True),
            Plain(remark.detail, px=12, token="ink2", elide=True),
        )
        self.setAccessibleName(f"{remark.title}. {remark.detail}")
        told = f"{remark.title}. {remark.detail}"
        set_tip(self, f"{told} {RELATIVE}" if remark.kind == "lane" else told)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, look().px(4), 0, look().px(4))
        grid.setHorizontalSpacing(look().px(9))
        grid.setVerticalSpacing(look().px(1))
        grid.addWidget(mark, 0, 0, Qt.AlignmentFlag.AlignVCenter)
        grid.addWidget(title, 0, 1)
        grid.addWidget(detail, 1, 1)
        grid.setColumnStretch(1, 1)
        self.setFixedHeight(look().px(HIGH))


class Remarks(QWidget):
    """The remarks, the one about the lane always among those shown."""

    room_changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Remarks about this set")
        self._remarks: tuple[Remark, ...] = ()
        self._moves: tuple[Remark, ...] = ()
        self._shown: tuple[Remark, ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self._widgets: list[OneRemark] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look().changed.connect(self._dress)
        self._dress()

    def show_remarks(self, remarks: Sequence[Remark]) -> None:
        """Other remarks."""
        self._remarks = tuple(remarks)
        self._fill()

    def show_moves(self, remarks: object) -> None:
        """What is said about moves, after the others; the first to give way."""
        self._moves = tuple(remarks) if isinstance(remarks, tuple) else ()
        self._fill()

    def shown(self) -> tuple[Remark, ...]:
        """Those there is room for."""
        return self._shown

    def has_room(self) -> bool:
        """Whether more than the remarks about the set would fit."""
        return self.isVisibleTo(self.window()) and self._room() > len(self._remarks)

    def _room(self) -> int:
        return max(0, (self.height() - look().px(8)) // look().px(HIGH))

    def minimumSizeHint(self) -> QSize:
        """May give all its room away."""
        return QSize(0, 0)

    def sizeHint(self) -> QSize:
        """Room for all of them."""
        return QSize(0, look().px(HIGH * (len(self._remarks) + len(self._moves)) + 12))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show what fits."""
        super().resizeEvent(event)
        self._fill()
        self.room_changed.emit()

    def _fill(self) -> None:
        room = self._room()
        lane = [r for r in self._remarks if r.kind == "lane"]
        rest = [r for r in self._remarks if r.kind != "lane"]
        chosen = rest[: max(0, room - len(lane))] + lane if len(self._remarks) > room else list(self._remarks)
        wanted = (*chosen, *self._moves)[:room]
        if wanted == self._shown:
            return
        self._shown = wanted
        for old in self._widgets:
            self._column.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._widgets = [OneRemark(remark) for remark in wanted]
        for number, widget in enumerate(self._widgets):
            self._column.insertWidget(number, widget)

    def _dress(self) -> None:
        now = look()
        self._column.setContentsMargins(now.px(19), now.px(6), now.px(20), 0)
        self._shown = ()
        self._fill()
        self.updateGeometry()
