"""One out of many, found by a few letters: what a menu of thousands would hide the screen with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QEvent, QObject, QRect, Qt
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

MOST_SHOWN = 200
"""Rows listed at once; more letters find the others."""


class _Painter(RowPainter):
    """One line, compact."""

    height = 36

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Its words."""
        inner = box.adjusted(look().px(10), 0, -look().px(10), 0)
        write(painter, inner, row[0][:200], look().font(15, 600 if chosen else 400), "ink")


class ChooseDialog(Dialog):
    """A line and the choices that hold every word typed in it; Enter takes the one in hand."""

    def __init__(
        self, parent: QWidget, what: str, choices: Sequence[tuple[str, object]], current: object,
        took: Callable[[object], object],
    ) -> None:  # fmt: skip
        what = f"{what[:1].upper()}{what[1:]}"
        super().__init__(what, parent, width=460)
        self._choices, self._took = list(choices), took
        self.line = QLineEdit()
        self.line.setAccessibleName(f"{what}: a few letters")
        self.line.setPlaceholderText("a few letters")
        self.line.setFixedHeight(look().px(34))
        self.list = RowsView(what, RowsModel(lambda row: str(row[0])), _Painter())
        self.list.setMinimumHeight(max(look().px(100), min(look().px(360), self._room().height() - look().px(300))))
        self.told = Plain("", px=13, token="ink2", wrap=True)
        for part in (self.line, self.list, self.told):
            self.body.addWidget(part)
        self.offer("Not now", "Esc", self.reject)
        self.take = self.offer("Choose", "↵", self.choose, primary=True)
        self.line.textChanged.connect(lambda _text: self._show())
        self.line.installEventFilter(self)
        self.list.opened.connect(lambda _row: self.choose())
        self.list.doubleClicked.connect(lambda _index: self.choose())
        self._show()
        self.list.choose_where(lambda row: row[1] == current)
        self.line.setFocus()

    def _show(self) -> None:
        words = self.line.text().casefold().split()
        fit = [choice for choice in self._choices if all(word in choice[0].casefold() for word in words)]
        self.list.rows_model.set_rows(fit[:MOST_SHOWN])
        self.list.choose(0)
        more = f"{MOST_SHOWN} of {len(fit)}; a few letters find the others."
        self.told.setText(more if len(fit) > MOST_SHOWN else "" if fit else "Nothing holds these letters.")
        self.take.setEnabled(bool(fit))

    def choose(self) -> None:
        """Take the one in hand."""
        row = self.list.in_hand()
        if row is not None:
            self.accept()
            self._took(row[1])

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """↑ and ↓ in the line move the choice."""
        moves = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and watched is self.line and event.key() in moves:  # type: ignore[attr-defined]
            QApplication.sendEvent(self.list, event)
            return True
        return super().eventFilter(watched, event)


def open_choice(
    parent: QWidget, what: str, choices: Sequence[tuple[str, object]], current: object,
    took: Callable[[object], object],
) -> ChooseDialog:  # fmt: skip
    """Ask; `took` gets the value."""
    dialog = ChooseDialog(parent, what, choices, current, took)
    dialog.open_()
    return dialog
