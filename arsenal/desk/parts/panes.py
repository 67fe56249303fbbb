"""The panes of a room: side by side where there is room, else one above the other in a column that scrolls."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QBoxLayout, QFrame, QScrollArea, QWidget


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


def focus_stops(part: QWidget) -> list[QWidget]:
    """What takes the focus within `part`, in the order Tab already has there."""
    found: list[QWidget] = []
    widget = part.nextInFocusChain()
    while widget is not None and widget is not part:
        if part.isAncestorOf(widget) and widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not widget.focusProxy():
            found.append(widget)
        widget = widget.nextInFocusChain()
    return found
