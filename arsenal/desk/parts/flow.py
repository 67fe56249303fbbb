"""A row that breaks: words follow each other, some stand at the right end, and rows are added as needed."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from arsenal.desk.theme import look

ROW, NEXT_ROW = 46, 36


class Flow(QLayout):
    """Lays visible widgets from left to right; `at_right` ones at the right end of the first row with room for them."""

    def __init__(self, parent: QWidget, spacing: float = 7) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._right: list[QWidget] = []
        self._gap = spacing

    def add_right(self, widget: QWidget) -> None:
        """Add a widget that stands at the right end."""
        self._right.append(widget)
        self.addWidget(widget)

    def addItem(self, item: QLayoutItem) -> None:
        """As Qt asks."""
        self._items.append(item)

    def count(self) -> int:
        """How many."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """One, or None outside."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Give one back."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """As wide as it may be."""
        return Qt.Orientation.Horizontal

    def hasHeightForWidth(self) -> bool:
        """Narrow is high."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Rows at that width."""
        return self._lay(QRect(0, 0, width, 0), move=False)

    def sizeHint(self) -> QSize:
        """All in one row."""
        return QSize(self.one_row(), look().px(ROW))

    def minimumSize(self) -> QSize:
        """Never widens a window."""
        return QSize(look().px(200), look().px(ROW))

    def setGeometry(self, rect: QRect) -> None:
        """Place them."""
        super().setGeometry(rect)
        self._lay(rect, move=True)

    def one_row(self) -> int:
        """Width of everything visible in one row."""
        margins = self.contentsMargins()
        wide = [item.sizeHint().width() for item in self._items if not item.isEmpty()]
        return sum(wide) + look().px(self._gap) * max(0, len(wide) - 1) + margins.left() + margins.right()

    def _lay(self, rect: QRect, *, move: bool) -> int:
        margins, gap = self.contentsMargins(), look().px(self._gap)
        left, right = rect.left() + margins.left(), rect.right() + 1 - margins.right()
        rows: list[list[tuple[QLayoutItem, int]]] = [[]]
        x = left
        for item in self._shown(at_right=False):
            wide = min(item.sizeHint().width(), right - left)
            if rows[-1] and x + wide > right:
                rows.append([])
                x = left
            rows[-1].append((item, x))
            x += wide + gap
        ends = self._shown(at_right=True)
        needed = sum(item.sizeHint().width() + gap for item in ends)
        if ends and x + needed - gap > right:
            rows.append([])
        self._place_right(rows, ends, max(left, right - needed + gap))
        if move:
            self._move(rows, rect.top(), right)
        return look().px(ROW) + (len(rows) - 1) * look().px(NEXT_ROW)

    def _place_right(self, rows: list[list[tuple[QLayoutItem, int]]], ends: list[QLayoutItem], x: int) -> None:
        start = x if rows[-1] or len(rows) == 1 else self.contentsMargins().left()
        for item in ends:
            rows[-1].append((item, start))
            start += item.sizeHint().width() + look().px(self._gap)

    def _move(self, rows: list[list[tuple[QLayoutItem, int]]], top: int, right: int) -> None:
        first, after = look().px(ROW), look().px(NEXT_ROW)
        for number, row in enumerate(rows):
            middle = top + first // 2 + number * after
            for item, x in row:
                hint = item.sizeHint()
                wide = min(hint.width(), right - x)
                item.setGeometry(QRect(QPoint(x, middle - hint.height() // 2), QSize(wide, hint.height())))

    def _shown(self, *, at_right: bool) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty() and (item.widget() in self._right) == at_right]
