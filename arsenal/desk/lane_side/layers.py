"""What lies on the plots: film, pocket, paths with marks, the bar of the shape, the cursor. Each can be recoloured."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtGui import QPainterPath

from arsenal.desk.lane_side.chart import Chart, band_of, dress_text, flat_text, path_item, path_of, solid
from arsenal.desk.lane_side.curves import POCKET_HALF, Curve
from arsenal.desk.lane_side.film import LEVELS, FilmLines, number_places
from arsenal.desk.theme import look
from arsenal.desk.tokens import SERIES, WHAT_IF_FILL
from arsenal.motion.records import Floats

OVER_CURSOR = 16.0
SYMBOL = {"read": "o", "breakpoint": "t", "rolls": "s"}


class Film:
    """Contours with numbers, and where the oil ends, through both plots."""

    def __init__(self, boards: Chart, skid: Chart) -> None:
        self._lines = path_item(boards, -20)
        self._ends = [path_item(chart, -15) for chart in (boards, skid)]
        self._numbers = {level: flat_text(boards, f"{level:.0f}", z=-10) for level in LEVELS}
        self._end_words = flat_text(skid, anchor=(0.0, 0.0), z=-10)
        self._words = flat_text(skid, "skid left", anchor=(0.0, 0.0), z=-10)
        self._words.setPos(0.5, 97.0)
        self._film: FilmLines | None = None

    def show(self, film: FilmLines) -> None:
        """Another condition."""
        self._film = film
        path = QPainterPath()
        for line in film.lines:
            path.addPath(path_of(line.feet, line.boards))
        self._lines.setPath(path)
        for item in self._ends:
            end = QPainterPath()
            end.moveTo(film.oil_ends_ft, -50.0)
            end.lineTo(film.oil_ends_ft, 150.0)
            item.setPath(end)
        self._end_words.setText(f"oil ends {film.oil_ends_ft:.0f} ft")
        self._end_words.setAnchor((0.0, 0.0) if film.oil_ends_ft < 48.0 else (1.0, 0.0))
        self._end_words.setPos(film.oil_ends_ft + (0.6 if film.oil_ends_ft < 48.0 else -0.6), 103.0)

    def place(self, low: float, high: float) -> None:
        """Put the numbers where their lines are visible."""
        placed = {u: (x, y) for u, x, y in number_places(self._film, low, high)} if self._film else {}
        for level, item in self._numbers.items():
            item.setVisible(level in placed)
            if level in placed:
                item.setPos(*placed[level])

    def dress(self) -> None:
        """Recolour."""
        self._lines.setPen(pg.mkPen(look().color("edge", 0.92), width=1.0, cosmetic=True))
        for item in self._ends:
            item.setPen(look().pen("ink2", 1.4, (2.0, 4.0)))
        for text in self._numbers.values():
            dress_text(text, "ink2", ground=True)
        dress_text(self._end_words, "ink2")
        dress_text(self._words, "ink", 12, 500)


class Pocket:
    """The pocket at the right edge."""

    def __init__(self, boards: Chart) -> None:
        self._item = path_item(boards, 4)

    def show(self, board: float) -> None:
        """Where it is."""
        path = QPainterPath()
        path.moveTo(59.85, board - POCKET_HALF)
        path.lineTo(59.85, board + POCKET_HALF)
        self._item.setPath(path)

    def dress(self) -> None:
        """Recolour."""
        self._item.setPen(look().pen("ink", 5.0))


class Paths:
    """Up to four paths and one with a pad, with their marks."""

    def __init__(self, chart: Chart, value: Callable[[Curve], Floats], marks: tuple[str, ...]) -> None:
        self._value, self._kinds = value, marks
        self._chart = chart
        self._band = path_item(chart, 0)
        self._lines = [pg.PlotCurveItem(antialias=True, skipFiniteCheck=True) for _ in SERIES]
        self._what_if = pg.PlotCurveItem(antialias=True, skipFiniteCheck=True)
        self._marks = pg.ScatterPlotItem(antialias=True, pxMode=True)
        for number, line in enumerate(self._lines):
            line.setZValue(20 - 2 * number)
        self._what_if.setZValue(19)
        self._marks.setZValue(24)
        for item in (*self._lines, self._what_if, self._marks):
            chart.vb.addItem(item, ignoreBounds=True)
        self._curves: list[Curve] = []

    def show(self, curves: Sequence[Curve]) -> None:
        """Other paths."""
        self._curves = list(curves)
        by_series = {c.series: c for c in curves}
        for number, line in enumerate(self._lines):
            found = by_series.get(number)
            line.setVisible(found is not None)
            if found is not None:
                line.setData(found.feet, self._value(found))
        self._show_marks()

    def _show_marks(self) -> None:
        now, spots = look(), []
        for curve in self._curves:
            token = SERIES[curve.series].token
            large = now.px(10 if curve.series == 0 else 8)
            for mark in curve.marks:
                if mark.kind in self._kinds:
                    y = mark.board if len(self._kinds) > 1 else 0.0
                    ring = mark.kind == "read"
                    spots.append({
                        "pos": (mark.feet, y), "symbol": SYMBOL[mark.kind], "size": large,
                        "pen": pg.mkPen(now.color(token), width=2.0) if ring else pg.mkPen(now.color("sheet"), width=1),
                        "brush": solid("sheet" if ring else token),
                    })  # fmt: skip
        self._marks.setData(spots)

    def show_what_if(self, curve: Curve | None, low: np.ndarray | None = None, high: np.ndarray | None = None) -> None:
        """The path with a pad; hidden with None."""
        self._what_if.setVisible(curve is not None)
        self._band.setVisible(low is not None)
        if curve is not None:
            self._what_if.setData(curve.feet, self._value(curve))
        if curve is not None and low is not None and high is not None:
            self._band.setPath(band_of(curve.feet, low, high))

    def dress(self) -> None:
        """Recolour."""
        for number, line in enumerate(self._lines):
            line.setPen(look().series_pen(number))
        self._what_if.setPen(look().what_if_pen())
        self._band.setPen(pg.mkPen(None))
        self._band.setBrush(solid("hand", WHAT_IF_FILL))
        self._show_marks()


class ShapeBar:
    """From the first read to three quarters spent, on the floor of the skid plot, with its word."""

    def __init__(self, skid: Chart) -> None:
        self._bar, self._sides = path_item(skid, 10), path_item(skid, 9)
        self._read = flat_text(skid, "first read", anchor=(1.0, 1.0), z=OVER_CURSOR)
        self._word = flat_text(skid, anchor=(0.5, 1.0), z=OVER_CURSOR)

    def show(self, curve: Curve | None) -> None:
        """Of the ball in hand; nothing where it never reads."""
        first = curve.first_read_ft if curve else None
        for item in (self._bar, self._sides, self._read, self._word):
            item.setVisible(first is not None)
        if curve is None or first is None:
            return
        last = min(60.0, curve.spent_ft or first)
        bar, sides = QPainterPath(), QPainterPath()
        bar.moveTo(first, 0.0)
        bar.lineTo(last, 0.0)
        for feet in (first, last):
            sides.moveTo(feet, 0.0)
            sides.lineTo(feet, curve.at(feet)[1])
        self._bar.setPath(bar)
        self._sides.setPath(sides)
        self._read.setPos(first - 0.4, 2.0)
        self._word.setText(curve.shape_word)
        self._word.setPos(first + 0.36 * (last - first), 2.0)

    def dress(self) -> None:
        """Recolour."""
        self._bar.setPen(look().pen("hand", 4.0))
        self._sides.setPen(look().pen("hand", 1.0))
        dress_text(self._read, "hand", 12, 600, ground=True)
        dress_text(self._word, "hand", 12, 600, ground=True)


class Cursor:
    """One line through both plots, with a grip on top."""

    def __init__(self, boards: Chart, skid: Chart) -> None:
        self._lines = [pg.InfiniteLine(angle=90, movable=False) for _ in (boards, skid)]
        for chart, line in zip((boards, skid), self._lines, strict=True):
            line.setZValue(15)
            chart.vb.addItem(line, ignoreBounds=True)
        self._grip = pg.ScatterPlotItem(symbol="t", pxMode=True)
        self._grip.setZValue(30)
        boards.vb.addItem(self._grip, ignoreBounds=True)
        self._boards, self._feet = boards, 0.0
        boards.vb.sigYRangeChanged.connect(lambda *_: self.put(self._feet))

    def put(self, feet: float) -> None:
        """Move it."""
        self._feet = feet
        for line in self._lines:
            line.setPos(feet)
        size = look().px(13)
        drop = 0.5 * size * self._boards.vb.viewPixelSize()[1]
        self._grip.setData([feet], [self._boards.vb.viewRange()[1][1] - drop], size=size)

    def dress(self) -> None:
        """Recolour."""
        for line in self._lines:
            line.setPen(look().pen("hand", 1.6))
        self._grip.setBrush(solid("hand"))
        self._grip.setPen(pg.mkPen(None))
