"""The search line: always there (Ctrl+K), its hits in a list under it; Enter opens the hit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QListView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from arsenal.desk.parts import paint
from arsenal.desk.parts.searching import leaves_undo
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Hit

MOST = 12
HIT = Qt.ItemDataRole.UserRole + 1
Index = QModelIndex | QPersistentModelIndex


def _find(shop: Shop, text: str) -> tuple[Hit, ...]:
    from arsenal.acts import reading  # noqa: PLC0415 - heavy, on the worker's thread

    return reading.find(shop, text, MOST)


class Hits(QAbstractListModel):
    """What was found."""

    def __init__(self) -> None:
        super().__init__()
        self._hits: tuple[Hit, ...] = ()

    def show_hits(self, hits: Sequence[Hit]) -> None:
        """Other hits."""
        self.beginResetModel()
        self._hits = tuple(hits)
        self.endResetModel()

    def hit(self, row: int) -> Hit | None:
        """The hit in a row."""
        return self._hits[row] if 0 <= row < len(self._hits) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """How many."""
        return 0 if parent.isValid() else len(self._hits)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Label, or the whole hit."""
        hit = self.hit(index.row())
        if hit is None:
            return None
        if role == HIT:
            return hit
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{hit.label}, {hit.kind}, {hit.detail}".rstrip(", ")
        return None


class HitRows(QStyledItemDelegate):
    """Paints a hit: what it is, its name, a detail."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """One row."""
        return QSize(look().px(200), look().px(44))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw a hit."""
        hit, now = index.data(HIT), look()
        box = option.rect
        if index.row() == option.widget.currentIndex().row():  # type: ignore[attr-defined]
            paint.chosen_ground(painter, box, focused=False)
        left, room = box.left() + now.px(16), box.width() - now.px(32)
        for text, font, token, top in (
            (hit.label, now.font(15, 600), "ink", 4),
            (", ".join(p for p in (hit.kind, hit.detail) if p), now.font(12), "ink2", 24),
        ):
            painter.setFont(font)
            painter.setPen(now.color(token))
            shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, room)
            painter.drawText(left, box.top() + now.px(top) + round(QFontMetricsF(font).ascent()), shown)
        paint.hairline(painter, left, box.right() - now.px(16), box.bottom())


KEY, NOTHING = "Ctrl+K", "nothing found"
"""At the end of the line."""


class SearchLine(QWidget):
    """The field. `opened` tells the hit that was chosen."""

    opened = Signal(object)
    left = Signal()
    """The keys belong to the room again: something is opened, or Esc was pressed in an empty line."""

    def __init__(self, shared: Shared, window: QWidget) -> None:
        super().__init__()
        self._shared, self._window = shared, window
        self.edit = QLineEdit()
        self.edit.setFrame(False)
        self.edit.setStyleSheet("QLineEdit, QLineEdit:focus { border: none; background: transparent; padding: 0; }")
        self.edit.setPlaceholderText("Find a ball, person or ticket")
        self.edit.setAccessibleName("Find a ball, person or ticket")
        self._cap = Plain(KEY, px=12, weight=500, token="ink2")
        self._row = QHBoxLayout(self)
        self._row.addWidget(self.edit, 1)
        self._row.addWidget(self._cap)
        self.edit.installEventFilter(self)
        self.edit.textChanged.connect(self._changed)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self._model = Hits()
        self._shown, self._open_first = "", False
        """The words whose finds are shown; whether Enter was pressed before they came."""
        self.hits = QListView(window)
        self.hits.setModel(self._model)
        self.hits.setItemDelegate(HitRows(self.hits))
        self.hits.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hits.setAccessibleName("Found")
        self.hits.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.hits.clicked.connect(lambda index: self._open(index.row()))
        self.hits.hide()
        look().changed.connect(self._dress)
        self._dress()

    def take_focus(self) -> None:
        """Ctrl+K."""
        self.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.edit.selectAll()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keys of the list while the focus stays in the field; Undo of an empty field is the desk's."""
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut) and isinstance(event, QFocusEvent):
            if event.type() == QEvent.Type.FocusOut and event.reason() != Qt.FocusReason.PopupFocusReason:
                self.hits.hide()
            self.update()
        if not isinstance(event, QKeyEvent):
            return False
        if event.type() is QEvent.Type.ShortcutOverride:
            return leaves_undo(event, self.edit)
        return event.type() == QEvent.Type.KeyPress and self._key(Qt.Key(event.key()))

    def _key(self, key: Qt.Key) -> bool:
        row = self.hits.currentIndex().row()
        if key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            by = 1 if key == Qt.Key.Key_Down else -1
            self.hits.setCurrentIndex(self._model.index(min(self._model.rowCount() - 1, max(0, row + by))))
            return True
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open_now(max(0, row))
            return True
        if key == Qt.Key.Key_Escape:
            if not self.edit.text():
                self.left.emit()
            self.edit.clear()
            self.hits.hide()
            return True
        return False

    def _changed(self, text: str) -> None:
        self._open_first = False
        if not text.strip():
            self._cap.setText(KEY)
            self._shared.worker.drop("search")
            self._shown = ""
            self._model.show_hits(())
            self.hits.hide()
            return
        self._shared.ask("search", lambda shop: _find(shop, text), lambda hits: self._found(hits, text), first=True)

    def _open_now(self, row: int) -> None:
        """The find in hand; where its answer is still on the way, the first as soon as it is there."""
        if self._shown == self.edit.text():
            self._open(row)
        else:
            self._open_first = bool(self.edit.text().strip())

    def _found(self, hits: Sequence[Hit], text: str) -> None:
        self._shown = text
        self._model.show_hits(hits)
        self._cap.setText(KEY if hits else NOTHING)
        if self._open_first:
            self._open_first = False
            self._open(0)
            return
        if hits and self._window.focusWidget() is self.edit:
            self.hits.setCurrentIndex(self._model.index(0))
            self._place()
        else:
            self.hits.hide()
        self.edit.setAccessibleDescription(f"{len(hits)} found" if hits else NOTHING)

    def _place(self) -> None:
        window = self._window
        corner = self.mapTo(window, QPoint(0, self.height() + 2))
        rows = min(self._model.rowCount(), 8)
        wide = max(self.width(), look().px(300))
        left = min(corner.x(), window.width() - wide - look().px(20))
        self.hits.setGeometry(left, corner.y(), wide, rows * look().px(44) + 2)
        self.hits.show()
        self.hits.raise_()

    def _open(self, row: int) -> None:
        hit = self._model.hit(row)
        if hit is not None:
            self.edit.clear()
            self.hits.hide()
            self.left.emit()
            self.opened.emit(hit)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw frame and glass."""
        paint.search_frame(self, look().px(16), look().px(10), focus=self.edit.hasFocus())

    def sizeHint(self) -> QSize:
        """300 wide where there is room; many rooms and large text leave less."""
        return look().size(300, 32)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The key gives way before the words do."""
        super().resizeEvent(event)
        self._cap.setVisible(self.width() >= look().px(220))

    def _dress(self) -> None:
        now = look()
        self.setMinimumWidth(now.px(110))
        self.setMaximumWidth(now.px(300))
        self.setFixedHeight(now.px(32))
        self._row.setContentsMargins(now.px(35), 2, now.px(12), 2)
        self.edit.setFont(now.font(14))
        colors = self.hits.palette()
        colors.setColor(QPalette.ColorRole.Base, now.color("sheet"))
        self.hits.setPalette(colors)
        self.hits.setStyleSheet(f"QListView {{ background: {now.tokens.sheet}; border: 1px solid {now.tokens.edge}; }}")
