"""One plot of the room on pyqtgraph: fixed axes, grid, pens from the look; `Chart` knows nothing of balls."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath, QPolygonF
from PySide6.QtWidgets import QGraphicsGridLayout, QSizePolicy

from arsenal.desk.theme import look
from arsenal.motion.records import Floats

AXIS = 46
"""Width of the left axis at base text size, the same in both plots or their feet would not line up."""
END_ROOM = 26
"""How far the last number may stand out beyond the axis."""
TICKS = tuple(range(10, 61, 10))


class Chart(pg.GraphicsWidget):  # type: ignore[misc]
    """Feet across, something up. Nothing moves by mouse; everything is recoloured by `dress`.

    A view box and two axes: the library's own plot item builds menus and controls that would keep the window waiting.
    """

    def __init__(self, *, feet_shown: bool) -> None:
        super().__init__()
        self._feet_shown = feet_shown
        self.vb = pg.ViewBox(enableMenu=False, enableMouse=False)
        self.vb.setDefaultPadding(0.0)
        self.vb.disableAutoRange()
        self.vb.setXRange(0.0, 60.0, padding=0.0)
        grid = QGraphicsGridLayout()
        grid.setContentsMargins(1, 1, 1, 1)
        grid.setSpacing(0)
        self._axes = {side: self._axis(side) for side in ("left", "bottom")}
        grid.addItem(self.vb, 0, 1)
        grid.addItem(self._axes["left"], 0, 0)
        grid.addItem(self._axes["bottom"], 1, 1)
        grid.setRowStretchFactor(0, 100)
        grid.setColumnStretchFactor(1, 100)
        self.setLayout(grid)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.grid = _under(self, QPainterPath(), z=-30)

    def _axis(self, side: str) -> pg.AxisItem:
        axis = pg.AxisItem(side, parent=self, showValues=True)
        axis.linkToView(self.vb)
        axis.setZValue(0.5)
        axis.setStyle(
            tickAlpha=0, tickLength=0, tickTextOffset=6, autoExpandTextSpace=False, hideOverlappingLabels=False
        )
        return axis

    def set_up(self, low: float, high: float, ticks: Sequence[tuple[float, str]]) -> None:
        """Range and numbers of the left axis."""
        self.vb.setYRange(low, high, padding=0.0)
        self._axes["left"].setTicks([list(ticks)])
        path = QPainterPath()
        for x in TICKS:
            path.moveTo(x, low)
            path.lineTo(x, high)
        for y, _ in ticks:
            path.moveTo(0.0, y)
            path.lineTo(60.0, y)
        self.grid.setPath(path)

    def dress(self) -> None:
        """Pens, fonts and lengths of the present look."""
        now = look()
        left, bottom = self._axes["left"], self._axes["bottom"]
        left.setWidth(now.px(AXIS))
        bottom.setHeight(now.px(24) if self._feet_shown else now.px(9))
        feet = [(float(x), "60 ft" if x == TICKS[-1] else str(x)) for x in TICKS] + [(15.0, "arrows")]
        bottom.setStyle(hideOverlappingLabels=now.px(END_ROOM))
        bottom.setTicks([feet] if self._feet_shown else [[]])
        for axis in (left, bottom):
            axis.setTickFont(now.font(12))
            axis.setTextPen(now.color("ink2"))
            axis.setPen(pg.mkPen(None))
        self.grid.setPen(now.pen("rule", 1.0))


def _under(chart: Chart, path: QPainterPath, z: float) -> pg.QtWidgets.QGraphicsPathItem:
    item = pg.QtWidgets.QGraphicsPathItem(path)
    item.setZValue(z)
    chart.vb.addItem(item, ignoreBounds=True)
    return item


def path_item(chart: Chart, z: float) -> pg.QtWidgets.QGraphicsPathItem:
    """An empty path in the chart's own units."""
    return _under(chart, QPainterPath(), z)


def path_of(x: Floats, y: Floats) -> QPainterPath:
    """Points joined by lines."""
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]))
    return path


def band_of(x: Floats, low: Floats, high: Floats) -> QPainterPath:
    """The closed area between two lines."""
    points = [QPointF(a, b) for a, b in zip(x.tolist(), high.tolist(), strict=True)]
    points += [QPointF(a, b) for a, b in zip(x[::-1].tolist(), low[::-1].tolist(), strict=True)]
    path = QPainterPath()
    path.addPolygon(QPolygonF(points))
    return path


def flat_text(chart: Chart, text: str = "", anchor: tuple[float, float] = (0.5, 0.5), z: float = 5.0) -> pg.TextItem:
    """Plain text that stays upright and keeps its size."""
    item = pg.TextItem(text, anchor=anchor)
    item.setZValue(z)
    chart.vb.addItem(item, ignoreBounds=True)
    return item


def dress_text(item: pg.TextItem, token: str, px: float = 12, weight: int = 400, *, ground: bool = False) -> None:
    """Colour and font of a text; with `ground` it covers the lines behind it."""
    item.setColor(look().color(token))
    item.setFont(look().font(px, weight))
    item.fill = pg.mkBrush(look().color("sheet")) if ground else pg.mkBrush(None)
    item.update()


def solid(token: str, alpha: float = 1.0) -> object:
    """A brush without a pen."""
    return pg.mkBrush(look().color(token, alpha))
