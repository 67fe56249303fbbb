"""Two bowlers side by side: both orders on one scale of bars, both balls in hand on one chart.

Boards count from each one's own gutter, so that a left- and a right-hander read the same numbers.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.acts.coach import CoachRow
from arsenal.desk.coach import words
from arsenal.desk.coach.columns import NARROW
from arsenal.desk.coach.sheet import Line
from arsenal.desk.lane_side import curves
from arsenal.desk.lane_side import words as of_order
from arsenal.desk.lane_side.film import FilmLines
from arsenal.desk.lane_side.order_list import Heading, OrderModel, OrderPainter
from arsenal.desk.lane_side.plots import Plots
from arsenal.desk.lane_side.rows import BallRow, Reach, ball_id, list_rows, reach
from arsenal.desk.parts.lists import RowsView
from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

ROW, PLOTS_HIGH = 43.0, 220.0
"""Height of a row, and the least height the chart is worth showing at."""
LEGEND = "Boards from each one’s own gutter, both balls in hand:  ○ first read   ▼ breakpoint   ■ rolls"


class Side(QWidget):
    """One bowler: who, from where, the order, and where the ball in hand goes."""

    picked = Signal(object)
    """Another bowler, by id."""
    hand_picked = Signal(int, int)
    """A bowler and the ball taken in hand."""

    def __init__(self, place: str) -> None:
        super().__init__()
        self._bowler = 0
        self._setting = False
        self.top = Sentence(f"Bowler on the {place}")
        self.who = self.top.word(f"Bowler on the {place}")
        self.how = self.top.say("", optional=True)
        self.top.finish()
        self.painter = OrderPainter()
        self.painter.height, self.painter.compact = ROW, True
        self.view = RowsView(f"Order of the bowler on the {place}", OrderModel(), self.painter)
        self.heading = Heading(self.painter)
        self.marks = Plain("", px=12, token="ink2", wrap=True)
        self.missing = Plain("", px=14, token="ink2", wrap=True)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        for widget, stretch in ((self.top, 0), (self.heading, 0), (self.view, 1), (self.missing, 1), (self.marks, 0)):
            self._column.addWidget(widget, stretch)
        self.who.picked.connect(self.picked)
        self.view.chosen.connect(self._chosen)
        look().changed.connect(self._dress)
        self._dress()

    def show_line(self, line: Line, others: Sequence[Line], scale: Reach) -> None:
        """This bowler, and who else may stand here; `scale` is of the bars of both."""
        row, self._bowler = line.row, line.bowler.id
        self.who.set_word(line.bowler.name)
        self.who.set_choices([(one.bowler.name, one.bowler.id) for one in others], line.bowler.id)
        self.how.setText(_how(row))
        self.view.setAccessibleName(f"Order of {line.bowler.name}")
        side = row.side if row is not None else None
        for widget in (self.heading, self.view, self.marks):
            widget.setVisible(side is not None)
        self.missing.setVisible(side is None)
        self.missing.setText("Being read …" if row is None else row.missing)
        if row is not None and side is not None and row.hand is not None:
            self._setting = True
            self.painter.reach = scale
            self.view.rows_model.set_rows(list_rows(side, {}, row.hand.ball.id))
            hand = row.hand
            self.view.choose_where(lambda one: ball_id(one) == hand.ball.id)
            self._setting = False
            self.marks.setText(f"{hand.ball.name}: {of_order.marks(line.bowler, hand.trace)}")
            self.heading.update()
        self.top.fit()

    def wanted_height(self) -> int:
        """High enough for every ball of the order."""
        fixed = (
            max(self.top.height(), look().px(46))
            + self.heading.height()
            + self.marks.sizeHint().height()
            + look().px(12)
        )
        return fixed + self.view.wanted_height()

    def _chosen(self, row: object) -> None:
        if not self._setting and isinstance(row, BallRow) and not row.spare:
            self.hand_picked.emit(self._bowler, row.row.ball.id)

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(0, 0, 0, px(8))
        self.marks.setContentsMargins(px(20), px(8), px(20), 0)
        self.missing.setContentsMargins(px(20), px(12), px(20), 0)
        self.missing.setAlignment(Qt.AlignmentFlag.AlignTop)


def _how(row: CoachRow | None) -> str:
    """“left, lays it down on 22, over 15”, beside the name."""
    if row is None or row.side is None:
        return ""
    side = row.side
    return f"{words.hand(side.bowler)}, lays it down on {of_order.line(side.bowler, side.order.line)}"


class Pair(QWidget):
    """Both sides; in a narrow window one above the other."""

    picked = Signal(int, object)
    """0 left or 1 right, and the bowler to stand there."""
    hand_picked = Signal(int, int)

    def __init__(self) -> None:
        super().__init__()
        self.sides = (Side("left"), Side("right"))
        self.plots: Plots | None = None
        self._lines: tuple[Line, ...] = ()
        self._next = QTimer(self)
        self._next.setSingleShot(True)
        self._next.setInterval(0)
        self._next.timeout.connect(self._one_turn)
        self.legend = Plain(LEGEND, px=12, token="ink2", elide=True)
        self.legend.setContentsMargins(look().px(20), look().px(2), look().px(20), 0)
        self.legend.hide()
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.setSpacing(0)
        self._both = QWidget()
        self._whole.addWidget(self._both, 1)
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self._both)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(1)
        for number, side in enumerate(self.sides):
            self._box.addWidget(side, 1)
            side.picked.connect(lambda bowler, n=number: self.picked.emit(n, bowler))
            side.hand_picked.connect(self.hand_picked)

    def show_pair(self, left: Line, right: Line, every: Sequence[Line]) -> None:
        """These two; either may give way to any of `every` but the other."""
        self._lines = (left, right)
        sides = [line.row.side for line in self._lines if line.row is not None and line.row.side is not None]
        scale = reach([row for side in sides for row in side.order.rows])
        for side, line, other in zip(self.sides, (left, right), (right, left), strict=True):
            side.show_line(line, [one for one in every if one.bowler.id != other.bowler.id], scale)
        self._fit()
        self._draw()

    def _draw(self) -> None:
        """Both balls in hand on one chart, where there is room for it; it is made when first shown."""
        if self.plots is None or not self.plots.isVisibleTo(self):
            return
        made = []
        for series, line in enumerate(self._lines):
            if line.row is not None and line.row.hand is not None:
                hand = line.row.hand
                made.append(curves.curve(line.bowler.name, series, hand.trace, line.bowler, hand.shape_word))
        ends = next((line.row.side.contours.oil_ends_ft for line in self._lines if line.row and line.row.side), None)
        if ends is not None:
            self.plots.show_film(FilmLines((), ends))
        self.plots.show_curves(made[::-1])

    def _one_turn(self) -> None:
        """The chart is made in one turn and drawn in the next, so that the lists stand there first."""
        if self.plots is None:
            self._make_plots()
            self._next.start()
        else:
            self._fit()
            self._draw()

    def _make_plots(self) -> None:
        self.plots = Plots()
        self.plots.hide()
        self.plots.legend.hide()
        self.plots.setAccessibleName("Paths of both balls in hand in boards and skid left over feet")
        self.plots.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self._whole.addWidget(self.legend)
        self._whole.addWidget(self.plots, 1)

    def _fit(self) -> None:
        """The lists get what they need; what is left is the chart's, if it is enough."""
        need = max(side.wanted_height() for side in self.sides)
        wide = self._box.direction() is QBoxLayout.Direction.LeftToRight
        show = wide and self.isVisible() and self.height() - need >= look().px(PLOTS_HIGH)
        if show and self.plots is None:
            self._next.start()
        if self.plots is not None:
            self.plots.setVisible(show)
            self.legend.setVisible(show)
        self._both.setMaximumHeight(need if show else 16777215)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side, or one above the other."""
        super().resizeEvent(event)
        wide = look().logical(self.width()) >= NARROW
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._box.setDirection(way)
        if self._lines:
            self._fit()
            self._draw()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The line between them."""
        painter = QPainter(self)
        right = self.sides[1].geometry()
        if self._box.direction() is QBoxLayout.Direction.LeftToRight:
            painter.fillRect(right.left() - 1, 0, 1, self._both.height(), look().color("edge"))
        else:
            painter.fillRect(0, right.top() - 1, self.width(), 1, look().color("edge"))
        painter.end()
