"""What a ticket's surface work puts on a ball: said at the counter, at the bench, or at the latest when it is ready."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from made_shop import Clock

from arsenal.acts import counter, counter_lines, services, ticket_finish, tickets
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Kind, SurfaceWork
from arsenal.trade.errors import KnownError, NotUnderstood
from arsenal.trade.pads import label
from arsenal.trade.ticket import Job, Standing, TakenIn, Ticket, Work

RESURFACE = Job("Full resurface", Work.SURFACE, 2400, 16.0)


@pytest.fixture
def sold(shop: Shop) -> Shop:
    services.begin_with_usual(shop)
    return shop


def taken_in(shop: Shop, *jobs: Job, ball_id: int | None = 3) -> int:
    taken = TakenIn(ball_id, words="" if ball_id else "blue one", serial="7K20977", jobs=jobs)
    return tickets.take_in(shop, Ticket(0, Standing.PARKED, shop.now(), 1, balls=(taken,))).changed[0].id


def handed_over(shop: Shop, number: int) -> list[tuple[Kind, date, str]]:
    before = len(shop.entries(3))
    tickets.hand_over(shop, number)
    return [
        (entry.kind, entry.on, label(entry.payload.steps) if isinstance(entry.payload, SurfaceWork) else "")
        for entry in shop.entries(3)[before:]
    ]


def test_a_resurfaced_ball_is_not_ready_before_somebody_says_what_was_put_on_it(shop: Shop) -> None:
    number = taken_in(shop, RESURFACE)
    with pytest.raises(KnownError, match=r"What was put on .*, Full resurface\?"):
        tickets.ready(shop, number)
    assert tickets.ticket(shop, number).standing is Standing.IN


def test_a_finish_said_when_it_is_ready_goes_into_the_log_as_sanding(shop: Shop) -> None:
    number = taken_in(shop, Job("Clean", Work.CLEAN), RESURFACE)
    tickets.ready(shop, number, finishes={(0, 1): "500/2000 m"})
    logged = handed_over(shop, number)
    assert [(kind, said) for kind, _, said in logged] == [(Kind.CLEANED, ""), (Kind.SANDED, "500/2000 m")]
    assert label(shop.state(3).finish) == "500/2000 m"


def test_a_finish_said_with_the_job_done_is_not_asked_again(shop: Shop) -> None:
    number = taken_in(shop, RESURFACE)
    tickets.done(shop, number, 0, 0, "1000/3000 s")
    assert tickets.ticket(shop, number).unsaid == ()
    tickets.ready(shop, number)
    assert [said for _, _, said in handed_over(shop, number)] == ["1000/3000 s"]


def test_polish_needs_no_words_and_is_logged_as_polished(sold: Shop) -> None:
    polish = next(service for service in services.services(sold) if service.name == "Polish")
    number = taken_in(sold, services.job_of(sold, polish))
    tickets.ready(sold, number)
    assert [(kind, said) for kind, _, said in handed_over(sold, number)] == [(Kind.POLISHED, "polish")]


def test_a_ball_in_words_has_no_log_and_is_not_asked_about(shop: Shop) -> None:
    number = taken_in(shop, RESURFACE, ball_id=None)
    assert tickets.ticket(shop, number).unsaid == ()
    tickets.ready(shop, number)
    assert tickets.ticket(shop, number).standing is Standing.READY


def test_the_finish_wanted_stands_on_the_ticket_and_on_the_bench(sold: Shop) -> None:
    draft = counter.with_ball(sold, tickets.blank(sold), 3)
    line = next(line for line in counter_lines.lines(sold, draft) if line.name == "Full resurface")
    assert line.asks_finish
    draft = counter_lines.tick(sold, draft, line, 2400, "500/1000/2000 m")
    ticked = next(line for line in counter_lines.lines(sold, draft) if line.ticked)
    assert ticked.name == "Full resurface, 500/1000/2000 m"
    assert not ticked.asks_finish
    left = counter_lines.tick(sold, draft, ticked)
    assert left.balls[0].jobs == ()


def test_work_left_to_the_bench_is_taken_in_without_a_finish(sold: Shop) -> None:
    draft = replace(counter.with_ball(sold, tickets.blank(sold), 3), person_id=1)
    line = next(line for line in counter_lines.lines(sold, draft) if line.name == "Full resurface")
    draft = counter_lines.tick(sold, draft, line, 2400, " ")
    draft = counter_lines.with_taken(draft, 0, replace(draft.balls[0], serial_missing="worn"))
    number = tickets.take_in(sold, draft).changed[0].id
    assert tickets.ticket(sold, number).unsaid == ((0, 0),)


def test_a_lone_number_is_asked_about(shop: Shop) -> None:
    with pytest.raises(NotUnderstood, match="1000 s on a spinner") as asked:
        ticket_finish.read("1000")
    assert asked.value.choices == ("1000 h", "1000 s", "1000 m")
    for nonsense in ("quite smooth", "500/", "0 m", "500 m = 1", "\x00"):
        with pytest.raises(KnownError):
            ticket_finish.read(nonsense)
    assert ticket_finish.read("  ") == ()


def test_finishes_a_ball_has_had_are_offered_newest_first_and_once(shop: Shop) -> None:
    for finish in ("500/2000 m", "1000 s", "500/2000 m"):
        number = taken_in(shop, RESURFACE)
        tickets.ready(shop, number, finishes={(0, 0): finish})
        tickets.hand_over(shop, number)
    assert ticket_finish.known(shop, 3)[:2] == ("500/2000 m", "1000 s")


def test_work_of_an_evening_is_logged_on_that_day_of_the_shops_own_clock(shop: Shop, clock: Clock) -> None:
    """Half past six in the evening seven hours west of Greenwich is the next day in universal time."""
    west = timezone(timedelta(hours=-7))
    clock.at = datetime(2026, 11, 24, 18, 30, tzinfo=west)
    assert clock.at.astimezone(UTC).date() == date(2026, 11, 25)
    number = taken_in(shop, RESURFACE)
    tickets.done(shop, number, 0, 0, "500/2000 m")
    clock.at += timedelta(days=2)
    tickets.ready(shop, number)
    assert [on for _, on, _ in handed_over(shop, number)] == [date(2026, 11, 24)]
