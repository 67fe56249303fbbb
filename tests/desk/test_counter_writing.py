"""A ticket while it is written: whose, another ball by its key, photographs before it is taken in, one number."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import photo_files
import pytest
from counter_desk import MIREL, Desk, at_the_counter
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog
from shiboken6 import isValid

from arsenal.acts import photos
from arsenal.acts.settings import Settings
from arsenal.desk.counter.hit_rows import offers
from arsenal.desk.counter.slip_dialogs import MoneyDialog, SameDialog, TakenDialog, WhichBallDialog, WhoDialog
from arsenal.desk.dialogs.photos import PhotosDialog
from arsenal.desk.parts.buttons import KeyButton
from arsenal.trade.ticket import Standing


@pytest.fixture
def desk(qtbot: Any, shop_file: Path, settings: Settings) -> Iterator[Desk]:
    yield from at_the_counter(qtbot, shop_file, settings)


def press(desk: Desk, dialog: QDialog, key: str) -> None:
    """A plain letter in a dialog."""
    QTest.keyClick(dialog.windowHandle(), key)
    desk.qtbot.waitUntil(lambda: not isValid(dialog) or not dialog.isVisible())
    desk.settle()


def names(dialog: WhichBallDialog) -> list[str]:
    return [button.name() for button in dialog.findChildren(KeyButton) if button.key.isdigit()]


def test_a_customers_other_balls_are_one_key_each(desk: Desk) -> None:
    desk.find("mirel")
    desk.letter("n")
    assert desk.focus() is desk.room.right.add
    desk.enter()
    dialog = desk.dialog()
    assert isinstance(dialog, WhichBallDialog)
    known = names(dialog)
    assert known[0] == "Quarry Song, 7K20977"
    desk.enter()
    desk.letter("l")
    again = desk.dialog()
    assert isinstance(again, WhichBallDialog)
    assert names(again) == known[1:], "what is on the ticket is offered no more"
    press(desk, again, "1")
    view = desk.room.right.view
    assert view is not None
    assert list(view.balls) == ["Quarry Song", "Rook Hollow"]
    assert view.ticket.person_id == MIREL


def test_a_ball_the_file_does_not_know_is_still_said_in_words(desk: Desk) -> None:
    desk.find("mirel")
    desk.letter("n")
    desk.enter()
    press(desk, desk.dialog(), "l")
    assert isinstance(desk.dialog(), TakenDialog)
    desk.type("blue one")
    desk.enter()
    view = desk.room.right.view
    assert view is not None
    assert view.balls == ("blue one",)


@pytest.mark.parametrize(
    ("typed", "first"),
    [("Umbel", "ticket"), ("Zyx O’Umbel-Rae", "ticket"), ("blue one, crack by thumb", "words"), ("7K20977", "words"),
     ("the old blue one", "words"), ("555 0162", "phone")],
)  # fmt: skip
def test_a_word_or_two_are_taken_for_who_stands_there_more_for_a_ball(typed: str, first: str) -> None:
    assert offers(typed, on_ticket=False)[0].does == first
    if first != "phone":
        assert offers(typed, on_ticket=True)[0].does == "words"


def test_photographs_are_taken_before_the_ticket_is_and_stay_with_their_ball(desk: Desk, tmp_path: Path) -> None:
    path = photo_files.kept(tmp_path / "crack.jpg", photo_files.encoded(photo_files.picture(120, 80), b"jpeg"))
    desk.room.slip.begin_named("Tamsin")
    desk.settle()
    desk.room.slip.add_words("blue one")
    desk.settle()
    desk.letter("g")
    dialog = desk.dialog()
    assert isinstance(dialog, PhotosDialog)
    desk.settle()
    dialog.add(path)
    desk.qtbot.waitUntil(lambda: dialog.picture.accessibleName() == "Photograph 1 of 1")
    dialog.reject()
    desk.settle()
    assert desk.room.right.words["photos"].word() == "1"
    desk.room.slip.add_words("green one")
    desk.settle()
    desk.room.slip.add_words("red one")
    desk.settle()
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    desk.take_in()
    (ticket,) = desk.tickets()
    (photo,) = desk.ask(lambda shop: photos.of_ticket(shop, ticket.id))
    assert ticket.standing is Standing.IN
    assert [(taken.words, taken.photo_ids) for taken in ticket.balls] == [("blue one", (photo.id,)), ("green one", ())]


def test_a_ticket_kept_half_written_keeps_its_number_through_steps_back(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.key(Qt.Key.Key_Space)
    desk.room.slip.keep_half()
    desk.settle()
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    desk.key(Qt.Key.Key_F2)
    assert [(ticket.id, ticket.standing) for ticket in desk.tickets()] == [(1, Standing.PARKED)]


def test_parking_a_ticket_that_has_not_changed_since_clears_the_pane_too(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.room.slip.keep_half()
    desk.settle()
    desk.key(Qt.Key.Key_F2)
    assert desk.room.right.view is None
    assert desk.room.left.parked("F3") == 1


def test_what_keeps_a_ticket_from_being_taken_in_is_said_without_moving_the_room(desk: Desk) -> None:
    desk.window.resize(1366, 700)
    desk.room.slip.add_words("blue one")
    desk.settle()
    desk.take_in()
    assert "Whose balls are these?" in desk.room.right.trouble.text()
    QApplication.processEvents()
    assert desk.room._scroll.verticalScrollBar().maximum() == 0
    park = desk.room.right.park
    assert park.mapTo(desk.room, park.rect().bottomLeft()).y() < desk.room.height()


def test_an_amount_left_empty_is_asked_for_in_words(desk: Desk) -> None:
    got: list[int] = []
    dialog = MoneyDialog(desk.window, "Deposit", None, got.append)
    dialog.open_()
    assert desk.dialog() is dialog
    desk.settle()
    desk.enter()
    assert dialog.trouble.text().startswith("How much is it?")
    desk.type("0")
    desk.enter()
    assert got == [0]


def test_the_line_in_hand_stays_in_sight_when_a_refusal_takes_room(desk: Desk) -> None:
    desk.window.resize(1366, 700)
    desk.room.slip.begin_named("Tamsin")
    desk.settle()
    desk.room.slip.add_words("blue one, cracked")
    desk.settle()
    lines = desk.room.right.lines
    lines.choose_where(lambda row: getattr(getattr(row, "line", None), "name", "").startswith("Deep oil, hot"))
    desk.key(Qt.Key.Key_Space)
    assert "not with a crack" in desk.room.right.trouble.text()
    QApplication.processEvents()
    held = lines.visualRect(lines.currentIndex())
    assert lines.viewport().rect().contains(held)


def test_a_ticket_of_a_name_alone_can_still_be_given_to_a_customer_of_the_file(desk: Desk) -> None:
    desk.room.slip.begin_named("Tomas")
    desk.settle()
    desk.room.slip.add_words("blue one")
    desk.settle()
    desk.take_in()
    desk.room.middle.ticket.who.click()
    assert isinstance(desk.dialog(), WhoDialog)
    desk.settle()
    desk.type("Tomas Kell")
    desk.enter()
    assert [ticket.name for ticket in desk.tickets()] == ["Tomas Kell"]
    dialog = desk.dialog()
    assert isinstance(dialog, SameDialog)
    press(desk, dialog, "2")
    (ticket,) = desk.tickets()
    assert ticket.name == ""
    assert desk.ask(lambda shop: shop.person(ticket.person_id).phone) == "555 0199"
    assert ticket.standing is Standing.IN
