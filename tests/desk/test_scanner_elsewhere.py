"""A scanner that types where a window of its own came up: menus under menus, lists, files; and into long fields."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QFileDialog, QLineEdit, QMenu, QWidget
from scanner_desk import CODE, hearing, opened, slowly, typed

from arsenal.acts.settings import Settings
from arsenal.desk.counter.slip_dialogs import TakenDialog
from arsenal.desk.dialogs.fields import DayEdit
from arsenal.desk.frame import Window
from arsenal.desk.parts.dialog import Dialog
from arsenal.trade.ticket import TakenIn

Typing = Callable[..., None]
BOTH = pytest.mark.parametrize("type_", [typed, slowly], ids=["at once", "every 20 ms"])


@pytest.fixture
def desk(qtbot, shop_file: Path, settings: Settings) -> Iterator[Window]:
    yield from opened(qtbot, shop_file, settings)


@pytest.fixture
def heard(desk: Window) -> list[str]:
    return hearing(desk)


def put(desk: Window, field: QWidget) -> None:
    """Add a field to the room, and give it the keys."""
    desk.opened().layout().addWidget(field)
    field.show()
    field.setFocus()


def has_keys(widget: QWidget | None) -> bool:
    """Whether keys come to that window."""
    return (
        widget is not None and widget.windowHandle() is not None and QApplication.focusWindow() is widget.windowHandle()
    )


@BOTH
@pytest.mark.parametrize("end", [Qt.Key.Key_Return, Qt.Key.Key_Tab, None])
def test_a_scan_into_a_note_leaves_it_as_it_was(
    qtbot, desk: Window, heard: list[str], type_: Typing, end: Qt.Key | None
) -> None:  # fmt: skip
    note = desk.opened().note
    note.setFocus()
    note.textCursor().insertText("well ")
    type_(desk, CODE, 0, end=end)
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(80)
    assert heard == [CODE]
    assert note.toPlainText() == "well kept"
    assert note.textCursor().position() == 5
    assert note.hasFocus()


def test_what_was_written_into_a_note_before_a_scan_can_still_be_undone(qtbot, desk: Window, heard: list[str]) -> None:
    note = desk.opened().note
    note.setFocus()
    note.textCursor().insertText("well ")
    slowly(desk, CODE, 0, end=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(heard))
    for _ in range(6):
        note.undo()
    assert note.toPlainText() == "kept"


@BOTH
def test_a_scan_into_a_day_leaves_it_as_it_was(qtbot, desk: Window, heard: list[str], type_: Typing) -> None:
    day = DayEdit("In", date(2026, 11, 26))
    put(desk, day)
    type_(desk, "20204187", 0, end=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(80)
    assert heard == ["20204187"]
    assert day.date() == QDate(2026, 11, 26)


@BOTH
def test_a_scan_into_a_list_that_dropped_down_chooses_nothing(
    qtbot, desk: Window, heard: list[str], type_: Typing
) -> None:  # fmt: skip
    box = QComboBox()
    box.addItems(["label", "7 by 3", "ticket"])
    put(desk, box)
    box.showPopup()
    qtbot.waitUntil(lambda: has_keys(QApplication.activePopupWidget()))
    type_(QApplication.activePopupWidget(), CODE, 0, end=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == [CODE]
    assert box.currentText() == "label"
    assert QApplication.activePopupWidget() is None


@BOTH
def test_a_scan_into_a_menu_under_a_menu_chooses_nothing_and_closes_both(
    qtbot, desk: Window, heard: list[str], type_: Typing
) -> None:  # fmt: skip
    chosen: list[str] = []
    menu = QMenu(desk)
    below = menu.addMenu("More")
    for sign in CODE:
        below.addAction(f"&{sign} it").triggered.connect(lambda _=False, s=sign: chosen.append(s))
    menu.popup(desk.mapToGlobal(desk.rect().center()))
    qtbot.waitUntil(lambda: has_keys(menu))
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Right)
    qtbot.waitUntil(below.isVisible)
    type_(below, CODE, 0, end=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == [CODE]
    assert chosen == []
    assert not menu.isVisible()
    assert not below.isVisible()
    menu.deleteLater()


def test_a_letter_typed_by_hand_still_chooses_in_a_menu(qtbot, desk: Window, heard: list[str]) -> None:
    chosen: list[str] = []
    menu = QMenu(desk)
    menu.addAction("&Keep it").triggered.connect(lambda: chosen.append("K"))
    menu.popup(desk.mapToGlobal(desk.rect().center()))
    qtbot.waitUntil(lambda: has_keys(menu))
    QTest.keyClick(menu.windowHandle(), "k")
    qtbot.waitUntil(lambda: bool(chosen))
    assert heard == []
    menu.deleteLater()


@BOTH
def test_a_serial_scanned_while_a_ball_is_written_on_a_ticket_is_its_serial(qtbot, desk: Window, type_: Typing) -> None:
    kept: list[TakenIn | None] = []
    dialog = TakenDialog(desk, "A ball", TakenIn(words="blue one"), kept.append, new=True)
    dialog.open_()
    qtbot.waitUntil(lambda: has_keys(dialog))
    type_(dialog, CODE, 0, end=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: dialog.serial.text() == CODE)
    assert dialog.words.text() == "blue one"
    assert dialog.isVisible()
    assert kept == []
    dialog.reject()


@BOTH
@pytest.mark.parametrize("over", ["window", "dialog"])
def test_a_scan_into_a_file_dialog_saves_nothing_and_is_told(
    qtbot, desk: Window, tmp_path: Path, type_: Typing, over: str
) -> None:  # fmt: skip
    ours = Dialog("Ours", desk)
    if over == "dialog":
        ours.open_()
        qtbot.waitUntil(ours.isActiveWindow)
    files = QFileDialog(ours if over == "dialog" else desk, "Keep as PDF", str(tmp_path))
    files.setOption(QFileDialog.Option.DontUseNativeDialog)
    files.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    saved: list[str] = []
    files.fileSelected.connect(saved.append)
    files.open()
    qtbot.waitUntil(lambda: has_keys(files))
    name = files.findChild(QLineEdit)
    name.setFocus()
    type_(files, CODE, 0, end=Qt.Key.Key_Return)
    told = ours.trouble.text if over == "dialog" else desk.foot.sentence.whole
    qtbot.waitUntil(lambda: CODE in told())
    assert name.text() == ""
    assert saved == []
    assert files.isVisible()
    assert desk.opened().hits == []
    files.close()
    ours.close()


def test_a_name_typed_by_hand_into_a_file_dialog_is_its_name(qtbot, desk: Window, tmp_path: Path) -> None:
    files = QFileDialog(desk, "Keep as PDF", str(tmp_path))
    files.setOption(QFileDialog.Option.DontUseNativeDialog)
    files.open()
    qtbot.waitUntil(lambda: has_keys(files))
    name = files.findChild(QLineEdit)
    name.setFocus()
    for sign in "rook":
        QTest.keyClick(files.windowHandle(), sign)
        qtbot.wait(60)
    qtbot.waitUntil(lambda: name.text() == "rook")
    files.close()
