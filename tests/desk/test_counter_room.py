"""The Counter by keyboard alone: find, write, take in, work, hand over; parked and brought back; nothing lost."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from counter_desk import MIREL, QUARRY, Desk, at_the_counter, stock
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from arsenal.acts import logging, tickets
from arsenal.acts.settings import Settings
from arsenal.desk.counter.hit_rows import Offer
from arsenal.desk.frame import focus_stops
from arsenal.trade.entries import Kind
from arsenal.trade.ticket import Job, Service, Standing, TakenIn, Ticket, Work


@pytest.fixture
def desk(qtbot: Any, shop_file: Path, settings: Settings) -> Iterator[Desk]:
    yield from at_the_counter(qtbot, shop_file, settings)


def test_the_line_has_the_keys_when_the_room_opens(desk: Desk) -> None:
    assert desk.focus() is desk.room.left.field.edit


def test_esc_in_an_empty_line_makes_digits_keys_again_with_nothing_opened(desk: Desk) -> None:
    assert not desk.room.middle.lead().isVisible()
    desk.key(Qt.Key.Key_Escape)
    assert desk.focus() is desk.room.left.waiting
    desk.letter("w")
    assert desk.room.right.view is not None or QApplication.activeModalWidget() is not None
    assert desk.room.left.field.edit.text() == ""


def test_a_ticket_for_a_known_customer_takes_at_most_twelve_keys(desk: Desk) -> None:
    """Ease as the trade asks for it: a known customer, a new ticket, twelve key actions at most."""
    desk.keys = 0
    desk.type("quar")
    desk.enter()
    desk.letter("n")
    desk.key(Qt.Key.Key_Space)
    desk.dialog()
    desk.type("24")
    desk.enter()
    desk.take_in()
    (ticket,) = desk.tickets()
    assert desk.keys <= 12
    assert (ticket.person_id, ticket.standing, ticket.balls[0].ball_id) == (MIREL, Standing.IN, QUARRY)
    assert [(job.name, job.price_cents) for job in ticket.balls[0].jobs] == [("500/2000 m", 2400)]
    assert ticket.promised_at is not None
    assert desk.printed == [("label", ticket.id)]
    assert desk.focus() is desk.room.left.field.edit
    assert desk.room.left.field.edit.text() == ""


def test_the_price_of_last_time_is_known_the_next_time(desk: Desk) -> None:
    desk.ask(
        lambda shop: tickets.take_in(
            shop,
            Ticket(
                0, Standing.PARKED, shop.now(), MIREL,
                balls=(TakenIn(2, jobs=(Job("500/2000 m", Work.SURFACE, 2400),)),),
            ),
        )
    )  # fmt: skip
    desk.find("quarry")
    desk.letter("n")
    line = desk.room.right.lines.in_hand().line
    assert (line.name, line.price) == ("500/2000 m, as last time", "24.00")


def test_the_whole_story_ends_in_the_balls_log(desk: Desk) -> None:
    before = desk.ask(lambda shop: len(shop.entries(QUARRY)))
    desk.find("quarry")
    desk.letter("n")
    desk.key(Qt.Key.Key_Down)
    desk.key(Qt.Key.Key_Space)
    desk.take_in()
    (ticket,) = desk.tickets()
    assert desk.room.strip.counts["in"].number() == 1
    desk.find(str(ticket.id))
    assert desk.room.middle.at == ("ticket", ticket.id)
    desk.letter("b")
    assert desk.room.strip.counts["bench"].number() == 1
    desk.letter("d")
    desk.letter("r")
    desk.dialog()
    desk.type("r 1900")
    desk.enter()
    assert desk.room.strip.counts["ready"].number() == 1
    assert desk.ask(lambda shop: len(shop.entries(QUARRY))) == before
    desk.letter("t")
    assert QApplication.clipboard().text().startswith("Hello Mirel, Quarry Song is ready to pick up.")
    desk.letter("h")
    desk.dialog()
    desk.enter()
    (ticket,) = desk.tickets()
    assert (ticket.standing, ticket.paid_cents, ticket.owed_cents) == (Standing.OUT, 300, 0)
    new = desk.ask(lambda shop: shop.entries(QUARRY))[before:]
    assert [entry.kind for entry in new] == [Kind.CLEANED, Kind.READING]
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert desk.tickets()[0].standing is Standing.READY


def test_a_half_written_ticket_is_parked_and_comes_back_with_its_key(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.key(Qt.Key.Key_F2)
    (ticket,) = desk.tickets()
    assert (ticket.standing, desk.room.right.view) == (Standing.PARKED, None)
    desk.find("rook")
    desk.letter("n")
    desk.key(Qt.Key.Key_F3)
    view = desk.room.right.view
    assert view is not None
    assert view.ticket.id == ticket.id
    assert {t.standing for t in desk.tickets()} == {Standing.PARKED}
    assert len(desk.tickets()) == 2


def test_somebody_elses_ball_parks_the_ticket_being_written(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.room.slip.begin_for(3)
    desk.settle()
    view = desk.room.right.view
    assert view is not None
    assert view.ticket.person_id == 3
    assert [t.person_id for t in desk.tickets()] == [MIREL]


def test_a_ball_nobody_knows_is_likely_of_the_customer_served(desk: Desk) -> None:
    assert desk.room.whose() is None
    desk.find("kell")
    shown = desk.room.middle.person.card
    assert shown is not None
    assert desk.room.whose() == shown.person.id != MIREL
    desk.find("quar")
    assert desk.room.whose() == MIREL
    desk.letter("n")
    desk.find("kell")
    assert desk.room.whose() == MIREL  # the ticket's


def test_what_is_half_written_is_kept_when_another_room_comes(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.room.leave()
    desk.settle()
    (ticket,) = desk.tickets()
    assert ticket.balls[0].ball_id == QUARRY
    view = desk.room.right.view
    assert view is not None


def test_what_is_being_written_outlives_a_crash(qtbot: Any, shop_file: Path, settings: Settings) -> None:
    """Nothing is closed in order: what a killed process leaves is what had been committed."""
    stock(shop_file)
    desk = Desk(qtbot, shop_file, settings)
    desk.find("quarry")
    desk.letter("n")
    desk.key(Qt.Key.Key_Down)
    desk.key(Qt.Key.Key_Space)
    copy = shop_file.with_name("after.padbook")
    for end in ("", "-wal"):
        left = shop_file.with_name(shop_file.name + end)
        if left.exists():
            copy.with_name(copy.name + end).write_bytes(left.read_bytes())
    desk.close()
    after = Desk(qtbot, copy, settings)
    try:
        view = after.room.right.view
        assert view is not None
        assert view.ticket.balls[0].ball_id == QUARRY
        assert [line.name for line in view.lines if line.ticked] == ["Clean"]
        assert after.tickets() == ()
        after.take_in()
        assert [t.standing for t in after.tickets()] == [Standing.IN]
    finally:
        after.close()


def test_a_ticket_taken_in_by_mistake_is_back_on_the_pane(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.take_in()
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert desk.tickets() == ()
    view = desk.room.right.view
    assert view is not None
    assert (view.ticket.id, view.ticket.balls[0].ball_id) == (0, QUARRY)
    desk.take_in()
    assert [t.standing for t in desk.tickets()] == [Standing.IN]


def test_undo_steps_back_on_the_ticket_before_anything_kept(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.key(Qt.Key.Key_Down)
    desk.key(Qt.Key.Key_Space)
    ticked = [line.name for line in desk.room.right.view.lines if line.ticked]  # type: ignore[union-attr]
    assert ticked == ["Clean"]
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert not any(line.ticked for line in desk.room.right.view.lines)  # type: ignore[union-attr]


def test_a_name_and_a_few_words_are_enough(desk: Desk) -> None:
    desk.type("Zyx Umbel")
    offers = [row for row in desk.room.left.hits.rows_model.rows() if isinstance(row, Offer)]
    assert [offer.does for offer in offers] == ["ticket", "words", "customer"], "who stands there is said first"
    desk.enter()
    desk.type("blue one")
    desk.enter()
    desk.take_in()
    (ticket,) = desk.tickets()
    assert (ticket.name, ticket.balls[0].words) == ("Zyx Umbel", "blue one")


def test_two_customers_of_one_name_are_told_apart_by_their_phone(desk: Desk) -> None:
    desk.type("tomas")
    rights = [row.right for row in desk.room.left.hits.rows_model.rows() if not isinstance(row, Offer)]
    assert sorted(rights) == ["555 0148", "555 0199"]


def test_a_ball_without_a_serial_is_asked_about_before_it_is_taken_in(desk: Desk) -> None:
    desk.find("plain gate")
    desk.letter("n")
    desk.take_in()
    desk.dialog()
    desk.type("5S77310")
    desk.enter()
    (ticket,) = desk.tickets()
    assert ticket.balls[0].serial == "5S77310"


def test_a_ball_that_is_on_the_ticket_already_is_gone_to(desk: Desk) -> None:
    for name in ("quarry", "rook", "quarry"):
        desk.find(name)
        desk.letter("n")
    lines = desk.room.right.lines
    assert [taken.ball_id for taken in desk.room.right.view.ticket.balls] == [QUARRY, 2]
    assert desk.focus() is lines
    assert lines.in_hand().line.ball == 0


def test_before_heat_the_two_ticks_are_asked_for(desk: Desk) -> None:
    heat = Job("Deep oil, heat cabinet", Work.HEAT, 2500, 20.0)
    taken = TakenIn(QUARRY, serial="7K20977", jobs=(heat,))
    desk.shared.keep(lambda shop: tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), MIREL, balls=(taken,))))
    desk.settle()
    desk.room.middle.open("ticket", 1)
    desk.settle()
    desk.letter("b")
    assert "inserts" in desk.window.foot.sentence.whole()
    desk.letter("i")
    desk.letter("k")
    desk.letter("b")
    assert desk.tickets()[0].standing is Standing.BENCH


def test_what_the_log_wants_confirmed_is_confirmed_with_a_second_key(desk: Desk) -> None:
    """A crack that was written down after the heat: the log asks, as the Bench does."""
    desk.ask(lambda shop: logging.keep(shop, logging.read_line(shop, "quarry crack by the thumb").drafts))
    heat = Job("Deep oil, heat cabinet", Work.HEAT, 2500, 20.0)
    taken = TakenIn(QUARRY, serial="7K20977", jobs=(heat,), inserts_out=True, cracks_checked=True)

    def work(shop: Any) -> Any:
        tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), MIREL, balls=(taken,)))
        return tickets.ready(shop, 1)

    desk.ask(work)
    desk.room.enter()
    desk.room.middle.open("ticket", 1)
    desk.settle()
    desk.letter("h")
    dialog = desk.dialog()
    desk.enter()
    assert "crack" in dialog.trouble.text().casefold()  # type: ignore[attr-defined]
    assert desk.tickets()[0].standing is Standing.READY
    desk.enter()
    assert desk.tickets()[0].standing is Standing.OUT


def test_enter_before_the_answer_opens_what_was_typed_last(desk: Desk) -> None:
    edit = desk.room.left.field.edit
    edit.setText("quarry")
    desk.settle()
    edit.setText("rook")
    desk.room.left.open_now()
    desk.settle()
    assert desk.room.middle.at == ("ball", 2)


def test_answers_to_older_letters_are_dropped(desk: Desk) -> None:
    shown: list[str] = []
    left = desk.room.left
    original = left._show_hits
    left._show_hits = lambda found, text: (shown.append(text), original(found, text))[1]  # type: ignore[method-assign]
    for text in ("q", "qu", "qua", "quar"):
        left.field.edit.setText(text)
    desk.settle()
    assert shown == ["quar"]


def test_calling_off_wants_a_reason_and_is_taken_back(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.take_in()
    desk.room.middle.ticket.rows.setFocus()
    desk.letter("o")
    dialog = desk.dialog()
    desk.enter()
    assert dialog.trouble.text().startswith("Why is it called off?")  # type: ignore[attr-defined]
    desk.type("went elsewhere")
    desk.enter()
    assert desk.tickets()[0].standing is Standing.CALLED_OFF
    assert "pay" not in desk.room.middle.ticket.sums.text()
    desk.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert desk.tickets()[0].standing is Standing.IN


def test_delete_and_backspace_take_nothing_off_the_ticket(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    for key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
        desk.key(key)
    assert len(desk.room.right.view.ticket.balls) == 1  # type: ignore[union-attr]


def test_what_is_late_is_told_in_words_on_top_and_in_its_row(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.key(Qt.Key.Key_Down)
    desk.key(Qt.Key.Key_Space)
    desk.take_in()

    def later(shop: Any) -> int:
        from datetime import timedelta  # noqa: PLC0415

        now = shop.clock() + timedelta(days=9)
        shop.clock = lambda: now
        return 0

    desk.ask(later)
    desk.room._clock.timeout.emit()
    desk.settle()
    assert desk.room.strip.counts["late"].accessibleName() == "1 ticket late"
    model = desk.room.left.waiting.rows_model
    said = [str(model.data(model.index(n))) for n in range(model.rowCount())]
    assert any("late, " in line and "Quarry Song" in line for line in said)


def test_a_count_opens_its_list_and_esc_goes_back_to_the_line(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.take_in()
    desk.room.strip.counts["in"].click()
    desk.settle()
    assert desk.room.left.listed() == "in"
    desk.key(Qt.Key.Key_Escape)
    assert desk.room.left.listed() == ""
    assert desk.focus() is desk.room.left.field.edit


HOSTILE = (
    "<b>bold</b><img src=x>", "=HYPERLINK(1)", "a\u202etxt.exe", "R&D && Co", "x" * 10_000, "null\x00byte", "'; DROP--",
)  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_are_shown_as_they_stand(desk: Desk, text: str) -> None:
    desk.room.left.field.edit.setText(text)
    desk.settle()
    desk.room.slip.begin_named(text[:300])
    desk.room.slip.add_words(text[:300])
    desk.settle()
    right = desk.room.right
    assert right.view is not None
    assert right.view.who == text[:300]
    assert right.stub_who.textFormat() is Qt.TextFormat.PlainText
    desk.window.grab()
    desk.take_in()
    shown = desk.room.middle.ticket.card
    assert shown is not None
    assert shown.balls[0] == " ".join(text[:300].replace("\x00", "").split())
    desk.window.grab()


def test_everything_that_takes_the_focus_has_a_name(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    for state in ("ball", "person", "ticket"):
        if state == "ticket":
            desk.take_in()
        elif state == "person":
            desk.room.middle.open("person", MIREL)
            desk.settle()
        for stop in focus_stops(desk.window):
            if stop.isVisible():
                face = QAccessible.queryAccessibleInterface(stop)
                assert face is not None
                assert face.text(QAccessible.Text.Name) or stop.accessibleName(), f"{type(stop).__name__} in {state}"


def test_tab_goes_through_the_line_the_card_the_ticket_then_the_last_act_and_the_rooms(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    desk.room.left.field.edit.setFocus()
    room, foot, seen = desk.room, desk.window.foot, []
    for _ in range(60):
        QTest.keyClick(desk.focus(), Qt.Key.Key_Tab)
        seen.append(desk.focus())
        if desk.focus() is room.left.field.edit:
            break
    places = [room.left, room.middle, room.right, foot, desk.window.top, room.strip]
    order = [next(place for place in places if place.isAncestorOf(stop)) for stop in seen[:-1]]
    assert [place for place, _ in groupby(order)] == places
    assert [stop for stop in seen if desk.window.top.isAncestorOf(stop)] == [
        desk.window.top.tabs()[0], desk.window.search.edit,
    ]  # fmt: skip


def test_every_button_is_large_enough_for_a_wet_thumb(desk: Desk) -> None:
    """40 px is the least height of a button here (common practice; no source)."""
    from arsenal.desk.parts.buttons import KeyButton  # noqa: PLC0415

    desk.find("quarry")
    desk.letter("n")
    small = [b.name() for b in desk.room.findChildren(KeyButton) if b.isVisible() and b.height() < 40]
    assert small == []


def test_in_a_small_window_everything_stands_in_one_column(desk: Desk) -> None:
    desk.window.resize(1000, 640)
    left, middle, right = desk.room._panes
    desk.qtbot.waitUntil(lambda: right.y() >= middle.y() + middle.height() and middle.y() >= left.height())
    assert desk.room.left.width() == desk.room.middle.width() == desk.room.right.width()


def test_a_shop_without_services_is_offered_the_usual_ones(qtbot: Any, shop_file: Path, settings: Settings) -> None:
    desk = Desk(qtbot, shop_file, settings)
    try:
        assert desk.room.middle.empty.button.isVisible()
        desk.room.middle.empty.button.click()
        desk.settle()
        assert not desk.room.middle.empty.button.isVisible()
        names = desk.ask(lambda shop: [service.name for service in shop.every(Service)])
        assert "Clean" in names
    finally:
        desk.close()
