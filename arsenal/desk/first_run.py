"""The first page: look round the sample shop, start empty, or restore a backup; and how the desk should look."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from arsenal import __version__
from arsenal.acts.settings import Settings
from arsenal.desk import file_dialogs
from arsenal.desk.keys import KeyListener
from arsenal.desk.look_words import look_sentence
from arsenal.desk.parts import paint
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.empty import BigFall
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

FILTER = "Padbook files (*.padbook);;All files (*)"


class Way(QAbstractButton):
    """One ruled row: key, title, sentence, and what stands right."""

    def __init__(self, key: str, title: str, sentence: str, right: str) -> None:
        super().__init__()
        self.key, self._title, self._sentence, self._right = key, title, sentence, right
        self.setText(title)
        self.setAccessibleName(f"{title}. {sentence} {right}")
        self.setAccessibleDescription(f"key {key}")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """92 high."""
        return look().size(800, 92)

    def minimumSizeHint(self) -> QSize:
        """May be narrow."""
        return look().size(300, 92)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the row."""
        painter, now, box = QPainter(self), look(), self.rect()
        if self.hasFocus():
            paint.chosen_ground(painter, box, focused=True)
        elif self.underMouse():
            painter.fillRect(box, now.color("well"))
        side = now.px(21)
        paint.key_cap(painter, QRectF(now.px(24), now.px(25), side, side), self.key, token="ink2")
        left, small = now.px(62), now.font(13)
        wide = QFontMetricsF(small).horizontalAdvance(self._right)
        end = box.width() - now.px(24)
        for text, font, token, base, most in (
            (self._title, now.font(20, 600), "ink", 41, end - wide - left - now.px(16)),
            (self._sentence, now.font(14), "ink2", 67, end - left),
        ):
            painter.setFont(font)
            painter.setPen(now.color(token))
            shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, most)
            painter.drawText(QPointF(left, now.px(base)), shown)
        painter.setFont(small)
        painter.setPen(now.color("ink2"))
        painter.drawText(QPointF(end - wide, now.px(41)), self._right)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes; ↑ ↓ choose."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self.focusNextPrevChild(key == Qt.Key.Key_Down)
        else:
            super().keyPressEvent(event)


class Hint(QWidget):
    """A key and what it does, in the foot."""

    def __init__(self, key: str, text: str) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, look().px(14), 0)
        row.setSpacing(look().px(6))
        row.addWidget(Plain(key, px=12, weight=600))
        row.addWidget(Plain(text, px=12, token="ink2"))


def _middle_column(page: QWidget) -> QVBoxLayout:
    across = QHBoxLayout(page)
    column = QVBoxLayout()
    column.setSpacing(0)
    column.setContentsMargins(look().px(4), 0, look().px(4), 0)
    middle = QWidget()
    middle.setLayout(column)
    middle.setMaximumWidth(look().px(800))
    for part, stretch in ((None, 1), (middle, 20), (None, 1)):
        if part is None:
            across.addStretch(stretch)
        else:
            across.addWidget(part, stretch)
    return column


class FirstRun(QWidget):
    """The page as the one window there is before a file is open."""

    sample_wanted = Signal()
    empty_wanted = Signal(Path)
    restore_wanted = Signal(Path, Path)
    """Backup, and the file to put in its place."""

    def __init__(self, settings: Settings, place: Path) -> None:
        super().__init__()
        self.setWindowTitle("Padbook")
        self.setAcceptDrops(True)
        self._place = place
        self._keys = KeyListener(self)
        self._keys.pressed.connect(self._key)
        self._keys.watch(self)
        self.ways = (
            Way("S", "Look round the sample shop",
                "Invented people and balls, a season of entries, kept apart from your own.", ""),
            Way("E", "Start empty", "Four questions: name, hand, speed where read, and your benchmark ball.",
                "About a minute"),
            Way("R", "Restore a backup", "From a file or a stick. It is checked before anything is replaced.",
                "or drop the file here"),
        )  # fmt: skip
        for way, call in zip(
            self.ways,
            (self.sample_wanted.emit, lambda: self.empty_wanted.emit(self._place), self._pick_backup),
            strict=True,
        ):
            way.clicked.connect(lambda _=False, c=call: c())
        self.trouble = Told()
        self._lay_out(settings)
        self.ways[0].setFocus()

    def _lay_out(self, settings: Settings) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        page = QWidget()
        scroll.setWidget(page)
        outer.addWidget(scroll, 1)
        outer.addWidget(self._foot())
        column = _middle_column(page)
        column.addStretch(2)
        column.addLayout(self._title())
        column.addSpacing(look().px(40))
        for number, way in enumerate(self.ways):
            column.addWidget(way)
            column.addWidget(Line("edge" if number == 2 else "rule"))
        column.addWidget(self.trouble)
        column.addSpacing(look().px(16))
        bar = look_sentence(settings)
        bar.flush_left()
        column.addWidget(bar)
        column.addSpacing(look().px(20))
        column.addWidget(
            Plain(
                "Everything stays in one file on this machine. Nothing is sent. It opens next time on the page you"
                " used last.", token="ink2", wrap=True,
            )
        )  # fmt: skip
        column.addLayout(self._file_line())
        column.addStretch(5)

    def _title(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addWidget(BigFall(122, 70, "hand", 3.0))
        row.addSpacing(look().px(32))
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addWidget(Plain("Padbook", px=40, weight=600))
        words.addWidget(Plain("What is on every ball now, and what it will do.", px=16, token="ink2"))
        row.addLayout(words, 1)
        return row

    def _file_line(self) -> QHBoxLayout:
        row = QHBoxLayout()
        self._where = Plain("", token="ink2", elide=True)
        other = TextButton("another place", px=14, token="ink")
        other.clicked.connect(self._pick_place)
        row.setSpacing(look().px(12))
        row.addWidget(self._where)
        row.addWidget(other)
        row.addStretch(1)
        self._show_place()
        return row

    def _foot(self) -> QWidget:
        foot = QWidget()
        outer = QVBoxLayout(foot)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(Line("rule"))
        row = QHBoxLayout()
        outer.addLayout(row, 1)
        row.setContentsMargins(look().px(20), 1, look().px(20), 0)
        for key, text in (("↑ ↓", "choose"), ("Enter", "go"), ("S E R", "go at once")):
            row.addWidget(Hint(key, text))
        row.addStretch(1)
        row.addWidget(Plain(f"Padbook {__version__}", px=12, token="ink2"))
        foot.setFixedHeight(look().px(30))
        return foot

    def _show_place(self) -> None:
        self._where.setText(f"The file: {self._place}")
        self._where.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)

    def busy(self, title: str) -> None:
        """Something is being made: the three ways rest; empty frees them."""
        for way in self.ways:
            way.setEnabled(not title)
        if title:
            self.complain("")

    def complain(self, sentence: str) -> None:
        """Say below the three ways what went wrong."""
        self.trouble.setText(sentence)

    def _key(self, key: str) -> None:
        for way in self.ways:
            if way.key == key:
                way.setFocus(Qt.FocusReason.ShortcutFocusReason)
                way.click()

    def _pick_place(self) -> None:
        name = file_dialogs.save_file(self, "Where the file shall be", str(self._place), FILTER)
        if name:
            self._place = Path(name)
            self._show_place()

    def _pick_backup(self) -> None:
        name = file_dialogs.open_file(self, "Restore a backup", str(Path.home()), "All files (*)")
        if name:
            self.restore_wanted.emit(Path(name), self._place)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """One file may be dropped."""
        if len(event.mimeData().urls()) == 1:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Restore what was dropped."""
        self.restore_wanted.emit(Path(event.mimeData().urls()[0].toLocalFile()), self._place)

    def sizeHint(self) -> QSize:
        """As the desk."""
        return QSize(1366, 768)
