"""What takes the focus in a part of the window."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QListView, QPushButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from arsenal.desk.parts.panes import focus_stops


def test_the_stops_come_in_the_order_of_tab(qtbot) -> None:
    whole = QWidget()
    qtbot.addWidget(whole)
    column = QVBoxLayout(whole)
    first, second, third = QPushButton("a"), QPushButton("b"), QPushButton("c")
    for button in (first, second, third):
        column.addWidget(button)
    QWidget.setTabOrder(third, second)
    assert focus_stops(whole) == [first, third, second]


def test_what_is_held_of_a_list_outlives_the_button_before_it(qtbot) -> None:
    whole = QWidget()
    qtbot.addWidget(whole)
    column = QVBoxLayout(whole)
    button, rows = QPushButton("a"), QListView()
    column.addWidget(button)
    column.addWidget(rows)
    ground = rows.viewport()
    focus_stops(whole)
    button.deleteLater()
    QCoreApplication.sendPostedEvents(button, QEvent.Type.DeferredDelete)
    assert not isValid(button)
    assert isValid(ground)
    assert ground.isVisibleTo(whole)
