"""The window: rooms by digit, keys and scanners, search, undo, what is remembered, names for a screen reader."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import plain_window
import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAccessible, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from arsenal.acts import logging
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.frame import Window
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look
from arsenal.trade.entries import Draft, Kind, Note
from arsenal.trade.errors import OutOfRange

KNOWN = [(1, "Lane-side", ""), (2, "Bench", "")]


class PlainRoom(Room):
    """A room with two keys and a field, enough to try the window with."""

    def __init__(self, shared: Shared, digit: int, name: str) -> None:
        super().__init__(shared)
        self.digit, self.name = digit, name
        self.entered = self.refreshed = 0
        self.heard: list[str] = []
        column = QVBoxLayout(self)
        self.thrown, self.delete = KeyButton("Thrown", "T"), KeyButton("Down", "D")
        self.field = QLineEdit()
        self.field.setAccessibleName("Line")
        for widget in (self.thrown, self.delete, self.field):
            column.addWidget(widget)
        self.presses: list[str] = []
        self.thrown.clicked.connect(lambda: self.presses.append("T"))
        self.delete.clicked.connect(lambda: self.presses.append("D"))

    def sentence_bar(self) -> QWidget:
        bar = Sentence()
        bar.word("bowler", "Mirel Oster").set_choices([("Mirel Oster", 1)], 1)
        bar.say("throws")
        bar.finish()
        return bar

    def enter(self) -> None:
        self.entered += 1

    def refresh(self, _changes) -> None:
        self.refreshed += 1

    def panes(self) -> list[QWidget]:
        return [self.thrown, self.field]

    def letter(self, key: str) -> bool:
        self.heard.append(key)
        return True


@pytest.fixture
def desk(qtbot, shop_file: Path, settings: Settings) -> Iterator[Window]:
    yield from plain_window.opened(qtbot, shop_file, settings, KNOWN, PlainRoom, (1366, 768))


def test_the_search_line_is_whole_where_there_is_room_and_its_key_gives_way_first(desk: Window) -> None:
    assert desk.search.width() == look().px(300)
    assert desk.search._cap.isVisible()
    desk.search.setFixedWidth(look().px(200))
    QApplication.processEvents()
    assert not desk.search._cap.isVisible()


def press(window: QWidget, key: object, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """As a keyboard does it: through the native window."""
    QTest.keyClick(window.windowHandle(), key, modifier)


def test_digits_go_to_the_rooms_there_are_and_only_those(qtbot, desk: Window) -> None:
    assert desk.opened().name == "Lane-side"
    press(desk, Qt.Key.Key_2)
    qtbot.waitUntil(lambda: desk.opened().name == "Bench")
    press(desk, Qt.Key.Key_4)
    qtbot.wait(90)
    assert desk.opened().name == "Bench"
    assert [tab.digit for tab in desk.top.tabs()] == [1, 2]


def test_a_digit_typed_into_a_field_stays_there(qtbot, desk: Window) -> None:
    desk.opened().field.setFocus()
    press(desk, Qt.Key.Key_2)
    qtbot.wait(90)
    assert desk.opened().name == "Lane-side"
    assert desk.opened().field.text() == "2"


def test_a_letter_presses_the_button_that_carries_it(qtbot, desk: Window) -> None:
    desk.opened().thrown.setFocus()
    press(desk, Qt.Key.Key_D)
    qtbot.waitUntil(lambda: desk.opened().presses == ["D"])
    press(desk, Qt.Key.Key_Slash)
    qtbot.waitUntil(lambda: desk.opened().heard == ["/"])


def test_a_scanner_that_types_never_presses_a_button(qtbot, desk: Window) -> None:
    room = desk.opened()
    room.delete.setFocus()
    scans: list[str] = []
    desk.keys.scanned.connect(scans.append)
    for key in (Qt.Key.Key_D, Qt.Key.Key_2, Qt.Key.Key_Space, Qt.Key.Key_T, Qt.Key.Key_Return):
        press(desk, key)
    qtbot.waitUntil(lambda: bool(scans))
    qtbot.wait(90)
    assert scans[0].lower() == "d2 t"
    assert room.presses == []
    assert desk.opened() is room


def test_the_search_line_finds_a_ball_and_enter_opens_it_on_the_bench(qtbot, desk: Window) -> None:
    press(desk, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    assert desk.search.edit.hasFocus()
    QTest.keyClicks(desk.search.edit, "rook")
    qtbot.waitUntil(desk.search.hits.isVisible)
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Return)
    assert desk.opened().name == "Bench"
    assert desk.shared.ball_id is not None
    assert not desk.search.hits.isVisible()


def test_enter_before_the_answer_opens_what_was_typed_last_not_what_was_found_before(qtbot, desk: Window) -> None:
    opened: list[str] = []
    desk.search.opened.connect(lambda hit: opened.append(hit.label))
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "rook")
    qtbot.waitUntil(desk.search.hits.isVisible)
    desk.search.edit.selectAll()
    QTest.keyClicks(desk.search.edit, "quarry")
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(opened))
    assert opened == ["Quarry Song"]


def test_the_search_line_says_where_nothing_was_found_until_something_else_is_typed(qtbot, desk: Window) -> None:
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "66quarry")
    qtbot.waitUntil(lambda: desk.search._cap.whole() == "nothing found")
    desk.search.edit.setText("quarry")
    qtbot.waitUntil(desk.search.hits.isVisible)
    assert desk.search._cap.whole() == "Ctrl+K"
    desk.search.edit.setText("66quarry")
    qtbot.waitUntil(lambda: desk.search._cap.whole() == "nothing found")
    desk.search.edit.clear()
    assert desk.search._cap.whole() == "Ctrl+K"


def test_the_search_line_gives_the_keys_back_when_something_is_opened_and_on_esc(qtbot, desk: Window) -> None:
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "tams")
    qtbot.waitUntil(desk.search.hits.isVisible)
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Return)
    assert desk.opened().name == "Lane-side"
    assert not desk.search.edit.hasFocus()
    assert desk.stack.isAncestorOf(QApplication.focusWidget())
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "ro")
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Escape)
    assert desk.search.edit.hasFocus()
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Escape)
    assert not desk.search.edit.hasFocus()


def test_enter_opens_nothing_where_nothing_is_found(qtbot, desk: Window) -> None:
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "rook")
    qtbot.waitUntil(desk.search.hits.isVisible)
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Escape)
    QTest.keyClicks(desk.search.edit, "zzzz")
    QTest.keyClick(desk.search.edit, Qt.Key.Key_Return)
    qtbot.waitUntil(desk.shared.worker.idle)
    qtbot.wait(50)
    assert desk.opened().name == "Lane-side"


def test_undo_in_the_empty_search_line_is_the_desk_s(qtbot, desk: Window) -> None:
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "ro")
    press(desk.search.edit, Qt.Key.Key_Escape)
    event = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier, "\x1a")
    QApplication.sendEvent(desk.search.edit, event)
    assert not event.isAccepted()
    QTest.keyClicks(desk.search.edit, "ro")
    event = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier, "\x1a")
    QApplication.sendEvent(desk.search.edit, event)
    assert event.isAccepted()


@pytest.mark.parametrize("text", ["", " ", "14.5", '5"', "O'Neil", "pin-up", "*", "(", "NOT"])
def test_whatever_is_searched_never_breaks(qtbot, desk: Window, text: str) -> None:
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, text)
    qtbot.waitUntil(desk.shared.worker.idle)


def test_a_name_with_markup_stands_in_the_hits_as_it_is(qtbot, desk: Window) -> None:
    desk.search.take_focus()
    QTest.keyClicks(desk.search.edit, "tamsin")
    qtbot.waitUntil(desk.search.hits.isVisible)
    shown = desk.search.hits.model().index(0, 0).data()
    assert "Tamsin <i>Ode</i> & Co" in shown


def test_undo_is_named_and_takes_back_the_last_act(qtbot, desk: Window) -> None:
    shared, ball = desk.shared, 1

    def note(shop: Shop):
        return logging.keep(shop, [Draft(ball, Kind.NOTE, shop.today(), Note("track is shiny"))])

    shared.keep(note)
    qtbot.waitUntil(lambda: desk.foot.undo.isVisible() and shared.worker.idle())
    assert desk.foot.sentence.whole()
    assert desk.foot.undo.accessibleName().startswith("Undo: ")
    assert desk.opened().refreshed == 1
    desk.opened().thrown.setFocus()
    press(desk, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: desk.opened().refreshed == 2 and shared.worker.idle())
    standing: list[int] = []
    shared.ask("count", lambda shop: len([e for e in shop.entries(ball) if e.kind == Kind.NOTE]), standing.append)
    qtbot.waitUntil(lambda: bool(standing))


def test_an_error_stands_in_the_last_act_line_and_the_next_act_replaces_it(qtbot, desk: Window) -> None:
    def fails(shop: Shop):
        raise OutOfRange("board", 45, "1 to 39")

    desk.shared.keep(fails)
    qtbot.waitUntil(lambda: "board is 45" in desk.foot.sentence.whole())
    assert "Nothing was changed." in desk.foot.sentence.whole()
    desk.shared.say("Wrote 6 files")
    assert desk.foot.sentence.whole() == "Wrote 6 files"


def test_f6_walks_the_panes_round(qtbot, desk: Window) -> None:
    desk.top.tabs()[0].setFocus()
    seen = []
    for _ in range(4):
        press(desk, Qt.Key.Key_F6)
        seen.append(QApplication.focusWidget())
    assert seen[0] is desk.search.edit
    assert seen[1] is desk.opened().thrown
    assert seen[2] is desk.opened().field


def test_tab_goes_rooms_search_sentence_room(qtbot, desk: Window) -> None:
    desk.top.tabs()[0].setFocus()
    order = []
    for _ in range(4):
        press(desk, Qt.Key.Key_Tab)
        order.append(QApplication.focusWidget())
    assert order[0] is desk.search.edit
    assert order[1].accessibleName() == "bowler: Mirel Oster"
    assert order[2] is desk.opened().thrown


def test_window_room_bowler_and_ball_are_remembered(qtbot, desk: Window, settings: Settings) -> None:
    press(desk, Qt.Key.Key_2)
    qtbot.waitUntil(lambda: desk.opened().name == "Bench")
    desk.shared.hold_ball(2)
    desk.close()
    settings.save()
    again = Settings.load(settings.path)
    assert again.last_room == "Bench"
    assert again.last_ball_id == 2
    assert again.last_bowler_id == desk.shared.bowler_id
    assert again.geometry


def test_what_this_file_does_not_hold_is_not_held(qtbot, desk: Window) -> None:
    assert desk.shared.bowler_id in (1, 2)
    desk.shared.bowler_id, desk.shared.ball_id = 77, 99
    desk.file_open()
    qtbot.waitUntil(lambda: desk.shared.bowler_id != 77)
    assert desk.shared.ball_id is None


def test_everything_that_takes_the_focus_has_a_name(qtbot, desk: Window) -> None:
    nameless = []
    for widget in desk.findChildren(QWidget):
        if widget.focusPolicy() == Qt.FocusPolicy.NoFocus or not widget.isVisible():
            continue
        reader = QAccessible.queryAccessibleInterface(widget)
        if reader is None or not reader.text(QAccessible.Text.Name):
            nameless.append(type(widget).__name__)
    assert not nameless


@pytest.mark.parametrize("percent", [80, 100, 125, 150, 200])
def test_the_frame_never_asks_for_more_than_the_screen(qtbot, desk: Window, dressed, percent: int) -> None:
    dressed.resize(percent)
    qtbot.wait(20)
    assert desk.minimumSizeHint().width() <= 1366
    assert desk.width() == 1366
    assert desk.search.geometry().right() <= desk.width()
    tabs = desk.top.tabs()
    assert all(tab.width() >= tab.sizeHint().width() for tab in tabs), "no room name is cut"
