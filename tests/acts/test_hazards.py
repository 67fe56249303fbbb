"""Cracks and plugs at the counter: told as the log knows them, logged once, and heat refused (common practice)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from arsenal.acts import counter, counter_lines, hazards, logging, tickets
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Crack


def through_the_shop(shop: Shop, *told: str) -> tuple[str, ...]:
    """Taken in, ready, handed over; what stood on the ticket."""
    draft = counter.with_ball(shop, tickets.blank(shop), 3)
    taken = replace(draft.balls[0], serial_missing="worn", hazards=(*draft.balls[0].hazards, *told))
    number = tickets.take_in(shop, counter_lines.with_taken(draft, 0, taken)).changed[0].id
    tickets.ready(shop, number)
    tickets.hand_over(shop, number)
    return taken.hazards


def cracks(shop: Shop) -> list[str]:
    return [entry.payload.where for entry in shop.entries(3) if isinstance(entry.payload, Crack)]


def test_a_crack_of_the_log_stands_on_every_ticket_and_is_logged_once(shop: Shop) -> None:
    logging.keep(shop, logging.read_line(shop, "crack near the thumb", ball_id=3).drafts)
    first, again = through_the_shop(shop), through_the_shop(shop)
    assert first == again
    assert first[0].startswith("Crack near the thumb, seen ")
    assert cracks(shop) == ["near the thumb"]


def test_a_crack_seen_at_the_counter_is_logged_when_the_ball_goes_back(shop: Shop) -> None:
    through_the_shop(shop, "Hairline crack at the bridge")
    assert cracks(shop) == ["Hairline crack at the bridge"]
    (told,) = through_the_shop(shop)
    assert told.startswith("Hairline crack at the bridge, seen ")
    assert cracks(shop) == ["Hairline crack at the bridge"]


@pytest.mark.parametrize("words", ["crack by thumb", "CRACKED", "two hairlines", "a crack, not bad", "no plug, crack"])
def test_words_of_a_crack_stop_the_heat(words: str) -> None:
    assert hazards.is_crack(words)


@pytest.mark.parametrize(
    "words", ["no cracks", "looked over, no crack", "not cracked", "without a crack", "plugged", ""]
)
def test_words_of_no_crack_do_not(words: str) -> None:
    assert not hazards.is_crack(words)
