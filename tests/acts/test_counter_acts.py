"""At the counter: taken in with as little as a name and words, worked on, ready, handed over, and then in the log."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from arsenal.acts import bench_queue, codes, counter, services, tickets, undo
from arsenal.acts.shop import Shop
from arsenal.trade.code import Code, Names, WrongCode
from arsenal.trade.entries import Kind, Step, Tool
from arsenal.trade.errors import KnownError, NotUnderstood, OutOfRange
from arsenal.trade.ticket import Job, Service, Standing, TakenIn, Ticket, Work

STEPS = tuple(Step(number=n, tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0) for n in (500.0, 2000.0))


@pytest.fixture
def sold(shop: Shop) -> Shop:
    services.begin_with_usual(shop)
    return shop


def taken_in(shop: Shop, *jobs: Job, ball_id: int | None = 3, **told: Any) -> Ticket:
    taken = TakenIn(ball_id, words="" if ball_id else "blue one", serial="7K20977", jobs=jobs)
    changes = tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), 1, balls=(replace(taken, **told),)))
    return tickets.ticket(shop, changes.changed[0].id)


def test_a_name_and_words_for_a_ball_are_enough(shop: Shop) -> None:
    blue = TakenIn(words="blue one, crack by thumb", serial_missing="unreadable")
    tickets.take_in(shop, replace(tickets.blank(shop), name="Kell", balls=(blue,)))
    (row,) = counter.counts(shop).taken_in
    assert (row.who, row.balls, row.standing) == ("Kell", "blue one, crack by thumb", "in")


@pytest.mark.parametrize(
    ("ticket", "says"),
    [
        ({"balls": (TakenIn(words="blue"),)}, "Whose balls"),
        ({"name": "Kell"}, "No ball"),
        ({"name": "Kell", "balls": (TakenIn(),)}, "neither a name nor words"),
        ({"name": "Kell", "balls": (TakenIn(1),)}, "no serial"),
        ({"name": "Kell", "balls": (TakenIn(1, serial="1"), TakenIn(1, serial="1"))}, "twice"),
        ({"name": "Kell", "balls": (TakenIn(words="x"),), "deposit_cents": -1}, "less than nothing"),
    ],
)
def test_what_is_missing_is_named(shop: Shop, ticket: dict[str, Any], says: str) -> None:
    with pytest.raises(KnownError, match=says):
        tickets.take_in(shop, replace(tickets.blank(shop), **ticket))
    assert shop.every(Ticket) == ()


def test_a_ball_on_an_open_ticket_is_not_taken_in_again(shop: Shop) -> None:
    first = taken_in(shop)
    with pytest.raises(KnownError, match=f"on ticket {first.id} already"):
        taken_in(shop)


def test_numbers_are_one_range_and_never_used_again(shop: Shop) -> None:
    first = tickets.park(shop, replace(tickets.blank(shop), name="Kell")).changed[0].id
    undo.undo(shop)
    second = tickets.park(shop, replace(tickets.blank(shop), phone="555 0162")).changed[0].id
    tickets.call_off(shop, second, "went elsewhere")
    third = taken_in(shop).id
    assert (first, second, third) == (1, 2, 3)


def test_parked_tickets_say_what_they_wait_for_and_are_taken_in_under_their_number(shop: Shop) -> None:
    parked = replace(tickets.blank(shop), person_id=1, balls=(TakenIn(3),))
    number = tickets.park(shop, parked).changed[0].id
    tickets.park(shop, replace(tickets.blank(shop), phone="555 0162"))
    assert [row.waits_for for row in counter.counts(shop).parked] == ["waiting for the serial", "waiting for a ball"]
    kept = tickets.ticket(shop, number)
    tickets.take_in(shop, replace(kept, balls=(replace(kept.balls[0], serial_missing="unreadable"),)))
    assert tickets.ticket(shop, number).standing is Standing.IN


def test_handing_over_writes_the_log_in_one_act_that_is_taken_back_whole(shop: Shop) -> None:
    jobs = (Job("500/2000 m", Work.SURFACE, 2400, 14.0, steps=STEPS), Job("Clean", Work.CLEAN, 300, 4.0))
    ticket = taken_in(shop, *jobs, reading="r 2600")
    before = len(shop.entries(3))
    tickets.ready(shop, ticket.id, ["r 1900"])
    assert len(shop.entries(3)) == before
    changes = tickets.hand_over(shop, ticket.id, to="Mirel", paid_cents=2700)
    new = shop.entries(3)[before:]
    assert [entry.kind for entry in new] == [Kind.READING, Kind.CLEANED, Kind.SANDED, Kind.READING]
    assert shop.state(3).finish == STEPS
    assert tickets.ticket(shop, ticket.id).owed_cents == 0
    assert changes.sentence == f"Handed over No {ticket.id}, Mirel Oster"
    undo.undo(shop)
    assert tickets.ticket(shop, ticket.id).standing is Standing.READY
    assert shop.state(3).finish != STEPS


def test_a_ball_that_is_only_described_is_handed_over_without_a_log(shop: Shop) -> None:
    ticket = taken_in(shop, Job("Clean", Work.CLEAN, 300, 4.0), ball_id=None)
    tickets.ready(shop, ticket.id)
    tickets.hand_over(shop, ticket.id)
    assert tickets.ticket(shop, ticket.id).standing is Standing.OUT


def test_before_heat_inserts_come_out_and_plugs_and_cracks_are_checked(shop: Shop) -> None:
    """Common practice, no source: plugged or cracked, stop and ask; inserts and slugs out first."""
    heat = Job("Deep oil, heat cabinet", Work.HEAT, 2500, 20.0, passes=2)
    ticket = taken_in(shop, heat)
    for told in (
        {},
        {"inserts_out": True},
        {"inserts_out": True, "cracks_checked": True, "hazards": ("crack by thumb",)},
        {
            "inserts_out": True,
            "cracks_checked": True,
            "hazards": (),
            "ball_id": None,
            "words": "blue one, crack by thumb",
        },
        {
            "inserts_out": True,
            "cracks_checked": True,
            "hazards": (),
            "words": "",
            "ball_id": 3,
            "note": "no cracks but a hairline at the bridge",
        },
    ):
        tickets.change(shop, ticket.id, lambda t, told=told: replace(t, balls=(replace(t.balls[0], **told),)), "Ticked")
        with pytest.raises(KnownError):
            tickets.begin(shop, ticket.id, 0, 0)
        with pytest.raises(KnownError):
            tickets.ready(shop, ticket.id)
    mended = {"inserts_out": True, "cracks_checked": True, "hazards": (), "note": "no cracks"}
    tickets.change(shop, ticket.id, lambda t: replace(t, balls=(replace(t.balls[0], **mended),)), "Ticked")
    tickets.begin(shop, ticket.id, 0, 0)
    assert tickets.ticket(shop, ticket.id).standing is Standing.BENCH


def test_a_ticket_goes_no_way_but_forward(shop: Shop) -> None:
    ticket = taken_in(shop, Job("Clean", Work.CLEAN))
    with pytest.raises(KnownError, match="needs it ready"):
        tickets.hand_over(shop, ticket.id)
    tickets.ready(shop, ticket.id)
    with pytest.raises(KnownError, match="is ready"):
        tickets.begin(shop, ticket.id, 0, 0)


def test_the_text_to_send_names_balls_number_and_what_is_to_be_paid(shop: Shop) -> None:
    ticket = taken_in(shop, Job("Clean", Work.CLEAN, 350))
    assert (
        tickets.text_to_send(shop, ticket)
        == f"Hello Mirel, Paper Moth is ready to pick up. Ticket {ticket.id}. To pay: 3.50."
    )


def test_the_bench_goes_by_promise_then_by_grain(shop: Shop, clock: Any) -> None:
    fine = Job("2000 s", Work.SURFACE, steps=(Step(number=2000.0),))
    rough = Job("500 s", Work.SURFACE, steps=(Step(number=500.0),))
    soon, later = shop.now() + timedelta(hours=1), shop.now() + timedelta(hours=5)
    for ball_id, job, promised in ((1, fine, later), (2, rough, later), (3, fine, soon), (5, fine, None)):
        taken = TakenIn(ball_id, serial="1", jobs=(job,))
        tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), 1, balls=(taken,), promised_at=promised))
    assert [row.what for row in bench_queue.queue(shop)] == ["Paper Moth", "Jay Quarry", "Rook Hollow", "Slow Lantern"]
    clock.at += timedelta(hours=2)
    assert [row.who for row in counter.counts(shop).late] == ["Mirel Oster"]
    assert bench_queue.queue(shop)[0].late


def test_a_promise_comes_after_what_waits_and_after_the_cooling(shop: Shop) -> None:
    empty = bench_queue.load(shop, 30.0)
    taken_in(shop, Job("Full resurface", Work.SURFACE, minutes=120.0, steps=STEPS))
    full = bench_queue.load(shop, 30.0)
    assert full.minutes == 120.0
    assert full.next_promise >= empty.next_promise + timedelta(minutes=90)
    assert bench_queue.load(shop, 30.0, away_min=360.0).next_promise >= full.next_promise + timedelta(minutes=330)


def test_minutes_are_learned_by_the_clock_and_a_forgotten_key_teaches_nothing(shop: Shop, clock: Any) -> None:
    assert services.takes(shop, "Clean", 4.0) == services.Takes(4.0, 0)
    for ball_id, minutes in ((1, 8), (2, 8), (3, 8), (5, 600)):
        ticket = taken_in(shop, Job("Clean", Work.CLEAN, minutes=4.0), ball_id=ball_id)
        tickets.begin(shop, ticket.id, 0, 0)
        clock.at += timedelta(minutes=minutes)
        tickets.done(shop, ticket.id, 0, 0)
    assert services.takes(shop, "clean", 4.0) == services.Takes(pytest.approx(6.0), 3)


@pytest.mark.parametrize(("typed", "cents"), [("24", 2400), ("24.5", 2450), ("24,50", 2450), (".5", 50), ("0", 0)])
def test_a_price_is_read_with_either_decimal_sign(typed: str, cents: int) -> None:
    assert services.cents(typed) == cents


def test_a_price_nobody_wrote_is_asked_for() -> None:
    with pytest.raises(KnownError, match="How much is it") as told:
        services.cents(" ")
    assert "0 where it costs nothing" in told.value.next_step


@pytest.mark.parametrize("typed", ["x", "1.234", "1.2.3", "-5", "٣", "1e9", "99999999"])
def test_what_is_no_price_is_refused(typed: str) -> None:
    with pytest.raises((NotUnderstood, OutOfRange)):
        services.cents(typed)


def test_two_services_of_one_name_and_absurd_numbers_are_refused(sold: Shop) -> None:
    with pytest.raises(KnownError, match="already"):
        services.keep_service(sold, Service(0, "clean"))
    for wrong in ({"price_cents": -1}, {"minutes": 0.0}, {"minutes": 1e9}, {"away_min": -1.0}):
        with pytest.raises(OutOfRange):
            services.keep_service(sold, replace(Service(0, "Spin"), **wrong))


def test_the_card_says_last_finish_games_since_and_what_is_wanted(shop: Shop) -> None:
    from arsenal.acts import logging  # noqa: PLC0415

    for line in ("500/2000 m 2026-11-01", "6g 2026-11-05", "500/2000 m 2026-11-10", "3g 2026-11-20"):
        logging.keep(shop, logging.read_line(shop, f"moth {line}").drafts)
    card = counter.ball_card(shop, 3)
    assert "".join(text for text, _ in card.last) == "last: 500/2000 machine, 10 Nov, 3 games ago; wants the same"
    assert card.history[0].what == "Played 3 games"
    assert card.history[0].games == pytest.approx(9.0)


def test_a_scanned_code_opens_what_it_names_and_a_changed_or_foreign_one_is_refused(shop: Shop) -> None:
    text = codes.code(shop, Names.BALL, 3)
    found = codes.scanned(shop, text.lower())
    assert found is not None
    assert (found.kind, found.id) == ("ball", 3)
    with pytest.raises(WrongCode, match="misread or changed"):
        codes.scanned(shop, text[:7] + "4" + text[8:])
    with pytest.raises(WrongCode, match="another shop"):
        codes.scanned(shop, Code(Names.BALL, "ZZZZ", 3).text)
    assert codes.scanned(shop, "4006381333931") is None


def test_the_mark_of_a_file_is_the_same_ever_after_and_nothing_to_take_back(shop: Shop) -> None:
    standing = shop.ledger.can_undo()
    mark = shop.ledger.mark()
    assert shop.ledger.mark() == mark
    assert shop.ledger.can_undo() == standing
    assert shop.ledger.verify().ok


def test_a_serial_two_balls_share_is_asked_about(shop: Shop) -> None:
    for ball_id in (1, 2):
        from arsenal.acts import balls  # noqa: PLC0415

        balls.edit_ball(shop, replace(shop.ball(ball_id), serial="7K20977"))
    with pytest.raises(KnownError, match="2 balls have the serial"):
        codes.scanned(shop, "7k20977")


def test_heat_is_offered_but_refused_where_a_crack_was_seen(sold: Shop) -> None:
    draft = replace(tickets.blank(sold), balls=(TakenIn(3, hazards=("crack near the thumb",)),))
    lines = {line.name: line.refused for line in counter.view(sold, draft).lines}
    assert lines["Deep oil, heat cabinet"] == "not with a crack"
    assert lines["Clean"] == ""
