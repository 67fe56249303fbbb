"""The Counter’s questions: services and prices, customers of one name, a ball’s details, a kept ticket changed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from counter_desk import MIREL, QUARRY, Desk, at_the_counter
from PySide6.QtCore import Qt

from arsenal.acts import tickets
from arsenal.acts.settings import Settings
from arsenal.desk.counter.customer_dialog import CustomerDialog, open_customer
from arsenal.desk.counter.kept_dialog import KeptDialog, open_kept
from arsenal.desk.counter.services_dialog import ServiceForm, ServicesDialog, open_services
from arsenal.desk.counter.slip_dialogs import MoneyDialog, PromiseDialog, SameDialog, TakenDialog, WhichBallDialog
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.sentence import TextButton
from arsenal.trade.entries import Kind
from arsenal.trade.person import Person
from arsenal.trade.ticket import Job, Service, Standing, TakenIn, Ticket, Work


@pytest.fixture
def desk(qtbot: Any, shop_file: Path, settings: Settings) -> Iterator[Desk]:
    yield from at_the_counter(qtbot, shop_file, settings)


def services(desk: Desk) -> tuple[Service, ...]:
    return desk.ask(lambda shop: shop.every(Service))  # type: ignore[no-any-return]


def test_enter_changes_one_service_and_its_price(desk: Desk) -> None:
    dialog = open_services(desk.shared, desk.window)
    desk.settle()
    assert isinstance(dialog, ServicesDialog)
    desk.enter()
    form = desk.dialog()
    assert isinstance(form, ServiceForm)
    assert form.name.text() == "Clean"
    form.price.setText("4,50")
    desk.enter()
    assert services(desk)[0].price_cents == 450
    assert desk.dialog() is dialog
    dialog.reject()


def test_a_service_without_a_name_or_with_letters_for_a_price_is_not_kept(desk: Desk) -> None:
    before = services(desk)
    form = ServiceForm(desk.shared, desk.window, Service(0, ""), lambda _changes: None)
    form.open_()
    form.price.setText("many")
    form.keep()
    assert "price" in form.trouble.text().casefold()
    form.price.setText("")
    form.keep()
    desk.settle()
    assert form.trouble.text()
    assert services(desk) == before
    form.reject()


def test_a_customer_of_the_file_is_shown_before_a_second_one_of_that_name(desk: Desk) -> None:
    took: list[int] = []
    dialog = open_customer(desk.shared, desk.window, "tomas kell", took.append)
    desk.settle()
    assert isinstance(dialog, CustomerDialog)
    offered = [button.word() for button in dialog.findChildren(TextButton) if button.isVisible()]
    assert [words.split(", ")[1] for words in offered] == ["555 0148", "555 0199"]
    next(b for b in dialog.findChildren(TextButton) if "0199" in b.word()).click()
    desk.settle()
    person = desk.ask(lambda shop: shop.person(took[0]))
    assert person.phone == "555 0199"


def test_a_minor_at_the_counter_is_reminded_through_a_guardian(desk: Desk) -> None:
    took: list[int] = []
    dialog = open_customer(desk.shared, desk.window, "Pip Halloran", took.append)
    desk.settle()
    assert not dialog.guardian.isVisible()
    dialog.age.picked.emit(True)
    dialog.agreed.picked.emit(True)
    assert dialog.guardian.isVisible()
    dialog.guardian.setText("Ama Halloran")
    dialog.keep()
    assert "through a guardian" in dialog.trouble.whole()
    dialog.guardian.setText("Ama Halloran, 555 0100")
    dialog.keep()
    desk.settle()
    person = desk.ask(lambda shop: shop.person(took[0]))
    assert (person.minor, person.guardian) == (True, "Ama Halloran, 555 0100")


def test_a_second_customer_of_one_name_needs_a_phone_that_tells_them_apart(desk: Desk) -> None:
    took: list[int] = []
    dialog = open_customer(desk.shared, desk.window, "Tomas Kell", took.append)
    desk.settle()
    dialog.phone.setText("555 0148")
    dialog.keep()
    desk.settle()
    assert "already" in dialog.trouble.text()
    dialog.phone.setText("555 0200")
    dialog.keep()
    desk.settle()
    assert len(took) == 1
    same = [p for p in desk.ask(lambda shop: shop.every(Person)) if p.name == "Tomas Kell"]
    assert len(same) == 3


def test_a_name_the_file_knows_is_asked_about(desk: Desk) -> None:
    desk.room.slip.begin_named("Tomas Kell")
    desk.settle()
    dialog = desk.dialog()
    assert isinstance(dialog, SameDialog)
    keys = {b.key: b for b in dialog.findChildren(KeyButton)}
    assert set(keys) == {"1", "2", "Esc"}
    keys["2"].click()
    desk.settle()
    view = desk.room.right.view
    assert view is not None
    assert (view.who, view.phone) == ("Tomas Kell", "555 0199")


def test_phone_digits_alone_begin_a_ticket(desk: Desk) -> None:
    desk.type("555 0162")
    desk.enter()
    view = desk.room.right.view
    assert view is not None
    assert view.phone == "" or view.who == "555 0162"
    assert view.ticket.phone == "555 0162"


def test_heat_is_refused_where_a_crack_was_written_down(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.room.slip.edit_ball(0)
    dialog = desk.dialog()
    assert isinstance(dialog, TakenDialog)
    dialog.hazards.setText("crack near the thumb; plugged")
    dialog._try()
    desk.settle()
    view = desk.room.right.view
    assert view is not None
    refused = {line.name: line.refused for line in view.lines}
    assert refused["Deep oil, heat cabinet"] == "not with a crack"
    heat = next(line for line in view.lines if "heat" in line.name)
    desk.room.slip.tick(heat)
    desk.settle()
    assert "not with a crack" in desk.room.right.trouble.text()


def test_a_ball_taken_off_the_ticket_comes_back_with_undo(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.room.slip.edit_ball(0)
    dialog = desk.dialog()
    off = next(b for b in dialog.findChildren(TextButton) if b.word() == "Take it off the ticket")
    assert off.focusPolicy() is Qt.FocusPolicy.ClickFocus
    off.click()
    desk.settle()
    assert desk.room.right.view.ticket.balls == ()  # type: ignore[union-attr]
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(desk.room.right.view.ticket.balls) == 1  # type: ignore[union-attr]


def test_a_time_that_has_passed_is_not_promised(desk: Desk) -> None:
    now = desk.ask(lambda shop: shop.now())
    took: list[Any] = []
    dialog = PromiseDialog(desk.window, now - timedelta(days=1), now, took.append)
    dialog.open_()
    dialog._try()
    assert "passed" in dialog.trouble.text()
    assert took == []
    dialog.reject()


def test_a_kept_ticket_is_changed_in_one_act(desk: Desk) -> None:
    taken = TakenIn(QUARRY, serial="7K20977", jobs=(Job("Clean", Work.CLEAN, 300, 4.0, service_id=1),))
    desk.shared.keep(lambda shop: tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), MIREL, balls=(taken,))))
    desk.settle()
    before = desk.ask(lambda shop: shop.revision)
    dialog = open_kept(desk.room, 1)
    desk.settle()
    assert isinstance(dialog, KeptDialog)
    polish = next(line for line in dialog._view.lines if line.name == "Polish")  # type: ignore[union-attr]
    dialog._tick(polish)
    desk.settle()
    dialog.deposit.click()
    assert isinstance(desk.dialog(), MoneyDialog)
    desk.settle()
    desk.type("2,50")
    desk.enter()
    dialog._keep()
    desk.settle()
    (ticket,) = desk.tickets()
    assert [job.name for job in ticket.balls[0].jobs] == ["Clean", "Polish"]
    assert (ticket.standing, ticket.deposit_cents) == (Standing.IN, 250)
    assert desk.ask(lambda shop: shop.revision) == before + 1


def test_a_ball_taken_in_by_words_becomes_one_of_the_file_and_its_log_is_written(desk: Desk) -> None:
    blue = TakenIn(words="blue one, crack by thumb", jobs=(Job("Clean", Work.CLEAN, 300, 4.0, service_id=1),))
    desk.shared.keep(lambda shop: tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), MIREL, balls=(blue,))))
    desk.settle()
    dialog = open_kept(desk.room, 1)
    desk.settle()
    dialog._edit_ball(0)
    desk.settle()
    asked = desk.dialog()
    assert isinstance(asked, WhichBallDialog)
    desk.enter()
    desk.settle()
    dialog._keep()
    desk.settle()
    (ticket,) = desk.tickets()
    (taken,) = ticket.balls
    assert (taken.ball_id, taken.words, taken.serial) == (QUARRY, "blue one, crack by thumb", "7K20977")
    before = desk.ask(lambda shop: len(shop.entries(QUARRY)))
    desk.ask(lambda shop: (tickets.ready(shop, 1), tickets.hand_over(shop, 1, confirmed=True)))
    kinds = [entry.kind for entry in desk.ask(lambda shop: shop.entries(QUARRY))[before:]]
    assert kinds == [Kind.CRACK, Kind.CLEANED]


def test_what_taking_in_prints_is_remembered(desk: Desk) -> None:
    desk.room.right.prints.picked.emit("ticket")
    desk.find("quarry")
    desk.letter("n")
    assert desk.room.right.take.name() == "Take in, print it"
    desk.take_in()
    assert desk.printed == [("ticket", 1)]
    assert desk.settings.kept["counter prints"] == "ticket"
