"""Boards above and skid left below over one axis of feet, one cursor through both, names and read-out at the right."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QObject, QPointF, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGraphicsView, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.lane_side.chart import Chart
from arsenal.desk.lane_side.curves import Curve, span
from arsenal.desk.lane_side.film import FilmLines
from arsenal.desk.lane_side.gutter import Names, Readout
from arsenal.desk.lane_side.layers import Cursor, Film, Paths, Pocket, ShapeBar
from arsenal.desk.lane_side.legend import Legend
from arsenal.desk.lane_side.turns import Turns
from arsenal.desk.parts import paint
from arsenal.desk.theme import look
from arsenal.trade.units import POCKET_BOARD

GUTTER, GUTTER_COMPACT = 154, 152
START_FT = 35.0
SKID_TICKS = ((0.0, "0 %"), (25.0, "25 %"), (50.0, "50 %"), (75.0, "75 %"), (100.0, "100 %"))


class Plots(QWidget):
    """The two plots. Arrow keys or the mouse move the cursor; Shift moves it 5 ft."""

    moved = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Paths in boards and skid left over feet")
        self.cursor_ft = START_FT
        self._curves: list[Curve] = []
        self._what_if: Curve | None = None
        self._span = (0.0, 0.0, 0.0)
        self._pocket = POCKET_BOARD
        self.legend = Legend()
        self.view = pg.GraphicsLayoutWidget()
        self.view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.view.setFrameShape(QGraphicsView.Shape.NoFrame)
        self.view.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.view.ci.setSpacing(0)
        self.view.setAntialiasing(True)
        self.boards, self.skid = Chart(feet_shown=False), Chart(feet_shown=True)
        self.view.addItem(self.boards, 0, 0)
        self.view.addItem(self.skid, 1, 0)
        self.skid.set_up(-4.0, 102.0, SKID_TICKS)
        self._turns = Turns(self)
        self._turns.begin(self._layers)
        self.names, self.readout = Names(self), Readout(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 2, 2, 2)
        column.setSpacing(0)
        column.addWidget(self.legend)
        column.addWidget(self.view, 1)
        self.names.raise_()
        self.readout.raise_()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.view.viewport().installEventFilter(self)
        self.view.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.boards.vb.sigResized.connect(lambda *_: self._place())
        look().changed.connect(self._dress)
        self._dress()

    def _layers(self) -> None:
        self.film = Film(self.boards, self.skid)
        self.pocket = Pocket(self.boards)
        self.above = Paths(self.boards, lambda c: c.boards, marks=("read", "breakpoint", "rolls"))
        self.below = Paths(self.skid, lambda c: c.skid, marks=("rolls",))
        self.shape = ShapeBar(self.skid)
        self.hair = Cursor(self.boards, self.skid)
        self._dress_layers()

    def show_film(self, film: FilmLines, *, forecast: bool = False) -> None:
        """Another condition; `forecast` where the film is reckoned from games bowled on it."""
        self._turns.finish()
        self.legend.forecast(forecast)
        self.film.show(film)
        self._span = (0.0, 0.0, 0.0)

    def show_curves(self, curves: Sequence[Curve], pocket: float = POCKET_BOARD) -> None:
        """Other balls; the path with a pad is taken away."""
        self._turns.finish()
        self._curves, self._pocket, self._what_if = list(curves), pocket, None
        low, high = span(self._curves, pocket)
        if (low, high, pocket) != self._span:
            self._span = (low, high, pocket)
            ticks = [(float(b), str(b)) for b in range(5, 40, 5) if low + 0.4 < b < high - 0.4]
            self.boards.set_up(low, high, ticks)
            self.film.place(low, high)
            self.pocket.show(pocket)
        self.above.show(self._curves)
        self.below.show(self._curves)
        self.shape.show(next((c for c in self._curves if c.series == 0), None))
        self.show_what_if(None)

    def show_what_if(self, curve: Curve | None, low: np.ndarray | None = None, high: np.ndarray | None = None) -> None:
        """The path with a pad and its doubt, or none."""
        self._what_if = curve
        self.above.show_what_if(curve, low, high)
        self.below.show_what_if(curve)
        self._tell()
        self._place_names()

    def _all(self) -> list[Curve]:
        every = [*self._curves, *([self._what_if] if self._what_if else [])]
        return sorted(every, key=lambda c: -c.ends)

    def put_cursor(self, feet: float) -> None:
        """Move the cursor."""
        feet = min(60.0, max(0.0, float(round(feet))))
        if feet != self.cursor_ft:
            self.cursor_ft = feet
            self._tell()
            self.moved.emit(feet)

    def _tell(self) -> None:
        self._turns.finish()
        self.hair.put(self.cursor_ft)
        self.readout.show_at(self.cursor_ft, self._all())
        self.setAccessibleDescription(self.readout.text())

    def _place_names(self) -> None:
        box = self.boards.vb.sceneBoundingRect()
        top = self.view.mapTo(self, self.view.mapFromScene(box.topLeft())).y()
        low, high = self.boards.vb.viewRange()[1]
        if high <= low or box.height() < 10:
            return

        def y(board: float) -> float:
            return float(top + (high - board) / (high - low) * box.height())

        self.names.show_names([(c.name, c.series, y(c.ends)) for c in self._all()], y(self._pocket), top)

    def _place(self) -> None:
        box = self.boards.vb.sceneBoundingRect()
        right = self.view.mapTo(self, self.view.mapFromScene(QPointF(box.right(), box.top()))).x()
        below = self.skid.vb.sceneBoundingRect()
        split = self.view.mapTo(self, self.view.mapFromScene(below.topLeft())).y()
        wide = self.width() - right - look().px(20)
        rows = self.readout.wanted_height(max(4, len(self._curves) + 1))
        start = min(split + look().px(2), self.height() - rows)
        self.names.setGeometry(QRect(right, 0, wide + look().px(20), start))
        self.readout.setGeometry(
            QRect(right + look().px(22), start, wide - look().px(22), max(10, self.height() - start))
        )
        self._place_names()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The mouse moves the cursor while pressed or hovering with a button held; a click takes the focus."""
        kind = event.type()
        if kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseMove) and isinstance(event, QMouseEvent):
            if event.buttons() & Qt.MouseButton.LeftButton:
                self.setFocus(Qt.FocusReason.MouseFocusReason)
                where = self.boards.vb.mapSceneToView(self.view.mapToScene(event.position().toPoint()))
                self.put_cursor(where.x())
                return True
        elif kind in (QEvent.Type.Wheel, QEvent.Type.MouseButtonDblClick, QEvent.Type.MouseButtonRelease):
            event.ignore()
            return kind is not QEvent.Type.Wheel
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → 1 ft, with Shift 5; Home and End."""
        step = 5.0 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
        ways = {
            Qt.Key.Key_Left: self.cursor_ft - step, Qt.Key.Key_Right: self.cursor_ft + step,
            Qt.Key.Key_Home: 0.0, Qt.Key.Key_End: 60.0,
        }  # fmt: skip
        to = ways.get(Qt.Key(event.key()))
        if to is None:
            super().keyPressEvent(event)
        else:
            self.put_cursor(to)

    def focusInEvent(self, event: object) -> None:
        """Show the ring."""
        self.update()

    def focusOutEvent(self, event: object) -> None:
        """Take the ring away."""
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ground and focus ring."""
        painter = QPainter(self)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect())
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place names and read-out again."""
        super().resizeEvent(event)
        self._place()

    def _dress(self) -> None:
        now = look()
        self.view.setBackground(now.color("sheet"))
        wide = now.px(GUTTER)
        self.view.ci.layout.setContentsMargins(0, now.px(2), wide + now.px(20) - now.px(4), 0)
        self.view.ci.layout.setRowStretchFactor(0, 56)
        self.view.ci.layout.setRowStretchFactor(1, 44)
        for chart in (self.boards, self.skid):
            chart.dress()
        if self._turns.idle():
            self._dress_layers()
        self._place()

    def _dress_layers(self) -> None:
        for layer in (self.film, self.pocket, self.above, self.below, self.shape, self.hair):
            layer.dress()
