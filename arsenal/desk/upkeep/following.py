"""Column heads that keep to the rows below them: where the list shows a scroll bar, its rows are narrower."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRect
from PySide6.QtWidgets import QAbstractItemView, QWidget


class Following(QWidget):
    """Heads that are as wide as the rows of the list they follow."""

    def __init__(self, rows: QAbstractItemView, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._viewport = rows.viewport()
        self._viewport.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The rows have another width."""
        if event.type() is QEvent.Type.Resize:
            self.update()
        return False

    def row(self) -> QRect:
        """The heads as a row of the list would have it."""
        return QRect(0, 0, min(self.width(), self._viewport.width()), self.height())
