"""What the panes of pads and of moves have in common: a row of keys under a heading, and one sentence."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.lane_side.chart import AXIS
from arsenal.desk.lane_side.told_line import ToldLine
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyRow
from arsenal.desk.theme import look


class WhatIfPane(QWidget):
    """The frame. Steps pressed before the answers are there are made up for when they come."""

    def __init__(self, question: str) -> None:
        super().__init__()
        self.compact = False
        self._owed = 0
        self.keys = KeyRow(question)
        self.sentence = ToldLine()
        self._head = QHBoxLayout()
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._head)
        self._column.addWidget(self.keys)
        self._column.addWidget(self.sentence)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def known(self) -> int:
        """How many answers are there."""
        raise NotImplementedError

    def step(self, by: int) -> None:
        """← or →."""
        if self.known():
            self.keys.step(by)
        else:
            self._owed += by

    def as_it_is(self) -> None:
        """Esc."""
        self._owed = 0
        self.keys.choose(-1)

    def _make_up(self) -> None:
        owed, self._owed = self._owed, 0
        for _ in range(min(abs(owed), self.known())):
            self.keys.step(1 if owed > 0 else -1)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The line above."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), 0)
        painter.end()

    def _dress_frame(self) -> None:
        now = look()
        self.setFixedHeight(now.px(112 if self.compact else 150))
        self._column.setContentsMargins(now.px(AXIS + 1), now.px(9), now.px(20), now.px(6))
        self._column.setSpacing(now.px(6))
        self._head.setSpacing(now.px(12))
