"""What was found, as rows: name with the typed letters underlined, what tells it apart, and what may be made of the
typed words instead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect
from PySide6.QtGui import QFontMetricsF, QPainter

from arsenal.desk.parts.lists import RowPainter, write
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from collections.abc import Sequence

    from arsenal.acts.counter_find import Found

HIT, OFFER = 62, 44
PLAIN = 300
"""Longer labels are cut before they are measured."""
MOST_NAMES = 2


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to make of what was typed."""

    does: str
    """customer, ticket, words, phone."""
    text: str
    """What was typed."""
    said: str


def offers(text: str, *, on_ticket: bool) -> list[Offer]:
    """What can be made of typed words: a customer, a ticket of that name, a ball that is only described."""
    clean = " ".join(text.replace("\x00", " ").split())
    if not clean:
        return []
    quoted = f"“{clean}”"
    phone = sum(c.isdigit() for c in clean) >= 5 and not any(c.isalpha() for c in clean)
    made = [] if phone else [Offer("words", clean, f"Take in {quoted}, a ball not in the file")]
    if not on_ticket:
        whose = Offer("phone" if phone else "ticket", clean, f"New ticket for {quoted}")
        made = [whose, *made] if _like_a_name(clean) else [*made, whose]
    made.append(Offer("customer", clean, f"Add a customer {quoted}"))
    return made


def _like_a_name(text: str) -> bool:
    """Who stands there is said before what they bring: a word or two of letters alone; more tell of a ball."""
    said = text.split()
    return len(said) <= MOST_NAMES and all(
        word.replace("’", "").replace("'", "").replace("-", "").isalpha() for word in said
    )


def matched(label: str, typed: str) -> list[tuple[int, int]]:
    """Where in a label words begin with what was typed, as (start, length)."""
    folded = label.casefold()
    if len(folded) != len(label):
        return []
    found = []
    for word in {word.casefold() for word in typed.split() if any(c.isalnum() for c in word)}:
        found += [(m.start(), len(word)) for m in re.finditer(rf"(?<!\w){re.escape(word)}", folded)]
    return sorted(found)


def spoken(row: Found | Offer) -> str:
    """A row for a screen reader."""
    if isinstance(row, Offer):
        return row.said
    return ", ".join(part for part in (row.label, row.kind, row.below, row.right) if part)


class HitPainter(RowPainter):
    """Finds 62 high, offers 44."""

    height = HIT
    line_from = 20
    line_to = 20
    typed = ""

    def row_height(self, row: Any) -> float:
        """Offers are lower."""
        return OFFER if isinstance(row, Offer) else HIT

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px = look().px
        inner = box.adjusted(px(20), 0, -px(20), 0)
        if isinstance(row, Offer):
            write(painter, inner, row.said[:PLAIN], look().font(14, 600), "hand")
            return
        upper = QRect(inner.left(), inner.top() + px(8), inner.width(), px(26))
        lower = QRect(inner.left(), inner.top() + px(33), inner.width(), px(20))
        kind = write(painter, upper, row.kind, look().font(13), "ink2", right=True)
        self._name(painter, upper.adjusted(0, 0, -round(kind) - px(12), 0), row.label[:PLAIN])
        wide = QFontMetricsF(look().font(13)).horizontalAdvance(row.right[:PLAIN])
        right = QRect(lower)
        right.setLeft(max(lower.left() + lower.width() // 3, round(lower.right() - wide - 2)))
        write(painter, right, row.right[:PLAIN], look().font(13), "ink2", right=True)
        write(painter, lower.adjusted(0, 0, -right.width() - px(12), 0), row.below[:PLAIN], look().font(13), "ink2")

    def _name(self, painter: QPainter, box: QRect, label: str) -> None:
        font, plain = look().font(16, 600), label.replace("\n", " ")
        write(painter, box, plain, font, "ink")
        if any(ord(sign) >= 0x0590 for sign in plain):
            return  # right to left, or joined: where a letter stands is not where it is counted
        metrics = QFontMetricsF(font)
        base = box.center().y() + round(metrics.height() / 2) - look().px(1)
        for start, length in matched(plain, self.typed):
            left = box.left() + metrics.horizontalAdvance(plain[:start])
            wide = metrics.horizontalAdvance(plain[start : start + length])
            if left + wide <= box.right():
                painter.fillRect(QRect(round(left), base, round(wide), look().line(2)), look().color("hand"))


def rows_of(found: Sequence[Found], text: str, *, on_ticket: bool) -> list[Found | Offer]:
    """Finds, then what can be made of the words."""
    return [*found, *offers(text, on_ticket=on_ticket)]
