"""A very large act is taken back whole, tells how far it is, and can be stopped on the way with nothing changed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from arsenal.acts import logging, undo
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Cleaned, Draft, Kind


class Enough(Exception):
    """Stop."""


def much(shop: Shop) -> None:
    days = (date(2026, 11, 1) - timedelta(days=n % 200) for n in range(1_600))
    logging.keep(shop, [Draft(1, Kind.CLEANED, on, Cleaned()) for on in days], sentence="Logged a great deal")


def test_it_tells_how_far_it_is(shop: Shop) -> None:
    before = shop.state(1)
    much(shop)
    shares: list[float] = []
    undo.undo(shop, tell=shares.append)
    assert shares == sorted(shares)
    assert len(shares) >= 3
    assert 0.0 <= shares[0] < shares[-1] <= 1.0
    assert shop.state(1) == before


def test_stopped_on_the_way_it_has_changed_nothing(shop: Shop) -> None:
    much(shop)
    kept, head = shop.state(1), shop.ledger.head_seq

    def stop(share: float) -> None:
        if share > 0.5:
            raise Enough

    with pytest.raises(Enough):
        undo.undo(shop, tell=stop)
    assert (shop.state(1), shop.ledger.head_seq) == (kept, head)
    assert undo.can_undo(shop) == "Logged a great deal"
    assert shop.ledger.verify().ok
    undo.undo(shop)
    assert undo.can_redo(shop) == "Logged a great deal"
