"""The code of a ticket on its stub, dark on light in either look, so that a scanner reads it from the screen."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk.theme import look
from arsenal.desk.tokens import LIGHT


class CodeMark(QWidget):
    """Empty without a code."""

    def __init__(self) -> None:
        super().__init__()
        self._code = ""
        self._rows: tuple[tuple[bool, ...], ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.hide()
        look().changed.connect(self.updateGeometry)

    def show_code(self, code: str) -> None:
        """Another code."""
        if code != self._code:
            from arsenal.exchange import qr  # noqa: PLC0415 - when first wanted

            self._code, self._rows = code, qr.modules(code) if code else ()
            self.setAccessibleName(f"Code {code}" if code else "")
            self.updateGeometry()
            self.update()
        self.setVisible(bool(code))

    def _module(self) -> int:
        return look().line(2)

    def sizeHint(self) -> QSize:
        """Whole pixels a module."""
        side = len(self._rows) * self._module()
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the modules."""
        painter, side = QPainter(self), self._module()
        painter.fillRect(self.rect(), QColor(LIGHT.sheet))
        dark = QColor(LIGHT.ink)
        for y, row in enumerate(self._rows):
            for x, on in enumerate(row):
                if on:
                    painter.fillRect(QRect(x * side, y * side, side, side), dark)
        painter.end()
