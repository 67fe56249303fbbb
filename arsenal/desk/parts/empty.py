"""What stands where there is nothing yet: the fall glyph, a title, a sentence, and the first action."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look


@dataclass(frozen=True, slots=True)
class Missing:
    """Why a room has nothing to show: `kind` is what to add or say first (bowler, throw, lane, balls, event, enter,
    game), or trouble.
    """

    kind: str
    title: str
    sentence: str
    action: str = ""


class BigFall(QWidget):
    """The fall as a drawing: a finish set at 500 and played down."""

    def __init__(self, width: float = 84, height: float = 44, token: str = "edge", bold: float = 2.2) -> None:
        super().__init__()
        self._size, self._token, self._bold = (width, height), token, bold
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """As asked."""
        return look().size(*self._size)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        painter = QPainter(self)
        box = QRectF(self.rect()).adjusted(2, 4, -2, -4)
        paint.fall(painter, box, 420.0, 5200.0, low=4300.0, high=5600.0, token=self._token, bold=self._bold)
        painter.end()


class Empty(QWidget):
    """An empty list or room."""

    wanted = Signal()

    def __init__(
        self, title: str, sentence: str, action: str = "", key: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.title, self.sentence = Plain(title, px=18, weight=600), Plain(sentence, px=15, token="ink2", wrap=True)
        self.button = KeyButton(action, key, primary=True, height=40)
        self.button.setVisible(bool(action))
        self.button.clicked.connect(self.wanted)
        words = QVBoxLayout()
        words.setSpacing(look().px(6))
        words.addWidget(self.title)
        words.addWidget(self.sentence)
        words.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        grid = QGridLayout(self)
        grid.setHorizontalSpacing(look().px(24))
        grid.addWidget(BigFall(), 1, 1, Qt.AlignmentFlag.AlignTop)
        grid.addLayout(words, 1, 2)
        grid.setRowStretch(0, 2)
        grid.setRowStretch(2, 3)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(3, 1)
        self.sentence.setMinimumWidth(look().px(300))

    def tell(self, title: str, sentence: str, action: str = "") -> None:
        """Other words."""
        self.title.setText(title)
        self.sentence.setText(sentence)
        if action:
            self.button.rename(action)
        self.button.setVisible(bool(action))
