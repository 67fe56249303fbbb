"""What an open shop holds of its file is what the file says, after every kind of act."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import balls, people, services, tickets, undo
from arsenal.acts.shop import Shop
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.ticket import Service, TakenIn, Ticket

KINDS = (Person, Ball, Lane, Pad, Recipe, Service, Ticket)


def as_held(shop: Shop) -> list[tuple[object, ...]]:
    return [shop.every(cls) for cls in KINDS]


def as_kept(shop: Shop) -> list[tuple[object, ...]]:
    return [shop.ledger.every(cls) for cls in KINDS]


def test_what_is_held_is_what_the_file_says_after_every_act(shop: Shop) -> None:
    assert as_held(shop) == as_kept(shop)
    newcomer = people.add_bowler(shop, Person(0, "Oren Tarn", phone="555 0162")).changed[0].id
    assert as_held(shop) == as_kept(shop)
    ball_id = balls.add_ball(shop, Ball(0, "Ash Weir", "ash", newcomer, Cover.PEARL)).changed[0].id
    assert shop.balls(newcomer) == tuple(b for b in shop.ledger.every(Ball) if b.owner_id == newcomer)
    balls.edit_ball(shop, replace(shop.ball(ball_id), serial="7K20977"))
    assert shop.ball(ball_id).serial == "7K20977"
    services.begin_with_usual(shop)
    tickets.park(shop, replace(tickets.blank(shop), person_id=newcomer, balls=(TakenIn(ball_id),)))
    assert as_held(shop) == as_kept(shop)
    for _ in range(4):
        undo.undo(shop)
        assert as_held(shop) == as_kept(shop)
        assert shop.balls(newcomer) == tuple(b for b in shop.ledger.every(Ball) if b.owner_id == newcomer)
    while undo.can_redo(shop):
        undo.redo(shop)
        assert as_held(shop) == as_kept(shop)


def test_what_comes_back_stands_where_it_stood(shop: Shop) -> None:
    before = [ball.id for ball in shop.balls()]
    with shop.ledger.act("Took a ball out of sight") as act:
        act.remove("ball", before[1])
    assert [ball.id for ball in shop.balls()] == [before[0], *before[2:]]
    undo.undo(shop)
    assert [ball.id for ball in shop.balls()] == before


def test_many_changes_at_once_are_read_anew(shop: Shop) -> None:
    shop.people()
    with shop.ledger.act("Took in a list") as act:
        for n in range(900):
            act.put(Person(0, f"Customer {n}"))
    assert shop.people() == shop.ledger.every(Person)


def test_another_open_window_sees_what_was_written(shop: Shop) -> None:
    shop.people()
    with Shop.open(shop.path, read_only=True) as other:
        assert other.people() == shop.people()
        people.add_bowler(shop, Person(0, "Vesa Ullova"))
        assert other.people() == shop.people()
