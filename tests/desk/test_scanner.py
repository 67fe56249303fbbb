"""A scanner that types: never into a field, never on a button, to what it names, whatever has the focus."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu
from scanner_desk import CODE, hearing, opened, slowly, timed, typed

from arsenal.acts import balls, codes, tickets
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.dialogs.ball import BallDialog, open_ball
from arsenal.desk.dialogs.scanned import UnknownDialog, WhichDialog
from arsenal.desk.frame import Window
from arsenal.desk.parts.dialog import Dialog
from arsenal.trade.code import Code, Names
from arsenal.trade.ticket import TakenIn


@pytest.fixture
def desk(qtbot, shop_file: Path, settings: Settings) -> Iterator[Window]:
    yield from opened(qtbot, shop_file, settings)


@pytest.fixture
def heard(desk: Window) -> list[str]:
    return hearing(desk)


def ask(qtbot, window: Window, run: Callable[[Shop], object]) -> object:
    told: list[object] = []
    window.shared.worker.ask("test", run, told.append)
    qtbot.waitUntil(lambda: bool(told))
    return told[0]


def foot(window: Window) -> str:
    return window.foot.sentence.whole()


# what is typed


def test_a_scan_onto_a_focused_delete_button_presses_nothing(qtbot, desk: Window, heard: list[str]) -> None:
    room = desk.opened()
    room.delete.setFocus()
    typed(desk, " 7K 20977", 0)
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(120)
    assert heard == [" 7K 20977"]
    assert room.deleted == 0
    assert room.letters == []


@pytest.mark.parametrize("type_", [typed, slowly], ids=["at once", "every 20 ms"])
@pytest.mark.parametrize("end", [Qt.Key.Key_Return, Qt.Key.Key_Tab, None])
def test_a_scan_into_a_field_leaves_it_as_it_was(
    qtbot, desk: Window, heard: list[str], type_: Callable[..., None], end: Qt.Key | None
) -> None:  # fmt: skip
    room = desk.opened()
    room.field.setFocus()
    room.field.setCursorPosition(2)
    entered: list[int] = []
    room.field.returnPressed.connect(lambda: entered.append(1))
    type_(desk, CODE, 0, end=end)
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(80)
    assert heard == [CODE]
    assert room.field.text() == "Ilse"
    assert room.field.cursorPosition() == 2
    assert room.field.hasFocus()
    assert entered == []


@pytest.mark.parametrize("again", [(Qt.Key.Key_Return, "\r"), (Qt.Key.Key_J, "\n"), (Qt.Key.Key_Tab, "\t")])
def test_a_scan_that_ends_twice_presses_nothing_either(
    qtbot, desk: Window, heard: list[str], again: tuple[Qt.Key, str]
) -> None:  # fmt: skip
    """Many scanners are set to send a carriage return and a line feed."""
    field, entered = desk.opened().field, []
    field.returnPressed.connect(lambda: entered.append(1))
    field.setFocus()
    keys = timed(CODE, Qt.Key.Key_Return, 2)
    control = Qt.KeyboardModifier.ControlModifier if again[1] == "\n" else Qt.KeyboardModifier.NoModifier
    last = QKeyEvent(QEvent.Type.KeyPress, int(again[0]), control, again[1])
    last.setTimestamp(keys[-1].timestamp() + 12)
    late = QKeyEvent(QEvent.Type.KeyPress, int(Qt.Key.Key_Return), Qt.KeyboardModifier.NoModifier, "\r")
    late.setTimestamp(keys[-1].timestamp() + 400)
    for key in (*keys, last):
        QApplication.sendEvent(desk.windowHandle(), key)
    assert heard == [CODE]
    assert entered == []
    assert field.hasFocus()
    QApplication.sendEvent(desk.windowHandle(), late)
    assert entered == [1]  # a hand's own Enter is heard


@pytest.mark.parametrize("alone", [1, 2, 3])
def test_a_scan_that_was_let_into_the_field_by_halves_is_taken_out_whole(
    qtbot, desk: Window, heard: list[str], alone: int
) -> None:  # fmt: skip
    """As on a busy machine: some signs come late to the window, though they were sent as fast as the others."""
    field = desk.opened().field
    field.setFocus()
    for number, key in enumerate(timed("5K0015", Qt.Key.Key_Return, 11)):
        QApplication.sendEvent(desk.windowHandle(), key)
        if number < alone:
            QTest.qWait(60)
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == ["5K0015"]
    assert field.text() == "Ilse"


def test_two_equal_signs_of_a_scan_are_no_key_held_down(qtbot, desk: Window, heard: list[str]) -> None:
    """X tells a release and a press of one key within a millisecond as a key that repeats itself."""
    field = desk.opened().field
    field.setFocus()
    for number, key in enumerate(timed("5K0015", Qt.Key.Key_Return, 11)):
        again = QKeyEvent(key.type(), key.key(), key.modifiers(), key.text(), number == 3)
        again.setTimestamp(key.timestamp())
        QApplication.sendEvent(desk.windowHandle(), again)
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == ["5K0015"]
    assert field.text() == "Ilse"


def test_a_key_held_down_goes_on_writing(qtbot, desk: Window, heard: list[str]) -> None:
    field = desk.opened().field
    field.setFocus()
    field.clear()
    first, *repeats = timed("aaaaaaaaa", None, 30)
    for number, key in enumerate((first, *repeats)):
        held = QKeyEvent(key.type(), key.key(), key.modifiers(), key.text(), number > 0)
        held.setTimestamp(key.timestamp() + (400 if number else 0))
        QApplication.sendEvent(desk.windowHandle(), held)
        QTest.qWait(30)
    qtbot.wait(80)
    assert heard == []
    assert field.text() == "aaaaaaaaa"


def test_a_fast_scan_never_even_shows_in_a_field(qtbot, desk: Window, heard: list[str]) -> None:
    room = desk.opened()
    changes: list[str] = []
    room.field.textChanged.connect(changes.append)
    room.field.setFocus()
    typed(desk, CODE, 0)
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(80)
    assert changes == []


def test_a_scan_into_a_note_leaves_it_as_it_was(qtbot, desk: Window, heard: list[str]) -> None:
    room = desk.opened()
    room.note.setFocus()
    typed(desk, CODE, 0)
    qtbot.waitUntil(lambda: bool(heard))
    assert room.note.toPlainText() == "kept"


def test_a_scan_into_the_search_line_is_not_typed_there(qtbot, desk: Window, heard: list[str]) -> None:
    desk.search.take_focus()
    typed(desk, CODE, 0)
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(80)
    assert desk.search.edit.text() == ""
    assert not desk.search.hits.isVisible()


def test_a_scan_while_a_menu_is_open_chooses_nothing_and_closes_it(qtbot, desk: Window, heard: list[str]) -> None:
    chosen: list[str] = []
    menu = QMenu(desk)
    menu.addAction("&7 remove").triggered.connect(lambda: chosen.append("7"))
    menu.addAction("&Kill").triggered.connect(lambda: chosen.append("K"))
    menu.popup(desk.mapToGlobal(desk.rect().center()))
    qtbot.waitUntil(menu.isVisible)
    typed(desk, CODE, 0)
    qtbot.waitUntil(lambda: bool(heard))
    assert chosen == []
    assert not menu.isVisible()
    menu.deleteLater()


def test_what_a_scan_needs_is_loaded_before_the_first_one(qtbot, desk: Window) -> None:
    desk.scanning.warm()
    qtbot.waitUntil(desk.shared.worker.idle)
    assert foot(desk) == ask(qtbot, desk, lambda shop: shop.ledger.acts(1)[0].title)


# what a hand types


def test_what_a_hand_types_reaches_the_field_in_order(qtbot, desk: Window, heard: list[str]) -> None:
    room = desk.opened()
    room.field.clear()
    room.field.setFocus()
    typed(desk, "moth 1243", 45, end=None)
    QTest.keyClick(desk.windowHandle(), Qt.Key.Key_Backspace)
    assert room.field.text() == "moth 124"
    qtbot.wait(60)
    assert heard == []


def test_keys_on_the_heels_of_one_another_are_not_taken_for_a_scan(qtbot, desk: Window, heard: list[str]) -> None:
    room = desk.opened()
    room.field.clear()
    room.field.setFocus()
    entered: list[str] = []
    room.field.returnPressed.connect(lambda: entered.append(room.field.text()))
    typed(desk, "the", 0)
    assert room.field.text() == "the"
    assert entered == ["the"]
    assert heard == []


def test_a_key_and_what_edits_it_keep_their_order(qtbot, desk: Window) -> None:
    room = desk.opened()
    room.field.clear()
    room.field.setFocus()
    handle = desk.windowHandle()
    for key in ("a", Qt.Key.Key_Left, "b", Qt.Key.Key_End, "c"):
        QTest.keyClick(handle, key)
    qtbot.waitUntil(lambda: room.field.text() == "bac")


def test_two_keys_at_once_outside_a_field_are_two_keys(qtbot, desk: Window, heard: list[str]) -> None:
    room = desk.opened()
    room.delete.setFocus()
    typed(desk, "td", 0, end=None)
    qtbot.waitUntil(lambda: room.letters == ["T", "D"])
    assert heard == []


def test_the_space_bar_still_presses_a_button(qtbot, desk: Window) -> None:
    room = desk.opened()
    room.delete.setFocus()
    QTest.keyClick(desk.windowHandle(), Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: room.deleted == 1)
    QTest.keyPress(desk.windowHandle(), Qt.Key.Key_Space)
    qtbot.wait(90)
    QTest.keyRelease(desk.windowHandle(), Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: room.deleted == 2)


def test_a_window_that_was_busy_does_not_take_slow_keys_for_a_scan(qtbot, desk: Window, heard: list[str]) -> None:
    """Keys wait in the queue while the window is busy and then come at once; the time they were pressed tells them."""
    field = desk.opened().field
    field.clear()
    field.setFocus()
    for number, sign in enumerate("benchmark"):
        key = QKeyEvent(QEvent.Type.KeyPress, ord(sign.upper()), Qt.KeyboardModifier.NoModifier, sign)
        key.setTimestamp(1000 + 130 * number)
        QApplication.sendEvent(desk.windowHandle(), key)
    qtbot.waitUntil(lambda: field.text() == "benchmark")
    assert heard == []


def test_a_scan_that_comes_while_the_window_is_busy_is_still_one_scan(qtbot, desk: Window, heard: list[str]) -> None:
    """The wait after the first key is over before the keys behind it are told, though they were pressed at once."""
    room = desk.opened()
    room.delete.setFocus()
    handle = desk.windowHandle()

    def key(number: int) -> QKeyEvent:
        made = QKeyEvent(QEvent.Type.KeyPress, ord(CODE[number]), Qt.KeyboardModifier.NoModifier, CODE[number])
        made.setTimestamp(9000 + 2 * number)
        return made

    QApplication.sendEvent(handle, key(0))
    time.sleep(0.15)
    QTimer.singleShot(0, lambda: [QApplication.sendEvent(handle, key(n)) for n in range(1, len(CODE))])
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == [CODE]
    assert room.letters == []


# where it leads


def test_a_label_of_a_ball_opens_its_card_on_the_counter(qtbot, desk: Window) -> None:
    text = ask(qtbot, desk, lambda shop: codes.code(shop, Names.BALL, 2))
    assert desk.opened().digit == 1
    typed(desk, str(text), 0)
    qtbot.waitUntil(lambda: bool(desk.room(6).hits))
    assert desk.opened().digit == 6
    assert (desk.room(6).hits[0].kind, desk.room(6).hits[0].id) == ("ball", 2)


def test_labels_of_a_ticket_and_of_a_person_open_those(qtbot, desk: Window) -> None:
    def made(shop: Shop) -> tuple[str, str]:
        number = (
            tickets.park(shop, replace(tickets.blank(shop), name="Ana", balls=(TakenIn(words="red"),))).changed[0].id
        )
        return codes.code(shop, Names.TICKET, number), codes.code(shop, Names.PERSON, 1)

    for text, kind in zip(ask(qtbot, desk, made), ("ticket", "person"), strict=True):
        desk.room(6).hits.clear()
        typed(desk, text, 0)
        qtbot.waitUntil(lambda: bool(desk.room(6).hits))
        assert desk.room(6).hits[0].kind == kind


def test_a_serial_opens_its_ball_even_when_a_field_has_the_focus(qtbot, desk: Window) -> None:
    ask(qtbot, desk, lambda shop: balls.edit_ball(shop, replace(shop.ball(3), serial="7K20977")))
    desk.opened().field.setFocus()
    typed(desk, "7k20977", 0)
    qtbot.waitUntil(lambda: bool(desk.room(6).hits))
    assert desk.room(6).hits[0].id == 3
    assert desk.room(1).field.text() == "Ilse"


def test_a_changed_and_a_foreign_label_are_refused_in_the_last_act_line(qtbot, desk: Window) -> None:
    text = str(ask(qtbot, desk, lambda shop: codes.code(shop, Names.BALL, 2)))
    typed(desk, text[:7] + "3" + text[8:], 0)
    qtbot.waitUntil(lambda: "misread or changed" in foot(desk))
    typed(desk, Code(Names.BALL, "ZZZZ", 2).text, 0)
    qtbot.waitUntil(lambda: "another shop" in foot(desk))
    assert desk.room(6).hits == []
    assert desk.opened().digit == 1


def test_a_refused_label_is_no_longer_told_once_the_next_one_is_read(qtbot, desk: Window) -> None:
    before, good = foot(desk), ask(qtbot, desk, lambda shop: codes.code(shop, Names.BALL, 2))
    typed(desk, good[:7] + "3" + good[8:], 0)
    qtbot.waitUntil(lambda: "misread or changed" in foot(desk))
    typed(desk, good, 0)
    room = desk.room(6)
    qtbot.waitUntil(lambda: bool(room.hits))
    assert foot(desk) == before


def test_a_label_of_a_ball_that_was_removed_says_so(qtbot, desk: Window) -> None:
    text = str(ask(qtbot, desk, lambda shop: codes.code(shop, Names.BALL, 99)))
    typed(desk, text, 0)
    qtbot.waitUntil(lambda: "not in the file any more" in foot(desk))


def test_what_is_too_long_for_a_serial_is_refused_in_words(qtbot, desk: Window) -> None:
    typed(desk, "https://leaflet.example/" + "a" * 60, 0)
    qtbot.waitUntil(lambda: "no label of this shop and no serial" in foot(desk))


def test_two_balls_of_one_serial_are_asked_about(qtbot, desk: Window) -> None:
    def same(shop: Shop) -> None:
        for ball_id in (1, 3):
            balls.edit_ball(shop, replace(shop.ball(ball_id), serial="7K20977"))

    ask(qtbot, desk, same)
    typed(desk, "7K20977", 0)
    qtbot.waitUntil(lambda: bool(desk.findChildren(WhichDialog)))
    (dialog,) = desk.findChildren(WhichDialog)
    assert [hit.id for hit in dialog.list.rows_model.rows()] == [1, 3]
    assert [hit.detail for hit in dialog.list.rows_model.rows()] == ["Mirel Oster, solid", "Mirel Oster, polyester"]
    QTest.keyClick(dialog.list, Qt.Key.Key_Down)
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(desk.room(6).hits))
    assert [hit.id for hit in desk.room(6).hits] == [3]


def test_an_unknown_code_offers_to_make_a_ball_with_it(qtbot, desk: Window) -> None:
    desk.shared.hold_bowler(1)
    typed(desk, "4006381333931", 0)
    qtbot.waitUntil(lambda: bool(desk.findChildren(UnknownDialog)))
    (dialog,) = desk.findChildren(UnknownDialog)
    assert dialog.owner.text() == "Mirel Oster"
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(desk.findChildren(BallDialog)))
    (ball,) = desk.findChildren(BallDialog)
    assert ball.serial.text() == "4006381333931"
    ball.name.setText("Grey Heron")
    ball.keep()
    qtbot.waitUntil(desk.shared.worker.idle)
    made = ask(qtbot, desk, lambda shop: shop.ledger.balls_of_serial("4006381333931"))
    assert [(b.name, b.owner_id) for b in made] == [("Grey Heron", 1)]
    qtbot.waitUntil(lambda: [hit.id for hit in desk.room(6).hits] == [made[0].id])


def test_an_unknown_code_can_be_given_to_a_customer_nobody_knows_yet(qtbot, desk: Window) -> None:
    desk.shared.hold_bowler(None)
    typed(desk, "4006381333931", 0)
    qtbot.waitUntil(lambda: bool(desk.findChildren(UnknownDialog)))
    (dialog,) = desk.findChildren(UnknownDialog)
    assert not dialog.add_button.isEnabled()
    dialog.owner.setText("Una <b>Thorn</b>")
    qtbot.waitUntil(desk.shared.worker.idle)
    assert dialog.list.hit() is None
    dialog.add()
    qtbot.waitUntil(lambda: bool(desk.findChildren(BallDialog)))
    owner = ask(qtbot, desk, lambda shop: [p.name for p in shop.people()])
    assert "Una <b>Thorn</b>" in owner
    desk.findChildren(BallDialog)[0].reject()


def test_an_unknown_code_can_be_given_to_a_customer_who_is_found(qtbot, desk: Window) -> None:
    typed(desk, "4006381333931", 0)
    qtbot.waitUntil(lambda: bool(desk.findChildren(UnknownDialog)))
    (dialog,) = desk.findChildren(UnknownDialog)
    dialog.owner.setText("tams")
    qtbot.waitUntil(lambda: dialog.list.hit() is not None and dialog.list.hit().id == 2)
    dialog.add()
    qtbot.waitUntil(lambda: bool(desk.findChildren(BallDialog)))
    (ball,) = desk.findChildren(BallDialog)
    ball.name.setText("Grey Heron")
    assert ball.ball().owner_id == 2
    ball.reject()


def test_whose_an_unknown_code_is_can_be_scanned_off_the_customer_s_label(qtbot, desk: Window) -> None:
    typed(desk, "4006381333931", 0)
    qtbot.waitUntil(lambda: bool(desk.findChildren(UnknownDialog)))
    (dialog,) = desk.findChildren(UnknownDialog)
    typed(dialog, "4006381333932", 0)
    qtbot.waitUntil(lambda: "Close this first" in dialog.trouble.text())
    typed(dialog, str(ask(qtbot, desk, lambda shop: codes.code(shop, Names.PERSON, 2))), 0)
    qtbot.waitUntil(lambda: dialog.list.hit() is not None and dialog.list.hit().id == 2)
    assert dialog.owner.text() == "Tamsin <i>Ode</i> & Co"
    assert dialog.trouble.text() == ""
    dialog.reject()


# in dialogs


def test_a_scan_in_the_ball_s_dialog_is_its_serial_and_keeps_nothing(qtbot, desk: Window) -> None:
    dialog = open_ball(desk.shared, desk, 1)
    qtbot.waitUntil(dialog.isVisible)
    dialog.name.setText("Grey Heron")
    dialog.name.setFocus()
    typed(dialog, "4006381333931", 0)
    qtbot.waitUntil(lambda: dialog.serial.text() == "4006381333931")
    qtbot.wait(60)
    assert dialog.name.text() == "Grey Heron"
    assert dialog.isVisible()
    typed(dialog, Code(Names.BALL, "ZZZZ", 2).text, 0)
    qtbot.waitUntil(lambda: "no serial" in dialog.trouble.text())
    assert dialog.serial.text() == "4006381333931"
    dialog.reject()


def test_a_scan_in_any_other_dialog_presses_nothing_and_says_what_to_do(qtbot, desk: Window) -> None:
    pressed: list[str] = []
    dialog = Dialog("Take it away?", desk)
    dialog.offer("Not now", "Esc", dialog.reject)
    dialog.offer("Take it away", "T", lambda: pressed.append("T"), destructive=True)
    dialog.offer("Keep", "K", lambda: pressed.append("K"), primary=True)
    dialog.open_()
    typed(dialog, "TK 20977", 0)
    qtbot.waitUntil(lambda: "Close this first" in dialog.trouble.text())
    assert pressed == []
    assert dialog.isVisible()
    dialog.reject()
