"""Several sentences in one place: the bar of a room with more than one view."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from arsenal.desk.parts.sentence import Sentence


class Bars(QWidget):
    """One of the sentences is shown; as high as that one needs."""

    height_changed = Signal()

    def __init__(self, bars: Sequence[QWidget]) -> None:
        super().__init__()
        self._bars: list[QWidget] = []
        self._at = 0
        for bar in bars:
            self.add(bar)
        self.show_bar(0)

    def add(self, bar: QWidget) -> None:
        """One more; it is not shown yet."""
        self._bars.append(bar)
        bar.setParent(self)
        bar.setVisible(False)
        if isinstance(bar, Sentence):
            bar.height_changed.connect(self.height_changed)

    def show_bar(self, number: int) -> None:
        """Bring one to the front."""
        self._at = number
        for at, bar in enumerate(self._bars):
            bar.setVisible(at == number)
        self._place()
        self.height_changed.emit()

    def hasHeightForWidth(self) -> bool:
        """As the one shown."""
        return True

    def heightForWidth(self, width: int) -> int:
        """As the one shown."""
        return self._bars[self._at].heightForWidth(width)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """It has all the room there is."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        self._bars[self._at].setGeometry(self.rect())
