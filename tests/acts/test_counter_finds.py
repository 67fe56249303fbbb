"""What the Counter finds, offers and prices: told apart, in one order, from the shop's own records."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from arsenal.acts import (
    balls,
    bench_queue,
    codes,
    counter,
    counter_find,
    counter_lines,
    logging,
    people,
    reading,
    services,
    tickets,
)  # fmt: skip
from arsenal.acts.shop import Shop
from arsenal.trade.code import Code, Names
from arsenal.trade.entries import Step, Tool
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person
from arsenal.trade.ticket import Job, Service, Standing, TakenIn, Ticket, Work

STEPS = tuple(Step(number=n, tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0) for n in (500.0, 2000.0))


@pytest.fixture
def sold(shop: Shop) -> Shop:
    services.begin_with_usual(shop)
    for line in ("moth 500/2000 m", "moth 23g"):
        logging.keep(shop, logging.read_line(shop, line).drafts)
    return shop


def draft(shop: Shop, ball_id: int = 3) -> Ticket:
    return counter.with_ball(shop, tickets.blank(shop), ball_id)


def line(shop: Shop, ticket: Ticket, name: str) -> counter_lines.TicketLine:
    return next(line for line in counter_lines.lines(shop, ticket) if line.name == name)


def test_a_ball_is_found_with_its_last_finish_games_owner_and_phone(sold: Shop) -> None:
    balls.edit_ball(sold, replace(sold.ball(3), serial="7K20977"))
    people.edit_bowler(sold, replace(sold.person(1), phone="555 0117"))
    found = next(f for f in counter_find.find(sold, "7k20977", 5) if f.kind == "ball")
    assert (found.label, found.below, found.right) == (
        "Paper Moth", "Mirel Oster, 555 0117, 7K20977", "500/2000 m, 23 games",
    )  # fmt: skip


def test_a_customer_is_found_with_balls_last_visit_and_phone(sold: Shop) -> None:
    tickets.park(sold, replace(draft(sold)))
    found = next(f for f in counter_find.find(sold, "mirel", 8) if f.kind == "person")
    assert found.label == "Mirel Oster"
    assert "balls, last in " in found.below


def test_a_ticket_is_found_by_its_number_with_where_it_stands(sold: Shop) -> None:
    number = tickets.park(sold, draft(sold)).changed[0].id
    found = counter_find.find(sold, f"no {number}", 5)[0]
    assert (found.kind, found.label, found.right) == ("ticket", f"No {number}", "half written")
    assert "Paper Moth" in found.below


def test_a_code_typed_off_its_label_finds_what_it_names(sold: Shop) -> None:
    number = tickets.park(sold, draft(sold)).changed[0].id
    for names, of, kind in ((Names.BALL, 3, "ball"), (Names.PERSON, 1, "person"), (Names.TICKET, number, "ticket")):
        text = codes.code(sold, names, of)
        for typed in (text, f" {text.lower()} "):
            assert [(f.kind, f.id) for f in counter_find.find(sold, typed, 5)] == [(kind, of)]
            assert [(f.kind, f.id) for f in reading.find(sold, typed, 5)] == [(kind, of)]


def test_a_wrong_or_foreign_code_finds_nothing_and_breaks_nothing(sold: Shop) -> None:
    text = codes.code(sold, Names.BALL, 3)
    foreign, gone = Code(Names.BALL, "ZZZZ", 3).text, codes.code(sold, Names.BALL, 999)
    for typed in (text[:7] + "4" + text[8:], foreign, gone):
        assert counter_find.find(sold, typed, 5) == ()
        assert reading.find(sold, typed, 5) == ()


@pytest.mark.parametrize("text", ["m", "mi", "moth"])
def test_old_tickets_never_stand_before_the_balls_and_people_they_name(sold: Shop, text: str) -> None:
    for _ in range(30):
        number = tickets.park(sold, draft(sold)).changed[0].id
        tickets.call_off(sold, number, "written twice")
    kinds = [found.kind for found in counter_find.find(sold, text, 12)]
    assert kinds.index("ticket") == len(kinds) - kinds.count("ticket")
    assert kinds[0] in ("ball", "person")


@pytest.mark.parametrize("text", ["", "   ", "\x00", "'", '"', "*", "a" * 9000, "\u202e", "=1+1", "<b>"])
def test_any_text_may_be_looked_for(sold: Shop, text: str) -> None:
    counter_find.find(sold, text, 8)


def test_customers_of_one_name_are_told_apart(sold: Shop) -> None:
    for phone in ("555 0148", "555 0199"):
        people.add_bowler(sold, Person(0, "Tomas Kell", phone=phone))
    assert [said for said, _ in counter_find.namesakes(sold, "  tomas KELL ")] == [
        "Tomas Kell, 555 0148, 0 balls", "Tomas Kell, 555 0199, 0 balls",
    ]  # fmt: skip
    with pytest.raises(KnownError, match="already"):
        people.add_bowler(sold, Person(0, "Tomas Kell", phone="555 0199"))


def test_the_finish_of_last_time_comes_first_and_ticking_moves_no_line(sold: Shop) -> None:
    ticket = draft(sold)
    names = [line.name for line in counter_lines.lines(sold, ticket)]
    assert names[0] == "500/2000 m, as last time"
    ticked = counter_lines.tick(sold, ticket, line(sold, ticket, "Clean"))
    ticked = counter_lines.tick(sold, ticked, line(sold, ticked, names[0]), 2400)
    assert [line.name for line in counter_lines.lines(sold, ticked)] == names
    assert [(job.name, job.price_cents) for job in ticked.balls[0].jobs] == [("Clean", 0), ("500/2000 m", 2400)]
    again = counter_lines.tick(sold, ticked, line(sold, ticked, names[0]))
    assert [job.name for job in again.balls[0].jobs] == ["Clean"]


def test_a_finish_costs_what_it_was_written_down_for_last_unless_it_is_a_service(sold: Shop) -> None:
    ticket = draft(sold)
    name = "500/2000 m, as last time"
    assert line(sold, ticket, name).price == "ask"
    job = Job("500/2000 m", Work.SURFACE, 2400, 14.0, steps=STEPS)
    taken = TakenIn(words="blue one", jobs=(job,))
    kept = Ticket(0, Standing.PARKED, sold.now(), name="Kell", balls=(taken,))
    number = tickets.take_in(sold, kept).changed[0].id
    assert line(sold, ticket, name).price == "24.00"
    tickets.call_off(sold, number, "written twice")
    assert line(sold, ticket, name).price == "ask"
    services.keep_service(sold, Service(0, "Two pads by machine", Work.SURFACE, 2600, 15.0, steps=STEPS))
    assert line(sold, ticket, name).price == "26.00"


def test_a_service_that_is_no_longer_offered_stays_on_its_ticket(sold: Shop) -> None:
    ticket = draft(sold)
    clean = line(sold, ticket, "Clean")
    ticked = counter_lines.tick(sold, ticket, clean)
    services.remove_service(sold, clean.service_id or 0)
    assert line(sold, ticked, "Clean").ticked
    with pytest.raises(KnownError, match="no longer offered"):
        counter_lines.tick(sold, ticket, clean)


def test_heat_is_refused_with_a_crack_however_it_is_asked_for(sold: Shop) -> None:
    ticket = draft(sold)
    cracked = counter_lines.with_taken(ticket, 0, replace(ticket.balls[0], hazards=("crack by thumb",)))
    heat = line(sold, cracked, "Deep oil, heat cabinet")
    with pytest.raises(KnownError, match="not with a crack"):
        counter_lines.tick(sold, cracked, heat)


def test_who_waits_in_the_shop_is_promised_before_the_rest_of_the_bench(sold: Shop) -> None:
    job = Job("Full resurface", Work.SURFACE, minutes=300.0, steps=STEPS)
    taken = TakenIn(words="blue one", jobs=(job,))
    tickets.take_in(sold, Ticket(0, Standing.PARKED, sold.now(), name="Kell", balls=(taken,)))
    waits = bench_queue.load(sold, 20.0, waits=True).next_promise
    assert waits <= sold.now() + timedelta(minutes=50)
    assert waits < bench_queue.load(sold, 20.0).next_promise


def test_the_card_comes_without_what_takes_long_and_then_with_it(sold: Shop) -> None:
    quick = counter.ball_card(sold, 3, whole=False)
    whole = counter.ball_card(sold, 3)
    assert (quick.due, quick.lost) == ((), "")
    assert replace(quick, due=whole.due, lost=whole.lost) == whole
    assert len(whole.due) <= counter.MOST_DUE


def test_a_reading_nobody_could_log_is_refused_while_it_can_still_be_asked(sold: Shop) -> None:
    ticket = draft(sold)
    wrong = counter_lines.with_taken(ticket, 0, replace(ticket.balls[0], serial="7K20977", reading="about so"))
    with pytest.raises(KnownError, match="not understood"):
        tickets.take_in(sold, wrong)
    right = counter_lines.with_taken(wrong, 0, replace(wrong.balls[0], reading="r 2400"))
    number = tickets.take_in(sold, right).changed[0].id
    with pytest.raises(KnownError, match="not understood"):
        tickets.ready(sold, number, ["quite smooth"])
    assert tickets.ticket(sold, number).standing is Standing.IN
    tickets.ready(sold, number, ["r 1900"])
