"""The shots of this outing, newest first, on one axis of boards: what was expected, and what was seen."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QKeyEvent, QPainter, QPainterPath, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk import icons
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.practice import shot_rows
from arsenal.desk.practice.scale import Scale
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.practice_views import ShotRow

ROW, ROW_TALL, HEAD, LEGEND = 34.0, 44.0, 32.0, 26.0


class Columns:
    """Where number, name, axis and words stand in a width."""

    def __init__(self, width: int, rows: list[ShotRow]) -> None:
        now = look()
        self.margin = now.px(20 if now.logical(width) >= 520 else 12)
        bold, seen = QFontMetricsF(now.font(14, 500)), QFontMetricsF(now.font(14, 600))
        alone = [row for row in rows if not row.other]
        self.number = self.margin + round(QFontMetricsF(now.font(14)).horizontalAdvance("00"))
        self.name = self.number + now.px(10)
        widest = max([bold.horizontalAdvance(r.name) for r in rows] + [now.px(90)])
        free = width - 2 * self.margin
        self.name_wide = round(min(widest, free * 0.26))
        words = max([seen.horizontalAdvance(r.seen) for r in alone] + [now.px(40)])
        self.right = width - self.margin
        self.seen_wide = round(min(words + now.px(22), free * 0.30))
        self.left = self.name + self.name_wide + now.px(10)
        self.axis = max(now.px(60), self.right - self.seen_wide - now.px(8) - self.left)

    def x(self, share: float) -> int:
        """Pixel of a share of the axis."""
        return self.left + round(share * self.axis)


class ShotsModel(RowsModel):
    """Shots; each says all of itself on hover, as plain text."""

    def __init__(self) -> None:
        super().__init__(shot_rows.spoken)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """As of every list."""
        if role == Qt.ItemDataRole.ToolTipRole:
            row = self.row(index.row())
            return f"<qt>{html.escape(shot_rows.detail(row))}</qt>" if row is not None else None
        return super().data(index, role)


class ShotPainter(RowPainter):
    """One shot."""

    height = ROW

    def __init__(self) -> None:
        super().__init__()
        self.scale, self.hand = Scale(), 0
        self.rows: list[ShotRow] = []

    def columns(self, width: int) -> Columns:
        """At that width."""
        return Columns(width, self.rows)

    def paint_row(self, painter: QPainter, box: QRect, row: ShotRow, *, chosen: bool) -> None:
        """Number, name, axis, words."""
        at, now = self.columns(box.width()), look()
        self.line_from, self.line_to = at.name / now.scale, at.margin / now.scale
        if row.number:
            write(painter, QRect(0, box.top(), at.number, box.height()), str(row.number), now.font(14), "ink2",
                  right=True)  # fmt: skip
        name = QRect(at.name, box.top(), at.name_wide, box.height())
        write(painter, name, row.name, now.font(14, 500), "hand" if row.ball_id == self.hand else "ink")
        for share in self.scale.pocket_at() if not row.other else ():
            painter.fillRect(QRect(at.x(share), box.top(), 1, box.height()), now.color("edge"))
        self._seen(painter, box, at, row)
        self._expected(painter, box, at, row)
        self._words(painter, box, at, row)

    def _expected(self, painter: QPainter, box: QRect, at: Columns, row: ShotRow) -> None:
        if row.expected_board is None or row.expected_low is None or row.expected_high is None:
            return
        y, half = box.bottom() - look().px(6), look().px(4)
        ends = (at.x(self.scale.at(row.expected_low)), at.x(self.scale.at(row.expected_high)))
        paint.whisker(painter, min(ends), max(ends), y, half, "edge")
        thick, tall = look().line(2), look().px(6)
        middle = at.x(self.scale.at(row.expected_board))
        painter.fillRect(QRect(middle - thick // 2, y - tall, thick, 2 * tall), look().color("edge"))

    def _seen(self, painter: QPainter, box: QRect, at: Columns, row: ShotRow) -> None:
        y = box.top() + box.height() * 0.46
        out = bool(row.kept_out)
        if row.seen_board is not None:
            diamond(painter, QPointF(at.x(self.scale.at(row.seen_board)), y), hollow=out)
        elif row.seen_low is not None or row.seen_high is not None:
            high = look().px(18)
            band(painter, self._band(at, row, QRect(0, round(y - high / 2.0), 0, high)), row, self.scale, hollow=out)

    def _band(self, at: Columns, row: ShotRow, box: QRect) -> QRect:
        """From end to end; one that is open goes on to the axis's end."""
        first, last = (row.seen_high, row.seen_low) if self.scale.mirrored else (row.seen_low, row.seen_high)
        left = at.x(self.scale.at(first)) if first is not None else at.left
        right = at.x(self.scale.at(last)) if last is not None else at.left + at.axis
        return QRect(left, box.top(), max(2, right - left + 1), box.height())

    def _words(self, painter: QPainter, box: QRect, at: Columns, row: ShotRow) -> None:
        now, font = look(), look().font(14, 600)
        whole = at.right - at.left if row.other else at.seen_wide  # two balls back to back have no place on the axis
        room = QRect(at.right - whole, box.top(), whole, box.height())
        told = shot_rows.mark(row)
        side = now.px(13) if told else 0
        words = room.adjusted(side + now.px(5) if told else 0, 0, 0, 0)
        wide = write(painter, words, row.seen, font, "ink2" if row.kept_out else "ink", right=True)
        if told:
            left = room.right() + 1 - round(wide) - side - now.px(6)
            mark_of(painter, QRectF(left, box.center().y() - side / 2.0, side, side), row)


def mark_of(painter: QPainter, box: QRectF, row: ShotRow) -> None:
    """Half disc outside its doubt, struck ring where nothing is learned, ring for what fits nothing else."""
    if row.kept_out:
        ratio = painter.device().devicePixelRatioF()
        painter.drawPixmap(box.topLeft(), icons.pixmap("alert", round(box.width()), "warn", ratio))
    else:
        paint.due_mark(painter, box, "soon" if row.outside else "fine")


def diamond(painter: QPainter, middle: QPointF, *, hollow: bool = False) -> None:
    """What was seen as a number."""
    with paint.kept(painter):
        half = 6.0 * max(1.0, look().scale)
        path = QPainterPath(middle + QPointF(0.0, -half))
        for step in (QPointF(half, 0.0), QPointF(0.0, half), QPointF(-half, 0.0)):
            path.lineTo(middle + step)
        path.closeSubpath()
        painter.setPen(look().pen("ink2", 1.4) if hollow else Qt.PenStyle.NoPen)
        painter.setBrush(Qt.BrushStyle.NoBrush if hollow else look().color("ink"))
        painter.drawPath(path)


def band(painter: QPainter, box: QRect, row: ShotRow, scale: Scale, *, hollow: bool = False) -> None:
    """What was seen as a word: the boards it stands for; an open side has no edge."""
    now, thick = look(), look().line(2)
    if not hollow:
        painter.fillRect(box, now.tint("edge", "sheet", 0.28))
    first, last = (row.seen_high, row.seen_low) if scale.mirrored else (row.seen_low, row.seen_high)
    edge = now.color("ink2" if hollow else "ink")
    if first is not None:
        painter.fillRect(QRect(box.left(), box.top(), thick, box.height()), edge)
    if last is not None:
        painter.fillRect(QRect(box.right() + 1 - thick, box.top(), thick, box.height()), edge)


class ShotsView(RowsView):
    """The list. Enter is the room's, ↑ ↓ go through the shots, Esc lets go of the row."""

    menu_wanted = Signal(object)
    """Where, in global pixels, for the shot in hand."""
    resized = Signal()

    def __init__(self) -> None:
        self.painter = ShotPainter()
        super().__init__("Shots, newest first", ShotsModel(), self.painter)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A scroll bar came or went."""
        super().resizeEvent(event)
        self.resized.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Enter, Esc and Backspace to the room."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape, Qt.Key.Key_Backspace):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Ask the room what may be done to the shot."""
        if self.in_hand() is not None:
            self.menu_wanted.emit(event.globalPos())


class AxisHead(QWidget):
    """“Shot … 12 15 pocket 20 23 … Seen” over the list."""

    def __init__(self, view: ShotsView) -> None:
        super().__init__()
        self._view, self._painter = view, view.painter
        self.setAccessibleName("Shot, boards at the pins, seen")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def _wide(self) -> int:
        """As wide as the rows, which a scroll bar narrows."""
        return self._view.viewport().width() if not self._view.isHidden() else self.width()

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(look().px(300), look().px(HEAD))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw words, numbers and the rules above and below."""
        painter, now, at = QPainter(self), look(), self._painter.columns(self._wide())
        font, centre = now.font(12, 500), Qt.AlignmentFlag.AlignCenter
        write(painter, QRect(at.margin, 0, at.name_wide, self.height()), "Shot", font, "ink2")
        write(painter, QRect(0, 0, at.right, self.height()), "Seen", font, "ink2", right=True)
        metrics, taken = QFontMetricsF(font), QRectF()
        middle = sum(self._painter.scale.pocket_at()) / 2.0
        for share, text in ((middle, "pocket"), *self._painter.scale.ticks()):
            wide = metrics.horizontalAdvance(text) + now.px(6)
            box = QRectF(at.x(share) - wide / 2.0, 0.0, wide, self.height())
            if text == "pocket":
                taken = box
            elif box.intersects(taken):
                continue
            painter.setFont(font)
            painter.setPen(now.color("ink2"))
            painter.drawText(box, centre, text)
        paint.hairline(painter, 0, self.width(), 0, "edge")
        paint.hairline(painter, 0, self.width(), self.height() - 1, "edge")
        painter.end()


class Legend(QWidget):
    """What the marks of the list mean; words give way from the right where there is little room."""

    WORDS = ("expected", "seen, a number", "seen, a word", "outside its doubt", "not learned from")

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName(
            "Grey whisker: expected, 10th to 90th percentile. Diamond: seen, a number. Band: seen, a word. "
            "Half disc: seen outside its doubt. Hollow, with a diamond: kept, not learned from."
        )
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(look().px(300), look().px(LEGEND))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the marks."""
        painter, now = QPainter(self), look()
        font = now.font(12)
        x, y = now.px(20), self.height() / 2.0
        for number, text in enumerate(self.WORDS):
            wide = round(QFontMetricsF(font).horizontalAdvance(text)) + 2
            if x + now.px(30) + wide > self.width():
                break
            self._mark(painter, number, x, y)
            write(painter, QRect(x + now.px(28), 0, wide, self.height()), text, font, "ink2")
            x += now.px(28 + 16) + wide
        painter.end()

    @staticmethod
    def _mark(painter: QPainter, number: int, x: int, y: float) -> None:
        now = look()
        if number == 0:
            paint.whisker(painter, x, x + now.px(22), y, now.px(4), "edge")
            painter.fillRect(QRect(x + now.px(10), round(y) - now.px(6), now.line(2), now.px(12)), now.color("edge"))
        elif number == 1:
            diamond(painter, QPointF(x + now.px(14), y))
        elif number == 2:
            box = QRect(x + now.px(3), round(y) - now.px(7), now.px(20), now.px(14))
            painter.fillRect(box, now.tint("edge", "sheet", 0.28))
            for edge in (box.left(), box.right() + 1 - now.line(2)):
                painter.fillRect(QRect(edge, box.top(), now.line(2), box.height()), now.color("ink"))
        elif number == 3:
            side = now.px(12)
            paint.due_mark(painter, QRectF(x + now.px(8), y - side / 2.0, side, side), "soon")
        else:
            side = now.px(13)
            ratio = painter.device().devicePixelRatioF()
            painter.drawPixmap(QPointF(x + now.px(8), y - side / 2.0), icons.pixmap("alert", side, "warn", ratio))
