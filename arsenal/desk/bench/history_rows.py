"""Rows of a ball's history: findings, comparisons, entries; what they say, how high they are, how they are drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPointF, QRect, QRectF, QSize
from PySide6.QtGui import QFont, QPainter, QTextLayout, QTextOption
from PySide6.QtWidgets import QStyleOptionViewItem

from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import ROW, Index, RowPainter, write
from arsenal.desk.parts.text import unturned
from arsenal.desk.theme import look
from arsenal.trade import rules
from arsenal.trade.entries import Kind, Played, Unknown
from arsenal.trade.findings import Finding, Weight

if TYPE_CHECKING:
    from arsenal.practice import ExpectedSeen
    from arsenal.trade.entries import Entry

WEIGHTS = {Weight.NOTE: ("fine", "note"), Weight.WARN: ("due", "look"), Weight.BAD: ("over", "stop")}
"""Shape and word of how much a finding matters."""
DAY_WIDE, PAD = 124, 12
DEFERS = "Rule book says, check yours"


@dataclass(frozen=True, slots=True)
class Heading:
    """Stands above a part of the list."""

    title: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """A finding, or a comparison with what was expected: mark, word, sentence, what backs it."""

    mark: str
    word: str
    sentence: str
    below: str = ""
    seq: int | None = None


@dataclass(frozen=True, slots=True)
class EntryRow:
    """One entry as the list shows it."""

    seq: int
    day: str
    sentence: str
    typed: str = ""
    notes: tuple[str, ...] = ()
    """“entered later”, “about”, “a kind not known here”."""
    undone: bool = False


Row = Heading | Told | EntryRow


def finding_row(finding: Finding) -> Told:
    """A finding with the date of the rule it rests on, where there is one."""
    mark, word = WEIGHTS[finding.weight]
    return Told(mark, word, finding.sentence, _rule_words(finding), finding.seq)


def _rule_words(finding: Finding) -> str:
    """“Rule book says, check yours: USBC, since 1 August 2019”."""
    if finding.rule_id is None:
        return ""
    row = next((row for row in rules.shipped_rules() if row.id == finding.rule_id), None)
    if row is None:
        return DEFERS
    return f"{DEFERS}: {row.body}{f', {row.dated}' if row.dated else ', its date is not known here'}"


def compared_row(seen: ExpectedSeen, day: str) -> Told:
    """A comparison: agrees or not, by shape and word."""
    return Told("done" if seen.agrees else "due", day, seen.sentence, "", seen.seq)


def entry_row(entry: Entry, day: str, sentence: str, *, undone: bool) -> EntryRow:
    """An entry with what is uncertain about it in words."""
    notes = []
    if isinstance(entry.payload, Played) and entry.payload.sd > 0:
        notes.append("about")
    if entry.late:
        notes.append("entered later")
    if isinstance(entry.payload, Unknown) or not isinstance(entry.kind, Kind):
        notes.append(f"kind “{entry.kind}” is not known here; kept as it is")
    return EntryRow(entry.seq, day, sentence, entry.typed, tuple(notes), undone)


def spoken(row: Row) -> str:
    """A row for a screen reader."""
    if isinstance(row, Heading):
        return f"{row.title}. {row.detail}".strip()
    if isinstance(row, Told):
        return ". ".join(part.rstrip(".") for part in (row.word, row.sentence, row.below) if part)
    back = ("taken back",) if row.undone else ()
    typed = (f"typed: {row.typed}",) if row.typed else ()
    return ", ".join((row.day, *back, row.sentence, *row.notes, *typed))


def below_of(row: Row) -> str:
    """The small line under the sentence."""
    if isinstance(row, EntryRow):
        typed = (f"typed “{row.typed}”",) if row.typed else ()
        return " · ".join((*row.notes, *typed))
    return row.below if isinstance(row, Told) else row.detail


def wrapped(text: str, font: QFont, width: int) -> tuple[QTextLayout, int]:
    """Plain text wrapped to a width, broken between words and, where one is too long, anywhere; its height."""
    layout = QTextLayout(unturned(text).replace("\n", "\u2028"), font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.beginLayout()
    high = 0.0
    while text and (line := layout.createLine()).isValid():
        line.setLineWidth(max(width, 40))
        line.setPosition(QPointF(0.0, high))
        high += line.height()
    layout.endLayout()
    return layout, round(high + 0.5)


def sentences(rows: Sequence[Row]) -> list[str]:
    """What the rows say, top to bottom."""
    return [spoken(row) for row in rows]


class HistoryPainter(RowPainter):
    """Day or mark at the left, the sentence wrapped beside it, small words below."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as the sentence at the view's width."""
        row, view = index.data(ROW), option.widget
        wide = view.viewport().width() if view is not None else look().px(760)  # type: ignore[attr-defined]
        if isinstance(row, Heading):
            return QSize(look().px(120), look().px(36))
        inner = wide - look().px(DAY_WIDE + 2 * PAD) - self._back(row)
        said = wrapped(self._said(row), look().font(14), inner)[1]
        below = wrapped(below_of(row), look().font(12), inner)[1]
        return QSize(look().px(120), said + below + look().px(14))

    @staticmethod
    def _said(row: Any) -> str:
        return row.sentence or " "

    @staticmethod
    def _back(row: Any) -> int:
        return look().px(84) if isinstance(row, EntryRow) and row.undone else 0

    def line_below(self, row: Any) -> bool:
        """Below entries and findings."""
        return True

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        px = look().px
        if isinstance(row, Heading):
            inner = box.adjusted(px(PAD), px(10), -px(PAD), 0)
            wide = write(painter, inner, row.title, look().font(13, 600), "ink")
            rest = inner.adjusted(round(wide) + px(12), 0, 0, 0)
            write(painter, rest, row.detail, look().font(12), "ink2")
            return
        left = QRect(box.left() + px(PAD), box.top() + px(7), px(DAY_WIDE - 8), px(19))
        inner = QRect(box.left() + px(PAD + DAY_WIDE), box.top() + px(7), 0, 0)
        inner.setWidth(box.right() - px(PAD) - self._back(row) - inner.left())
        if isinstance(row, Told):
            self._mark(painter, left, row)
        else:
            write(painter, left, row.day, look().font(13, 500), "ink2")
            if row.undone:
                end = QRect(inner.right() + 1, left.top(), self._back(row), px(19))
                write(painter, end, "taken back", look().font(12, 600), "ink2", right=True)
        self._text(painter, inner, row)

    def _mark(self, painter: QPainter, left: QRect, row: Told) -> None:
        side = look().px(14)
        paint.due_mark(painter, QRectF(left.left(), left.top() + look().px(2), side, side), row.mark)
        token = {"over": "bad", "due": "warn", "done": "good"}.get(row.mark, "ink2")
        write(painter, left.adjusted(side + look().px(7), 0, 0, 0), row.word, look().font(13, 600), token)

    def _text(self, painter: QPainter, inner: QRect, row: Any) -> None:
        font, small = look().font(14), look().font(12)
        undone = isinstance(row, EntryRow) and row.undone
        font.setStrikeOut(undone)
        said, high = wrapped(self._said(row), font, inner.width())
        painter.setPen(look().color("ink3" if undone else "ink"))
        said.draw(painter, QPointF(inner.topLeft()))
        painter.setPen(look().color("ink2"))
        wrapped(below_of(row), small, inner.width())[0].draw(painter, QPointF(inner.left(), inner.top() + high))
