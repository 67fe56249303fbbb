"""The panes of a room: side by side where there is room, else one above the other in a column that scrolls."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QScrollArea, QWidget

from arsenal.desk.theme import look


def scrolled(inside: QWidget) -> QScrollArea:
    """A frameless area around `inside` that scrolls down only and is no stop of the focus."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inside)
    for widget in (inside, area.viewport()):
        widget.setAutoFillBackground(False)
    return area


class Loose(QWidget):
    """A place for a pane that is as high as the room says: Qt takes the height a pane with a wrapping sentence would
    like for the least it needs, and the whole room scrolls.
    """

    def __init__(self, pane: QWidget) -> None:
        super().__init__()
        self._pane = pane
        pane.setParent(self)
        pane.setMinimumSize(1, 1)

    def sizeHint(self) -> QSize:
        """As the pane would like."""
        return self._pane.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The pane fills it."""
        super().resizeEvent(event)
        self._pane.setGeometry(self.rect())


def side_by_side(inside: QWidget, spacing: int = 1) -> QBoxLayout:
    """The layout of panes in `inside`; `stand` turns it."""
    box = QBoxLayout(QBoxLayout.Direction.LeftToRight, inside)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(spacing)
    return box


def stand(box: QBoxLayout, *, column: bool) -> None:
    """Side by side, or as one column."""
    box.setDirection(QBoxLayout.Direction.TopToBottom if column else QBoxLayout.Direction.LeftToRight)


def beside(box: QBoxLayout) -> bool:
    """Whether the panes stand side by side."""
    return box.direction() is QBoxLayout.Direction.LeftToRight


def paint_ground(room: QWidget, split: int | None) -> None:
    """The sheet under a room's panes, and the line between them at `split`; None where they stand in a column."""
    painter = QPainter(room)
    painter.fillRect(room.rect(), look().color("sheet"))
    if split is not None:
        painter.fillRect(split, 0, 1, room.height(), look().color("rule"))
    painter.end()


def focus_stops(part: QWidget) -> list[QWidget]:
    """What takes the focus within `part`, in the order Tab already has there."""
    return [
        widget
        for widget in _chain(part)
        if part.isAncestorOf(widget) and widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not widget.focusProxy()
    ]


def _chain(part: QWidget) -> list[QWidget]:
    """All widgets of the window in the order of Tab, from `part` on.

    PySide counts each as a child of the one before it, and lets go of it with that one, though Qt does not; naming its
    true parent again puts that right.
    """
    found = [part]
    while (widget := found[-1].nextInFocusChain()) is not None and widget is not part:
        found.append(widget)
    for widget in found:
        widget.setParent(widget.parentWidget())
    return found[1:]
