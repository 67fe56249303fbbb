"""What each ball has taught: boards off its sheet, grey as it was believed before, a whisker as it is believed now."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QStyle, QStyleOptionViewItem, QVBoxLayout, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.theme import look
from arsenal.order import words as say

if TYPE_CHECKING:
    from arsenal.acts.practice_views import ResponseRow, TaughtRow

ROW, HEAD, RESPONSE = 36.0, 35.0, 42.0
BAND = 1.2816
"""Spreads from the mean to the 10th and 90th percentile."""
LEAST_BOARDS, LEAST_FEET = 3.0, 2.0
THIN = "–"


def boards(row: TaughtRow) -> str:
    """“−2”, “0”; a dash for a ball never thrown."""
    return THIN if row.now is None else say.signed(row.now, row.now_sd or 0.0)


def doubt(row: TaughtRow) -> str:
    """“± 1” as it is now, else as it was."""
    return f"± {say.doubt(row.before_sd if row.now_sd is None else row.now_sd)}"


def spoken(row: TaughtRow) -> str:
    """A row for a screen reader."""
    shots = "no shots" if not row.shots else "1 shot" if row.shots == 1 else f"{row.shots} shots"
    held = ("in hand",) if row.in_hand else ()
    off = f"{boards(row)} {doubt(row)} boards off its sheet" if row.now is not None else f"{doubt(row)} boards"
    more = tuple(one.sentence.rstrip(".") for one in row.response)
    told = (row.name, *held, shots, row.sentence, off, row.warning.rstrip("."), *more)
    return ". ".join(part for part in told if part)


def whisker_ends(row: TaughtRow) -> list[float]:
    """Boards from and to which the row's marks reach."""
    ends = [-BAND * row.before_sd, BAND * row.before_sd]
    if row.now is not None and row.now_sd is not None:
        ends += [row.now - BAND * row.now_sd, row.now + BAND * row.now_sd]
    return ends


class Columns:
    """Where name, count, sentence, axis and boards stand in a width."""

    def __init__(self, width: int, rows: Sequence[TaughtRow]) -> None:
        now = look()
        self.margin = now.px(20 if now.logical(width) >= 520 else 12)
        free = width - 2 * self.margin
        bold, number = QFontMetricsF(now.font(14, 600)), QFontMetricsF(now.font(15, 600))
        widest = max([bold.horizontalAdvance(r.name) for r in rows] + [now.px(80)])
        self.name, self.name_wide = self.margin, round(min(widest + 2, free * 0.25))
        self.shots = self.name + self.name_wide + now.px(10) + round(bold.horizontalAdvance("000"))
        self.sentence = self.shots + now.px(14)
        self.right = width - self.margin
        self.doubt_wide = round(QFontMetricsF(now.font(12)).horizontalAdvance("± 2½")) + 2
        self.boards = self.right - self.doubt_wide - now.px(6)
        self.boards_wide = round(number.horizontalAdvance("−2½")) + 2
        self.axis = round(min(now.px(190), free * 0.27))
        self.left = self.boards - self.boards_wide - now.px(12) - self.axis
        self.sentence_wide = max(0, self.left - now.px(10) - self.sentence)


class TaughtPainter(RowPainter):
    """One ball. The ball in hand is named in `hand`; the ground is only laid while the list has the focus."""

    height = ROW

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[TaughtRow] = []
        self.reach = LEAST_BOARDS

    def columns(self, width: int) -> Columns:
        """At that width."""
        return Columns(width, self.rows)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Without the focus the chosen row looks like the others; its name says that it is in hand."""
        if option.widget is None or not option.widget.hasFocus():
            option.state &= ~QStyle.StateFlag.State_Selected
        super().paint(painter, option, index)

    def paint_row(self, painter: QPainter, box: QRect, row: TaughtRow, *, chosen: bool) -> None:
        """Name, shots, sentence, band and whisker, boards."""
        at, now = self.columns(box.width()), look()
        self.line_from, self.line_to = at.name / now.scale, at.margin / now.scale
        held = "hand" if row.in_hand else "ink"
        write(painter, QRect(at.name, box.top(), at.name_wide, box.height()), row.name, now.font(14, 600), held)
        shots = QRect(0, box.top(), at.shots, box.height())
        write(painter, shots, str(row.shots or THIN), now.font(13), "ink2", right=True)
        self._sentence(painter, box, at, row)
        _paint_band(painter, box, (at.left, at.axis), row, self.reach)
        right = QRect(at.boards - at.boards_wide, box.top(), at.boards_wide, box.height())
        if row.now is not None:
            write(painter, right, boards(row), now.font(15, 600), "ink", right=True, elide=False)
        write(painter, QRect(0, box.top() + now.px(1), at.right, box.height()), doubt(row), now.font(12), "ink2",
              right=True, elide=False)  # fmt: skip

    @staticmethod
    def _sentence(painter: QPainter, box: QRect, at: Columns, row: TaughtRow) -> None:
        now = look()
        room = QRect(at.sentence, box.top(), at.sentence_wide, box.height())
        if row.warning:
            side = now.px(13)
            paint.due_mark(painter, QRectF(room.left(), box.center().y() - side / 2.0, side, side), "due")
            write(painter, room.adjusted(side + now.px(6), 0, 0, 0), row.warning, now.font(13, 500), "warn")
            return
        said = f"benchmark, {row.sentence}" if row.benchmark and "benchmark" not in row.sentence else row.sentence
        write(painter, room, said, now.font(13), "ink" if row.shots else "ink2")


def paint_before(painter: QPainter, left: int, right: int, y: int) -> None:
    """The band of what was believed before: pale, with an edge that can be seen on any ground."""
    now = look()
    high = now.px(7)
    box = QRect(left, y - high // 2, max(2, right - left), high)
    painter.fillRect(box, now.color("edge"))
    painter.fillRect(box.adjusted(1, 1, -1, -1), now.color("well"))


def _paint_band(painter: QPainter, box: QRect, axis: tuple[int, int], row: TaughtRow, reach: float) -> None:
    now, (left, wide) = look(), axis
    zero, per = left + wide / 2.0, wide / 2.0 / reach

    def x(value: float) -> float:
        return min(float(left + wide), max(float(left), zero + value * per))

    y = box.center().y()
    a, b = round(x(-BAND * row.before_sd)), round(x(BAND * row.before_sd))
    paint_before(painter, a, b, y)
    painter.fillRect(QRect(round(zero), box.top(), 1, box.height()), now.color("edge"))
    if row.now is not None and row.now_sd is not None:
        low, high = row.now - BAND * row.now_sd, row.now + BAND * row.now_sd
        paint.whisker(painter, x(low), x(high), y, now.px(6), "ink")
        with paint.kept(painter):
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(now.color("ink"))
            painter.drawEllipse(QPointF(x(row.now), y + 0.5), now.px(4), now.px(4))


class TaughtView(RowsView):
    """The balls; the one chosen is the ball in hand. Enter is the room's."""

    def __init__(self) -> None:
        self.painter = TaughtPainter()
        super().__init__("What each ball has taught", RowsModel(spoken, hover=True), self.painter)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)

    def show_balls(self, rows: Sequence[TaughtRow]) -> None:
        """Every ball in the bag."""
        self.painter.rows = list(rows)
        self.painter.reach = max([LEAST_BOARDS, *(abs(end) for row in rows for end in whisker_ends(row))])
        self.rows_model.set_rows(rows)
        self.choose_where(lambda row: row.in_hand)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Enter, Esc and Backspace to the room."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape, Qt.Key.Key_Backspace):
            event.ignore()
        else:
            super().keyPressEvent(event)


class TaughtHead(QWidget):
    """The title, and what grey and whisker mean."""

    def __init__(self) -> None:
        super().__init__()
        self.trials = 0
        self.setAccessibleName("What each ball has taught. Boards off its sheet: grey before, whisker now")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(look().px(300), look().px(HEAD))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw title, legend and the rule below."""
        painter, now = QPainter(self), look()
        margin = now.px(20 if now.logical(self.width()) >= 520 else 12)
        whole = QRect(margin, 0, self.width() - 2 * margin, self.height())
        title = write(painter, whole, "What each ball has taught", now.font(15, 600), "ink")
        x = self._legend(painter, whole.right() + 1, whole.left() + round(title))
        said = "boards off its sheet"
        wide = round(QFontMetricsF(now.font(12, 600)).horizontalAdvance(said))
        if x - wide - now.px(16) > whole.left() + title:
            write(painter, QRect(0, 0, x - now.px(16), self.height()), said, now.font(12, 600), "ink2", right=True)
        paint.hairline(painter, 0, self.width(), self.height() - 1, "edge")
        painter.end()

    def _legend(self, painter: QPainter, right: int, least: int) -> int:
        """Both marks from the right; where they begin."""
        now, x, y = look(), right, self.height() // 2
        metrics = QFontMetricsF(now.font(12))
        for text, mark in (("now", True), ("before", False)):
            wide = round(metrics.horizontalAdvance(text)) + 1
            if x - wide - now.px(36) < least:
                break
            write(painter, QRect(x - wide, 0, wide + 1, self.height()), text, now.font(12), "ink2", elide=False)
            x -= wide + now.px(8)
            if mark:
                paint.whisker(painter, x - now.px(26), x, y, now.px(5), "ink")
                with paint.kept(painter):
                    painter.setPen(Qt.PenStyle.NoPen)
                    painter.setBrush(now.color("ink"))
                    painter.drawEllipse(QPointF(x - now.px(13), y + 0.5), now.px(3), now.px(3))
            else:
                paint_before(painter, x - now.px(26), x, y)
            x -= now.px(26 + 14)
        return x


class Response(QWidget):
    """What one change of finish does to the ball in hand, its first read in feet: grey before, whisker now."""

    def __init__(self, view: TaughtView) -> None:
        super().__init__()
        self._view = view
        self._row: ResponseRow | None = None
        self._more = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)
        self.hide()

    def show_rows(self, rows: Sequence[ResponseRow]) -> None:
        """The one told by most shots; hidden where there is none."""
        self._row = max(rows, key=lambda row: row.shots, default=None)
        said = " ".join(row.sentence for row in rows)
        self.setAccessibleName(said)
        self.setToolTip(f"<qt>{html.escape(said)}</qt>" if said else "")
        self.setVisible(self._row is not None)
        self.update()

    def sizeHint(self) -> QSize:
        """Two lines."""
        return QSize(look().px(300), look().px(RESPONSE))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw sentence and band."""
        if self._row is None:
            return
        painter, now, row = QPainter(self), look(), self._row
        at = self._view.painter.columns(self._view.viewport().width())
        ends = [abs(m) + BAND * sd for m, sd in ((row.before_ft, row.before_sd_ft), (row.now_ft, row.now_sd_ft))]
        per = at.axis / 2.0 / max(LEAST_FEET, *ends)
        zero, y = at.left + at.axis / 2.0, self.height() // 2
        room = QRect(at.margin, 0, at.left - at.margin - now.px(10), self.height())
        painter.setFont(now.font(13))
        painter.setPen(now.color("ink"))
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap
        painter.drawText(room, flags, row.sentence)
        a, b = (round(zero + per * (row.before_ft + way * BAND * row.before_sd_ft)) for way in (-1, 1))
        paint_before(painter, a, b, y)
        painter.fillRect(QRect(round(zero), 0, 1, self.height()), now.color("edge"))
        low, high = (zero + per * (row.now_ft + way * BAND * row.now_sd_ft) for way in (-1, 1))
        paint.whisker(painter, low, high, y, now.px(6), "ink")
        write(painter, QRect(0, 0, at.right, self.height()), "ft", now.font(12), "ink2", right=True)
        paint.hairline(painter, 0, self.width(), 0, "rule")
        painter.end()


class TaughtPane(QWidget):
    """Title, balls, and what finish does to the ball in hand."""

    ball_chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.head, self.view = TaughtHead(), TaughtView()
        self.response = Response(self.view)
        self._setting = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.view, 1)
        column.addWidget(self.response)
        self.view.chosen.connect(self._chosen)

    def show_balls(self, rows: Sequence[TaughtRow]) -> None:
        """Every ball in the bag, and the response of the one in hand."""
        self._setting = True
        self.view.show_balls(rows)
        self._setting = False
        held = next((row for row in rows if row.in_hand), None)
        self.response.show_rows(held.response if held is not None else ())

    def step(self, by: int) -> None:
        """The ball above or below in hand."""
        at = self.view.currentIndex().row() + by
        if 0 <= at < self.view.rows_model.rowCount():
            self.view.choose(at)

    def wanted_height(self) -> int:
        """High enough for every ball."""
        response = self.response.sizeHint().height() if not self.response.isHidden() else 0
        return self.head.sizeHint().height() + self.view.wanted_height() + 2 + response

    def _chosen(self, row: object) -> None:
        ball = getattr(row, "ball_id", None)
        if not self._setting and isinstance(ball, int):
            self.ball_chosen.emit(ball)
