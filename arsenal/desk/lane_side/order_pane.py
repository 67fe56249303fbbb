"""The left pane: heading, order list, remarks, and the keys that log, step down and print."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.acts.views import LaneSide
from arsenal.desk.lane_side.act_key import ActKey
from arsenal.desk.lane_side.order_list import Heading, OrderView
from arsenal.desk.lane_side.remarks import HIGH, Remarks
from arsenal.desk.lane_side.rows import ball_id, list_rows, reach
from arsenal.desk.parts import paint
from arsenal.desk.parts.text import Plain, set_tip
from arsenal.desk.theme import look

ROW, ROW_COMPACT, ROW_TALL = 52.0, 43.0, 66.0
HINT = "Enter  open on the Bench      Space  compare      ← →  pads      M  moves"


class OrderPane(QWidget):
    """Everything left of the line. `fit` gives the list its height, remarks what is left."""

    def __init__(self) -> None:
        super().__init__()
        self.compact = self.tall = self.whole = False
        self.view = OrderView()
        self.heading = Heading(self.view.painter)
        self.remarks = Remarks()
        self.hint = Plain(HINT, px=12, token="ink2", elide=True)
        self.thrown, self.saw = ActKey("Thrown", "T"), ActKey("I saw …", "I")
        self.down, self.card = ActKey("Ball down", "D"), ActKey("Card", "P")
        self.card.setAccessibleName("Print card")
        set_tip(self.thrown, "Log shots with the ball in hand.")
        set_tip(self.saw, "Keep how many boards the ball in hand ended stronger or weaker than another.")
        set_tip(self.down, "Take the next weaker ball in hand.")
        set_tip(self.card, "Print the bag card: this order on paper.")
        self._keys = QHBoxLayout()
        for button in (self.thrown, self.saw, self.down, self.card):
            self._keys.addWidget(button)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._column.setContentsMargins(0, 0, 0, 0)
        for widget in (self.heading, self.view):
            self._column.addWidget(widget)
        self._column.addWidget(self.remarks, 1)
        self._column.addStretch(0)
        self._column.addWidget(self.hint)
        self._column.addLayout(self._keys)
        self.view.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.view.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        look().changed.connect(self._dress)
        self._dress()

    def show_order(self, side: LaneSide, series: Mapping[int, int], hand: int | None, stays: int | None = None) -> None:
        """The whole order with the ball in hand and the balls drawn. `stays` is the series the ball in hand will have
        when another comes in hand, where it goes on being drawn.
        """
        self.view.painter.reach = reach(side.order.rows)
        self.view.rows_model.set_rows(list_rows(side, series, hand, stays))
        self.view.choose_where(lambda row: ball_id(row) == hand)
        self.view.viewport().update()
        strikes = [row.ball.id for row in side.order.rows]
        self.down.setEnabled(hand in strikes and hand != strikes[-1])
        self.saw.setEnabled(len(strikes) > 1 and hand in strikes)

    def show_remarks(self, side: LaneSide) -> None:
        """What is said about the set."""
        self.remarks.show_remarks(side.order.remarks)
        self.heading.update()
        self.fit()

    def set_mode(self, *, compact: bool, tall: bool, whole: bool) -> None:
        """`whole` shows every row: the pane lies in a scroll area."""
        if (compact, tall, whole) != (self.compact, self.tall, self.whole):
            self.compact, self.tall, self.whole = compact, tall, whole
            self._dress()

    def fit(self) -> None:
        """The list takes what it needs and leaves room for a remark and the keys."""
        now, painter = look(), self.view.painter
        below = self._keys.sizeHint().height() + now.px(24) + (now.px(24) if self.hint.isVisibleTo(self) else 0)
        spare = 0 if self.compact or self.whole else now.px(HIGH + 8)
        free = self.height() - self.heading.height() - below - spare
        painter.height = ROW_TALL if self.tall else ROW_COMPACT if self.compact else ROW
        self.view.doItemsLayout()
        wanted = self.view.wanted_height() + 1
        if self.tall and wanted > free:
            painter.height = ROW
            self.view.doItemsLayout()
            wanted = self.view.wanted_height() + 1
        if not self.whole and wanted > free > 0:
            painter.height = max(ROW_COMPACT, min(painter.height, painter.height * free / wanted))
            self.view.doItemsLayout()
            wanted = self.view.wanted_height() + 1
        self.view.setFixedHeight(wanted if self.whole else max(now.px(ROW_COMPACT), min(wanted, free)))
        self.remarks.setVisible(not self.compact)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the height again."""
        super().resizeEvent(event)
        self.fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The full rule under the list."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), self.view.geometry().bottom() + 1, "edge")
        painter.end()

    def _dress(self) -> None:
        now = look()
        self.view.painter.compact = self.compact
        self.heading._dress()  # noqa: SLF001 - the pane's own heading
        margin = now.px(14 if self.compact else 20)
        self._keys.setContentsMargins(margin, now.px(4), margin, now.px(8 if self.compact else 12))
        self._keys.setSpacing(now.px(8))
        for button in (self.thrown, self.saw, self.down, self.card):
            button.tight = self.compact
            button.updateGeometry()
        self.hint.setVisible(self.compact or self.tall)
        self.hint.setContentsMargins(margin, 0, margin, now.px(2))
        self.fit()
