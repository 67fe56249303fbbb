"""Parts of the cards in the middle: the first line, what is dangerous, what is due, the history, the plane itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from arsenal.acts.hazards import is_crack
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain, Runs, runs_of
from arsenal.desk.theme import look
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.counter_views import HistoryLine
    from arsenal.plan.records import Job


SIZES = (16, 15, 16)
"""Of the first line’s letters: what is tried for one row, and what two rows have."""


class FirstLine(QWidget):
    """What was done last and what is wanted, on `sel` with the edge of what is in hand."""

    def __init__(self) -> None:
        super().__init__()
        self.runs = Runs((), px=16, token="ink2", wrap=True)
        column = QVBoxLayout(self)
        column.addWidget(self.runs)
        column.setContentsMargins(0, 0, 0, 0)
        self._column = column
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        look().changed.connect(self._dress)
        self._dress()

    def tell(self, parts: Sequence[tuple[str, bool]]) -> None:
        """Another line."""
        self.runs.set_runs(runs_of(parts))
        self.setAccessibleName(self.runs.text())
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """It may need a second row."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """In one row where slightly smaller letters allow it."""
        wide, need = max(120, self.width() - 2 * look().px(24)), 0
        for px in SIZES:
            self.runs.set_px(px)
            need = self.runs.heightForWidth(wide)
            if need <= self.runs.sizeHint().height():
                break
        self.setMinimumHeight(max(look().px(44), need + look().px(20)))
        self.runs.setFixedHeight(need)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw ground and edge."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sel"))
        painter.fillRect(QRect(0, 0, look().line(4), self.height()), look().color("hand"))
        painter.end()

    def _dress(self) -> None:
        pad = look().px(24)
        self._column.setContentsMargins(pad, look().px(8), pad, look().px(8))
        self._fit()


class Danger(QWidget):
    """What stops work on a ball, with what to do: `well`, a `bad` edge and its mark; hidden where nothing is."""

    def __init__(self) -> None:
        super().__init__()
        self.strong = Plain("", px=14, weight=600, token="bad", wrap=True)
        self.plain = Plain("", px=13, wrap=True)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.strong)
        self._column.addWidget(self.plain)
        self._column.setSpacing(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        look().changed.connect(self._dress)
        self._dress()
        self.hide()

    def tell(self, strong: str, plain: str) -> None:
        """What is dangerous, and what to do; nothing hides it."""
        self.strong.setText(strong)
        self.plain.setText(plain)
        self.setAccessibleName(f"{strong}. {plain}" if strong else "")
        self.setVisible(bool(strong))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw ground, edge and mark."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("well"))
        painter.fillRect(QRect(0, 0, look().line(4), self.height()), look().color("bad"))
        side = look().px(18)
        paint.due_mark(painter, QRectF(look().px(12), (self.height() - side) / 2, side, side), "over")
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(44), px(5), px(12), px(5))


def hazard_words(hazards: Sequence[str]) -> tuple[str, str]:
    """What is dangerous about a ball in one line, and what to do before work."""
    if not hazards:
        return "", ""
    cracked = any(is_crack(hazard) for hazard in hazards)
    todo = "No heat. Show the owner before any work." if cracked else "Stop and ask before heat."
    return "; ".join(hazards), todo


@dataclass(frozen=True, slots=True)
class DueRow:
    """One job of upkeep on the card."""

    mark: str
    work: str
    why: str
    right: str


def due_rows(jobs: Sequence[Job]) -> list[DueRow]:
    """Jobs as rows: what, games, why."""
    return [DueRow(job.due.value, str(job.work.value).capitalize(), job.detail, job.why) for job in jobs]


class DuePainter(RowPainter):
    """Mark, work, detail, why at the right; 35 high."""

    height = 35
    line_from = 27

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px, side = look().px, look().px(16)
        token = {"due": "warn", "over": "bad"}.get(row.mark, "ink")
        paint.due_mark(painter, QRectF(box.left(), box.center().y() - side / 2, side, side), row.mark)
        line = box.adjusted(px(27), 0, 0, 0)
        work = round(max(px(92), write(painter, line, row.work, look().font(15, 600), token) + px(10)))
        wide = QFontMetricsF(look().font(14, 600)).horizontalAdvance(row.right)
        room = line.width() - work
        right = QRect(line)
        right.setLeft(max(line.left() + work, round(line.right() - min(wide + 2, room))))
        write(painter, right, row.right, look().font(14, 600 if token != "ink" else 500), token, right=True)
        middle = QRect(line.left() + work, box.top(), max(0, right.left() - line.left() - work - px(10)), box.height())
        if middle.width() > px(50):
            write(painter, middle, row.why, look().font(13), "ink2")


def spoken_due(row: DueRow) -> str:
    """A job for a screen reader."""
    state = {"fine": "fine", "soon": "soon", "due": "due", "over": "over"}.get(row.mark, "")
    return ", ".join(part for part in (row.work, state, row.why, row.right) if part)


class HistoryPainter(RowPainter):
    """Day, what, games; 29 high."""

    height = 29

    def __init__(self, today: date) -> None:
        super().__init__()
        self.today = today

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px, font = look().px, look().font(13)
        day = round(max(px(70), write(painter, box, self.day(row.on), look().font(13, 600), "ink") + px(12)))
        games = write(painter, box, f"{row.games:.0f}", font, "ink2", right=True)
        middle = box.adjusted(day, 0, -round(games) - px(14), 0)
        write(painter, middle, row.what[:400], font, "ink")

    def day(self, on: date) -> str:
        """“22 Nov”, “2 Nov 25”."""
        said = days.day(on)
        return said if on.year == self.today.year else f"{said} {on.year % 100:02d}"


def spoken_line(row: HistoryLine) -> str:
    """A line of the history for a screen reader."""
    return f"{days.day_and_year(row.on)}, {row.what}, {row.games:.0f} games"


def still(name: str, model: RowsModel, painter: RowPainter) -> RowsView:
    """A list that is only read: as high as its rows, no stop for the focus."""
    made = RowsView(name, model, painter)
    made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    made.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return made


def loose(view: RowsView, least: float) -> RowsView:
    """A list that takes what height is left, at least so much; what it would like never makes a page scroll."""
    view.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
    view.setMinimumHeight(look().px(least))
    return view


def fit(view: RowsView, most: int = 0) -> None:
    """As high as its rows, at most `most` of them."""
    rows = view.rows_model.rowCount()
    need = view.wanted_height()
    if most and rows > most:
        need = sum(view.sizeHintForIndex(view.rows_model.index(n)).height() for n in range(most))
    view.setFixedHeight(max(1, need) if rows else 0)
    view.setVisible(bool(rows))


class Fall(QWidget):
    """A ball’s finish as it fell since it was set."""

    def __init__(self) -> None:
        super().__init__()
        self._of: tuple[float | None, float | None, float | None, float | None] = (None, None, None, None)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def show_fall(self, begun: float | None, now: float | None, low: float | None, high: float | None) -> None:
        """Another ball’s."""
        self._of = (begun, now, low, high)
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as a few words."""
        return look().size(72, 36)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        begun, now, low, high = self._of
        painter = QPainter(self)
        box = QRectF(self.rect()).adjusted(2, 3, -2, -3)
        paint.fall(painter, box, begun, now, low=low, high=high, token="hand", bold=2.2)
        painter.end()
