"""Over the table of a kept plan: when it was made, what would differ now and why, and a key to plan anew."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.event_views import EventPlan


def kept_words(plan: EventPlan, now: datetime) -> str:
    """“Kept as planned on 24 Nov, 18:40. Changed since, because …”; empty where nothing has changed."""
    if not plan.changed_since:
        return ""
    made = plan.made_at.astimezone(now.tzinfo)
    day = "today" if made.date() == now.date() else f"on {days.day(made)}"
    return f"Kept as planned {day}, {made:%H:%M}. {' '.join(plan.changed_since)}"


class KeptLine(QWidget):
    """A `well` with the sentence and the key; hidden while the plan is as it would be made now."""

    def __init__(self) -> None:
        super().__init__()
        self.words = Plain("", px=13, wrap=True)
        self.anew_key = KeyButton("Plan anew", "N", height=36)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self.words, 1)
        self._row.addWidget(self.anew_key)
        self.hide()
        look().changed.connect(self._dress)
        self._dress()

    def show_plan(self, plan: EventPlan, now: datetime) -> None:
        """Another plan."""
        said = kept_words(plan, now)
        self.words.setText(said)
        self.setVisible(bool(said))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ground, edge, line below."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("well"))
        painter.fillRect(QRect(0, 0, 4, self.height()), look().color("warn"))
        paint.hairline(painter, 0, self.width(), self.height() - 1)
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._row.setContentsMargins(px(44), px(6), px(20), px(6))
        self._row.setSpacing(px(16))
