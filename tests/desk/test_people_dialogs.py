"""Lend, take back, sell; records given out and a person erased at the desk; two customers of one name."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from people_desk import Ground
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from arsenal.acts import people, tickets
from arsenal.desk.counter.customer_dialog import open_customer
from arsenal.desk.dialogs.bowler import open_bowler
from arsenal.desk.dialogs.hand_over import SELL, HandOverDialog, open_hand_over
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.desk.dialogs.records import EraseDialog, RecordsDialog, open_records
from arsenal.surface.state import Holder
from arsenal.trade.person import Person
from arsenal.trade.ticket import TakenIn
from arsenal.trade.units import RPM_RADPS


@pytest.fixture
def ground(qtbot, qapp, shop_file: Path, settings) -> Iterator[Ground]:
    made = Ground(qtbot, shop_file, settings)
    yield made
    made.close()


def hand_over(ground: Ground, window) -> HandOverDialog:
    open_hand_over(ground.shared, window, 1)
    return ground.top(HandOverDialog)


def test_a_ball_is_lent_to_a_name_and_taken_back(ground: Ground, window) -> None:
    form = hand_over(ground, window)
    assert not form.print.isVisible()
    form.keep()
    assert "To whom?" in form.trouble.whole()
    form.to.setText("Kell")
    with ground.qtbot.waitSignal(ground.shared.kept):
        QTest.keyClick(form, Qt.Key.Key_Return)
    state = ground.read(lambda shop: shop.state(1))
    assert (state.holder, state.holder_name) == (Holder.LENT, "Kell")
    back = hand_over(ground, window)
    assert back.heading.text() == "Take Quarry Song back"
    with ground.qtbot.waitSignal(ground.shared.kept):
        QTest.keyClick(back, Qt.Key.Key_Return)
    assert ground.read(lambda shop: shop.state(1)).holder is Holder.OWNED


def test_sold_to_somebody_of_the_file_it_is_theirs(ground: Ground, window) -> None:
    form = hand_over(ground, window)
    form.does.picked.emit(SELL)
    form.to.setText("tamsin <i>ode</i> & co")
    assert "The buyer is in the file" in form.told.whole()
    form.to.setText("nobody")
    assert "leaves the bag" in form.told.whole()
    form.to.setText("Tamsin <i>Ode</i> & Co")
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    assert ground.read(lambda shop: shop.ball(1)).owner_id == 2


def test_of_two_of_one_name_the_right_one_can_be_chosen(ground: Ground, window) -> None:
    for phone in ("555 0117", "555 0142"):
        ground.read(lambda shop, p=phone: people.add_bowler(shop, Person(0, "Ilse Varga", phone=p)))
    form = hand_over(ground, window)
    form.does.picked.emit(SELL)
    form.to.setText("ilse varga")
    assert form.which.isVisible()
    assert form.which.word() == "Ilse Varga, 555 0117"
    second = ground.read(lambda shop: next(p.id for p in shop.people() if p.phone == "555 0142"))
    form.which.picked.emit(second)
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    assert ground.read(lambda shop: shop.ball(1)).owner_id == second


def test_the_history_for_the_buyer_opens_from_the_sale(ground: Ground, window) -> None:
    form = hand_over(ground, window)
    form.does.picked.emit(SELL)
    form.print.click()
    paper = ground.top(PaperDialog)
    assert paper.asked[0].word() == "buyer’s copy, names off"
    assert "Mirel" not in paper.preview.accessibleName()


def test_a_ball_on_a_ticket_is_not_sold_and_the_form_says_which(ground: Ground, window) -> None:
    taken = (TakenIn(1, serial_missing="worn"),)
    ground.read(lambda shop: tickets.take_in(shop, replace(tickets.blank(shop), person_id=1, balls=taken)))
    form = hand_over(ground, window)
    form.does.picked.emit(SELL)
    form.to.setText("Kell")
    form.keep()
    ground.qtbot.waitUntil(lambda: "on ticket 1" in form.trouble.whole())
    assert form.keep_button.isEnabled()


def test_records_are_given_out_into_a_folder_of_their_own_and_named(ground: Ground, window, tmp_path: Path) -> None:
    open_records(ground.shared, window, 2)
    dialog = ground.top(RecordsDialog)
    dialog.give_out(tmp_path)
    ground.qtbot.waitUntil(lambda: "person.json" in dialog.told.whole(), timeout=10_000)
    (folder,) = [path for path in tmp_path.iterdir() if path.name.startswith("records-2-")]
    told = json.loads((folder / "person.json").read_text())
    assert told["person"]["name"] == "Tamsin <i>Ode</i> & Co"
    assert any("Gave out the records" in said for said in ground.said)


def test_a_folder_that_cannot_be_written_is_named(ground: Ground, window, tmp_path: Path) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("")
    open_records(ground.shared, window, 2)
    dialog = ground.top(RecordsDialog)
    dialog.give_out(blocked)
    ground.qtbot.waitUntil(lambda: "cannot be made" in dialog.trouble.whole())
    assert dialog.give.isEnabled()


def test_erasing_wants_the_name_and_enter_never_does_it(ground: Ground, window) -> None:
    gone: list[bool] = []
    open_records(ground.shared, window, 2, lambda: gone.append(True))
    records = ground.top(RecordsDialog)
    assert records.erase.focusPolicy() is Qt.FocusPolicy.ClickFocus
    records.erase.click()
    sure = ground.top(EraseDialog)
    assert not sure.go.primary
    assert not sure.go.isEnabled()
    sure.erase()
    QTest.keyClicks(sure.typed, "tamsin <i>ode</i>")
    assert not sure.go.isEnabled()
    QTest.keyClicks(sure.typed, " & co")
    assert sure.go.isEnabled()
    QTest.keyClick(sure.typed, Qt.Key.Key_Return)
    assert not sure.isVisible()
    assert len(ground.read(lambda shop: [p for p in shop.people() if "Ode" in p.name])) == 1
    assert gone == []


def test_erased_for_good_the_outcome_is_told(ground: Ground, window, shop_file: Path) -> None:
    gone: list[bool] = []
    open_records(ground.shared, window, 2, lambda: gone.append(True))
    records = ground.top(RecordsDialog)
    records.erase.click()
    sure = ground.top(EraseDialog)
    assert "cannot be taken back" in " ".join(
        child.text() for child in sure.findChildren(type(sure.heading)) if child.isVisible()
    )
    sure.typed.setText("Tamsin <i>Ode</i> & Co")
    with ground.qtbot.waitSignal(ground.shared.kept, timeout=10_000):
        sure.go.click()
    assert gone == [True]
    assert ground.said[-1].startswith("Erased.")
    ground.worker.close()
    raw = b"".join(path.read_bytes() for path in shop_file.parent.glob("shop.padbook*") if path.is_file())
    assert b"Tamsin" not in raw


def test_a_person_with_an_open_ticket_is_not_erased_and_told_why(ground: Ground, window) -> None:
    ticket = (TakenIn(None, "blue one"),)
    ground.read(lambda shop: tickets.take_in(shop, replace(tickets.blank(shop), person_id=2, balls=ticket)))
    open_records(ground.shared, window, 2)
    ground.top(RecordsDialog).erase.click()
    sure = ground.top(EraseDialog)
    sure.typed.setText("Tamsin <i>Ode</i> & Co")
    sure.go.click()
    ground.qtbot.waitUntil(lambda: "Ticket 1 of this person is still open" in sure.trouble.whole())
    assert sure.isVisible()


def test_a_second_of_one_name_is_offered_an_addition(ground: Ground, window) -> None:
    form = open_bowler(ground.shared, window)
    form.name.setText("Mirel Oster")
    form.keep()
    ground.qtbot.waitUntil(form.other.isVisible)
    assert form.other.word() == "Keep as “Mirel Oster, 2”"
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.other.click()
    names = ground.read(lambda shop: [p.name for p in shop.people()])
    assert names.count("Mirel Oster") == 1
    assert "Mirel Oster, 2" in names


def test_the_addition_is_the_end_of_the_phone(ground: Ground, window) -> None:
    ground.read(lambda shop: people.add_bowler(shop, Person(0, "Ilse Varga", phone="555 0117")))
    took: list[int] = []
    form = open_customer(ground.shared, window, "Ilse Varga", took.append)
    form.phone.setText("555 0117")
    form.keep()
    ground.qtbot.waitUntil(form.other.isVisible)
    assert form.other.word() == "Keep as “Ilse Varga, 0117”"
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.other.click()
    assert ground.read(lambda shop: shop.person(took[0])).name == "Ilse Varga, 0117"


def test_contact_consent_and_guardian_are_kept_from_the_form(ground: Ground, window) -> None:
    person = ground.read(lambda shop: shop.person(2))
    form = open_bowler(ground.shared, window, person)
    form.contact.phone.setText("555 0199")
    form.contact.agreed.picked.emit(True)
    form.contact.age.picked.emit(True)
    form.keep()
    assert "guardian" in form.trouble.whole()
    form.contact.guardian.setText("Vesa Ode, 555 0186")
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    kept = ground.read(lambda shop: shop.person(2))
    assert (kept.phone, kept.minor, kept.guardian) == ("555 0199", True, "Vesa Ode, 555 0186")
    assert kept.reminders_consented_on is not None


def test_a_phone_number_changed_makes_no_throw_of_a_customer_up(ground: Ground, window) -> None:
    changed = ground.read(lambda shop: people.add_bowler(shop, Person(0, "Isa Varnholt")))
    person = ground.read(lambda shop: shop.person(changed.changed[0].id))
    form = open_bowler(ground.shared, window, person)
    form.contact.phone.setText("555 0100")
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    kept = ground.read(lambda shop: shop.person(person.id))
    assert (kept.phone, kept.style) == ("555 0100", None)
    form = open_bowler(ground.shared, window, kept)
    form.kind.picked.emit((14.5, 190, 40, 15))
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    style = ground.read(lambda shop: shop.person(person.id)).style
    assert style is not None
    assert style.rev_rate_radps == pytest.approx(190 * RPM_RADPS)


def test_at_the_counter_the_phone_is_the_next_field_after_the_name(ground: Ground, window) -> None:
    person = ground.read(lambda shop: shop.person(1))
    form = open_bowler(ground.shared, window, person, reach_first=True)
    ground.qtbot.waitUntil(form.name.hasFocus)
    QTest.keyClick(form.name, Qt.Key.Key_Tab)
    assert form.contact.phone.hasFocus()


def test_once_erasing_has_begun_nothing_says_that_the_person_is_kept(ground: Ground, window) -> None:
    open_records(ground.shared, window, 2)
    ground.top(RecordsDialog).erase.click()
    sure = ground.top(EraseDialog)
    sure.typed.setText("Tamsin <i>Ode</i> & Co")
    with ground.qtbot.waitSignal(ground.shared.kept, timeout=10_000):
        sure.go.click()
        assert sure.busy.isVisible()
        assert not sure.keep_it.isEnabled()
        QTest.keyClick(sure, Qt.Key.Key_Escape)
        sure.close()
        assert sure.isVisible()
